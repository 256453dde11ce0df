"""How a repeat lies: which part of it is on every needle, in the leg and down the instep.

A leg whose stitches the repeat divides has it all round; any other has a panel of whole repeats on the
instep, with as many plain stitches on either side. No needle ends inside a stitch; where one ends inside
a repeat, that is said (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import lcm

from tracker.pattern import fit
from tracker.pattern.layout import Layout
from tracker.pattern.notation import Run, plain_name
from tracker.pattern.repeat import Cut, Repeat, as_written
from tracker.records import NamedTuple

NEAR_THE_CENTRE = 3
"""By so many stitches the heel may lie beside the centre back before a round begins inside a repeat."""


class Piece(NamedTuple):
    """So many plain stitches, or, of the repeat, what lies between two cuts, so many `times`."""

    plain: int = 0
    first: Cut | None = None
    last: Cut | None = None
    times: int = 1

    @property
    def is_whole(self) -> bool:
        """Whether it is whole repeats."""
        return not self.plain and self.first is None and self.last is None


OnNeedle = tuple[Piece, ...]


class NoPlace(ValueError):
    """A repeat that cannot be parted where a needle ends."""


class Lie(NamedTuple):
    """A repeat as it lies: in the leg on every needle, and on each needle of the instep.

    `before` are the stitches of the heel that lie before the instep where a round begins at the centre
    back, `panel` the whole repeats on the instep and `edges` the plain stitches on each side of them.
    `all_round` is false of a panel. `sole` is the foot's sole where the repeat goes round it, too, in the
    order of the needles: nothing where it is plain. `inside` is true where a needle begins inside a repeat.
    """

    repeat: Repeat
    leg: tuple[OnNeedle, ...]
    instep: tuple[OnNeedle, ...]
    before: int
    panel: int
    edges: int
    all_round: bool
    begins: int
    on_foot: bool
    sole: tuple[OnNeedle, ...] = ()
    heel: OnNeedle = ()
    """The same of all the heel's stitches on one needle, between the ends of the instep."""

    def leg_work(self, rows: int) -> list[str]:
        """The work of every needle of the leg in the round after so many of the repeat."""
        return [work(self.repeat, on, rows) for on in self.leg]

    def leg_holds(self, rows: int) -> list[int]:
        """What every needle of the leg holds once so many rounds of the repeat are done."""
        return [holds(self.repeat, on, rows) for on in self.leg]

    def instep_work(self, rows: int) -> list[str]:
        """The same of the instep's needles."""
        return [work(self.repeat, on, rows) for on in self.instep]

    def instep_holds(self, rows: int) -> list[int]:
        """What every needle of the instep holds once so many rounds of the repeat are done."""
        return [holds(self.repeat, on, rows) for on in self.instep]

    def sole_work(self, rows: int) -> list[str]:
        """The same of the sole's needles, where the repeat goes round it."""
        return [work(self.repeat, on, rows) for on in self.sole]

    def heel_work(self, rows: int) -> str:
        """The same of the heel's stitches on one needle."""
        return work(self.repeat, self.heel, rows)

    @property
    def inside(self) -> tuple[int, ...]:
        """The needles of the leg, from 0, that begin inside a repeat."""
        return tuple(
            place
            for place, on in enumerate(self.leg)
            if on[0].first is not None and not on[0].plain
        )


# What is worked


def holds(repeat: Repeat, on: OnNeedle, rows: int) -> int:
    """The stitches of a needle once so many rows of the repeat are done."""
    return sum(_holds(repeat, piece, rows % repeat.height) for piece in on)


def _holds(repeat: Repeat, piece: Piece, row: int) -> int:
    if piece.plain:
        return piece.plain
    first = piece.first.holds[row] if piece.first else 0
    last = piece.last.holds[row] if piece.last else repeat.counts[row]
    return (last - first) * piece.times


def work(repeat: Repeat, on: OnNeedle, rows: int) -> str:
    """The work of a needle in the row after so many of the repeat, in as few words as say it."""
    row = rows % repeat.height
    parts = [(_stitches(repeat, piece, row), piece.times) for piece in on]
    stitches = [stitch for here, times in parts for stitch in here * times]
    if not stitches:
        return ""
    if len(set(stitches)) == 1 and plain_name(stitches[0]) in ("k", "p"):
        return stitches[0]
    again = _again(stitches)
    if again < len(stitches):
        return f"*{as_written(stitches[:again])}; rep from * to end"
    in_parts = ", ".join(_text(here, times) for here, times in parts if here)
    return min(in_parts, as_written(stitches), key=len)


def _again(stitches: list[str]) -> int:
    """Stitches after which all that follow come again."""
    many = len(stitches)
    return next(
        every
        for every in range(1, many + 1)
        if many % every == 0 and stitches[:every] * (many // every) == stitches
    )


def _text(stitches: list[str], times: int) -> str:
    """A stretch that comes so many times; what comes again inside it is not bracketed twice."""
    again = _again(stitches)
    once, times = stitches[:again], times * (len(stitches) // again)
    if times == 1 or len(set(once)) == 1:
        return as_written(once * times)
    return f"[{as_written(once)}] {times} times"


def _stitches(repeat: Repeat, piece: Piece, row: int) -> list[str]:
    if piece.plain:
        return ["k"] * piece.plain
    first = piece.first.after[row] if piece.first else 0
    last = piece.last.after[row] if piece.last else len(repeat.rows[row])
    return list(repeat.rows[row][first:last])


# Where it lies


def stretch(repeat: Repeat, column: int, stitches: int) -> OnNeedle:
    """So many stitches of the repeat coming again and again, from a column on. Raises NoPlace."""
    width = repeat.width
    column %= width
    if stitches <= width - column and column:
        return (Piece(0, _cut(repeat, column), _cut(repeat, column + stitches)),)
    lead = (width - column) % width
    times, tail = divmod(stitches - lead, width)
    pieces = []
    if lead:
        pieces.append(Piece(0, _cut(repeat, column), None))
    if times:
        pieces.append(Piece(times=times))
    if tail:
        pieces.append(Piece(0, None, _cut(repeat, tail)))
    return tuple(pieces)


def _cut(repeat: Repeat, column: int) -> Cut | None:
    """The cut at a column; None at the end of the repeat. Raises NoPlace."""
    if column == repeat.width:
        return None
    for cut in repeat.inside:
        if cut.column == column:
            return cut
    raise NoPlace


def can_part(repeat: Repeat, column: int) -> bool:
    """Whether a needle may end there."""
    at = column % repeat.width
    return not at or any(cut.column == at for cut in repeat.inside)


def lie(
    repeat: Repeat,
    layout: Layout,
    stitches: int,
    heel: int,
    rib: int,
    *,
    on_foot: bool,
    foot: int,
    centred: bool = False,
) -> Lie:
    """How a repeat lies on a leg of so many stitches, `heel` of them the heel's, and on the foot.

    `centred`: rounds begin at the centre back all along, for no heel brings them there.
    Raises NoPlace where a needle would end inside a stitch whatever lies where.
    """
    instep = stitches - heel
    all_round = stitches % repeat.width == 0
    panel, edges = panel_of(repeat, instep) if on_foot or not all_round else (0, 0)
    if not all_round:
        before = 0 if layout.at_side else (heel + 1) // 2
        down = _panel_on(repeat, layout, instep, panel, edges)
        leg = _around(layout, before, heel, down)
        return Lie(repeat, leg, down, before, panel, edges, False, 0, on_foot)
    before, begins = _where(repeat, layout, heel, instep, edges, on_foot=on_foot, centred=centred)
    on = needles(repeat, layout, stitches, rib, begins)
    leg = tuple(
        stretch(repeat, begins + start, here)
        for start, here in zip(layout.starts(on), on, strict=True)
    )
    if not on_foot:
        halves = layout.instep(layout.around(heel, instep))
        return Lie(
            repeat,
            leg,
            tuple((Piece(here),) for here in halves),
            before,
            0,
            0,
            True,
            begins,
            on_foot,
        )
    if not repeat.coloured:
        if layout.at_side:
            edges = _edge_in_line(repeat, begins, instep, panel, edges)
        down = _panel_on(repeat, layout, instep, panel, edges)
        return Lie(repeat, leg, down, before, panel, edges, True, begins, on_foot)
    down = _columns_on(repeat, layout, instep, begins + before)
    sole = (
        _sole(repeat, layout, foot - instep, begins + before, instep)
        if foot % repeat.width == 0
        else ()
    )
    behind = stretch(repeat, begins + before + instep, heel) if sole else ()
    return Lie(
        repeat, leg, down, before, instep // repeat.width, 0, True, begins, on_foot, sole, behind
    )


def _around(
    layout: Layout, before: int, heel: int, down: tuple[OnNeedle, ...]
) -> tuple[OnNeedle, ...]:
    """A panel on the instep, and the heel's stitches plain."""
    if layout.at_side:
        return (*down, (Piece(heel),))
    return ((Piece(before),), *down, (Piece(heel - before),))


def panel_of(repeat: Repeat, instep: int) -> tuple[int, int]:
    """The whole repeats on an instep, and the plain stitches on each side of them.

    Of colours every stitch stands for itself: there are no edges.
    """
    panel, left = divmod(instep, repeat.width)
    return (panel, 0) if repeat.coloured else (panel, left // 2)


def fits_instep(repeat: Repeat, instep: int) -> bool:
    """Whether whole repeats lie in the middle of so many stitches."""
    return repeat.coloured or (instep >= repeat.width and instep % repeat.width % 2 == 0)


def _where(
    repeat: Repeat,
    layout: Layout,
    heel: int,
    instep: int,
    edges: int,
    *,
    on_foot: bool,
    centred: bool,
) -> tuple[int, int]:
    """Where the instep begins, and the column that a round begins with, so that leg and instep are one.

    A heel beside the centre back, where that is near enough; else a round that begins inside a repeat,
    where it can be parted there.
    """
    width, centre = repeat.width, 0 if layout.at_side else (heel + 1) // 2
    if not on_foot:
        return centre, 0
    in_line = (
        []
        if layout.at_side or centred
        else [before for before in range(1, heel) if _in_line(repeat, before, instep, edges)]
    )
    nearest = min(in_line, key=lambda before: abs(before - centre), default=None)
    if nearest is not None and abs(nearest - centre) <= NEAR_THE_CENTRE:
        return nearest, 0
    for begins in range(width):
        if _in_line(repeat, begins + centre, instep, edges) and can_part(repeat, begins):
            return centre, begins
    if layout.at_side and not repeat.coloured:
        return 0, _nearest_in_line(repeat, instep, edges)
    return (centre if nearest is None else nearest), 0


def _nearest_in_line(repeat: Repeat, instep: int, edges: int) -> int:
    """The column that a round at the side begins with, for a panel in line with the leg near its middle."""
    free = instep % repeat.width
    columns = [
        (repeat.width - edge) % repeat.width
        for edge in sorted(range(free + 1), key=lambda edge: abs(edge - edges))
    ]
    return next((column for column in columns if can_part(repeat, column)), 0)


def _edge_in_line(repeat: Repeat, begins: int, instep: int, panel: int, edges: int) -> int:
    """Plain stitches before a panel, so that its columns are those of a leg whose rounds begin so."""
    edge = -begins % repeat.width
    return edge if edge + panel * repeat.width <= instep else edges


def _in_line(repeat: Repeat, column: int, instep: int, edges: int) -> bool:
    """Whether an instep that begins with this column of the leg has its middle in the middle of it."""
    if repeat.coloured:
        return (2 * column + instep) % repeat.width == 0
    return (column + edges) % repeat.width == 0


def needles(
    repeat: Repeat, layout: Layout, stitches: int, rib: int, begins: int
) -> tuple[int, ...]:
    """The stitches on every needle of cuff and leg: whole repeats of rib and repeat, else of the repeat.

    Where there are too few repeats, or a round begins inside one, borders lie where it can be parted.
    """
    width, on = repeat.width, len(layout.names)
    if not begins:
        quiet = layout.around(stitches // 2, stitches - stitches // 2)
        if on == 3 and all(start % width == 0 for start in layout.starts(quiet)):
            return quiet
        for unit in (lcm(rib, width), width):
            if stitches % unit == 0 and stitches // unit >= on:
                return fit.share(stitches, on, unit)
    return _parted(repeat, stitches, on, begins)


def _parted(repeat: Repeat, stitches: int, on: int, begins: int) -> tuple[int, ...]:
    """Borders as near to even shares as the repeat lets them lie, at its ends where that is near."""
    borders = [0]
    for place in range(1, on):
        wanted = stitches * place / on
        free = [
            at
            for at in range(borders[-1] + 1, stitches - (on - place) + 1)
            if can_part(repeat, begins + at)
        ]
        if not free:
            raise NoPlace
        whole = [at for at in free if (begins + at) % repeat.width == 0 and abs(at - wanted) <= 2]
        borders.append(min(whole or free, key=lambda at: abs(at - wanted)))
    ends = [*borders[1:], stitches]
    return tuple(end - start for start, end in zip(borders, ends, strict=True))


def _panel_on(
    repeat: Repeat, layout: Layout, instep: int, panel: int, edges: int
) -> tuple[OnNeedle, ...]:
    """The instep's needles with the panel in their middle. Raises NoPlace."""
    if not panel:
        raise NoPlace
    after = instep - edges - panel * repeat.width
    if len(layout.instep(layout.names)) == 1:
        sides = [(Piece(side),) if side else () for side in (edges, after)]
        return ((*sides[0], Piece(times=panel), *sides[1]),)
    border = _middle(repeat, instep, panel, edges)
    return tuple(
        _between(repeat, instep, panel, edges, *ends) for ends in ((0, border), (border, instep))
    )


def _middle(repeat: Repeat, instep: int, panel: int, edges: int) -> int:
    """Where the border of two needles lies inside a panel: at the end of a repeat, else where it parts."""
    wide = edges + panel * repeat.width
    ends = [edges + repeat.width * place for place in range(1, panel)]
    inside = [at for at in range(edges + 1, wide) if can_part(repeat, at - edges)]
    # Beside a panel that nothing parts lie its edges, so that all of it hangs on one needle.
    near = ends or inside or [at for at in (edges, wide) if 0 < at < instep]
    if not near:
        raise NoPlace
    return min(near, key=lambda at: (abs(2 * at - instep), -at))


def _between(repeat: Repeat, instep: int, panel: int, edges: int, start: int, end: int) -> OnNeedle:
    """What lies between two stitches of an instep with a panel."""
    wide = edges + panel * repeat.width
    first = (Piece(min(edges, end) - start),) if start < edges else ()
    last = (Piece(end - max(wide, start)),) if end > wide else ()
    inner = (max(start, edges), min(end, wide))
    middle = stretch(repeat, inner[0] - edges, inner[1] - inner[0]) if inner[0] < inner[1] else ()
    return (*first, *middle, *last)


def _columns_on(repeat: Repeat, layout: Layout, instep: int, column: int) -> tuple[OnNeedle, ...]:
    """The instep's needles with every stitch in the column that it has in the leg."""
    halves = fit.halves(instep) if len(layout.instep(layout.names)) == 2 else (instep,)
    starts = [sum(halves[:place]) for place in range(len(halves))]
    return tuple(
        stretch(repeat, column + start, here) for start, here in zip(starts, halves, strict=True)
    )


def _sole(
    repeat: Repeat, layout: Layout, sole: int, column: int, instep: int
) -> tuple[OnNeedle, ...]:
    """The sole's needles with the chart going on from the instep, in the order of the needles."""
    if layout.at_side:
        return (stretch(repeat, column + instep, sole),)
    first, last = fit.halves(sole)
    return stretch(repeat, column - first, first), stretch(repeat, column + instep, last)


def seeded(made: Sequence[Run], letters: Sequence[str], at: int, *, before: int) -> str:
    """A sole's work with its colours in turn, a stitch each, so that they alternate by round, too.

    `at` are the rounds before it. They are told from the centre back on, `before` which so many of these
    stitches lie: decreases at the other end leave every stitch above its neighbour's colour.
    """
    stitches = [run.stitch for run in made for _ in range(run.times)]
    begins = at - before
    coloured = [
        f"{stitch} {letters[(begins + place) % len(letters)]}"
        for place, stitch in enumerate(stitches)
    ]
    return as_written(coloured)
