"""What a knitter asks of her teacher: words that begin with "?", and notes with "!" that settle them."""

from __future__ import annotations

from collections.abc import Mapping

from tracker.knitting.state import State
from tracker.records import NamedTuple


class Question(NamedTuple):
    """A question, in her own words with its sign, and the number of the event that asked it."""

    text: str
    event: int


class Questions(NamedTuple):
    """The questions that are open, the oldest first, and those that were settled, by the event that did it.

    `last` is the number of the newest event that asked or settled anything, 0 where none did.
    """

    open: tuple[Question, ...]
    settled: Mapping[int, tuple[Question, ...]]
    last: int


def questions(state: State) -> Questions:
    """The questions in the notes of both socks, and in changes told in words.

    Each stays open until a note that begins with "!" settles it, the oldest first: as many as it has "!".
    """
    found, settled, last = list[Question](), dict[int, tuple[Question, ...]](), 0
    for event, text, is_note in sorted(_told(state)):
        many = settles(text) if is_note else 0
        if is_question(text):
            found.append(Question(text.strip(), event))
            last = event
        elif found and many:
            settled[event] = tuple(found[:many])
            del found[:many]
            last = event
    return Questions(tuple(found), settled, last)


def _told(state: State) -> list[tuple[int, str, bool]]:
    """What was written, each with the number of its event, and whether it is a note."""
    notes = [(note.event, note.text, True) for sock in state.socks for note in sock.notes]
    changes = [
        (change.event, change.value, False)
        for sock in state.socks
        for change in sock.changes
        if change.kind == "other" and not change.repeats
    ]
    return notes + changes


def is_question(text: str) -> bool:
    """Whether a note, or a change in words, asks something of the teacher."""
    return text.lstrip().startswith("?")


def settles(note: str) -> int:
    """How many of the oldest open questions a note settles: as many as it has "!" at its beginning."""
    text = note.lstrip()
    return len(text) - len(text.lstrip("!"))
