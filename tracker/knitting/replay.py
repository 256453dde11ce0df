"""The replay of a pair: which acts are live, and the state they fold into."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, MutableSequence, Sequence
from typing import Protocol

from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.fold import Fold
from tracker.knitting.state import Number, State
from tracker.pattern.orders import Order

KEYFRAME = 128
"""Live acts between two kept copies of the fold: what taking one act back has to redo, at most."""


LOOKED_PAST = frozenset({"count", "note", "other"})
"""Acts after ticks that were made on the wrong sock, which stay where these are moved."""


def stays(event: Event, to: int) -> bool:
    """Whether an act stays where ticks before it are moved to a sock: so do those moved there before."""
    moved = event.kind == "tick" and event.sock == to and "over" in event.data
    return moved or event.kind in LOOKED_PAST


class BadHistory(Exception):
    """Events that contradict each other; the message names the event."""


def fold_in(fold: Fold, event: Event) -> None:
    """Fold an act in. Raises BadHistory where its fields are not those of its kind."""
    try:
        fold.apply(event)
    except (KeyError, ValueError, TypeError, IndexError, AttributeError, ArithmeticError):
        raise BadHistory(f"event {event.number} ({event.kind}) cannot be replayed") from None


class _Keyframe(Protocol):
    """What is kept to fold on from."""

    def copy(self) -> Fold:
        """A fold of its own, as it was then."""


class Replay:
    """A pair's events, folded as they come.

    An act is pushed and clears what could be done again; undo pops the act it names, redo
    pushes it back. The state is the fold of the acts that are live, in order.
    """

    def __init__(self, course: Course, events: Iterable[Event]) -> None:
        self.started = course
        """The course that the pair was begun with."""
        self.events = 0
        self._live: MutableSequence[Event] = []
        self._undone: list[Event] = []
        self._moved: dict[int, tuple[int, Sequence[Event], Sequence[Event]]] = {}
        """By the event that moved ticks to the other sock: how many acts stand before them, those that
        stood from there on, and those of them that stay."""
        self._reached: list[tuple[int, int]] = []
        """Events that reached under acts before them, and how many acts they left as they stood."""
        self._fold = Fold(course)
        self.row_since = 0
        """The last event that did more than to tick needles of the row in hand."""
        self._state: State | None = None
        """The state once it was asked for, until the next event."""
        self._keyframes: list[_Keyframe] = [self._fold.copy()]
        for event in events:
            self._scan(event)
        self._extend(0)
        self.row_since = self.events

    @property
    def state(self) -> State:
        """The state after all events so far."""
        if self._state is None:
            self._state = self._fold.freeze()
        return self._state

    @property
    def course(self) -> Course:
        """The course in force after all events so far."""
        return self._fold.course

    @property
    def order(self) -> Order:
        """The order of work in force."""
        return self._fold.order

    @property
    def hand(self) -> Number:
        """The sock in hand."""
        return self._fold.hand

    @property
    def works_in_rounds(self) -> bool:
        """Whether the section that the sock in hand is in is worked in rounds."""
        return self._fold.works_in_rounds

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

    @property
    def last_tick(self) -> Event | None:
        """The last tick that stands, if no more than counts, notes and changes of sock came after it."""
        acts = (event for event in self._from_top() if event.kind not in LOOKED_PAST)
        last = next(acts, None)
        return last if last is not None and last.kind == "tick" else None

    def ticks_for(self, to: int) -> Iterator[Event]:
        """The last ticks that stand and can be moved to a sock, from the last on.

        They are one after the other, but for what is looked past and for ticks moved there before.
        """
        for event in self._from_top():
            if stays(event, to):
                continue
            if event.kind != "tick" or event.sock == to or "both" in event.data:
                return
            yield event

    def _from_top(self) -> Iterator[Event]:
        """The acts that stand but the start of the pair, newest first; none is touched before its turn."""
        return (self._live[at] for at in range(len(self._live) - 1, 0, -1))

    def trial(self) -> Fold:
        """A copy of the fold, to try an act on before it is recorded."""
        return self._fold.copy()

    def settled(self) -> tuple[int, int, Fold] | None:
        """The newest kept fold that no act since has reached under, with room to take some back.

        The number of the last event in it, and how many acts then stood; None where there is none yet.
        """
        for frame in range((len(self._live) - KEYFRAME // 2) // KEYFRAME, 0, -1):
            live, fold = frame * KEYFRAME, self._keyframes[frame]
            number = self._live[live - 1].number if isinstance(fold, Fold) else 0
            under = (stay < live for event, stay in self._reached if event > number)
            if isinstance(fold, Fold) and not any(under):
                return number, live, fold.copy()
        return None

    def apply(self, event: Event) -> None:
        """Take in the next event. Raises BadHistory where it contradicts those before."""
        self._state = None
        folded, rows = len(self._live), self._fold.rows()
        stay = self._scan(event)
        if stay < folded:
            self._refold(stay)
        else:
            self._extend(folded)
        if event.kind != "tick" or stay < folded or self._fold.rows() != rows:
            self.row_since = event.number

    def keep(self, events: Sequence[Event]) -> None:
        """The last events applied, as they were committed: those that stand are held no second time."""
        place = len(self._live)
        for event in reversed(events):
            # What is taken back leaves older acts on top, which nobody need read for this.
            if event.kind in ("undo", "redo") or self._live[place - 1].number != event.number:
                return
            place -= 1
            self._live[place] = event

    def _scan(self, event: Event) -> int:
        """Take an event in unfolded; how many of the acts that stood before it stand still, as they did."""
        stood = len(self._live)
        stay = self._stacked(event)
        if stay < stood:
            # Whoever asks what was reached under since some event is answered by the lowest alone.
            while self._reached and self._reached[-1][1] >= stay:
                self._reached.pop()
            self._reached.append((event.number, stay))
        return stay

    def _stacked(self, event: Event) -> int:
        """Push the act, take one back or bring one again; as `_scan`."""
        if event.number != self.events + 1:
            raise BadHistory(f"event {event.number} follows event {self.events}")
        if event.kind == "undo":
            taken = self._popped(self._live, event)
            self._undone.append(taken)
            stay, stood, _ = self._moved.get(taken.number, (len(self._live), [], []))
            self._live[stay:] = stood
        elif event.kind == "redo":
            brought = self._popped(self._undone, event)
            stay, _, kept = self._moved.get(brought.number, (len(self._live), [], []))
            self._live[stay:] = [*kept, brought]
        else:
            stay = len(self._live)
            if event.kind == "tick" and "over" in event.data:
                self._moved[event.number] = self._over(event)
                stay, _, kept = self._moved[event.number]
                self._live[stay:] = kept
            self._live.append(event)
            self._undone.clear()
        self.events = event.number
        return stay

    def _over(self, event: Event) -> tuple[int, Sequence[Event], Sequence[Event]]:
        """The acts before the ticks that an event moves to its sock, those from there on, and what stays."""
        over = event.data["over"]
        if not isinstance(over, list) or not all(type(number) is int for number in over):
            raise BadHistory(f"event {event.number} ({event.kind}) moves ticks that are not there")
        from_top = enumerate(self._from_top(), start=1)
        below = (at for at, act in from_top if act.number == over[0])
        stay = len(self._live) - next(below, len(self._live)) if over else 0
        stood = self._live[stay:]
        ticks = [act for act in stood if not stays(act, event.sock)]
        right = all(tick.kind == "tick" and tick.sock != event.sock for tick in ticks)
        if not stay or [tick.number for tick in ticks] != over or not right:
            raise BadHistory(f"event {event.number} ({event.kind}) moves ticks that are not there")
        return stay, stood, [act for act in stood if stays(act, event.sock)]

    def _popped(self, stack: MutableSequence[Event], event: Event) -> Event:
        if not stack or stack[-1].number != event.data.get("of") or stack[-1].kind == "started":
            raise BadHistory(f"event {event.number} ({event.kind}) names an act that is not there")
        return stack.pop()

    def _extend(self, folded: int) -> None:
        """Fold the live acts in, of which the first `folded` are in already."""
        fold = self._fold
        for place in range(folded, len(self._live)):
            if place % KEYFRAME == 0:
                del self._keyframes[place // KEYFRAME :]
                self._keyframes.append(fold.copy())
            fold_in(fold, self._live[place])

    def _refold(self, unchanged: int) -> None:
        """Fold the live acts again, of which the first so many are those they were."""
        frame = min(unchanged // KEYFRAME, len(self._keyframes) - 1)
        self._fold = self._keyframes[frame].copy()
        self._extend(frame * KEYFRAME)
