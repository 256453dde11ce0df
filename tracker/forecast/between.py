"""What lies between two marks of a sock: rounds of each fabric, and its heel."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.forecast import length
from tracker.forecast.length import Counts, Fabric, Reading
from tracker.knitting.course import Course
from tracker.knitting.state import Sock, TapeReading
from tracker.pattern.marks import fabric_of
from tracker.pattern.model import FIRST_HALF, HEEL_PLACE, Goal, Mark, Section


def heel_rows(sections: Sequence[Section]) -> int:
    """Rows that the heel of a sock is long: those of its turn and one, or those of one half."""
    if _planned(sections, HEEL_PLACE) is not None:
        return 0  # the foot is measured from where the heel will be
    half = _planned(sections, FIRST_HALF)
    return 1 + (_planned(sections, "turn") or 0) if half is None else half // 2 * 2


def gusset_and_heel_mm(sections: Sequence[Section], rows_per_100mm: float) -> float:
    """From the toe up: how long (mm) gusset and heel are, which the foot's length is less."""
    return (heel_rows(sections) + (_planned(sections, "gusset") or 0)) * 100 / rows_per_100mm


def _planned(sections: Sequence[Section], kind: str) -> int | None:
    """The rows of the first section of a kind, or of that name; None where there is none."""
    return next((one.planned for one in sections if kind in (one.name, one.kind)), None)


class Between:
    """The marks of a sock on its own course, and the rounds that lie from them to the needle."""

    def __init__(self, course: Course, sock: Sock) -> None:
        self._sections = course.sections
        self._ended = sock.ended
        toe = course.find("toe")
        self.heel_rows = heel_rows(course.sections)
        """Rows by which the depth of a heel is guessed."""
        self.toe = 0
        """Rounds of the toe, a set-up round among them: it is as long as any."""
        if toe is not None:
            self.toe = self._sections[toe].rows_to(self._sections[toe].planned)
        foot = course.find("foot") if course.pattern.toe_up else None
        self._led_into = foot if foot is not None and not self._sections[foot].first else None
        gusset = course.find("gusset") if course.pattern.toe_up else None
        self._gusset = 0 if gusset is None else self._sections[gusset].planned

    def usual(self, section: int) -> Mark:
        """From where a section is measured if no mark is named."""
        marks = self._sections[section].marks
        return marks[0] if marks else "section"

    def included(self, goal: Goal) -> Counts:
        """What follows a section and is of its goal: the toe, or from the toe up gusset and heel."""
        if goal.less_heel:
            return Counts(foot=self._gusset, heel=1)
        return Counts(foot=self.toe) if goal.less_toe else Counts()

    def counts(self, mark: Mark, section: int, rows: int) -> Counts:
        """What lies between `mark` and the needle after `rows` rows of a section."""
        grown: dict[Fabric, float] = {"cuff": 0, "leg": 0, "foot": 0}
        for index in range(self._first_from(mark, section), section):
            grown[fabric_of(self._sections[index])] += self._rows_of(index)
        grown[fabric_of(self._sections[section])] += rows
        if self._led_into is not None and mark == "cast-on" and self._led_into <= section:
            # The round from a toe to the centre of the sole has no number, but is as long as any.
            grown["foot"] += 1
        return Counts(**grown, heel=1 if mark == "heel" else 0)

    def reading(self, taken: TapeReading) -> Reading:
        """A reading as it is learned from."""
        counts = self.counts(taken.mark, taken.section, taken.row)
        sigma = length.reading_sigma(taken.mark, taken.rough, taken.step_mm)
        said = taken.verdict
        return Reading(taken.mm, counts, sigma, said == "right", said == "void")

    def _first_from(self, mark: Mark, section: int) -> int:
        """The first section that lies between a mark and this one."""
        if mark == "section":
            return section
        first = section
        while first and mark in self._sections[first - 1].marks:
            first -= 1
        if mark == "cuff":
            return first
        return 0 if mark == "cast-on" else first

    def _rows_of(self, index: int) -> float:
        """Rows of a section that lies behind her, or as planned."""
        return self._ended[index] if index < len(self._ended) else self._sections[index].planned
