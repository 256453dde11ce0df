"""What happened to a pair, event by event: where each left the sock it was on, and whether it stands.

The state after an event follows from the acts that then stand, and those are again what they were when
the last of them was made. So every act is folded in once, and undo and redo look up where it left her.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from tracker.knitting.asking import questions
from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.fold import Fold
from tracker.knitting.hand import LIFELINES_KEPT, Stands
from tracker.knitting.replay import fold_in
from tracker.knitting.state import Number, State
from tracker.records import NamedTuple

_Places = tuple[Number, Stands, Stands, Course]
"""The sock in hand, where both are, and the course that was then in force."""


class Past(NamedTuple):
    """An event, and the place it left its sock at (that in hand, of an act on the pair as a whole).

    `section` is that of the place, `worked` how that is worked, `row` the last row done, `needle` the next
    to be worked inside a round. `of` is the act that an undo or a redo names; `made_in` and `made_worked`
    are the section, and how it is worked, in which the act was made. `undone` is true of an act that was
    taken back and does not stand.
    """

    event: Event
    sock: Number
    section: str
    row: int
    needle: str | None
    of: Event | None
    made_in: str
    made_worked: str
    undone: bool
    void: bool = False
    """Whether it stands, but counts for nothing any more: a reading left out, or what hung on rounds that
    were ripped."""
    put_right: int | None = None
    """The round in which, with this tick, needles that were off were put right."""
    worked: str = "rounds"
    settles: tuple[str, ...] = ()
    """The questions that this note settled, the oldest first, each in her own words with its sign."""


def past(course: Course, events: Iterable[Event]) -> tuple[Past, ...]:
    """All events in their order, of a history that was replayed and found sound.

    `course` is that with which the pair was begun.

    Raises BadHistory, and UnknownAct, for an act that was taken back and cannot be replayed either.
    """
    told = tuple(events)
    last, before, acts = _followed(told)
    places = _all_places(course, acts, before)
    live = {acts[node].number for node in _standing(last[-1], before)}
    return tuple(_past(event, told, places, last, before, live) for event in told)


def with_void(found: Iterable[Past], state: State) -> tuple[Past, ...]:
    """Those acts, each with whether it counts for nothing any more, by the state that they all led to."""
    gone = _void(state)
    return tuple(
        one._replace(void=True) if not one.undone and gone(one.event) else one for one in found
    )


def with_settled(found: Iterable[Past], state: State) -> tuple[Past, ...]:
    """Those acts, each note with the questions that it settled, by the state that they all led to."""
    settled = questions(state).settled
    return tuple(
        one._replace(settles=tuple(question.text for question in settled[one.event.number]))
        if one.event.number in settled
        else one
        for one in found
    )


def _void(state: State) -> Callable[[Event], bool]:
    readings = [taken for sock in state.socks for taken in sock.readings]
    left_out = {taken.event for taken in readings if taken.verdict == "void"}
    lines = [line.event for sock in state.socks for line in sock.lifelines]
    changes = [
        change.event for sock in state.socks for change in sock.changes if not change.repeats
    ]
    older = any(len(sock.lifelines) >= LIFELINES_KEPT for sock in state.socks)

    def void(event: Event) -> bool:
        if event.kind == "measure":
            return event.number in left_out
        if event.kind == "lifeline":
            return event.number not in lines and not older
        return event.kind == "changed" and event.number not in changes

    return void


def of_kind(found: Iterable[Past], kind: str | None, sock: int | None) -> Iterator[Past]:
    """Those of one kind, and on one sock, where these are named."""
    for one in found:
        if kind in (None, one.event.kind) and sock in (None, one.sock):
            yield one


def _followed(told: Sequence[Event]) -> tuple[list[int], list[int], dict[int, Event]]:
    """By the number of an event: the act that stands last after it, and, of an act, the one it follows.

    One that moves ticks to the other sock follows the acts before them. What came after those ticks and
    stays is done once more, under a number of its own past all others; taken back, they stand as before.
    """
    last, before, stood = [0], [0] * (len(told) + 1), [0] * (len(told) + 1)
    acts = dict[int, Event]()  # in the order in which they are done
    for event in told:
        if event.kind == "undo":
            last.append(stood[int(event.data["of"])])
        elif event.kind == "redo":
            last.append(int(event.data["of"]))
        else:
            stood[event.number] = follows = last[-1]
            if "over" in event.data:
                follows = _without(set(event.data["over"]), follows, before, acts)
            before[event.number], acts[event.number] = follows, event
            last.append(event.number)
    return last, before, acts


def _without(over: set[int], last: int, before: list[int], acts: dict[int, Event]) -> int:
    """The act that stands last once these ticks are lifted; what came after them is done once more."""
    left, again = set(over), list[Event]()
    while left:
        left.discard(acts[last].number)
        again += [acts[last]] if acts[last].number not in over else []
        last = before[last]
    for act in reversed(again):
        acts[len(before)] = act
        before.append(last)
        last = len(before) - 1
    return last


def _standing(last: int, before: Sequence[int]) -> set[int]:
    """The acts that stand, by their numbers: the last of them, and each that one followed."""
    live = set()
    while last:
        live.add(last)
        last = before[last]
    return live


def _all_places(course: Course, acts: Mapping[int, Event], before: Sequence[int]) -> list[_Places]:
    """Where each act left both socks, by its number; an undo and a redo leave nothing of their own.

    Where several acts followed the same one, as after an undo, a copy of the fold waits for the next.
    """
    to_come = Counter(before[number] for number in acts)
    fold, at, kept = Fold(course), 0, dict[int, Fold]()
    found = [(*fold.stands(), fold.course)] * len(before)
    for number in acts:
        after = before[number]
        to_come[after] -= 1
        if after != at:
            if to_come[at]:
                kept[at] = fold  # ticks that were moved to the other sock stand again later
            fold = kept[after]
        if to_come[after]:
            kept[after] = fold.copy()
        else:
            kept.pop(after, None)
        fold_in(fold, acts[number])
        at = number
        found[at] = (*fold.stands(), fold.course)
    return found


def _past(
    event: Event,
    told: Sequence[Event],
    places: Sequence[_Places],
    last: Sequence[int],
    before: Sequence[int],
    live: set[int],
) -> Past:
    names_act = event.kind in ("undo", "redo")
    act = told[int(event.data["of"]) - 1] if names_act else event
    now = places[last[event.number]]
    number: Number = 2 if act.sock == 2 else 1 if act.sock == 1 else now[0]
    stands, course = _there(now, number)
    made_at, then = _there(places[before[act.number]], number)
    made_in = then.sections[made_at.section]
    put_right = _there(places[act.number], number)[0].put_right if act.kind == "tick" else None
    return Past(
        event,
        number,
        course.sections[stands.section].called,
        course.number(stands.section, stands.rows),
        stands.needle,
        act if names_act else None,
        made_in.called,
        made_in.worked,
        not names_act and event.number not in live,
        put_right=put_right[1] if put_right and put_right != made_at.put_right else None,
        worked=course.sections[stands.section].worked,
    )


def _there(places: _Places, number: Number) -> tuple[Stands, Course]:
    """Where a sock was, and on which course."""
    return places[1] if number == 1 else places[2], places[3]
