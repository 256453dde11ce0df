"""A sock on one short circular: all of a round on a single needle, the marker at the centre back.

Side markers stand where the instep begins and ends, from the pick-up on. A round is first written over
sole, instep and sole, then joined. The toe is too narrow for it, and goes onto other needles. Common
practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from tracker.pattern.layout import LAYOUTS, Layout
from tracker.pattern.model import BETWEEN_MARKERS, INSTEP, ONE_NEEDLE, ROUND
from tracker.pattern.notation import DECREASES, Run, read_row, runs, totals, written

_REPEATED = re.compile(r"\[([^\]]*)\] \d+ times", re.ASCII)


TOE_SETS = tuple(name for name in LAYOUTS if name != ONE_NEEDLE)
"""The sets that a toe may go onto."""


def toe_set(spare: str) -> str:
    """The set that the toe goes onto: the one that she names as her second, else a set of five."""
    words = spare.lower()
    return next((name for name in TOE_SETS if name != "five" and name in words), "five")


def is_named(spare: str) -> bool:
    """Whether a text names a set that a toe may go onto."""
    return any(name in spare.lower() for name in TOE_SETS)


def toe_layout(set_: str) -> Layout:
    """How a toe lies on a set whose rounds go on from the centre of the sole."""
    layout = LAYOUTS[set_]
    # On circulars: B from the marker on, A, and B up to it.
    return Layout(("B1", "A", "B2"), at_side=False) if layout.at_side else layout


LONGEST = 1.5
"""A needle's length over that of its stitches: those of a toe are soon too few to reach round it."""
SHORTEST_MM = 200.0
"""No short circular is shorter from tip to tip (from memory)."""


def from_the_side(layout: Layout) -> Layout:
    """How a toe lies on those needles once its rounds begin at the side."""
    return LAYOUTS["two circulars"] if layout.names[0] == "B1" else layout


def longest_mm(stitches: int, per_100mm: float) -> float:
    """The longest short circular, from tip to tip, that so many stitches reach round."""
    return LONGEST * stitches * 100 / per_100mm


def on_one(table: Mapping[str, Any]) -> dict[str, Any]:
    """A section's table for a set of four as it is on one needle."""
    if table["worked"] == "rows":
        return _flat(table)
    held: Sequence[int] = table["needles"]
    rewritten: dict[str, Any] = {}
    for key in ("set_up", "first", "rows"):
        rows = [table[key]] if key == "set_up" and key in table else table.get(key, [])
        told = all_joined(rows, held, marked=table["kind"] in ("gusset", "foot"))
        held = read_row(rows[-1]).claim if rows else held
        if key in table:
            rewritten[key] = told[0] if key == "set_up" else told
    return {**table, "names": [ROUND], "needles": [sum(table["needles"])], **rewritten}


def _flat(table: Mapping[str, Any]) -> dict[str, Any]:
    """A section worked flat: the instep rests on the same needle."""
    if "resting" not in table and "onto" not in table:
        # On to where the heel begins: markers part sole and instep, and the heel is what lies between them.
        return {**table, "names": list(BETWEEN_MARKERS)}
    if "onto" in table:
        whole = {"names": [ROUND], "needles": [sum(table["needles"])]}
        return {**table, **whole, "resting_names": [INSTEP]}
    return {**table, "resting": [sum(table["resting"])], "resting_names": [INSTEP]}


def parts(*, at_side: bool) -> Layout:
    """What a round on one needle is written over, before it is joined."""
    return LAYOUTS["two circulars" if at_side else "four"]._replace(together=True)


def instep_of(picked_up: str, held: int) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """The instep's work in a pick-up round on one needle that holds so many, and its stitches."""
    (items,) = read_row(picked_up).segments
    made = runs(items, held)[0]
    ups = [at for at, run in enumerate(made) if run.stitch == "pick up"]
    instep = made[: ups[0]] if len(ups) == 1 else made[ups[0] + 1 : ups[-1]]
    return (_plainly(instep),), (totals(instep).takes,)


def all_joined(rows: Sequence[str], held: Sequence[int], *, marked: bool = True) -> list[str]:
    """Rounds one after the other, the first over needles that hold so many, each for one needle."""
    told = []
    for row in rows:
        told.append(joined(row, held, marked=marked))
        held = read_row(row).claim
    return told


def joined(row: str, held: Sequence[int], *, marked: bool = True) -> str:
    """A round over needles that hold so many, written for one needle with all of them.

    Where it is `marked`, side markers part it, and what lies between them is told apart.
    """
    text = read_row(row)
    parts = [
        list(runs(items, on)[0]) if items else []
        for items, on in zip(text.segments, held, strict=True)
    ]
    return f"{_work(parts, marked=marked)} = {sum(text.claim)}"


def _work(parts: Sequence[Sequence[Run]], *, marked: bool) -> str:
    """What is done on one needle, from what is done in its parts."""
    made = _together([run for part in parts for run in part])
    if any(run.stitch == "pick up" for run in made):
        return ", ".join(written(_together(part)) for part in parts if part)
    if not any(run.stitch in DECREASES for run in made):
        return _plainly(made)
    if not marked:
        return _reaching(made, max(_knits(made), key=lambda at: made[at].times))
    apart = [run for part in parts for run in _together(part)]
    last = len(apart) - 1
    return _reaching(apart, last if last in _knits(apart) and apart[last].times > 1 else None)


def _knits(made: Sequence[Run]) -> list[int]:
    """The places of the runs that only knit."""
    return [at for at, run in enumerate(made) if run.stitch == "k"]


def _reaching(made: Sequence[Run], at: int | None) -> str:
    """The runs as they are written, the one at that place by how far it reaches."""
    if at is None:
        return written(made)
    after = totals(made[at + 1 :]).takes
    reach = f"k to last {after}" if after else "k to end"
    return ", ".join(filter(None, (written(made[:at]), reach, written(made[at + 1 :]))))


def _together(made: Sequence[Run]) -> list[Run]:
    """Runs of one stitch that follow one another, as one."""
    told: list[Run] = []
    for run in made:
        if told and told[-1].stitch == run.stitch:
            run = run._replace(times=told.pop().times + run.times)
        told.append(run)
    return told


def _plainly(made: Sequence[Run]) -> str:
    if len(made) == 1 and made[0].stitch in ("k", "p"):
        return made[0].stitch
    text = written(made)
    repeated = _REPEATED.fullmatch(text)
    return f"*{repeated[1]}; rep from * to end" if repeated else text
