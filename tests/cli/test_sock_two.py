"""Sock two through the commands alone, by what `left` announces, after a sock one that went its own way."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.cli.stitches import work
from tests.examples import IN_ALL

EVENING = (
    "changed needle 2.25", "changed set four", "changed set 20/22/22", "changed other purled",
    "changed skipped-decrease", "changed extra-decrease", "changed picked-up 17/15", "rip --by 4",
    "rip --by 9", "at 12", "undo", "redo", "undo", "lifeline", "target 15.5cm", "measure 14cm",
    "rest scrap", "note ends", "count 64", "weigh 80",
)  # fmt: skip
"""What may become of sock one; what cannot be where she is, is refused."""


def sock_one(pair: Instep, by: Random) -> None:
    """To the graft, with an act of the evening after every few rows; open sections end as they like."""
    refused = 0
    for act in range(10_000):
        left = pair.json("left", "--sock", "1")
        if left["next"] is None:
            assert refused < act, "not everything was refused"
            return
        pair.run("tick", str(by.randint(1, 14)))
        if left["done"] > by.randint(4, 14):
            pair.run("end")
        if act < 40 and by.random() < 0.6:
            code, _, said = pair.run(*by.choice(EVENING).split())
            assert code == 0 or said.startswith("instep: ")
            refused += code
    raise AssertionError("it is never finished")


def follow(pair: Instep) -> tuple[list[tuple[str, int, str]], str]:
    """Knit all of sock two by `left`; its rows, and all that was said of sock one on the way."""
    rows, told = [], ""
    left = pair.json("left")
    while left["next"] is not None:
        told += "".join(cue["text"] for cue in left["cues"] if cue["kind"] == "copy")
        row: Any = left["next"]
        for needle, now in zip(row["needles"], left["needles"], strict=True):
            assert work(needle["work"], now["stitches"]).leaves == needle["leaves"]
        held = "/".join(str(needle["stitches"]) for needle in left["needles"])
        rows.append((left["section"], row["number"], held))
        left = pair.json("tick")
    return rows, told


@pytest.mark.parametrize("seed", range(1, 9) if IN_ALL else [3])
def test_by_what_is_announced_sock_two_is_in_step(pair: Instep, seed: int) -> None:
    sock_one(pair, Random(seed))  # noqa: S311 - no secret
    assert pair.json("other")["sock"] == 2
    rows, told = follow(pair)
    if seed == 3:
        assert "as on sock one" in told, len(told)
    left = pair.json("left")
    assert left["in_step"]
    assert left["lag"] == {"stitches": 0, "rounds": 0, "minutes": left["lag"]["minutes"]}
    printed = " ".join(pair.ok("write", "night-ferry").split())
    assert "Not alike" not in printed
    assert len(rows) == len(set(rows))
