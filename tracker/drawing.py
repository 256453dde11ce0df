"""A drawing of a sock lying on its side, true to its counts and its gauge, as plain shapes.

Lengths are millimetres of knitting: x runs from the back of the leg to the toe, y from the cast-on edge
down. Of a colour only its place in the key is kept: how that looks is for a writer to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import cos, pi, sin, sqrt

from tracker.forecast.between import heel_rows
from tracker.knitting.course import Course
from tracker.knitting.stripes import Run, Threads
from tracker.pattern.model import (
    BIND_OFF,
    CLOSED_BY,
    FIRST_HALF,
    HEEL_ROUNDS,
    LATE_HEEL,
    SECOND_HALF,
    Gauge,
    Section,
)
from tracker.records import NamedTuple
from tracker.units import whole
from tracker.vocabulary import counted
from tracker.vocabulary import section as called

Point = tuple[float, float]
Edge = tuple[Point, ...]
"""A round as it lies in the drawing, from one fold to the other."""

RIB = -1
"""The texture of a rib, where no colours are told."""
BARE = -2
"""Nothing but the outline."""


class Shape(NamedTuple):
    """A piece of the sock: its corners, and the place of its colour in the key, or RIB or BARE."""

    part: str
    corners: tuple[Point, ...]
    colour: int


class Label(NamedTuple):
    """Words beside a part: where they begin ("start"), have their middle or end, and what they point to."""

    text: str
    at: Point
    anchor: str
    to: Point


class Drawing(NamedTuple):
    """The pieces in colour, the outlines of the parts over them, their labels, and the key of colours.

    Colours' names are a stranger's text.
    """

    bands: tuple[Shape, ...]
    parts: tuple[Shape, ...]
    labels: tuple[Label, ...]
    key: tuple[str, ...]


class Picture(NamedTuple):
    """A sock as far as it is knitted: the outlines of its parts, and over them the pieces that are done.

    `size` is how long and how high all of it is (mm). `needle` is where the work hangs, None before the
    cast-on and after the graft. Colours' names are a stranger's text.
    """

    size: tuple[float, float]
    whole: tuple[Shape, ...]
    knitted: tuple[Shape, ...]
    needle: Edge | None
    key: tuple[str, ...]
    stripes: Stripes | None


class Stripes(NamedTuple):
    """How high the lowest of the stripes is (mm), the place in the key of the highest, and on which
    parts they lie.
    """

    lowest: float
    widest: int
    parts: frozenset[str]


LIKELY = Gauge(30.0, 42.0, "ball band")
"""The gauge of a drawing where none is told: only how high a stitch is to its width matters."""
_BENDS = 12
"""Corners of the rounded heel."""
_NARROWEST = 1 / 3
"""Of a short-row heel's stitches the part that is worked in its shortest rows."""
_OF_HEEL = ("flap", "turn", FIRST_HALF, SECOND_HALF, LATE_HEEL)
"""Kinds of section that are the heel in a drawing."""
_NEEDED = ("leg", "foot", "toe")


def draw(course: Course, counts: Sequence[int]) -> Drawing | None:
    """The drawing of a sock whose sections have so many rows; None of what has no leg, foot and toe."""
    if any(course.find(kind) is None for kind in _NEEDED):
        return None
    sock = _Sock(course, counts)
    parts = tuple(sock.parts())
    labels = (_moved_label(label, sock.calf) for label in sock.labels(parts))
    bands = _moved(sock.bands(), sock.calf)
    return Drawing(bands, _moved(parts, sock.calf), tuple(labels), sock.key)


def picture(
    course: Course,
    counts: Sequence[int],
    place: tuple[int, int] | None,
    first: tuple[str, ...] = (),
) -> Picture | None:
    """The picture of a sock whose sections have, or will have, so many rows; None as for `draw`.

    `place` is the section in hand and its finished rows, row 0 among them; None once all is knitted. The
    colours `first` stand so in the key: two socks side by side have one.
    """
    if any(course.find(kind) is None for kind in _NEEDED):
        return None
    sock = _Sock(course, counts, first)
    at = place or (len(course.sections), 0)
    needle = None if place in (None, (0, 0)) else sock.hangs(*at)
    parts, knitted = _moved(sock.parts(), sock.calf), _moved(sock.knitted(*at), sock.calf)
    needle = needle and _along(needle, sock.calf)
    return Picture(sock.size, parts, knitted, needle, sock.key, sock.stripes())


class _Sock:
    """Where everything of a sock lies."""

    def __init__(self, course: Course, counts: Sequence[int], first: tuple[str, ...] = ()) -> None:
        self._course, self._counts, self._first = course, counts, first
        gauge = course.pattern.gauge or LIKELY
        self._gauge = gauge
        self._stitch, self._row = 100 / gauge.stitches if gauge.stitches else 3.3, 100 / gauge.rows
        self._toe_up = course.pattern.toe_up
        self._threads = Threads(course, counts)
        self._wide, leg = self._across("leg"), self._find("leg")
        # A leg that is wider under the cuff stands out at the back by so much (mm).
        self.calf = 0.0
        if leg is not None and leg.lead_in > 1:
            ends = (sum(leg.starts), leg.rows[-1].leaves)
            self._wide = min(ends) * self._stitch / 2
            self.calf = max(ends) * self._stitch / 2 - self._wide
        self._cuff = self._rows("cuff") * self._row / gauge.cuff_factor
        self._ankle = self._cuff + self._rows("leg") * self._row / gauge.leg_factor
        self._flap = self._rows("flap") * self._row
        self._short = self._find(FIRST_HALF) is not None
        self._deep = (heel_rows(course.sections) or self._rows(LATE_HEEL)) * self._row
        self._high = self._across("foot")
        self._sole = self._ankle + max(self._high, self._flap + self._deep * 0.6)
        self._gusset, self._foot = self._rows("gusset"), self._rows("foot")
        along = (self._gusset + self._foot) * self._row
        self._toe_at = max(self._deep + along, self._wide + self._row)
        self._tip = self._toe_at + self._rows("toe") * self._row
        toe = self._find("toe")
        self._sides = self._sides_of(toe)

    def _sides_of(self, toe: Section | None) -> tuple[tuple[float, float], ...]:
        """How far both edges of the toe go in, row by row; of one that narrows evenly once for all."""
        if toe is not None and self._course.pattern.of_feet:
            return _sides(toe, self._stitch, upwards=self._toe_up)
        if toe is not None and _is_rounded(toe, upwards=self._toe_up):
            return _rounded(toe, self._stitch, upwards=self._toe_up)
        return ((0.0, 0.0),)

    def _find(self, kind: str) -> Section | None:
        index = self._course.find(kind)
        return None if index is None else self._course.sections[index]

    def _rows(self, kind: str) -> int:
        """Rows of a part, row 0 among them; 0 where there is none."""
        index = self._course.find(kind)
        if index is None:
            return 0
        return max(0, self._course.sections[index].rows_to(self._counts[index]))

    def _across(self, kind: str) -> float:
        """How wide a part lies folded flat."""
        there = self._find(kind)
        return 0.0 if there is None else sum(there.starts) * self._stitch / 2

    # Where a round lies

    def _edge(self, kind: str, rows: int) -> Edge:
        """The round after so many rows of a part."""
        rows = self._from_cuff(kind, rows)
        share = rows / max(1, self._rows(kind))
        if kind == "cuff":
            return self._level(share * self._cuff)
        if kind == "leg":
            return self._level(self._cuff + share * (self._ankle - self._cuff))
        if kind == "toe":
            return self._toe_edge(share)
        before = self._gusset if kind == "foot" else 0
        return self._foot_edge((before + rows) / max(1, self._gusset + self._foot))

    def _from_cuff(self, kind: str, rows: int) -> int:
        """How many rows of a part lie between its end at the cuff and where so many are done."""
        return self._rows(kind) - rows if self._toe_up else rows

    def _piece(self, kind: str, first: int, last: int) -> tuple[Point, ...]:
        """What lies between two rounds of a part; a toe for one foot is bent on the way."""
        bent = len(self._sides) > 1 if kind == "toe" else bool(self.calf) and kind == "leg"
        edges = [
            self._edge(kind, rows) for rows in (range(first, last + 1) if bent else (first, last))
        ]
        if not bent:
            return _strip(*edges)
        return (*(edge[0] for edge in edges), *(edge[1] for edge in reversed(edges)))

    def _level(self, y: float) -> Edge:
        return (-self._stands_out(y), y), (self._wide, y)

    def _stands_out(self, y: float) -> float:
        """How far a shaped leg stands out at the back at a height (mm)."""
        leg = self._find("leg")
        if not self.calf or leg is None:
            return 0.0
        rows = max(1, self._rows("leg"))
        shaped = leg.lead_in
        if self._toe_up:
            first = next((row.number for row in leg.rows if row.word == "INC"), rows)
            shaped = rows + 1 - first
        narrowed = (self._ankle - self._cuff) * min(1.0, shaped / rows)
        over = (self._cuff + narrowed - y) / narrowed if narrowed else 0.0
        return self.calf * min(1.0, max(0.0, over))

    def _foot_edge(self, share: float) -> Edge:
        """From the instep to the sole: the first along the flap, then aslant, upright at the toe."""
        top, back, below = self._sole - self._high, self._wide / 2, self._ankle + self._flap
        ankle, heel = (self._wide, self._ankle), (self._deep, self._sole)
        if not share:
            return ankle, (back, self._ankle), (back, below), heel
        toe = ((self._toe_at, top + self._high * part / 2) for part in range(3))
        here = zip((ankle, (back, below), heel), toe, strict=True)
        return tuple(_between(one, other, share) for one, other in here)

    def _toe_edge(self, share: float) -> Edge:
        there = self._find("draw up") or self._find("graft")
        if self._toe_up:
            there = self._find("toe")
        end = sum(there.starts) * self._stitch / 2 if there else self._high / 4
        x = self._toe_at + (self._tip - self._toe_at) * share
        above, below = self._sides[whole(share * (len(self._sides) - 1))]
        if len(self._sides) == 1:
            above = below = (self._high - end) * share / 2
        return (x, self._sole - self._high + above), (x, self._sole - below)

    def _heel(self) -> Iterator[tuple[str, tuple[Point, ...]]]:
        """Flap and turn: the half at the back, and the cup below it. Of short rows the two halves."""
        if self._short:
            yield from self._halves()
            return
        if self._find(LATE_HEEL) is not None:
            edges = [self._late_edge(share / _BENDS) for share in range(_BENDS + 1)]
            yield LATE_HEEL, tuple(_round_the_seam(edges))
            return
        back, below = self._wide / 2, self._ankle + self._flap
        if self._rows("flap"):
            top = (0.0, self._ankle), (back, self._ankle)
            yield "flap", (*top, (back, below), (0.0, below))
        bend = (
            (
                self._deep * (1 - cos(turn * pi / 2 / _BENDS)),
                below + (self._sole - below) * sin(turn * pi / 2 / _BENDS),
            )
            for turn in range(_BENDS + 1)
        )
        yield "turn", (*bend, (back, below))

    def _halves(self) -> Iterator[tuple[str, tuple[Point, ...]]]:
        """Two wedges that meet along the heel's seam, from the corner to the back: above it and below."""
        for kind in (FIRST_HALF, SECOND_HALF):
            if self._rows(kind):
                edges = [self._short_edge(kind, share / _BENDS) for share in range(_BENDS + 1)]
                yield kind, (*(edge[0] for edge in edges), *(edge[1] for edge in reversed(edges)))

    def _short_edge(self, kind: str, share: float) -> Edge:
        """A row of a short-row heel: from its rounding at the back to the seam towards the corner.

        The first half narrows from the ankle to the point of the heel, the second widens from there to
        the sole; from the toe up they change places. `share` is told from the ankle down.
        """
        if self._toe_up:
            return self._half_edge(SECOND_HALF if kind == FIRST_HALF else FIRST_HALF, share)
        return self._half_edge(kind, share)

    def _half_edge(self, kind: str, share: float) -> Edge:
        """The same of the half that lies above the seam, or below it, from the ankle down."""
        corner, (x, y) = (self._wide / 2, self._ankle), self._point
        part = 1 - share if kind == FIRST_HALF else share
        # The seam runs from the corner towards the point; the shortest rows end short of that.
        seam = _between(corner, (x, y), (1 - _NARROWEST) * (1 - part))
        if kind == FIRST_HALF:
            return (x, y + (self._ankle - y) * part), seam
        bend = part * pi / 2
        return (self._deep * (1 - cos(bend)), y + (self._sole - y) * sin(bend)), seam

    def _late_edge(self, share: float) -> Edge:
        """A round of a heel knitted afterwards: above its seam as in a first half, below as in a second."""
        above, seam = self._half_edge(FIRST_HALF, share)
        below, _ = self._half_edge(SECOND_HALF, 1 - share)
        return above, seam, below

    @property
    def _point(self) -> Point:
        """The point of a short-row heel, half way from the ankle down to the sole."""
        return 0.0, (self._ankle + self._sole) / 2

    def _bent(self, share: float) -> Edge:
        """A row of the turn: level, from the rounding of the heel to the foot."""
        back, below = self._wide / 2, self._ankle + self._flap
        x, y = self._deep * (1 - sqrt(1 - share * share)), below + (self._sole - below) * share
        return (x, y), (back + (self._deep - back) * share, y)

    # What is knitted

    @property
    def size(self) -> tuple[float, float]:
        return self._tip + self.calf, self._sole

    def hangs(self, section: int, rows: int) -> Edge:
        """Where the work hangs after so many rows of a section."""
        kind = self._course.sections[section].kind
        if kind in _OF_HEEL:
            return self._heel_edge(kind, rows)
        if kind == HEEL_ROUNDS:
            return self._heel_edge(FIRST_HALF, self._rows(FIRST_HALF))
        if kind in CLOSED_BY and self._toe_up:
            return self._heel_edge(LATE_HEEL, self._rows(LATE_HEEL))
        if kind in CLOSED_BY:
            return self._edge("toe", self._rows("toe"))
        if kind in self._ROUNDS:
            return self._edge(kind, rows)
        if kind == BIND_OFF:
            return self._level(0.0)
        return self._foot_edge(0.0) if self._toe_up else self._level(self._ankle)

    def knitted(self, section: int, rows: int) -> Iterator[Shape]:
        for kind in (*self._ROUNDS, *_OF_HEEL):
            index = self._course.find(kind)
            if index is not None and index <= section:
                done = rows if index == section else self._rows(kind)
                yield from self._pieces(kind, index, min(done, self._rows(kind)))

    def _pieces(self, kind: str, index: int, done: int) -> Iterator[Shape]:
        """The first so many rows of a part, in pieces of one colour."""
        runs = [*self._threads.runs(index, 0, done)]
        places = [(run.first, run.last, self.key.index(run.name)) for run in runs]
        for first, last, colour in places or [(0, done, self._texture(kind))] * (done > 0):
            if kind in self._ROUNDS:
                yield Shape(kind, self._piece(kind, first, last), colour)
            else:
                yield Shape(kind, tuple(self._around_heel(kind, first, last)), colour)

    def _around_heel(self, kind: str, first: int, last: int) -> Iterator[Point]:
        edges = [self._heel_edge(kind, row) for row in range(first, last + 1)]
        if kind == LATE_HEEL:
            yield from _round_the_seam(edges)
            return
        yield from (edge[0] for edge in edges)
        yield from (edge[1] for edge in reversed(edges))

    def _heel_edge(self, kind: str, rows: int) -> Edge:
        done = rows if kind == LATE_HEEL else self._from_cuff(kind, rows)
        share = min(1.0, done / max(1, self._rows(kind)))
        if kind in (FIRST_HALF, SECOND_HALF):
            return self._short_edge(kind, share)
        if kind == LATE_HEEL:
            return self._late_edge(share)
        if kind == "turn":
            return self._bent(share)
        y = self._ankle + share * self._flap
        return (0.0, y), (self._wide / 2, y)

    def stripes(self) -> Stripes | None:
        colours = self._course.pattern.colours
        if not colours.period:
            return None
        widest = max(colours.stripes, key=lambda stripe: stripe.rounds)
        if widest.name not in self.key:
            return None
        parts = self._ROUNDS[1:] if colours.toe is None else self._ROUNDS[1:-1]
        lowest = min(stripe.rounds for stripe in colours.stripes) * self._row
        return Stripes(lowest, self.key.index(widest.name), frozenset(parts))

    # What is drawn

    _ROUNDS = ("cuff", "leg", "gusset", "foot", "toe")

    def parts(self) -> Iterator[Shape]:
        for kind in self._ROUNDS:
            if self._rows(kind):
                corners = self._piece(kind, 0, self._rows(kind))
                yield Shape(kind, corners, self._texture(kind))
        for kind, corners in self._heel():
            yield Shape(kind, corners, BARE)

    def _texture(self, kind: str) -> int:
        """A rib is drawn as one; where colours are told they say enough."""
        there = self._find(kind)
        rib = there is not None and there.rows and there.rows[-1].word == "RIB"
        return RIB if rib and not any(self._course.pattern.colours) else BARE

    @property
    def key(self) -> tuple[str, ...]:
        """The colours, in the order in which they come."""
        names = (
            run.name for index in range(len(self._course.sections)) for run in self._runs(index)
        )
        return tuple(dict.fromkeys((*self._first, *names)))

    def _runs(self, index: int) -> Iterator[Run]:
        rows = self._course.sections[index].rows_to(self._counts[index])
        return self._threads.runs(index, 0, rows)

    def bands(self) -> Iterator[Shape]:
        key = {name: place for place, name in enumerate(self.key)}
        for kind in self._ROUNDS:
            index = self._course.find(kind)
            for run in () if index is None else self._runs(index):
                corners = self._piece(kind, run.first, run.last)
                yield Shape(kind, corners, key[run.name])
        for kind, corners in self._heel():
            index = self._course.find(kind)
            for run in () if index is None else [*self._runs(index)][:1]:
                yield Shape(kind, corners, key[run.name])

    def labels(self, parts: Sequence[Shape]) -> Iterator[Label]:
        """Beside the leg what lies on the right, beside the heel on the left, the foot's below it."""
        there = {part.part for part in parts}
        for kind, (at, anchor, to) in self._places().items():
            index = self._course.find(kind)
            if kind not in there or index is None:
                continue
            worked = self._course.sections[index].worked
            yield Label(f"{called(kind)}, {counted(self._counts[index], worked)}", at, anchor, to)

    def _places(self) -> dict[str, tuple[Point, str, Point]]:
        below = self._ankle + self._flap
        above, beneath = (FIRST_HALF, SECOND_HALF)[:: -1 if self._toe_up else 1]
        foot = self._gusset + self._foot
        middle = self._deep + (self._toe_at - self._deep) * (self._gusset + self._foot / 2) / max(
            1, foot
        )
        gusset = self._deep + (self._toe_at - self._deep) * self._gusset / 2 / max(1, foot)
        toe = (self._toe_at + self._tip) / 2
        return {
            "cuff": _right(self._wide, self._cuff / 2),
            "leg": _right(self._wide, (self._cuff + self._ankle) / 2),
            "flap": _left(0.0, self._ankle + self._flap / 2),
            above: _left(0.0, (self._ankle + self._point[1]) / 2),
            LATE_HEEL: _left(0.0, self._point[1]),
            beneath: _left(self._deep / 4, (self._point[1] + self._sole) / 2),
            "turn": _left(self._deep / 4, (below + self._sole) / 2),
            "gusset": _under((gusset, self._sole), self._sole, 1),
            "foot": _under((middle, self._sole), self._sole, 2),
            "toe": _under((toe, self._toe_edge(0.5)[1][1]), self._sole, 1),
        }


_GAP, _LINE = 6.0, 12.0
"""Millimetres from a part to its label, and from a line of labels to the next."""


def _sides(toe: Section, stitch: float, *, upwards: bool) -> tuple[tuple[float, float], ...]:
    """How far both edges of a toe for one foot go in, before it and after every row from the foot on (mm).

    The edge where the instep begins is drawn above, so that the tip lies where the big toe does.
    """
    sides = [(0.0, 0.0)]
    for row in reversed(toe.rows) if upwards else toe.rows:
        above, below = sides[-1]
        works = [needle.work for needle in row.needles[: len(row.needles) // 2]]
        edges = ("M1L", "M1R") if upwards else ("ssk", "k2tog")
        first, second = (sum(work.count(shaped) for work in works) for shaped in edges)
        sides.append((above + first * stitch, below + second * stitch))
    return tuple(sides)


def _along(points: Sequence[Point], by: float) -> tuple[Point, ...]:
    """Points moved to the right by so much."""
    return tuple((x + by, y) for x, y in points)


def _moved(shapes: Iterable[Shape], by: float) -> tuple[Shape, ...]:
    return tuple(shape._replace(corners=_along(shape.corners, by)) for shape in shapes)


def _moved_label(label: Label, by: float) -> Label:
    at, to = _along((label.at, label.to), by)
    return label._replace(at=at, to=to)


def _is_rounded(toe: Section, *, upwards: bool) -> bool:
    """Whether a toe narrows slowly first: two plain rounds follow its first shaping, or more."""
    rows = [row.plain for row in toe.rows if row.number][:: -1 if upwards else 1]
    first = next((at for at, plain in enumerate(rows) if not plain), len(rows))
    after = next((at for at, plain in enumerate(rows) if plain and at > first), len(rows))
    return rows[after : after + 2] == [True, True]


def _rounded(toe: Section, stitch: float, *, upwards: bool) -> tuple[tuple[float, float], ...]:
    """How far both edges of a toe go in that narrows alike all round, before it and after every row (mm)."""
    left = [sum(toe.starts), *(row.leaves for row in toe.rows)][:: -1 if upwards else 1]
    return tuple(((left[0] - many) * stitch / 4,) * 2 for many in left)


def _right(x: float, y: float) -> tuple[Point, str, Point]:
    return (x + _GAP, y), "start", (x, y)


def _left(x: float, y: float) -> tuple[Point, str, Point]:
    return (-_GAP, y), "end", (x, y)


def _under(to: Point, sole: float, line: int) -> tuple[Point, str, Point]:
    return (to[0], sole + line * _LINE), "middle", to


def _between(one: Point, other: Point, share: float) -> Point:
    return one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share


def _round_the_seam(edges: Sequence[Edge]) -> Iterator[Point]:
    """What lies between the first and the last of rounds that bend at a seam."""
    yield from (above for above, _, _ in edges)
    yield edges[-1][1]
    yield from (below for *_, below in reversed(edges))
    yield edges[0][1]


def _strip(one: Edge, other: Edge) -> tuple[Point, ...]:
    """What lies between two rounds."""
    return (*one, *other[::-1])
