"""A whole pair through commands alone, from the cast-on to the graft of both socks.

Every row's written work is knitted by a reader of the test's own, which follows the counts.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.cli.stitches import work
from tests.examples import IN_ALL
from tests.knitting.knitter import SAMPLE

REPEATED = ("cuff", "leg", "foot")
"""Sections that repeat one round."""
STRETCH = 0 if IN_ALL else 7
"""Rounds that are ticked along with one that is as the one before; on demand every round is ticked alone."""
SECTIONS = ["cuff", "leg", "heel set-up", "flap", "turn", "gusset", "foot", "toe", "graft"]


@pytest.mark.parametrize(
    ("text", "before", "after"),
    [
        ("k", 16, (16, 16)),
        ("*k2, p2; rep from * to end", 16, (16, 16)),
        ("k to last 3, k2tog, k1", 26, (25, 25)),
        ("k1, ssk, k to last 3, k2tog, k1", 32, (30, 30)),
        ("sl1, p31, turn", 32, (32, 31)),
        ("[sl1, k1] 16 times, turn", 32, (32, 16)),
        ("sl1, p17, p2tog, p1, turn", 32, (31, 19)),
        ("rest 9, pick up 17", 9, (26, 17)),
        ("pick up 17, k9", 9, (26, 26)),
        ("graft 8", 8, (0, 0)),
    ],
)
def test_the_reader_reads(text: str, before: int, after: tuple[int, int]) -> None:
    assert work(text, before) == after


@pytest.mark.parametrize(("text", "before"), [("k15", 16), ("k17", 16), ("k to last 3, ssk", 16)])
def test_the_reader_finds_what_does_not_come_out(text: str, before: int) -> None:
    with pytest.raises(AssertionError):
        work(text, before)


class Sock:
    """Follows one sock by its `left` objects."""

    def __init__(self, left: Any) -> None:
        self.made = self.in_row = 0
        self.works: list[str] = []
        self.rows: dict[str, int] = {}
        self._see(left)

    def _see(self, left: Any) -> None:
        self.left = left
        self.rows[left["section"]] = left["done"]

    def work_out(self) -> list[int]:
        """Knit the next row on the counts given; what each needle must hold then."""
        made = self.made
        row = self.left["next"]
        holds = [needle["stitches"] for needle in self.left["needles"]]
        assert self.left["stitches"] == sum(holds)
        assert [needle["name"] for needle in row["needles"]] == [
            needle["name"] for needle in self.left["needles"]
        ]
        leaves = []
        for needle, stitches in zip(row["needles"], holds, strict=True):
            worked = work(needle["work"], stitches)
            assert worked.leaves == needle["leaves"]
            leaves.append(worked.leaves)
            self.made += worked.made
        assert row["leaves"] == sum(leaves)
        self.works = [needle["work"] for needle in row["needles"]]
        self.in_row = self.made - made
        return leaves

    def alike(self, last: int) -> int:
        """Rows after the next one, of those up to `last`, that may be taken as it is: where one repeats."""
        left, row = self.left, self.left["next"]
        if left["section"] not in REPEATED or row["leaves"] != left["stitches"]:
            return 0
        if [needle["work"] for needle in row["needles"]] != self.works:
            return 0
        # The last rounds are ticked one by one: what is told ahead of an end is told there.
        return max(0, min(STRETCH, last - int(row["number"]) - 3))

    def go_on(self, after: Any, leaves: list[int], more: int = 0) -> None:
        """The next `left` object must fit what was just knitted; `more` rows were as that one."""
        self.made += more * self.in_row
        before = self.left
        same = after["section"] == before["section"]
        holds = [needle["stitches"] for needle in after["needles"]]
        if same and after["next"] is not None:
            assert holds == leaves
            assert after["done"] == before["next"]["number"] + more
            assert after["next"]["number"] == after["done"] + 1
        elif after["next"] is not None:
            assert SECTIONS.index(after["section"]) == SECTIONS.index(before["section"]) + 1
            assert after["done"] == 0
            assert sum(holds) + _resting(after) == sum(leaves) + _resting(before)
        self._see(after)


def _resting(left: Any) -> int:
    return sum(needle["stitches"] for needle in left["resting"])


def knit(instep: Instep, ends: dict[str, int], by_needle: str = "") -> Sock:
    """The sock in hand by commands: open sections end at `ends`, one is ticked needle by needle."""
    sock = Sock(instep.json("left"))
    while sock.left["next"] is not None:
        last = ends.get(sock.left["section"], sock.left["planned"])
        more = sock.alike(last)
        leaves = sock.work_out()
        needles = len(leaves) if sock.left["section"] == by_needle else 1
        for ticked in range(1, needles):
            inside = instep.json("tick", "--needle")
            assert inside["needle"] == sock.left["needles"][ticked]["name"]
            assert [n["stitches"] for n in inside["needles"]][:ticked] == leaves[:ticked]
            assert inside["done"] == sock.left["done"]
        option = ["--needle"] if needles > 1 else [str(1 + more)]
        after = instep.json("tick", *option)
        sock.go_on(after, leaves, more)
        if ends.get(after["section"]) == after["done"]:
            sock.rows[after["section"]] = after["done"]
            after = instep.json("end")
            sock.go_on(after, leaves)
    return sock


def test_a_whole_pair(pair: Instep) -> None:
    """Sock one by rounds, its leg ended a round early; sock two follows, its toe by needles."""
    one = knit(pair, {"leg": 45, "foot": 44})
    # 10,416 stitches as planned (common practice, no source), less one round of the leg.
    assert one.made == 10_416 - 64
    assert one.left["lag"]["stitches"] == one.made
    assert one.left["lag"]["rounds"] == 198
    assert (one.left["section"], one.left["done"], one.left["needle"]) == ("graft", 1, None)

    pair.ok("other")
    two = knit(pair, {}, by_needle="toe")
    assert two.made == one.made
    assert two.left["lag"] == {"stitches": 0, "rounds": 0, "minutes": 0}
    assert two.left["in_step"]
    # Leg and foot of sock two ended by themselves where sock one's did.
    assert pair.ok("left").splitlines()[1:3] == [
        "Sock two is finished: the toe is grafted.",
        "Both finished, in step.",
    ]
    assert pair.wrong("tick") == "sock two is finished: nothing is left to count"
    assert pair.wrong("tick", "--sock", "1") == "sock one is finished: nothing is left to count"


def test_a_sock_on_a_set_of_four(instep: Instep, tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(SAMPLE.read_text(encoding="utf-8").replace('"five"', '"four"'), "utf-8")
    instep.ok("start", str(plan))
    assert knit(instep, {"leg": 46, "foot": 44}, by_needle="gusset").made == 10_416


def test_section_by_section_on_two_sets_of_needles(pair: Instep) -> None:
    """Both socks side by side with --sock, the sock in hand never changed."""
    for words in ("tick 22", "tick 46", "end", "tick 1", "tick 32", "tick 14", "tick 20"):
        for sock in ("1", "2"):
            left = pair.json(*words.split(), "--sock", sock)
            assert left["sock"] == int(sock)
            assert left["in_step"]
    assert pair.json("left")["sock"] == 1
    assert pair.json("left")["lag"] == {"stitches": 0, "rounds": 0, "minutes": 0}
