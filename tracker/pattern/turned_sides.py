"""What lies beside the worked stitches of a short-row heel: the knitter's sign of where she is.

The stitches on the heel needle are as many all along, so they tell nothing; what is wrapped, or double, does.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

from tracker.pattern.model import FIRST_HALF, HEEL_ROUNDS, SECOND_HALF, Row, Section
from tracker.pattern.notation import BadRow, read_row, runs, totals
from tracker.records import NamedTuple

What = Literal["wrapped", "double", "waiting"]


class Sides(NamedTuple):
    """Stitches on the side where the last row ended, and on that where it began.

    `what` they are: "wrapped", "double", or "waiting" outside the double stitches of a second half.
    """

    ended: int
    began: int
    what: What

    def are(self, one: int, other: int) -> bool:
        """Whether those were counted, whichever side was named first."""
        return sorted((self.ended, self.began)) == sorted((one, other))


def is_short(section: Section) -> bool:
    """Whether it is a half of a short-row heel."""
    return section.kind in (FIRST_HALF, SECOND_HALF) and len(section.needles) == 1


def is_cup(section: Section) -> bool:
    """Whether it is the cup of a heel from the toe up: every row of it ends with a stitch wrapped."""
    return (
        section.kind == "turn"
        and len(section.needles) == 1
        and all("w&t" in row.needles[0].work for row in section.rows)
    )


def has_sides(section: Section) -> bool:
    """Whether what lies on either side tells its rows, and not the stitches on the needle."""
    return is_short(section) or is_cup(section)


def sides(section: Section, rows: int) -> Sides | None:
    """The sides once so many rows of a half, or of a cup, are done; None in any other section."""
    if is_cup(section):
        done = min(rows, len(section.rows))
        return Sides((done + 1) // 2, done // 2, "wrapped")
    if not is_short(section):
        return None
    return _all(section.kind, section.rows)[min(rows, len(section.rows))]


def still_double(sections: Sequence[Section], at: int, rows: int) -> Sides | None:
    """The double stitches open in the rounds inside a heel: none after the first; None in other sections."""
    if sections[at].kind != HEEL_ROUNDS or not at:
        return None
    before = sections[at - 1]
    left = sides(before, len(before.rows)) if not rows else Sides(0, 0, "double")
    return left if left is not None and left.what == "double" else None


def behind(section: Section, rows: int) -> int | None:
    """Stitches that lie unworked behind where the row after so many begins; None in any other section."""
    if not is_short(section) or rows >= len(section.rows):
        return None
    return _unworked(section.rows)[rows][0]


@lru_cache(maxsize=32)
def _all(kind: str, rows: tuple[Row, ...]) -> tuple[Sides, ...]:
    doubled = any(_begins_double(row) for row in rows)
    what: What = "double" if doubled else "wrapped"
    if kind == SECOND_HALF:
        what = "waiting" if doubled else "wrapped"
    found = [_before_any(kind, rows, what)]
    for row, (near, far) in zip(rows, _unworked(rows), strict=True):
        made = 1 if kind == FIRST_HALF and _begins_double(row) else 0
        found.append(Sides(far, near + made, what))
    return tuple(found)


def _before_any(kind: str, rows: tuple[Row, ...], what: What) -> Sides:
    """Before the first row: nothing, or in a second half all that the first has left."""
    if kind == FIRST_HALF:
        return Sides(0, 0, what)
    if what == "wrapped":
        near, far = _unworked(rows)[0]
        return Sides(near, far + 1, what)
    return Sides(0, 0, what)  # the rounds have closed all double stitches


@lru_cache(maxsize=32)
def _unworked(rows: tuple[Row, ...]) -> tuple[tuple[int, int], ...]:
    """Of every row the stitches left unworked behind where it begins, and ahead of where it ends."""
    found: list[tuple[int, int]] = []
    near = _left_before(rows)
    for row in rows:
        far = row.before[0] - near - _takes(row, near)
        found.append((near, far))
        near = far
    return tuple(found)


def _left_before(rows: tuple[Row, ...]) -> int:
    """What the section before has left behind the first row: of a wrapped second half half of the rest.

    Its first two rows leave as many on both sides.
    """
    if len(rows) < 2 or "w&t" not in rows[0].needles[0].work:
        return 0
    first, second = (_takes(row, 0) for row in rows[:2])
    return 0 if second < first else (rows[0].before[0] - first + 1) // 2


def _takes(row: Row, near: int) -> int:
    """The stitches that a row works, so many of the needle's lying behind where it begins."""
    live = row.before[0] - near
    try:
        made, _ = runs(read_row(row.needles[0].work).segments[0], live)
    except BadRow:
        return live  # written by hand, in a way that says nothing of its turns
    return totals(made).takes


def _begins_double(row: Row) -> bool:
    return row.needles[0].work.startswith("DS")
