"""All borders of the needles moved the same way, so that no ladder forms where two of them meet.

The stitches keep their order and the round still ends at its marker, which then lies inside a needle: that
needle is worked in two parts, named b (behind the marker, worked first) and a (before it, worked last).
Every needle holds as many stitches as before.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tracker.knitting.changes import BadChange
from tracker.pattern.model import CLOSED_BY, Row, Section, is_split
from tracker.records import NamedTuple

_MOVE = re.compile(r"([+-])[ ]*(\d{1,4})|(\d{1,4})[ ]*([+-])", re.ASCII)
_ROUND_B = ("B1", "B2")
"""The parts of the needle B where a round begins in the middle of it."""


class Lies(NamedTuple):
    """How a round lies: the parts that it is worked in, in their order, and the stitches on each."""

    names: tuple[str, ...]
    stitches: tuple[int, ...]


def move_told(text: str) -> int | None:
    """Stitches by which all borders move, of "+2", "-2", "2-"; None of any other text."""
    found = _MOVE.fullmatch(text)
    if found is None:
        return None
    before, first, last, behind = found.groups()
    return int(f"{before or behind}{first or last}")


def moved(lies: Lies, by: int) -> Lies:
    """A round once all borders have gone on by so many stitches (below 0: back)."""
    total = sum(lies.stitches)
    begins = [(begin + by) % total for begin in _begins(lies)]
    needles = sorted(zip(begins, _whole(lies), strict=True))
    *_, (at, (name, many)) = needles
    over = at + many - total
    if not over:
        return Lies(tuple(one for _, (one, _) in needles), tuple(n for _, (_, n) in needles))
    behind, before = _parts(name, lies)
    names = (behind, *(one for _, (one, _) in needles[:-1]), before)
    return Lies(names, (over, *(n for _, (_, n) in needles[:-1]), many - over))


def _parts(name: str, lies: Lies) -> tuple[str, str]:
    """What the parts of a needle are called that the marker lies inside of."""
    if name == "B" and (lies.names[0], lies.names[-1]) == _ROUND_B:
        return _ROUND_B
    apart = "" if name[-1:].isdigit() or len(name) == 1 else " "
    return f"{name}{apart}b", f"{name}{apart}a"


def _is_split(lies: Lies) -> bool:
    return is_split(lies.names) or (lies.names[0], lies.names[-1]) == _ROUND_B


def _whole(lies: Lies) -> list[tuple[str, int]]:
    """The needles themselves; one that the marker lies inside of stands last."""
    needles = list(zip(lies.names, lies.stitches, strict=True))
    if not _is_split(lies):
        return needles
    (name, behind), *others, (_, before) = needles
    return [*others, (name[:-1].rstrip(), behind + before)]


def _begins(lies: Lies) -> list[int]:
    """Where each of those needles begins, in stitches from the marker."""
    at = lies.stitches[0] if _is_split(lies) else 0
    begins = []
    for _, many in _whole(lies):
        begins.append(at)
        at += many
    return begins


def check_fit(section: Section, row: Row, number: int, by: int) -> None:
    """Refuse, with BadChange, borders moved from a row on where they do not fit, and say what to do."""
    if row.side is not None or len(row.before) < 2:
        raise BadChange(
            f"the {section.name} is worked on one needle, which has no borders; move them after it"
        )
    shaped = next((one for one in _from(section, number) if not stays(one)), None)
    if shaped is not None:
        raise BadChange(
            f"{_what(shaped)} in round {shaped.number} of the {section.name} where needles meet; leave the "
            "borders, and pull the first 2 stitches of each needle tight"
        )
    if not by:
        raise BadChange("borders that move by 0 stay; write +2 or -2")
    whole = min(many for _, many in _whole(how(row)))
    if abs(by) >= whole:
        raise BadChange(
            f"a needle holds {whole} stitches; move the borders by fewer, like +2 or -2"
        )


def how(row: Row) -> Lies:
    """How a round of a pattern lies."""
    return Lies(tuple(needle.name for needle in row.needles), row.before)


def _from(section: Section, number: int) -> Sequence[Row]:
    return [row for row in section.rows if row.number >= number]


def stays(row: Row) -> bool:
    """Whether borders may lie anywhere in a row: worked in the round, every needle keeps its stitches."""
    return row.side is None and row.before == tuple(needle.leaves for needle in row.needles)


def goes_on(section: Section, planned: Lies) -> bool:
    """Whether moved borders may stay where they are over the section that follows: it lies as the one before
    it was planned to, and takes and adds no stitches.
    """
    even = (
        section.worked == "rounds"
        and section.kind not in CLOSED_BY
        and all(map(stays, section.rows))
    )
    return even and how(section.rows[0]) == planned


def _what(row: Row) -> str:
    if row.word == "PICK":
        return "stitches are picked up"
    return "stitches are taken or added"
