"""How a sock lies on its needles: their names, where heel and instep are, and where a round begins.

On a set of five or four a round begins at the centre back, and the heel is on the first and the
last needle. On two circulars, or one long circular in two loops, it begins at the side: needle A
holds the instep, needle B the heel. One short circular has the whole round: it is counted like a set of
four, whose stitches it then holds together (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from tracker.pattern import fit
from tracker.pattern.model import AT_SIDE, ONE_NEEDLE, Side
from tracker.records import NamedTuple

Held = TypeVar("Held")


class Layout(NamedTuple):
    """One set of needles: `names` of the working ones; does a round begin at the side?"""

    names: tuple[str, ...]
    at_side: bool
    together: bool = False
    """Whether all of it is on one needle."""

    @property
    def flap_begins(self) -> Side:
        """The side of the first row of flap and turn."""
        return "RS" if self.at_side else "WS"

    def around(self, sole: int, instep: int) -> tuple[int, ...]:
        """The stitches on every needle with `sole` (or heel) and `instep` in their places."""
        if self.at_side:
            return instep, sole
        first, last = fit.halves(sole)
        if len(self.names) == 3:
            return first, instep, last
        return (first, *fit.halves(instep), last)

    def instep(self, needles: Sequence[Held]) -> tuple[Held, ...]:
        """Of what is on every needle, counts or work, that on the instep."""
        return tuple(needles[:1] if self.at_side else needles[1:-1])

    @property
    def instep_names(self) -> tuple[str, ...]:
        """The names of the needles that hold the instep."""
        return self.names[:1] if self.at_side else self.names[1:-1]

    def evenly(self, stitches: int, unit: int) -> tuple[int, ...]:
        """Cuff and leg on the needles, shared so that each begins with the same stitch of a repeat.

        A set of four has the instep on one needle from the cast-on, so that nothing moves later.
        """
        if len(self.names) == 3:
            return self.around(stitches // 2, stitches - stitches // 2)
        return fit.share(stitches, len(self.names), unit)

    def starts(self, needles: Sequence[int]) -> list[int]:
        """How many stitches of a round lie before each needle."""
        return [sum(needles[:place]) for place in range(len(needles))]

    def shaped(self, instep: Sequence[str], beginning: int, ending: int) -> list[str]:
        """A round with decreases at the sole's edges: so many where it begins, and where it ends.

        `instep` is the work of the instep's needles.
        """
        if self.at_side:
            return [*instep, shaping(beginning, ending)]
        # The sole ends on the first needle of the round, and begins on the last.
        return [shaping(0, ending), *instep, shaping(beginning, 0)]

    def toe(self) -> list[str]:
        """The decrease round of a wedge toe: one stitch at each end of sole and instep."""
        if self.at_side:
            return [shaping(1, 1)] * 2
        middle = [shaping(1, 1)] if len(self.names) == 3 else [shaping(1, 0), shaping(0, 1)]
        return [shaping(0, 1), *middle, shaping(1, 0)]

    def toe_takes(self) -> list[int]:
        """How many stitches that round takes from every needle."""
        return [work.count("k2tog") + work.count("ssk") for work in self.toe()]


_NAMES = {
    "five": ("N1", "N2", "N3", "N4"),
    "four": ("N1", "N2", "N3"),
    "two circulars": ("A", "B"),
    "long circular": ("A", "B"),
    ONE_NEEDLE: ("N1", "N2", "N3"),
}
LAYOUTS = {
    set_: Layout(names, at_side=set_ in AT_SIDE, together=set_ == ONE_NEEDLE)
    for set_, names in _NAMES.items()
}
"""By needles.set; the free needle of a set has no name."""


def shaping(beginning: int, ending: int) -> str:
    """A needle's work with decreases one stitch in from its beginning and its end."""
    first = ", ".join(["k1", *["ssk"] * beginning]) if beginning else ""
    taken = ", ".join(["k2tog"] * ending)
    last = f"k to last {2 * ending + 1}, {taken}, k1" if ending else "k to end"
    if not beginning:
        return last if ending else "k"
    return f"{first}, {last}"


def growing(beginning: int, ending: int) -> str:
    """A needle's work with an increase one stitch in from its beginning, its end, or both."""
    first = "k1, M1L, " if beginning else ""
    last = "k to last 1, M1R, k1" if ending else "k to end"
    return f"{first}{last}" if beginning or ending else "k"
