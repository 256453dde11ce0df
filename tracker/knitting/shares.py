"""How a sock is shared out among its colours: the stitches that each of them makes, by the stripes' clock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from tracker.knitting.course import Course
from tracker.knitting.stripes import Threads


def stitches_by_colour(course: Course, ended: Sequence[int] = ()) -> Mapping[str, int]:
    """Stitches of one sock by colour, most first; empty where no colours are told.

    `ended` are the rows that its first sections had; those to come are as planned.
    """
    threads = Threads(course, ended)
    stitches: Counter[str] = Counter()
    for index in range(len(course.sections)):
        for row in range(threads.rows(index)):
            thread = threads.at(index, row)
            if thread is not None:
                stitches[thread.name] += course.row(index, row).worked
    return dict(stitches.most_common())
