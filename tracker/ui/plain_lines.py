"""At the needles in plain lines, for whoever listens: after each key one sentence, and no more than that."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext

from tracker import past_words, plain_words, side_by_side_words, words
from tracker.glance import Glance
from tracker.keys import Keys
from tracker.records import NamedTuple
from tracker.session import Session
from tracker.settings import CHOICES, Settings
from tracker.storage.basket import BasketTrouble
from tracker.ui.acting import Acting
from tracker.ui.bell import rings
from tracker.ui.commands import commands
from tracker.ui.plain_keys import Key
from tracker.ui.writing import Writing, prompt
from tracker.units import shorten

_LAST_ACTS = 12
"""Acts that the journal tells: the newest."""
_ROWS_TO_COME = 4
"""Rows that are told of the written pattern, from the next one on."""
BELL = "\a"
"""A line that is no line: the terminal's bell."""


class Heard(NamedTuple):
    """What a key leads to: signs that go on in the line, or `lines` of their own."""

    echo: str = ""
    lines: tuple[str, ...] = ()


class PlainNeedles(Acting):
    """Keys go in, what is to be said comes out; nothing is drawn."""

    def __init__(
        self, session: Session, pairs: Callable[[], list[str]], settings: Settings
    ) -> None:
        """`pairs` tells the pairs in the basket, a line each."""
        self._take_up(session)
        session.reminds_to_rest = settings.reminds_to_rest
        self._settings, self._keys, self._pairs = settings, settings.keys, pairs
        session.shown_keys = self._keys.shown
        self._lines: list[str] = []
        self._tick: tuple[Glance, Glance] | None = None
        self._began: tuple[int, int] | None = None
        """The sock and its section, where nothing of that was worked before the key."""
        self._finding: str | None = None
        """The word that is looked for, while it is typed."""
        self.told_if_slow: Callable[[], AbstractContextManager[None]] = nullcontext
        """What stands around all that is recorded."""

    def _told_if_slow(self) -> AbstractContextManager[None]:
        return self.told_if_slow()

    @property
    def keys(self) -> Keys:
        """Those that she has set."""
        return self._keys

    @property
    def left(self) -> bool:
        """Whether she has left."""
        return self._left

    @property
    def takes_words(self) -> bool:
        """Whether a line is open for words."""
        return self._writing is not None or self._finding is not None

    def opening(self) -> list[str]:
        """What is said first: the pair, the place, and how to go on."""
        shown, glance = self._keys.shown, self.session.glance
        how = f"{shown['tick']} is done, {shown['help']} says all keys, {shown['leave']} leaves."
        return [f"{shorten(glance.title)}.", f"{self._place()}", f"{how[0].upper()}{how[1:]}"]

    def resumed(self) -> list[str]:
        """What is said when she comes back to it."""
        return [self._place()]

    def kept(self) -> str:
        """The line that stays when she leaves."""
        return words.kept(self.session.glance)

    def hear(self, key: Key) -> Heard:
        """Do what a key does, and say it."""
        if self._finding is not None:
            return self._find(key, self._finding)
        news = self._news()
        self._lines, self._tick, self._not_kept, self._lost = [], None, "", 0
        typed, writing = self._typed, self._writing
        self._began = self._begins()
        self.press(key.name, key.character)
        heard = self._came_of(key, typed, writing)
        if not news:
            return heard
        return Heard(lines=(news, *heard.lines, *filter(None, [heard.echo])))

    def _news(self) -> str:
        """What other programs recorded since the last key."""
        try:
            if not self.session.refresh():
                return ""
        except BasketTrouble as trouble:
            return str(trouble)
        return f"Meanwhile: {self._place()}"

    def _place(self) -> str:
        ago = words.ago(self.session.now().at - self.session.touched)
        return f"{plain_words.where(self.session.glance)} {ago}".rstrip()

    def _came_of(self, key: Key, typed: str, writing: Writing | None) -> Heard:
        """What is said after a key; before it these figures stood there, and this line was open."""
        if self._writing is not None:
            return self._written(self._writing, writing)
        if self._not_kept:
            return Heard(lines=(f"NOT KEPT: {self._not_kept}",))
        if len(self._typed) > len(typed):
            return Heard(echo=key.character)
        if writing is not None and key.name == "escape":
            return Heard(lines=("Nothing is kept of that.",))
        if typed and key.name in ("backspace", "escape"):
            return Heard(lines=(f"Figures: {self._typed}" if self._typed else "No figures.",))
        if key.name == "escape":
            return Heard(lines=("Nothing is open.",))
        if typed and self._typed == typed:
            return Heard(lines=(f"Figures: {typed}; no more fit.",))
        return Heard(lines=tuple(self._told()))

    def _told(self) -> Iterator[str]:
        yield from self._lines
        said = plain_words.sentence(self._said) if self._said else ""
        if self._tick is not None:
            before, now = self._tick
            by_needle = self.session.counting == "needles" and before.place.worked == "rounds"
            line = plain_words.ticked(before, now, by_needle=by_needle)
            yield f"{said} {line}".lstrip()
        elif said:
            yield " ".join([said, *self._new_card()])

    def _new_card(self) -> list[str]:
        """The card of a section that she came to by another act than a tick, which tells it itself."""
        begins = self._begins()
        new = begins is not None and begins != self._began and not self._left
        return words.card(self.session.glance) if new else []

    def _begins(self) -> tuple[int, int] | None:
        state = self.session.state
        sock = state.sock(state.hand)
        return None if sock.rows or sock.inside else (state.hand, sock.section)

    def _written(self, now: Writing, before: Writing | None) -> Heard:
        """A line that is open for words: its letters go on in it."""
        if now.trouble:
            return Heard(lines=(f"{prompt(now, self.session.look(now.sock))}. {now.text}",))
        if before is not None and len(now.text) > len(before.text):
            return Heard(echo=now.text[len(before.text) :])
        if before is not None and now.text == before.text:
            return Heard()
        told = prompt(now, self.session.look(now.sock))
        if before is not None:
            return Heard(
                lines=(f"{told}: {now.text}" if now.text else f"{told}: nothing written.",)
            )
        return Heard(lines=(f"{told}. Enter keeps it, escape leaves it.",))

    # What Acting asks for

    def _draw(self) -> None:
        """Nothing is drawn: it is said once the key is done."""

    def _ticked(self, before: Glance, now: Glance) -> None:
        self._tick = before, now
        if rings(self._settings, before, now):
            self._lines.append(BELL)

    # What is shown aside

    def do_help(self, number: str) -> None:
        for command in commands(self._keys):
            figures = f" ({command.number})" if command.number else ""
            self._lines.append(f"{', '.join(command.keys)}: {command.help}{figures}.")
        self._lines.append("Figures first, then the key that says what they are.")

    def do_history(self, number: str) -> None:
        try:
            past = self.session.past()
        except BasketTrouble as trouble:
            self._say(str(trouble))
            return
        pattern = self.session.course.pattern
        for one in past[-_LAST_ACTS:]:
            what = past_words.happened(one, pattern.unit, pattern.of_socks)
            gone = " (taken back)" if one.undone else " (counts no more)" if one.void else ""
            where = past_words.where(one, pattern.of_socks)
            self._lines.append(
                f"{one.event.number}, {past_words.when(one)}, {where}: {what}{gone}."
            )
        more = len(past) - _LAST_ACTS
        if more > 0:
            self._lines.append(f"{more} before these; instep history tells them all.")

    def do_side(self, number: str) -> None:
        pair = self.session.side_by_side()
        self._lines += [f"{side_by_side_words.where(pair, one)}." for one in (1, 2)]
        for line in side_by_side_words.ledger(pair):
            if line.one or line.two:
                differs = f", {line.differs}" if line.differs else ""
                self._lines.append(f"{line.name}: one {line.one}, two {line.two}{differs}.")
        self._lines.append(side_by_side_words.verdict(pair))
        for part in side_by_side_words.parts(pair):
            told = "; ".join(", ".join(filter(None, line)) for line in part.lines)
            self._lines.append(f"{part.heading}: {told}.")

    def do_pattern(self, number: str) -> None:
        """The rows that come next, and what their terms mean; the whole is for another command."""
        from tracker.row_by_row import Head, RowByRow, Worked  # only this key pays for it

        pattern = RowByRow(self.session.course, self.session.state, self.session.state.hand)
        last = min(pattern.place + _ROWS_TO_COME, pattern.count)
        for entry in map(pattern.entry, range(pattern.place, last)):
            if isinstance(entry, Head):
                self._lines.append(f"{entry.name}: {entry.rows}.")
            elif isinstance(entry, Worked):
                self._lines.append(
                    f"{entry.name}: {entry.work}{f', {entry.leaves}' if entry.leaves else ''}."
                )
        self._lines += [f"{term}: {means}." for term, means in pattern.terms]
        self._lines.append("instep write tells it all.")

    def do_plots(self, number: str) -> None:
        """What the plots show, in a sentence each."""
        from tracker import plots  # only this key pays for it

        session = self.session
        example, key = words.example(session.glance), self._keys.shown["measure"]
        found = plots.plots_of(session.course, session.state, example, key)
        for at in range(len(plots.NAMES)):
            self._lines.append(": ".join(filter(None, plots.told(found, at))))

    def do_settings(self, number: str) -> None:
        for choice in CHOICES:
            value = self._settings.value(choice.name)
            self._lines.append(f"{choice.name}: {value}; {choice.about}.")
        self._lines.append("instep settings changes them.")

    def do_digits(self, number: str) -> None:
        self._say(plain_words.where(self.session.glance))

    def do_basket(self, number: str) -> None:
        self._lines += [*self._pairs(), "instep knit --plain and its name opens one."]

    def do_find(self, number: str) -> None:
        self._finding = ""
        self._lines.append("What do you want to do? Type a word of it, then enter.")

    def _find(self, key: Key, word: str) -> Heard:
        """Letters of the word that is looked for, until enter."""
        if key.name == "enter":
            self._finding = None
            return Heard(lines=tuple(self._found(word)))
        if key.name == "escape":
            self._finding = None
            return Heard(lines=("Nothing is looked for.",))
        if key.name == "backspace":
            self._finding = word[:-1]
            return Heard(lines=(f"Word: {self._finding}",))
        self._finding = word + key.character
        return Heard(echo=key.character)

    def _found(self, word: str) -> Iterator[str]:
        wanted, found = word.strip().lower(), False
        for command in commands(self._keys):
            if wanted and wanted in f"{command.label} {command.help}".lower():
                found = True
                yield f"{command.shown}: {command.help}. {command.number}".rstrip()
        if not found:
            yield f"Nothing is found by {shorten(word) or 'no word'}."

    def do_leave(self, number: str) -> None:
        self._left = True
