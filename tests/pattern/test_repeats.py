"""Legs in a repeat or a chart of colours: every width, every set of needles, knitted by the audit.

More of them on demand: SWEEP=pairs or SWEEP=all .venv/bin/python -m pytest tests/pattern/test_repeats.py
"""

from __future__ import annotations

import os
from itertools import product
from random import Random
from typing import Any, NamedTuple

import pytest

from tests.pattern.making import computed, section
from tests.pattern.test_every_sock import RIBS, SETS, check_against_the_loom, check_needles
from tests.pattern.test_every_sock import Sock as AnySock
from tracker.pattern.audit import audit
from tracker.pattern.mirror import document, mirrored
from tracker.pattern.model import Needle, Pattern, Row
from tracker.pattern.notation import colour_of, read_row, runs, stitch_of, without_colour
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern
from tracker.pattern.repeat import Repeat, read_chart, read_repeat

SWEEP = os.environ.get("SWEEP", "")


class Leg(NamedTuple):
    """What varies from leg to leg."""

    stitches: int
    width: int
    height: int
    fabric: str
    needles: str
    rib: str
    on_foot: str
    foot: int

    @property
    def random(self) -> Random:
        return Random(str(self))  # noqa: S311 - a draw that is the same every time

    @property
    def rows(self) -> list[str]:
        """A repeat of that size, drawn by chance and the same every time."""
        if self.fabric == "stranded":
            return ["".join(self.random.choices("ab", k=self.width)) for _ in range(self.height)]
        draw = self.random
        return [", ".join(_row(draw, self.width)) for _ in range(self.height)]

    @property
    def plan(self) -> dict[str, Any]:
        return {
            "leg.stitches": self.stitches,
            "cuff.rib": self.rib,
            "needles.set": self.needles,
            "leg.fabric": self.fabric,
            "leg.repeat": self.rows,
            "foot.fabric": self.on_foot,
            "foot.stitches": self.stitches + self.foot if self.foot else None,
            "foot.length": "34 cm",
        }


PAIRS = (
    "yo, k2tog",
    "ssk, yo",
    "k2",
    "k1, p1",
    "k2 tbl",
    "C2F",
    "p2",
    "kfb, k2tog",
    "M1, ssk, k1, k2tog, yo",
)


def _row(draw: Random, width: int) -> list[str]:
    items: list[str] = []
    left = width
    while left:
        fitting = [item for item in PAIRS if _takes(item) <= left] or ["k1"]
        items.append(draw.choice(fitting))
        left -= _takes(items[-1])
    return items


def _takes(text: str) -> int:
    made, _ = runs(read_row(text).segments[0], 99)
    return sum(stitch_of(run.stitch).takes * run.times for run in made)


def legs() -> list[Leg]:
    """Every width on every number of stitches, the rest in turn; of them one in 97, or all of a sweep.

    That share has both fabrics on every set of needles, with a plain foot and one as the leg, and every rib.
    """
    rest = list(
        product((1, 2, 3, 7), ("repeat", "stranded"), SETS, RIBS, ("plain", "as the leg"), (0, 2))
    )
    draw = Random(7)  # noqa: S311 - a draw that is the same every time
    draw.shuffle(rest)
    sizes = list(product(range(40, 97), range(1, 25)))
    times = {"all": 8, "pairs": 1}.get(SWEEP, 1)
    found = [
        _whole(Leg(stitches, width, *rest[(place * times + part) % len(rest)]))
        for place, (stitches, width) in enumerate(sizes)
        for part in range(times)
    ]
    if SWEEP:
        return found
    return [leg for place, leg in enumerate(found) if place % 97 == 0]


def _whole(leg: Leg) -> Leg:
    """A chart of colours goes all round."""
    if leg.fabric != "stranded":
        return leg
    return leg._replace(stitches=leg.width * round(leg.stitches / leg.width))


def knit(leg: Leg) -> Pattern | None:
    """The sock, knitted by both readers; None where the plan is refused with a number that works."""
    try:
        made = computed(leg.plan)
    except WillNotWork as bad:
        if "; write " not in bad.why:
            raise
        return None
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    check_against_the_loom(made, pattern)
    check_needles(AnySock(leg.stitches, leg.rib, leg.needles, "plain"), pattern)
    turned = mirrored(pattern._replace(likeness="mirrored"))
    if turned is not pattern:
        assert audit(document(made.document, pattern, turned)) == ()
    return pattern


def stitches(needles: tuple[Needle, ...], before: tuple[int, ...]) -> list[str]:
    """Stitch by stitch what is worked on needles that hold so many."""
    return [
        run.stitch
        for needle, live in zip(needles, before, strict=True)
        for run in runs(read_row(needle.work).segments[0], live)[0]
        for _ in range(run.times)
    ]


def instep(leg: Leg, row: Row) -> list[str]:
    where = slice(0, 1) if SETS[leg.needles] == 2 else slice(1, -1)
    return stitches(row.needles[where], row.before[where])


def read(leg: Leg) -> Repeat:
    return read_chart(leg.rows) if leg.fabric == "stranded" else read_repeat(leg.rows)


def check(leg: Leg) -> bool:
    """Everything that is true of any leg in a repeat. False where it was refused."""
    pattern = knit(leg)
    if pattern is None:
        return False
    there, repeat = section(pattern, "leg"), read(leg)
    first = 1 + there.lead_in
    for row in there.rows[there.lead_in :]:
        wanted = repeat.rows[(row.number - first) % repeat.height]
        told = stitches(row.needles, row.before)
        if leg.stitches % repeat.width == 0:
            assert alike(told, list(wanted) * (leg.stitches // repeat.width)), row
        else:
            assert list(wanted) == told[_where(told, wanted) :][: len(wanted)]
    if leg.on_foot == "as the leg":
        check_foot(leg, pattern, repeat, there.planned - there.lead_in)
    return True


def alike(told: list[str], wanted: list[str]) -> bool:
    """Whether a round is the wanted one, wherever it begins."""
    if len(told) != len(wanted):
        return False
    twice = wanted * 2
    return any(twice[at : at + len(told)] == told for at in range(len(wanted)))


def _where(told: list[str], wanted: tuple[str, ...]) -> int:
    fitting = (at for at in range(len(told)) if tuple(told[at : at + len(wanted)]) == wanted)
    return next(fitting, len(told))


def check_foot(leg: Leg, pattern: Pattern, repeat: Repeat, rounds: int) -> None:
    """After the leg the instep has the row after the leg's last, and so on to the toe.

    The row that sets the heel up is worked over the instep where rounds begin at the side.
    """
    rows = [*section(pattern, "gusset").rows, *section(pattern, "foot").rows]
    set_up = section(pattern, "heel set-up").rows if SETS[leg.needles] == 2 else ()
    for row in (*set_up, *rows):
        wanted = list(repeat.rows[rounds % repeat.height])
        told = instep(leg, row)
        if repeat.coloured:
            twice = wanted * (len(told) // len(wanted) + 2)
            assert any(twice[at : at + len(told)] == told for at in range(len(wanted)))
        else:
            on_instep = sum(row.before[:1] if SETS[leg.needles] == 2 else row.before[1:-1])
            panel, edges = divmod(on_instep, repeat.width)
            assert edges % 2 == 0
            # At the side it may lie beside the middle, in line with the leg.
            before = range(edges + 1) if SETS[leg.needles] == 2 else [edges // 2]
            assert told in [
                [*["k"] * edge, *wanted * panel, *["k"] * (edges - edge)] for edge in before
            ]
        rounds += 1
    if repeat.coloured:
        check_sole(leg, rows[1:], pattern)


def check_sole(leg: Leg, rows: list[Row], pattern: Pattern) -> None:
    """Beside a chart the sole's colours take turns, or go on with the chart: no colour floats far."""
    for row in rows:
        used = {colour_of(stitch) for stitch in instep(leg, row)}
        told = [
            stitch
            for stitch in stitches(row.needles, row.before)
            if without_colour(stitch) in ("k", "k2tog", "ssk")
        ]
        assert all(map(colour_of, told))
        assert len(used) <= len({colour_of(stitch) for stitch in told}) <= 2


ALL = legs()


@pytest.mark.parametrize("part", range(3))
def test_legs_of_every_width(part: int) -> None:
    knitted = 0
    for leg in ALL[part::3]:
        try:
            knitted += check(leg)
        except AssertionError as wrong:
            raise AssertionError(f"{leg} {leg.rows}: {wrong}") from wrong
    assert knitted
