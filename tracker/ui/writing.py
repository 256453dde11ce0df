"""The line that takes words while it is open: a note, what a sock rests on, another colour, what is seen."""

from __future__ import annotations

from typing import Literal

from tracker import words
from tracker.glance import Glance
from tracker.knitting.events import LONGEST_NOTE
from tracker.knitting.state import Number
from tracker.records import NamedTuple
from tracker.ui.seen import EXAMPLE
from tracker.vocabulary import capital, unit

For = Literal["note", "rest", "colour", "seen"]


class Writing(NamedTuple):
    """What is written so far, what for and on which sock; `trouble` says why a key did nothing."""

    what: For
    sock: Number
    text: str = ""
    trouble: str = ""

    def typed(self, character: str) -> Writing:
        """With one more character; one that does not print is none."""
        if not (character and character.isprintable()):
            return self
        if len(self.text) >= LONGEST_NOTE:
            return self._replace(trouble=f"{LONGEST_NOTE} letters are the most; enter keeps them")
        return self._replace(text=self.text + character, trouble="")

    def pasted(self, text: str) -> Writing:
        """With what was pasted, in one line; all of it, or nothing where it is too long."""
        line = "".join(char for char in " ".join(text.split()) if char.isprintable())
        together = len(self.text) + len(line)
        if together > LONGEST_NOTE:
            why = f"with what was pasted it has {together} letters, {LONGEST_NOTE} are the most; part it"
            return self._replace(trouble=why)
        return self._replace(text=self.text + line, trouble="")

    def rubbed_out(self) -> Writing:
        """Without its last character."""
        return self._replace(text=self.text[:-1], trouble="")

    @property
    def wordless(self) -> bool:
        """Whether it is a note, a colour or a look without a word: that is none."""
        return self.what != "rest" and not self.text.strip()


def prompt(writing: Writing, glance: Glance) -> str:
    """What the line is for, or why a key did nothing; `glance` is that at its sock."""
    if writing.trouble:
        return capital(writing.trouble)
    who = words.piece(glance, writing.sock)
    if writing.what == "rest":
        return f"{capital(who)} rests on (nothing written: the needles)"
    if writing.what == "seen":
        return f"Seen of {who}, like {EXAMPLE}"
    if writing.what == "colour":
        if glance.card is not None and glance.card.about == "cast-on":
            return f"Colour {who} is cast on in, or where the ball stands: ball navy 5"
        row = (
            f"{glance.place.section} {unit(glance.place.worked)} {glance.next.number}"
            if glance.next
            else ""
        )
        return f"Colour of {who} from {row} on, like cream, or cream 2"
    return f"Note on {who}, {words.just_done(glance)}"


def in_one_line(writing: Writing, glance: Glance) -> tuple[str, ...]:
    """The line where there is one row for all of it, longest first: in the end what was written last."""
    told = prompt(writing, glance)
    if writing.trouble:
        return (told,)
    return (f"{told}: {writing.text}_", *(f"...{writing.text[-most:]}_" for most in _TAILS))


_TAILS = (60, 40, 30, 24, 18, 12, 6)
"""Letters of what was written last."""
