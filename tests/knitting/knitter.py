"""A knitter for tests: she does acts, which are decided and become events, as at the needles."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from tracker.glance import Glance, Shown
from tracker.knitting.course import Course
from tracker.knitting.decide import decide
from tracker.knitting.events import Act, Event
from tracker.knitting.replay import Replay
from tracker.knitting.state import Number, Sock, State
from tracker.looking import look
from tracker.storage.pattern_file import open_file

SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"
"""The sock of 64 stitches: cuff 22 rounds, leg 46, heel of 32, gusset 19, foot 44 plain, toe 20."""

EVENING = 1_772_391_600_000
"""The first of March 2026, 19:00 UTC, in milliseconds."""

SECTIONS = ("cuff", "leg", "heel set-up", "flap", "turn", "gusset", "foot", "toe", "graft")
CUFF, LEG, SET_UP, FLAP, TURN, GUSSET, FOOT, TOE, GRAFT = range(len(SECTIONS))


@cache
def sock_of_64(needles: str = "five") -> Course:
    """The course of the sample on a set of five or four."""
    if needles == "five":
        return Course(open_file(str(SAMPLE)).pattern)
    return Course(_on(needles))


def _on(needles: str) -> Any:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.toml"
        text = SAMPLE.read_text(encoding="utf-8").replace('"five"', f'"{needles}"')
        plan.write_text(text, encoding="utf-8")
        return open_file(str(plan)).pattern


class Knitter:
    """A pair from its start on. `now` is her clock, in milliseconds; every act takes `pause` more."""

    def __init__(self, course: Course | None = None, pause: int = 120_000) -> None:
        self.course = course or sock_of_64()
        self.now, self.pause = EVENING, pause
        self.events = [Event(1, self.now, 60, 0, "started", {"title": "t"}, b"")]
        self.replay = Replay(self.course, self.events)

    def do(self, kind: str, sock: Number | None = None, **data: Any) -> State:
        """One act, on the sock in hand if none is named. Raises Refused, and nothing is recorded."""
        act = decide(self.replay, Act(kind, sock or self.state.hand, data))
        self.now += self.pause
        event = Event(len(self.events) + 1, self.now, 60, act.sock, kind, act.data, b"")
        self.replay.apply(event)
        self.events.append(event)
        return self.state

    def tick(self, rounds: int = 1, sock: Number | None = None) -> State:
        """So many rounds."""
        return self.do("tick", sock, rounds=rounds)

    def needle(self, needles: int = 1, sock: Number | None = None) -> State:
        """So many needles."""
        return self.do("tick", sock, needles=needles)

    def to(self, section: str, row: int = 0, sock: Number | None = None) -> State:
        """Knit on to `row` of a section; open ones end at the number planned."""
        index = SECTIONS.index(section)
        while self.sock(sock).section < index:
            here = self.course.sections[self.sock(sock).section]
            before = self.sock(sock)
            left = here.planned - self.course.number(before.section, before.rows)
            waiting = before.rows == 0 and here.first == 0
            self.tick(left + waiting, sock)
            if self.sock(sock).section == before.section:
                self.do("end", sock)
        if row:
            done = self.sock(sock).rows
            self.tick(row + 1 - self.course.sections[index].first - done, sock)
        return self.state

    def finish(self, sock: Number | None = None) -> State:
        """Knit on to the graft, and graft."""
        self.to("graft", sock=sock)
        return self.tick(1, sock)

    def look(self, sock: Number | None = None, by: Any = "rounds") -> Glance:
        """The glance at a sock."""
        return look(self.replay.course, self.state, Shown("pair", by, len(self.events)), sock)

    def sock(self, number: Number | None = None) -> Sock:
        """A sock's state."""
        return self.state.sock(number or self.state.hand)

    def place(self, number: Number | None = None) -> tuple[str, int, int]:
        """(section, done, needles ticked): where a sock is."""
        sock = self.sock(number)
        return SECTIONS[sock.section], self.course.number(sock.section, sock.rows), sock.needles

    @property
    def state(self) -> State:
        """The state now."""
        return self.replay.state
