"""Where everything stands on the needles screen, for every size of terminal.

Five grids: full from 112 x 34, medium from 72 x 18, compact from 56 x 18, small from 36 x 10, and
three lines below that. Coordinates are cells; the numbers are those of the drawings made at 120 x 36,
80 x 24, 60 x 20 and 40 x 12. Wider terminals get wider margins, taller ones empty rows below the cue
and above the footer; only the tape stretches.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Literal

from tracker.records import NamedTuple

Size = Literal["full", "medium", "compact", "small", "smallest"]

LONGEST_TAPE = 72


class Box(NamedTuple):
    """A rectangle of cells."""

    x: int
    y: int
    width: int
    height: int


class StagePlan(NamedTuple):
    """Where done, next and the needles stand, counted from the corner of the stage.

    A `ring` of None is not drawn. `card` is the room a card takes, which may reach over the ring,
    and on a small screen over everything.
    """

    done: Box
    """The label's row, then numerals, then the row of "of 46", which may be that of the label."""
    numerals: int
    """The row the numerals begin in."""
    of: int
    next: Box
    """The label's row, and below it the word and the work."""
    word: int
    word_rows: Literal[3, 4]
    work: Box
    """Below the word, or beside it."""
    card: Box
    ring: Box | None
    caption: int
    plain: bool = False
    """Whether words are written and not drawn, for a terminal that has no blocks to draw them with."""

    @property
    def card_alone(self) -> bool:
        """Whether a card has the stage for itself, without its label."""
        return self.word == 0

    @property
    def work_beside(self) -> bool:
        """Whether the work stands beside its word, on the right of it."""
        return self.work.x > self.next.x


class Grid(NamedTuple):
    """The places of all parts at one size; a part without a place is not shown."""

    size: Size
    places: Mapping[str, Box]
    stage: StagePlan | None
    bar: int = 0
    """Where the cue's bar stands, from the left edge of the cue line."""
    end: int = 0
    """The column the cue line's text ends before."""
    plain: bool = False
    """Whether words are written and not drawn."""

    def in_plain_text(self) -> Grid:
        """The same for a terminal that has no blocks to draw words with."""
        stage = None if self.stage is None else self.stage._replace(plain=True)
        return self._replace(stage=stage, plain=True)

    @property
    def shares(self) -> bool:
        """Whether card and cue take rows from other parts where they have much to say."""
        return self.size in ("compact", "small")


class Needs(NamedTuple):
    """What is to be shown asks of the grid.

    `digits` are the figures of the done count. `card` and `cue` are the rows that the card (0
    where there is none) and the cue line want on a screen where they share what there is.
    """

    digits: int = 2
    card: int = 0
    cue: int = 0


@lru_cache(maxsize=16)
def grid_for(width: int, height: int, needs: Needs = Needs()) -> Grid:  # noqa: B008 - frozen
    """The grid of a screen of `width` x `height` cells for what it has to show."""
    if width >= 112 and height >= 34:
        return _full(width, height)
    if width >= 72 and height >= 18:
        return _medium(width, height, needs.digits)
    if width >= 56 and height >= 18:
        return _compact(width, height, needs)
    if width >= 36 and height >= 10:
        return _small(width, height, needs)
    return Grid("smallest", {"lines": Box(0, 0, width, min(height, 3))}, None)


def with_large_count(grid: Grid, width: int, height: int) -> Grid:
    """The grid where the count fills the screen: the cue, the title and the keys keep their lines."""
    if grid.size == "smallest":
        return grid
    margin = grid.places["title"].x
    room, rows = width - 2 * margin, {"small": 1, "medium": 3}.get(grid.size, 2)
    places = {
        "title": Box(margin, 0, room, 1),
        "large": Box(max(0, margin - 1), 1, room + 2 * min(1, margin), height - 2 - rows),
        "cue": Box(max(0, margin - 1), height - 1 - rows, room + 1, rows),
        "footer": Box(margin, height - 1, room, 1),
    }
    return Grid(grid.size, places, None, 0, room + 1)


def _full(width: int, height: int) -> Grid:
    left = (width - 120) // 2
    edge = max(2 + left, 0)
    stage = Box(edge, 2, min(116, width), 13)
    tape = min(LONGEST_TAPE, max(48, width - 66 - left - 6))
    below = (height - 36 + 1) // 2 if height > 36 else 0
    facts = 27 + below - (1 if height < 35 else 0)
    places = {
        "title": Box(6 + left, 0, 108, 1),
        "stage": stage,
        "cue": Box(edge, 15, stage.width, 3),
        "pair": Box(5 + left, 18 + below, 60, height - 20 - below),
        "tape": Box(66 + left, 18 + below, tape, 7),
        "facts": Box(66 + left, facts, tape, 8 if height > 35 else 7),
        "footer": Box(6 + left, height - 1, 108, 1),
    }
    bar = 4 + left - edge
    return Grid("full", places, _full_stage(left - edge), bar, bar + 110)


def _full_stage(shift: int) -> StagePlan:
    return StagePlan(
        done=Box(6 + shift, 1, 32, 11),
        numerals=3,
        of=11,
        next=Box(38 + shift, 1, 43, 11),
        word=3,
        word_rows=4,
        work=Box(38 + shift, 8, 43, 4),
        card=Box(38 + shift, 1, 43, 11),
        ring=Box(83 + shift, 3, 31, 7),
        caption=11,
    )


def _medium(width: int, height: int, digits: int) -> Grid:
    left = max(width - 80, 0) // 2
    # Below 80 columns both margins give way first, then the column of the work.
    narrow = max(80 - width, 0)
    margin = 3 + left - min(narrow, 2)
    end = min(width, 80 + left) - 3 + max(0, min(narrow - 2, 2))
    edge = max(1 + left - min(narrow, 1), 0)
    cue = 2 if height in (18, 19, 22) else 3
    tape = 5 if height >= 22 else 2 if height > 18 else 1
    room = end - margin
    outer = min(end + 2, width) - edge
    places = {
        "title": Box(margin, 0, room, 1),
        "stage": Box(edge, 1, outer, 12),
        "cue": Box(edge, 13, outer, cue),
        "tape": Box(margin, 13 + cue, room, tape),
        "facts": Box(margin, 13 + cue + tape, room, 1),
        "footer": Box(margin, height - 1, room, 1),
    }
    if height >= 40:
        places["pair"] = Box(margin - 1, 23, room + 1, height - 25)
    return Grid("medium", places, _medium_stage(margin - edge, end - edge, digits), 0, end - edge)


def _medium_stage(left: int, end: int, digits: int) -> StagePlan:
    wide = digits > 2
    ring = Box(end - (21 if wide else 23), 3, 21 if wide else 23, 7)
    start = left + (30 if wide else 24)
    return StagePlan(
        done=Box(left, 1, start - left - 1, 10),
        numerals=3,
        of=10,
        next=Box(start, 1, ring.x - start - 1, 10),
        word=3,
        word_rows=3,
        work=Box(start, 7, ring.x - start - 1, 4),
        card=Box(start, 1, end - start, 10),
        ring=ring,
        caption=10,
    )


def _compact(width: int, height: int, needs: Needs) -> Grid:
    """Two columns: number and word on the left, the needles and their work on the right of them."""
    margin = 2 + max(width - 60, 0) // 2
    room = width - 2 * margin
    # Each row more goes where it is missed most: above the cue, below the word, to the tape's marks.
    rows = 1 + (height > 18) + (height > 22)
    below, above = int(height > 19), int(height > 21)
    stage = Box(0, 1, width, 13 + above + below)
    tape = 5 if height > 25 else 2 if height > 20 else 1
    y = stage.y + stage.height
    places = {
        "title": Box(margin, 0, room, 1),
        "stage": stage,
        "cue": Box(0, y, width, rows),
        "tape": Box(margin, y + rows, room, tape),
        "facts": Box(margin, y + rows + tape, room, 1),
        "footer": Box(margin, height - 1, room, 1),
    }
    top = places["facts"].y + 2
    if height >= top + 5:
        places["pair"] = Box(margin - 1, top, room + 2, height - 2 - top)
    if needs.cue > rows:
        _spread_cue(places, needs.cue)
    plan = _compact_card if needs.card else _compact_stage
    return Grid(
        "compact", places, plan(margin, room, above, needs.digits), margin - 2, margin + room
    )


def _compact_stage(left: int, room: int, top: int, digits: int) -> StagePlan:
    """Three digits of seven rows, and any word, are as wide as the left column at most."""
    column = left + 30
    width = left + room - column
    return StagePlan(
        done=Box(left, top, 28, 8),
        numerals=top + 1,
        of=top,
        next=Box(left, top + 9, room, 4),
        word=top + 10,
        word_rows=3,
        work=Box(column, top + 10, width, 3),
        card=Box(left, top + 9, room, 4),
        ring=Box(column, top + 1, min(width - 1 + width % 2, 25), 7),
        caption=top,
    )


def _compact_card(left: int, room: int, top: int, digits: int) -> StagePlan:
    """A card takes the right column from top to bottom: nothing is on the needles yet."""
    start = left + (30 if digits > 2 else 22)
    column = Box(start, top, left + room - start, 13)
    return StagePlan(
        done=Box(left, top, start - left - 1, 10),
        numerals=top + 1,
        of=top + 9,
        next=column,
        word=top + 1,
        word_rows=3,
        work=column._replace(y=top + 5, height=8),
        card=column,
        ring=None,
        caption=top,
    )


def _small(width: int, height: int, needs: Needs) -> Grid:
    places = {
        "title": Box(1, 0, width - 2, 1),
        "stage": Box(0, 1, width, 7),
        "cue": Box(0, 8, width, 1),
        # The length in figures outlives its strip, and the strip's row goes to the keys.
        "tape": Box(1, 9, width - 2, 1),
        "facts": Box(1, min(10, height - 1 if height < 11 else height - 2), width - 2, 1),
        "footer": Box(1, height - 1, width - 2, 1),
    }
    if height < 12:
        del places["tape"]
    if height < 11:
        del places["footer"]
    if needs.card:
        _spread_card(places, needs)
    elif needs.cue > 1:
        _spread_cue(places, needs.cue)
    return Grid("small", places, _small_stage(width, places["stage"].height, needs), 0, width - 1)


def _spread_cue(places: dict[str, Box], rows: int) -> None:
    """What is said takes the rows below it: first the tape's, then the facts'."""
    cue, last = places["cue"], places["facts"].y
    places["cue"] = cue = cue._replace(height=min(rows, last - cue.y + 1))
    places.pop("tape", None)
    if cue.y + cue.height > last:
        del places["facts"]


def _spread_card(places: dict[str, Box], needs: Needs) -> None:
    """The card takes the rows down to the facts; what is said takes those, and what the card leaves."""
    stage, last = places["stage"], places["facts"].y
    places.pop("tape", None)
    places["stage"] = stage._replace(height=last - stage.y)
    if not needs.cue:
        del places["cue"]
        return
    rows = min(needs.cue, max(1, last - stage.y + 1 - needs.card))
    places["cue"] = places["cue"]._replace(y=last - rows + 1, height=rows)
    places["stage"] = stage._replace(height=last - rows + 1 - stage.y)
    del places["facts"]


def _small_stage(width: int, rows: int, needs: Needs) -> StagePlan:
    start = 22 if needs.digits > 2 else 16
    column = Box(start, 0, width - start - (1 if width >= 40 else 0), 7)
    return StagePlan(
        done=Box(1, 0, start - 2, 7),
        numerals=1,
        of=6,
        next=column,
        word=0 if needs.card else 1,
        word_rows=3,
        work=column._replace(y=5, height=2),
        card=Box(1, 0, width - 2, rows),
        ring=None,
        caption=6,
    )
