"""A row written without needles, shared out over them in order."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern.notation import Run, Stitch, stitch_of, totals, written
from tracker.records import NamedTuple


class Share(NamedTuple):
    """What one needle has of a row: the runs on it, as text, the stitches it then holds, and what
    its runs take, leave and make. It is plain where they only knit and purl.
    """

    runs: tuple[Run, ...]
    work: str
    leaves: int
    counts: Stitch
    plain: bool


class Spread(NamedTuple):
    """The shares of all needles, and the first stitch that lies across a border ("" where none does)."""

    shares: list[Share]
    across: str


class _Spreading:
    def __init__(self, holds: Sequence[int]) -> None:
        self._ahead = list(holds)
        self._at = 0
        self.runs: list[list[Run]] = [[] for _ in holds]
        self.across = ""

    def ahead(self, place: int) -> int:
        """Stitches of a needle that no run has reached."""
        return self._ahead[place]

    def add(self, stitch: str, times: int) -> None:
        """Work so many of one stitch, going on to the next needle where one is used up."""
        takes = stitch_of(stitch).takes
        while times:
            while not self._ahead[self._at] and self._at < len(self._ahead) - 1:
                self._at += 1
            fit = min(times, self._ahead[self._at] // takes) if takes else times
            if not fit:
                fit = self._over_the_border(stitch, takes)
            else:
                self._ahead[self._at] -= fit * takes
            self._put(stitch, fit)
            times -= fit

    def _over_the_border(self, stitch: str, takes: int) -> int:
        """One stitch that takes from the needles after this one, too, and stays here."""
        self.across = self.across or stitch
        for place in range(self._at, len(self._ahead)):
            taken = min(takes, self._ahead[place])
            self._ahead[place] -= taken
            takes -= taken
        return 1

    def _put(self, stitch: str, times: int) -> None:
        runs = self.runs[self._at]
        if runs and runs[-1].stitch == stitch:
            times += runs.pop().times
        runs.append(Run(stitch, times))


def is_plain(runs: Sequence[Run]) -> bool:
    """Whether nothing is done but knit and purl.

    In a rib a stitch through the back is what is always done; alone it is worth a word.
    """
    made = {run.stitch for run in runs}
    return made <= ({"k", "p", "k tbl"} if "p" in made else {"k"})


def spread_out(made: Sequence[Run], holds: Sequence[int]) -> Spread:
    """Share runs out over needles that hold so many stitches.

    A stitch that takes from two needles stays on the first; one that takes none at a border begins
    the needle after it. The runs take no more stitches than the needles hold.
    """
    work = _Spreading(holds)
    for run in made:
        work.add(run.stitch, run.times)
    all_over = {run.stitch for run in made}
    shares = []
    for place, runs in enumerate(work.runs):
        left = work.ahead(place)
        counts = totals(runs)
        plain = runs and not left and all_over in ({"k"}, {"p"})
        text = runs[0].stitch if plain else written(runs)
        shares.append(Share(tuple(runs), text, left + counts.leaves, counts, is_plain(runs)))
    return Spread(shares, work.across)
