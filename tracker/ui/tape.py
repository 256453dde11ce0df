"""The tape: how long the section is, on one scale from its mark to a little past its goal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil

from tracker.glance import Glance, LengthSight
from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Rows
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint
from tracker.units import MM_PER, Unit, round_half_up, whole, write_length
from tracker.vocabulary import laid_from

_LABEL, _FIGURE, _MARK = Paint("muted", "page"), Paint("text", "page", True), Paint("text", "page")
_READ = Paint("tape", "page")
_DUE, _TAKEN, _GOAL = "\u25b2", "\u25bc", "\u25ca"
_PAST_MM = 4.0
"""How far the scale goes beyond what it has to show, before it is rounded up."""
_SHORTEST_MM = 50.0
"""No scale is shorter, so that the first rounds do not fill the strip."""


class TapeReading(NamedTuple):
    """A reading: what was read (mm, from a mark of its own), does it count, and where it lies here."""

    mm: float
    counts: bool
    at_mm: float


class TapeSight(NamedTuple):
    """What the tape shows, millimetres from the mark; None is not shown.

    `goal` is where the section ends or will land; `low` and `high` are the 90 % band around it,
    `due` is where the next reading is wanted.
    """

    label: str
    unit: Unit
    now: float | None
    goal: float | None = None
    low: float | None = None
    high: float | None = None
    due: float | None = None
    readings: tuple[TapeReading, ...] = ()


def tape_sight(glance: Glance) -> TapeSight:
    """The tape's part of `glance`.

    Where the count is fixed there is no band and no next reading: the goal's place shows where
    the last round will land.
    """
    length = glance.length
    if length is None:
        return TapeSight("", glance.unit, None)
    followed = glance.place.planned_by != "goal"
    landing = _landing(length)
    goal = landing if followed and landing is not None else length.target_mm
    return TapeSight(
        label=_label(glance, length),
        unit=glance.unit,
        now=length.mm,
        goal=goal,
        low=None if followed else length.ends_low_mm,
        high=None if followed else length.ends_high_mm,
        due=None if followed else _due(glance, length, landing),
        readings=tuple(
            TapeReading(reading.mm, reading.counts, reading.at_mm) for reading in length.readings
        ),
    )


def scale_mm(sight: TapeSight) -> float:
    """The length the whole strip stands for: whole centimetres or inches, past all it shows."""
    # A reading that does not count may be a slip of any size: at the end of the strip it is seen, too.
    taken = [reading.at_mm for reading in sight.readings if reading.counts]
    shown = [0.0, sight.now, sight.goal, sight.high, *taken]
    step = MM_PER["in"] if sight.unit == "in" else MM_PER["cm"]
    longest = max(mm for mm in shown if mm is not None)
    return ceil(max(longest + _PAST_MM, _SHORTEST_MM) / step) * step


def column(mm: float, scale: float, width: int) -> int:
    """The cell of `width` in which `mm` lies on a strip that stands for `scale` mm."""
    return max(0, min(int(mm * width / scale), width - 1))


def reached(mm: float, scale: float, width: int) -> int:
    """How many of `width` cells are filled at `mm`: the nearest, and never back as `mm` grows."""
    return max(0, min(whole(mm * width / scale), width))


def tape_rows(sight: TapeSight, width: int) -> Rows:
    """Five rows: figures, marks, the strip in two, the reading due below it."""
    canvas = Canvas(width, 5, _LABEL)
    if sight.now is None:
        canvas.fill(0, 2, width, 2, Paint("text", "faint"))
        return canvas.rows()
    scale = scale_mm(sight)
    _strip(canvas, 2, 2, sight, scale)
    for at, figure, major in _divisions(sight.unit, scale):
        x = column(at, scale, width)
        _on_strip(canvas, x, 2, "\u2502" if major else "\u2575", sight, scale)
        if major and x < width - 1:
            _on_strip(canvas, x - len(figure) + 1, 3, figure, sight, scale, bold=True)
    _marks(canvas, sight, scale)
    if sight.due is not None:
        canvas.put(column(sight.due, scale, width), 4, _DUE, _READ)
    return canvas.rows()


def tape_row(sight: TapeSight, width: int) -> Rows:
    """The tape in one row: the strip, its figures and the goal."""
    canvas = Canvas(width, 1, _LABEL)
    if sight.now is None:
        canvas.fill(0, 0, width, 1, Paint("text", "faint"))
        return canvas.rows()
    scale = scale_mm(sight)
    _strip(canvas, 0, 1, sight, scale)
    goal = None if sight.goal is None else column(sight.goal, scale, width)
    for at, figure, major in _divisions(sight.unit, scale):
        x = column(at, scale, width)
        if major and (goal is None or abs(x - goal) > len(figure)):
            _on_strip(canvas, x - len(figure) + 1, 0, figure, sight, scale, bold=True)
    if goal is not None:
        _on_strip(canvas, goal, 0, _GOAL, sight, scale)
    return canvas.rows()


def tape_in_two(sight: TapeSight, width: int) -> Rows:
    """The tape in two rows: goal and readings with their figures beside them, and the strip."""
    canvas = Canvas(width, 2, _LABEL)
    if sight.now is None:
        canvas.fill(0, 1, width, 1, Paint("text", "faint"))
        return canvas.rows()
    scale = scale_mm(sight)
    _strip(canvas, 1, 1, sight, scale)
    for at, figure, major in _divisions(sight.unit, scale):
        x = column(at, scale, width)
        if major and x < width - 1:
            _on_strip(canvas, x - len(figure) + 1, 1, figure, sight, scale, bold=True)
    marks = list(_marked(sight, scale, width))
    taken = {x for x, *_ in marks}
    for x, mark, paint, figure, figure_paint in marks:
        canvas.put(x, 0, mark, paint)
        _figure_beside(canvas, x, figure, figure_paint, taken)
    return canvas.rows()


class Tape(Painted[TapeSight]):
    """The tape in as many rows as it has room for, with its label on a large screen."""

    def paint(self, sight: TapeSight, grid: Grid) -> Rows:
        """Rows of the tape's place in `grid`."""
        width, height = grid.places["tape"][2:]
        if height == 1:
            return tape_row(sight, width)
        if height == 2:
            return tape_in_two(sight, width)
        if height == 5:
            return tape_rows(sight, width)
        label = Canvas(width, 2, _LABEL)
        label.put(0, 0, "tape", _LABEL)
        label.put_right(width, 0, sight.label, _LABEL)
        return label.rows() + tape_rows(sight, width)


def _strip(canvas: Canvas, y: int, height: int, sight: TapeSight, scale: float) -> None:
    for x in range(canvas.width):
        canvas.fill(x, y, 1, height, _ground(x, sight, scale, canvas.width))


def _ground(x: int, sight: TapeSight, scale: float, width: int) -> Paint:
    """The paint of column `x` of the strip: reached, in the band, or to come."""
    if sight.now is not None and x < reached(sight.now, scale, width):
        return Paint("on-tape", "tape")
    if sight.low is not None and sight.high is not None:
        low, high = column(sight.low, scale, width), column(sight.high, scale, width)
        if low <= x <= high:
            return Paint("text", "band")
    return Paint("text", "faint")


def _on_strip(
    canvas: Canvas, x: int, y: int, text: str, sight: TapeSight, scale: float, *, bold: bool = False
) -> None:
    """Write on the strip, each cell in the ink of what lies under it."""
    for at, char in enumerate(text, start=x):
        canvas.put(at, y, char, _ground(at, sight, scale, canvas.width)._replace(bold=bold))


def _divisions(unit: Unit, scale: float) -> Iterator[tuple[float, str, bool]]:
    """(mm, figure, figure is written) of each whole centimetre or half inch below `scale`."""
    step, every = (MM_PER["in"] / 2, 2) if unit == "in" else (MM_PER["cm"], 5)
    for index in range(1, ceil(scale / step)):
        figure = index // 2 if unit == "in" else index * (10 if unit == "mm" else 1)
        yield index * step, str(figure), index % every == 0


def _marks(canvas: Canvas, sight: TapeSight, scale: float) -> None:
    """Goal first, then the readings; a figure that would touch one already there is left out."""
    taken: set[int] = set()
    if sight.goal is not None:
        _bracket(canvas, sight, scale)
    for x, mark, paint, figure, figure_paint in _marked(sight, scale, canvas.width):
        canvas.put(x, 1, mark, paint)
        _figure(canvas, x, figure, figure_paint, taken)


def _marked(
    sight: TapeSight, scale: float, width: int
) -> Iterator[tuple[int, str, Paint, str, Paint]]:
    """The goal, then the readings, the latest first: column, mark and its paint, figure and its paint."""
    if sight.goal is not None:
        goal = write_length(sight.goal, sight.unit, with_unit=False)
        yield column(sight.goal, scale, width), _GOAL, _MARK, goal, _FIGURE
    for reading in reversed(sight.readings):
        figure = _reading(reading.mm, sight.unit)
        paint = _READ if reading.counts else Paint("quiet", "page")
        told = figure if reading.counts else f"({figure})"
        yield column(reading.at_mm, scale, width), _TAKEN, paint, told, _LABEL


def _bracket(canvas: Canvas, sight: TapeSight, scale: float) -> None:
    if sight.low is None or sight.high is None:
        return
    low, high = (column(mm, scale, canvas.width) for mm in (sight.low, sight.high))
    if high > low:
        canvas.put(low, 1, "\u256d" + "\u2500" * (high - low - 1) + "\u256e", _MARK)


def _figure(canvas: Canvas, x: int, figure: str, paint: Paint, taken: set[int]) -> None:
    start = max(0, min(x - len(figure) // 2, canvas.width - len(figure)))
    columns: Iterable[int] = range(start - 1, start + len(figure) + 1)
    if taken.isdisjoint(columns):
        canvas.put(start, 0, figure, paint)
        taken.update(range(start, start + len(figure)))


def _figure_beside(canvas: Canvas, x: int, figure: str, paint: Paint, taken: set[int]) -> None:
    """The figure behind its mark at `x`, or before it; where neither is free it is left out."""
    for start in (x + 2, x - 1 - len(figure)):
        room = range(start - 1, start + len(figure) + 1)
        free = taken - {x}
        if start >= 0 and start + len(figure) <= canvas.width and free.isdisjoint(room):
            canvas.put(start, 0, figure, paint)
            taken.update(range(start, start + len(figure)))
            return


def _reading(mm: float, unit: Unit) -> str:
    """A reading's figure: centimetres always with their tenths, as on the tape."""
    if unit == "cm":
        return f"{round_half_up(mm / 10, 1):.1f}"
    return write_length(mm, unit, with_unit=False)


def _label(glance: Glance, length: LengthSight) -> str:
    origin = laid_from(length.mark, glance.place.kind, toe_up=glance.toe_up)
    if length.target_mm is None:
        return f"{glance.place.section} {origin}"
    goal = write_length(length.target_mm, glance.unit)
    if glance.toe_up and glance.place.kind == "foot":
        return f"{'gusset' if glance.follows == 'gusset' else 'heel'} at {goal} {origin}"
    if glance.place.kind in ("gusset", "foot"):
        return f"toe begins at {goal} {origin}"
    return f"{glance.place.section} {goal} {origin}"


def _landing(length: LengthSight) -> float | None:
    """Where the likely last round will land: the middle of the band."""
    if length.ends_low_mm is None or length.ends_high_mm is None:
        return None
    return (length.ends_low_mm + length.ends_high_mm) / 2


def _due(glance: Glance, length: LengthSight, landing: float | None) -> float | None:
    """Where the round of the next reading will lie, between now and the end in even steps."""
    if length.measure_at is None or landing is None or not length.likely:
        return None
    rounds = length.measure_at - glance.place.done
    return length.mm + (landing - length.mm) * rounds / length.likely
