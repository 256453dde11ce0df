"""A reader of written rows of its own: so many stitches on a needle, so much work, so many after it.

It knows what these socks are written in and nothing of how the program computes or reads.
"""

from __future__ import annotations

import re
from typing import NamedTuple

TAKES = {
    "k": 1, "p": 1, "sl": 1, "k2tog": 2, "ssk": 2, "p2tog": 2, "rest": 1, "graft": 1, "draw up": 1,
    "pick up": 0, "take up": 0, "DS": 1, "M1L": 0, "M1R": 0, "M1": 0, "BO": 1, "yo": 0,
    "kfb": 1,
}  # fmt: skip
NOT_MADE = {"sl", "rest", "graft", "draw up", "BO"}
_GONE = {"graft", "draw up", "BO"}
_STITCH = re.compile(
    r"(k2tog|kfb|ssk|p2tog|yo|pick up|take up|draw up|graft|rest|M1[LR]?|BO|sl|DS|k|p)(?: tbl)?"
    r"(?: ?(?:(\d+)|to last (\d+)|to end|all))?(?: tbl)?(?: [a-h]\b)?"
)
_CABLE = re.compile(r"C(\d+)[FB]")
_REPEAT = re.compile(r"\*(.+?); rep from \* to end")
_TIMES = re.compile(r"\[(.+?)\] (\d+) times")


class Worked(NamedTuple):
    """What hangs on the needle after it, and the stitches made in the fabric."""

    leaves: int
    made: int


class _Needle:
    def __init__(self, stitches: int) -> None:
        self.left, self.on, self.made = stitches, 0, 0
        self.turned = False

    def items(self, text: str) -> None:
        while text:
            text = self._one(text.removeprefix(", "))

    def _one(self, text: str) -> str:
        if text.startswith(("turn", "w&t")):
            self.on, self.left, self.turned = self.on + self.left, 0, True
            return text.removeprefix("turn").removeprefix("w&t")
        if repeated := _REPEAT.match(text):
            while self.left:
                self.items(repeated[1])
            return text[repeated.end() :]
        if times := _TIMES.match(text):
            for _ in range(int(times[2])):
                self.items(times[1])
            return text[times.end() :]
        if cable := _CABLE.match(text):
            self.items(f"k{cable[1]}")
            return text[cable.end() :]
        stitch = _STITCH.match(text)
        assert stitch, text
        self._stitch(stitch)
        return text[stitch.end() :]

    def _stitch(self, stitch: re.Match[str]) -> None:
        name, count, last = stitch.groups()
        told = re.sub(r" [a-h]$", "", stitch[0])
        bare = told.removesuffix(" tbl") == name and name in ("k", "p")
        if count:
            times = int(count)
        elif last:
            times = self.left - int(last)
        else:
            times = self.left if bare or stitch[0].endswith(("to end", "all")) else 1
        for _ in range(times):
            assert self.left >= TAKES[name], f"{name} on {self.left}"
            self.left -= TAKES[name]
            each = 2 if name == "kfb" else 1
            self.on += each * (name not in _GONE)
            self.made += each * (name not in NOT_MADE)


def work(text: str, stitches: int) -> Worked:
    """Work `text` on a needle that holds `stitches`; every one must be used up."""
    needle = _Needle(stitches)
    needle.items(text)
    if text.startswith("DS"):
        # After a turn inside a heel stitches may lie behind where the row begins.
        needle.on, needle.left = needle.on + needle.left, 0
    assert needle.left == 0, f"{text!r} on {stitches} leaves {needle.left} unworked"
    return Worked(needle.on, needle.made)
