"""The replay of a pair: which acts are live, and the state they fold into."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.fold import Fold
from tracker.knitting.state import State

KEYFRAME = 128
"""Live acts between two kept copies of the fold: what taking one act back has to redo, at most."""


class BadHistory(Exception):
    """Events that contradict each other; the message names the event."""


def fold_in(fold: Fold, event: Event) -> None:
    """Fold an act in. Raises BadHistory where its fields are not those of its kind."""
    try:
        fold.apply(event)
    except (KeyError, ValueError, TypeError, IndexError, ArithmeticError):
        raise BadHistory(f"event {event.number} ({event.kind}) cannot be replayed") from None


class Replay:
    """A pair's events, folded as they come.

    An act is pushed and clears what could be done again; undo pops the act it names, redo
    pushes it back. The state is the fold of the acts that are live, in order.
    """

    def __init__(self, course: Course, events: Iterable[Event]) -> None:
        self.started = course
        """The course that the pair was begun with."""
        self.events = 0
        self._live: list[Event] = []
        self._undone: list[Event] = []
        self._moved: dict[int, list[Event]] = {}
        """The ticks that stood before they were moved to the other sock, by the event that moved them."""
        self._fold = Fold(course)
        self._keyframes = [self._fold.copy()]
        for event in events:
            self._scan(event)
        self._extend(0)

    @property
    def state(self) -> State:
        """The state after all events so far."""
        return self._fold.freeze()

    @property
    def course(self) -> Course:
        """The course in force after all events so far."""
        return self._fold.course

    @property
    def undoable(self) -> Event | None:
        """The act that undo would take back now; the start of a pair stays."""
        return self._live[-1] if len(self._live) > 1 else None

    @property
    def redoable(self) -> Event | None:
        """The act that redo would bring back now."""
        return self._undone[-1] if self._undone else None

    @property
    def live(self) -> tuple[int, ...]:
        """The numbers of the acts that stand."""
        return tuple(event.number for event in self._live)

    def last_acts(self, most: int) -> tuple[Event, ...]:
        """The last acts that stand, oldest first; the start of a pair is none."""
        return tuple(self._live[1:][-most:]) if most > 0 else ()

    def ticks_at_the_end(self, sock: int) -> int:
        """How many of the last acts that stand are ticks on a sock, one after the other."""
        count = 0
        for event in reversed(self._live):
            if event.kind != "tick" or event.sock != sock:
                break
            count += 1
        return count

    def trial(self) -> Fold:
        """A copy of the fold, to try an act on before it is recorded."""
        return self._fold.copy()

    def apply(self, event: Event) -> None:
        """Take in the next event. Raises BadHistory where it contradicts those before."""
        folded = len(self._live)
        stay = self._scan(event)
        if stay < folded:
            self._refold(stay)
        else:
            self._extend(folded)

    def _scan(self, event: Event) -> int:
        """Take an event in unfolded; how many of the acts that stood before it stand still, as they did."""
        if event.number != self.events + 1:
            raise BadHistory(f"event {event.number} follows event {self.events}")
        if event.kind == "undo":
            taken = self._popped(self._live, event)
            self._undone.append(taken)
            stay = len(self._live)
            self._live += self._moved.get(taken.number, [])
        elif event.kind == "redo":
            brought = self._popped(self._undone, event)
            stay = len(self._live) - len(self._moved.get(brought.number, []))
            self._live[stay:] = [brought]
        else:
            stay = len(self._live)
            if event.kind == "tick" and "over" in event.data:
                self._moved[event.number] = self._over(event)
                stay -= len(self._moved[event.number])
            self._live[stay:] = [event]
            self._undone.clear()
        self.events = event.number
        return stay

    def _over(self, event: Event) -> list[Event]:
        """The ticks that an event moves to its sock: the last of the acts that stand."""
        over = event.data["over"]
        if not isinstance(over, list) or not all(type(number) is int for number in over):
            raise BadHistory(f"event {event.number} ({event.kind}) moves ticks that are not there")
        ticks = self._live[1:][-len(over) :] if over else []
        right = all(tick.kind == "tick" and tick.sock != event.sock for tick in ticks)
        if not ticks or [tick.number for tick in ticks] != over or not right:
            raise BadHistory(f"event {event.number} ({event.kind}) moves ticks that are not there")
        return ticks

    def _popped(self, stack: list[Event], event: Event) -> Event:
        if not stack or stack[-1].number != event.data.get("of") or stack[-1].kind == "started":
            raise BadHistory(f"event {event.number} ({event.kind}) names an act that is not there")
        return stack.pop()

    def _extend(self, folded: int) -> None:
        """Fold the live acts in, of which the first `folded` are in already."""
        for place in range(folded, len(self._live)):
            if place % KEYFRAME == 0:
                del self._keyframes[place // KEYFRAME :]
                self._keyframes.append(self._fold.copy())
            fold_in(self._fold, self._live[place])

    def _refold(self, unchanged: int) -> None:
        """Fold the live acts again, of which the first so many are those they were."""
        frame = min(unchanged // KEYFRAME, len(self._keyframes) - 1)
        self._fold = self._keyframes[frame].copy()
        self._extend(frame * KEYFRAME)
