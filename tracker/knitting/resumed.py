"""A replay that goes on from a kept fold: the acts before it are read only where one of them is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from tracker.knitting import replay
from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.fold import Fold
from tracker.knitting.read_late import ReadLate
from tracker.knitting.replay import Replay
from tracker.knitting.state import State
from tracker.records import NamedTuple


class Checkpoint(NamedTuple):
    """Where a pair was after event `number`, with which `live` acts stood.

    `ticked_at` is when it was ticked last (ms UTC); `patterns` were told since it was begun, the last of them
    this `pattern` (None where none was). `state` holds all else.
    """

    number: int
    live: int
    ticked_at: int | None
    patterns: int
    pattern: str | None
    state: State

    def thawed(self, course: Course) -> Fold:
        """The fold that was kept, of a pair begun with that course. Raises ValueError where it is none."""
        from tracker.knitting.growing import course_of  # most pairs keep their pattern

        now = course if self.pattern is None else course_of(self.pattern, course)
        return Fold.thaw(now, self.state, self.ticked_at, self.patterns)


def checkpoint_of(running: Replay) -> Checkpoint | None:
    """The newest that can be kept of a replay; None where there is none yet."""
    found = running.settled()
    if found is None:
        return None
    number, live, fold = found
    pattern = fold.course.pattern.text if fold.patterns else None
    return Checkpoint(number, live, fold.ticked_at, fold.patterns, pattern, fold.freeze())


class Resumed(Replay):
    """The replay of all events of a pair, of which only those after a checkpoint are there yet."""

    def __init__(
        self,
        course: Course,
        kept: Checkpoint,
        events: Iterable[Event],
        earlier: Callable[[], Iterable[Event]],
    ) -> None:
        """`events` are those after the checkpoint; `earlier` reads those up to it.

        Raises ValueError where the checkpoint is none of this pattern, BadHistory and UnknownAct.
        """
        super().__init__(course, ())
        if kept.live % replay.KEYFRAME or not 0 < kept.live <= kept.number:
            raise ValueError("no fold is kept there")
        self._reads = earlier
        self._whole: Replay | None = None
        self.events = kept.number
        self._fold = kept.thawed(course)
        self._live = ReadLate([], kept.live, lambda: self._before()._live)
        below = (_Below(frame, self._before) for frame in range(1, kept.live // replay.KEYFRAME))
        self._keyframes += [*below, self._fold.copy()]
        lowest = min((self._scan(event) for event in events), default=kept.live)
        self.reached_under = lowest < kept.live
        """Whether acts since took back, or moved, what had been folded in before: then all is read."""
        if self.reached_under:
            self._refold(lowest)
        else:
            self._extend(kept.live)
        self.row_since = self.events

    def _before(self) -> Replay:
        """The replay of the events up to the checkpoint."""
        if self._whole is None:
            self._whole = Replay(self.started, self._reads())
            self._moved = {**self._whole._moved, **self._moved}
            self._reached = [*self._whole._reached, *self._reached]
        return self._whole


class _Below:
    """A fold of acts before the checkpoint: made where one of them is taken back."""

    def __init__(self, frame: int, before: Callable[[], Replay]) -> None:
        self._frame, self._made = frame, before

    def copy(self) -> Fold:
        """An accumulator with that state."""
        return self._made()._keyframes[self._frame].copy()
