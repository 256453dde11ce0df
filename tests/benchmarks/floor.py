"""Everything that she waits for, measured against the floor of each on this machine: a table of ratios.

Run it: python -m tests.benchmarks.floor
Every two peers run in turn in one run, so that the ratio says what the program costs, whatever the
machine. Takes some minutes; exit code 1 where a bound is missed.
"""

from __future__ import annotations

import sys

from tests.benchmarks import at_terminal, inside, processes
from tests.benchmarks.plan_and_audit import MOST, timed
from tests.benchmarks.ratio import Ratio


def a_plan() -> Ratio:
    """A sock of 64 stitches planned and audited."""
    timed(48)  # the interpreter is warm before the first
    found = timed(64)
    what = f"a 64-stitch sock computed, audit included ({found.stitches:,} sts)"
    return Ratio(what, "as many integers popped and pushed", found.planned, found.bare, MOST)


def main() -> int:
    """Print the table; 1 where a row is too slow."""
    bad = 0
    for rows in (at_terminal.rows, processes.rows, inside.rows, lambda: [a_plan()]):
        for ratio in rows():
            print(ratio.line(), flush=True)
            bad += not ratio.holds
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
