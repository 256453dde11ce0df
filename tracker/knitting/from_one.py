"""A sock laid from one short circular on several needles: where sole and instep part on it.

`holds` says of each needle of the other set what it has of a round: "sole 1", "instep", "sole 2" and so on,
as `laid` has them.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.knitting.changes import BadChange
from tracker.pattern.fit import halves
from tracker.pattern.model import INSTEP, Pattern, Row, Section, Waiting
from tracker.pattern.notation import Run, read_row, runs, stitch_of
from tracker.pattern.spread import spread_out


def shared(pattern: Pattern, section: Section, row: Row, holds: Sequence[str]) -> tuple[int, ...]:
    """The stitches before a row on each of those needles. Raises BadChange where that is not known."""
    instep, total = pattern.numbers.instep_stitches, sum(row.before)
    if instep is None or instep >= total:
        raise BadChange(
            "which stitches are the instep's is not known here; write those on each needle, like 22/21/21"
        )
    sole = halves(total - instep)
    if not _at_side(holds) and section.kind == "gusset":
        first = _before_instep(section, row, instep)
        sole = sole if first is None else (first, total - instep - first)
    has = {"instep": instep, "sole": sum(sole)}
    parts = {"instep": halves(instep), "sole": sole}
    return tuple(
        parts[what][int(which) - 1] if which else has[what]
        for what, _, which in (held.partition(" ") for held in holds)
    )


def _at_side(holds: Sequence[str]) -> bool:
    """Whether the round begins at the side, with the instep."""
    return holds[0].startswith("instep")


def _before_instep(section: Section, row: Row, instep: int) -> int | None:
    """The sole's stitches before the instep, as a gusset's next decreases show them; None where none do."""
    following = (one for one in section.rows if one.number >= row.number and one.word == "DEC")
    shaped = next(following, None)
    if row.word == "PICK" or shaped is None or len(shaped.needles) != 1:
        return None
    before, first, last = 0, None, None
    for run in runs(read_row(shaped.needles[0].work).segments[0], sum(shaped.before))[0]:
        if run.stitch == "ssk" and last is None:
            last = before - 1
        before += stitch_of(run.stitch).takes * run.times
        if run.stitch == "k2tog":
            first = before + 1
    if first is None and last is not None:
        return last - instep
    return first


def picked_up(
    made: Sequence[Run], on: Sequence[int], holds: Sequence[str]
) -> list[tuple[Run, ...]]:
    """What each needle has of the pick-up round: an edge belongs to the sole's needle beside it."""
    ups = [at for at, run in enumerate(made) if run.stitch == "pick up"]
    many = sum(held.startswith("instep") for held in holds)
    if _at_side(holds):
        return [*_over(made[: ups[0]], on[:many]), *_over(made[ups[0] :], on[many:])]
    first, last = tuple(made[: ups[0] + 1]), tuple(made[ups[-1] :])
    return [first, *_over(made[ups[0] + 1 : ups[-1]], on[1 : 1 + many]), last]


def _over(made: Sequence[Run], on: Sequence[int]) -> list[tuple[Run, ...]]:
    return [share.runs for share in spread_out(made, on).shares]


def waiting(waits: int, names: Sequence[str], holds: Sequence[str]) -> tuple[Waiting, ...]:
    """The instep's stitches on the needles that they rest on then, while the heel is worked."""
    its = [name for name, held in zip(names, holds, strict=True) if held.startswith("instep")]
    on = halves(waits) if len(its) == 2 else (waits,)
    return tuple(Waiting(*one) for one in zip(its, on, strict=True))


def onto_one(waits: int) -> tuple[Waiting, ...]:
    """The same where they rest on the very needle that the heel is worked on."""
    return (Waiting(INSTEP, waits),)
