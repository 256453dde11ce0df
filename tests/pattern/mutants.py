"""Wrong copies of a written row, and arithmetic that says which of them change a count.

The arithmetic has a table of its own and works on numbers alone; it shares nothing with the
readers of the program.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

_TABLE = {
    "k": (1, 1), "p": (1, 1), "sl": (1, 1), "rest": (1, 1), "k2tog": (2, 1), "ssk": (2, 1),
    "p2tog": (2, 1), "M1": (0, 1), "pick up": (0, 1), "take up": (0, 1), "graft": (1, 0), "draw up": (1, 0),
}  # fmt: skip
_DECREASE = re.compile(r"\b(k2tog|ssk|p2tog)\b")
_NUMBER = re.compile(r"(?<!M)\d+(?!\d|tog)")


class Counts(NamedTuple):
    """What every needle holds after a row, and how many stitches were left unworked in all."""

    holds: tuple[int, ...]
    unworked: int


def mutants(text: str) -> Iterator[str]:
    """Every wrong copy of `text`; its claim stays as it was."""
    work, equals, claim = text.partition(" =")
    rest = f"{equals}{claim}"
    for found in _NUMBER.finditer(work):
        for by in (-1, 1):
            number = max(0, int(found[0]) + by)
            yield f"{work[: found.start()]}{number}{work[found.end() :]}{rest}"
    for found in _DECREASE.finditer(work):
        yield f"{work[: found.end()]}, {found[0]}{work[found.end() :]}{rest}"
        yield _without_bare_commas(f"{work[: found.start()]}{work[found.end() :]}") + rest
    if work.endswith(", turn"):
        yield work.removesuffix(", turn") + rest
    parts = work.split(" | ")
    for one, other in combinations(range(len(parts)), 2):
        if parts[one] != parts[other]:
            swapped = [*parts]
            swapped[one], swapped[other] = parts[other], parts[one]
            yield " | ".join(swapped) + rest


def _without_bare_commas(work: str) -> str:
    """The row with no comma left that parts nothing."""
    work = re.sub(r"\s*,\s*(?=[,;\]]|$)", "", work)
    work = re.sub(r"\s*,\s*(?=\|)", " ", work)
    return re.sub(r"(^|[|:*\[])\s*,\s*", r"\1 ", work).replace("  ", " ").strip()


def counts(text: str, before: Sequence[int]) -> Counts | None:
    """The counts of a row over needles that hold `before`; None where it cannot be worked."""
    work = re.sub(r"^(RS|WS): ", "", text.partition(" =")[0])
    parts = work.split("|")
    on = list(before) if len(parts) > 1 else [sum(before)]
    if len(parts) != len(on):
        return None
    holds, unworked = [], 0
    for part, live in zip(parts, on, strict=True):
        if not part.strip():
            holds.append(live)  # this needle rests
            continue
        turns = part.strip().endswith("turn")
        worked = _needle(part.strip().removesuffix("turn").rstrip(" ,"), live)
        if worked is None:
            return None
        left, made = worked
        if left and not turns:
            return None
        holds.append(left + made)
        unworked += left
    return Counts(tuple(holds), unworked)


def _needle(part: str, live: int) -> tuple[int, int] | None:
    """(left, made) of one needle's work over `live` stitches."""
    made = 0
    for item in _items(part):
        if item.startswith(("*", "[")):
            inside, times = _bracket(item)
            rounds = 0
            while (times is None and live > 0) or (times is not None and rounds < times):
                done = _needle(inside, live)
                if done is None:
                    return None
                live, more = done
                made, rounds = made + more, rounds + 1
            continue
        done = _stitches(item, live)
        if done is None:
            return None
        live, more = done
        made += more
    return live, made


def _items(part: str) -> list[str]:
    found = re.findall(r"\s*(\*[^;]*;[^,]*|\[[^\]]*\][^,]*|[^,\[*\s][^,]*)", part)
    return [item.strip() for item in found]


def _bracket(item: str) -> tuple[str, int | None]:
    if item.startswith("*"):
        return item[1:].partition(";")[0], None
    inside, _, times = item[1:].partition("]")
    return inside, int(times.split()[0])


def _stitches(item: str, live: int) -> tuple[int, int] | None:
    found = re.fullmatch(
        r"([a-z0-9 ]*?[a-z]|M1|k2tog|p2tog)\s*(\d+)?(?: tbl)?( to end| to last (\d+))?", item
    )
    if item in ("k2tog", "ssk", "p2tog", "M1"):
        name, number = item, 1
    elif far := re.fullmatch(r"([kp]) to (?:end|last (\d+))", item):
        name, number = far[1], live - int(far[2] or 0)
    elif found is not None:
        name, number = found[1], int(found[2]) if found[2] else live
    else:
        return None
    takes, leaves = _TABLE[name]
    if number < 0 or takes * number > live:
        return None
    return live - takes * number, leaves * number
