"""What can be plotted of a pair, each plot with its sentence: no picture says what no words say."""

from __future__ import annotations

from collections.abc import Sequence

from tracker import plot_words as said
from tracker.forecast import series
from tracker.forecast.series import Growth, Pace, Sitting, Tight
from tracker.forecast.tapes import Tapes
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number, State
from tracker.pattern.model import Mark
from tracker.records import NamedTuple
from tracker.units import Unit

NAMES = ("length", "pace", "sittings", "tension")


class Plots(NamedTuple):
    """What is drawn of a pair.

    `example` is a reading as it is typed, `key` the key that takes it, `mark` where it would be laid now,
    and `to_come` whether a later section of the sock is measured.
    """

    title: str
    sock: Number
    of_socks: bool
    unit: Unit
    growth: Growth | None
    paces: tuple[Pace, ...]
    sittings: tuple[Sitting, ...]
    tensions: tuple[Tight, ...]
    mark: Mark | None
    to_come: bool
    gauge: bool
    example: str
    key: str
    toe_up: bool = False


def plots_of(course: Course, state: State, example: str, key: str) -> Plots:
    """The plots of a pair, of the sock in hand where it is one sock's."""
    pattern, tapes, hand = course.pattern, Tapes(course, state), state.hand
    here = state.sock(hand).section
    finished = state.sock(hand).finished
    marks = course.sections[here].marks if not finished else ()
    to_come = not finished and any(section.marks for section in course.sections[here + 1 :])
    return Plots(
        pattern.title, hand, pattern.of_socks, pattern.unit,
        series.growth(course, state, hand, tapes), series.paces(course, state), series.sittings(state),
        series.tensions(course, state, tapes),
        marks[0] if marks else None, to_come, pattern.gauge is not None, example, key, pattern.toe_up,
    )  # fmt: skip


def told(plots: Plots, at: int, *, brief: bool = False) -> tuple[str, str]:
    """The heading of a plot, and what it shows in words, or what to do to get one; `brief`: in fewer."""
    if at == 0:
        return _growth_told(plots, brief=brief)
    if at == 1:
        numbers: Sequence[Number] = (plots.sock,) if brief else BOTH
        some = said.pace_said(plots.paces, plots.of_socks, numbers)
        return "" if brief else "Minutes a round, and a row", some
    if at == 2:
        heading = "" if brief else "Stitches a minute, sitting by sitting"
        return heading, said.sittings_said(plots.sittings, brief=brief)
    heading = "" if brief else "Tension of both"
    if not plots.tensions:
        return heading, said.no_tension(plots.example, plots.key)
    return heading, said.tension_said(plots.tensions, plots.unit, plots.of_socks)


def _growth_told(plots: Plots, *, brief: bool) -> tuple[str, str]:
    found = plots.growth
    if found is None:
        if plots.mark is None and not plots.to_come:
            return "Length", said.no_more_growth(plots.sock, plots.of_socks)
        told = said.no_growth(
            plots.mark, plots.example, plots.key, gauge=plots.gauge, toe_up=plots.toe_up
        )
        return "Length", told
    title = said.growth_title(found, plots.sock, plots.of_socks)
    return title, said.growth_said(found, plots.unit, brief=brief, toe_up=plots.toe_up)
