"""What the audit asks of a heel of short rows beyond its counts, which stay the same all along.

A wrapped or a double stitch is not worked before its time, none is left out between two of them, and each
is worked in the end. It shares nothing with what writes such rows.
"""

from __future__ import annotations

from typing import Any

from tracker.pattern.loom import Loom, Written
from tracker.records import NamedTuple

FIRST, BETWEEN, SECOND = "heel first half", "heel rounds", "heel second half"


class Wrong(NamedTuple):
    """What is wrong with a row, and what to write instead."""

    problem: str
    instead: str


class ShortRowRules:
    """The rules of one section; asked of each row while it still lies as it was worked."""

    def __init__(self, kind: str, texts: list[Any]) -> None:
        self._kind = kind
        self._doubled = any(isinstance(text, str) and "DS" in text for text in texts)
        self._waiting = 0
        self._rows = 0
        self._wrong = False

    def look(self, loom: Loom, row: Written, turned: bool, last: bool) -> Wrong | None:
        """What is wrong with a row; only the first is told, for the rest lies elsewhere after it.

        `turned`: the row before it ended with a turn that wrapped nothing. `last`: the section ends with it.
        """
        self._rows += 1
        if self._wrong or self._kind == BETWEEN:
            return None
        if row.wraps and not loom.ahead():
            self._wrong = True
            return Wrong("no stitch is left to wrap", "end the row with turn")
        found = self._double(loom, row, turned)
        if found is None:
            found = (
                self._narrows(loom, row, last) if self._kind == FIRST else self._widens(loom, row)
            )
        if found is None and row.turns:
            found = self._sides(loom)
        self._wrong = found is not None
        return found

    def at_the_end(self, loom: Loom) -> Wrong | None:
        """What was left over when the section ended."""
        most = 0 if self._kind == BETWEEN or not self._doubled else 1
        if self._wrong or self._kind == FIRST or loom.open <= most:
            return None
        what = "double" if self._doubled or self._kind == BETWEEN else "wrapped"
        return Wrong(
            f"of the {what} stitches {loom.open} were never worked", "work each of them once"
        )

    def _double(self, loom: Loom, row: Written, turned: bool) -> Wrong | None:
        """After a bare turn inside the heel a row begins with a double stitch, and nowhere else is one."""
        begins, doubles = loom.doubles[:1] == [0], len(loom.doubles)
        if turned and not row.wraps and self._doubled and not begins:
            return Wrong("after the turn no double stitch is made", "begin the row with DS")
        if doubles > begins or (begins and not turned):
            return Wrong("a double stitch is made where no turn was", "write k or p for it")
        return None

    def _narrows(self, loom: Loom, row: Written, last: bool) -> Wrong | None:
        """In the first half a row stops before what was wrapped or doubled, and leaves nothing else."""
        if not row.turns:
            return None if last else Wrong("the row does not turn", "end it with the turn")
        if loom.closed or (row.wraps and loom.wrapped_twice):
            what = "double" if self._doubled else "wrapped"
            return Wrong(f"a {what} stitch is worked too early", "turn before it")
        left = sum(stitch >= 0 for stitch in loom.ahead())
        if left:
            are = "stitch is" if left == 1 else "stitches are"
            return Wrong(f"{left} {are} left out before the turn", f"work {left} more")
        return None

    def _widens(self, loom: Loom, row: Written) -> Wrong | None:
        """In the second half each row takes in one more: a wrapped stitch, or the one past a double."""
        there = loom.open + len(loom.closed) - len(loom.doubles) - loom.wrapped_new
        if not there:
            return None
        right = [loom.made_in_row() - (2 if self._doubled else 1)]
        if loom.closed != right:
            how = (
                "through the double stitch and 1 more" if self._doubled else "to the wrapped stitch"
            )
            early = len(loom.closed) > 1 or (loom.closed and loom.closed < right)
            when = "too early" if early else "too late"
            what = "double" if self._doubled else "wrapped"
            return Wrong(f"a {what} stitch is worked {when}", f"work {how}")
        if not self._doubled and loom.ahead() and not (row.wraps and loom.wrapped_twice):
            return Wrong("the turn wraps no stitch", "end the row with w&t")
        return None

    def _sides(self, loom: Loom) -> Wrong | None:
        """After every second row as many wait on one side as on the other."""
        before, self._waiting = self._waiting, loom.waiting()
        if self._rows % 2 or before == self._waiting or (self._doubled and self._kind == FIRST):
            return None
        return Wrong(
            f"the heel is lop-sided: {before} left on one side, {self._waiting} on the other",
            "leave as many on both sides",
        )
