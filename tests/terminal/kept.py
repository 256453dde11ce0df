"""What a basket must hold after the program was killed: what was shown, and nothing half done."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from tracker.glance import Shown
from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.pair import summary
from tracker.knitting.replay import Replay
from tracker.looking import look
from tracker.storage.basket import Basket, Summary
from tracker.storage.pattern_file import open_text

_SHOWN = re.compile(r"(?<!N\d )\bnext +(?:(?:round|row) +)?(\d+)\b")
"""The number of the next row as the screens tell it; no needle of the journal, "N3 next   20 stitches"."""
_SAID = re.compile(r"(?<!is )\bdone\. Next: (?:round|row) (\d+)\b")
"""The same in plain lines, after a tick."""


def next_rows_said(text: str) -> list[int]:
    """Every row that plain lines name as the next once one is done, in order."""
    return [int(number) for number in _SAID.findall(text)]


def next_row_shown(text: str) -> list[int]:
    """The row that a screen shows as the next, if it shows one."""
    return [int(number) for number in _SHOWN.findall(text)][:1]


class Kept:
    """The pair last touched in a basket that nobody has open, its audit made and its history replayed."""

    def __init__(self, path: Path) -> None:
        with Basket.open(path) as basket:
            assert basket.check() == []
            pair = basket.find(None)
            self.events = basket.events(pair)
            text = basket.pattern_text(pair)
        course = Course(open_text(pair.short, text))
        self._replay = Replay(course, self.events)
        assert pair.last == len(self.events)
        assert pair.summary == Summary(*summary(self._replay.course, self._replay.state))
        assert [event.number for event in self.events] == list(range(1, pair.last + 1))
        self.next_rows = list(_next_rows(course, self.events))

    @property
    def is_finished(self) -> bool:
        """Whether a sock is done, so that the next key may do nothing."""
        return any(self._replay.state.sock(number).finished for number in (1, 2))

    def holds(self, shown: Sequence[int], after: int = 0) -> None:
        """Assert that what was `shown` is kept: in this order, each a state it came to from event `after` on.

        A state that was shown before its event was kept, or that was only half kept, is none of these.
        """
        at = max(after - 1, 0)
        for number in shown:
            rest = self.next_rows[at:]
            assert number in rest, f"{number} was shown of {list(shown)}, kept is {self.next_rows}"
            at += rest.index(number)


def _next_rows(course: Course, events: Sequence[Event]) -> Iterator[int | None]:
    """The number of the next row after each event."""
    replay = Replay(course, [])
    for event in events:
        replay.apply(event)
        sight = look(replay.course, replay.state, Shown("pair", "rounds", event.number, 0))
        yield None if sight.next is None else sight.next.number
