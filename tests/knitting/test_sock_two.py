"""Sock two knitted by what is announced alone is in step with sock one, whatever became of that.

Who knits it sees the JSON of `left` and nothing else: she reads the rows that `next` says, and the cues.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.cli.stitches import work
from tests.examples import examples
from tests.knitting.knitter import Knitter
from tests.knitting.pieces import PIECES, SEEDS, Acts, course
from tests.knitting.test_repairs import tried
from tracker import change_words, pair_words
from tracker.knitting import pair, step
from tracker.knitting.borders import move_told
from tracker.knitting.changes import Change
from tracker.knitting.course import Course
from tracker.knitting.replay import Replay
from tracker.knitting.state import BOTH, Number, other
from tracker.pattern.model import Row
from tracker.reports import left_json
from tracker.vocabulary import capital
from tracker.vocabulary import section as section_name

ACTS_ON_ONE = (
    *("rows",) * 8, *("changed",) * 5, "row", "needle", "at", "rip", "rip by", "target", "end at",
    "lifeline", "rip to lifeline", "copy", "measure", "note", "count", "rest",
    "tink", "set inside", "past note",
)  # fmt: skip
WITHOUT_A_WAY_BACK = (
    *("rows",) * 6, *("changed",) * 4, "row", "needle", "measure", "note", "set inside",
)  # fmt: skip

MOST_ACTS = 90
"""After so many sock one is knitted to its end."""


class Knitted(NamedTuple):
    """A row as it was knitted: what each needle held, what was done on it, what it held then."""

    section: str
    number: int
    before: tuple[int, ...]
    works: tuple[str, ...]
    leaves: tuple[int, ...]


class Follower:
    """Knits a sock by its `left` objects. `told` are the cues of kind copy that stood before every row."""

    def __init__(self, knitter: Knitter, seed: int = 0) -> None:
        self._knitter, self._acts = knitter, Acts(knitter, seed)
        self.rows: list[Knitted] = []
        self.told: list[str] = []
        self._seen: tuple[int, dict[str, Any]] = (0, {})
        """After how many events she last looked, and what was announced."""

    def left(self) -> dict[str, Any]:
        """What is announced now."""
        events = len(self._knitter.events)
        if events != self._seen[0]:
            self._seen = events, left_json(self._knitter.look(2))
        return self._seen[1]

    def knit(self, left: dict[str, Any], *, ends: bool = True) -> dict[str, Any]:
        """What `left` announces: one row, by needle or at once, or an end; what is announced then.

        With `ends` false she ends nothing of herself, for sock one has not ended it.
        """
        row = left["next"]
        if ends and left["rounds_to_go"]["likely"] == 0 and left["done"]:
            self._knitter.do("end", 2)
            return self.left()
        self.told.append(" ".join(cue["text"] for cue in left["cues"] if cue["kind"] == "copy"))
        before = tuple(needle["stitches"] for needle in left["needles"])
        works = tuple(needle["work"] for needle in row["needles"])
        leaves = tuple(work(does, held).leaves for does, held in zip(works, before, strict=True))
        assert list(leaves) == [needle["leaves"] for needle in row["needles"]]
        self.rows.append(Knitted(left["section"], row["number"], before, works, leaves))
        if row["side"] is None and self._acts.between(1, 10) == 1:
            for at in range(len(leaves)):
                assert self.left()["needle"] == left["needles"][at]["name"]
                self._knitter.do("tick", 2, needles=1)
        else:
            self._knitter.do("tick", 2, rounds=1)
        after = self.left()
        if after["next"] is not None and after["kind"] != "graft":
            assert _all(after) == sum(leaves) + _resting(left)
        return after

    def finish(self) -> None:
        """All that is left of it."""
        left = self.left()
        while left["next"] is not None:
            left = self.knit(left)
            assert len(self.rows) < 2_000


def _resting(left: dict[str, Any]) -> int:
    return sum(needle["stitches"] for needle in left["resting"])


def _all(left: dict[str, Any]) -> int:
    return int(left["stitches"]) + _resting(left)


# Sock one, as it may have become


class One:
    """Sock one, knitted on and on with whatever a seed does to it."""

    def __init__(self, knitter: Knitter, seed: int, kinds: tuple[str, ...]) -> None:
        self._knitter, self.acts, self._kinds = knitter, Acts(knitter, seed), kinds
        self._alike = bool(self.acts.between(0, 3))
        """Whether nothing is meant for one sock alone; else now and then something is."""
        self._acted = 0
        self.alone = False
        """Whether anything was meant for one sock alone, so that the two may differ."""
        self.lost: set[int] = set()
        """What was said to be beyond the other sock, whose rows are otherwise: by its event."""

    @property
    def finished(self) -> bool:
        return self._knitter.sock(1).finished

    def go_on(self) -> None:
        """An act; open sections end near their plan."""
        sock = self._knitter.sock(1)
        here = self._knitter.course.of(sock).sections[sock.section]
        done = self._knitter.place(1)[1] if here.goal else 0
        if here.goal and done > here.planned + self.acts.between(-8, 8):
            tried(self._knitter, ("end", 1, {}))
            return
        self._acted += 1
        kind = self.acts.one(*self._kinds) if self._acted < MOST_ACTS else "rows"
        rows = ("tick", 1, {"rounds": self.acts.between(1, 9)})
        kind, on, data = rows if kind == "rows" else self.acts.wish((kind,), 1)
        if self._alike:
            data = {name: data[name] for name in data if name not in ("only", "copy")}
            kind = "note" if kind == "copy" else kind
            data = {"text": "a note"} if kind == "note" else data
            if move_told(str(data.get("value"))) is not None:
                data |= {"copy": True}  # moved borders are one sock's, unless they are asked for
        if tried(self._knitter, (kind, on or 1, data)):
            recorded = self._knitter.events[-1].data
            self.alone |= bool(data.get("only")) or recorded.get("copy") is False
            if self._alike and not self.alone:
                return  # what was lost is asked only where something is meant for one sock
            told = [cue for cue in self._knitter.look(1).cues if cue.about == "asked"]
            self.lost |= {cue.data["number"] for cue in told if cue.data["lost"]}

    def perhaps_back(self) -> None:
        """One act or several taken back, and perhaps brought again."""
        back = self.acts.between(0, 3) if self._acted < MOST_ACTS else 0
        for kind in ["undo"] * back + ["redo"] * self.acts.between(0, back):
            tried(self._knitter, (kind, 1, {}))


def fabric(there: Course, ended: tuple[int, ...]) -> list[Knitted]:
    """The rows of a finished sock."""
    return [
        Knitted(
            section.name, number,
            tuple(held for held, needle in zip(row.before, row.needles, strict=True) if needle.work),
            tuple(needle.work for needle in row.needles if needle.work),
            tuple(needle.leaves for needle in row.needles if needle.work),
        )
        for section, last in zip(there.sections, ended, strict=True)
        for number in range(section.first, last + 1)
        for row in (section.row(number),)
    ]  # fmt: skip


def comes(there: Course, ended: tuple[int, ...], change: Change) -> int:
    """Before how many rows of the whole sock a change comes; past the end of its section, after that."""
    rows = [section.rows_to(last) for section, last in zip(there.sections, ended, strict=True)]
    here = there.sections[change.section].rows_to(change.row) - 1
    return sum(rows[: change.section]) + min(here, rows[change.section])


def announced(knitter: Knitter, two: Follower) -> None:
    """All that is repeated stood among the cues one row ahead, and at its row."""
    one = knitter.sock(1)
    there = knitter.course.of(one)
    for change in one.changes:
        at = comes(there, one.ended, change)
        if not change.repeat or at >= len(two.told):
            continue
        if change.coloured is not None and change.coloured.ball:
            continue  # where the ball stands the card of the cast-on says
        what = change_words._here(change)
        assert what in two.told[at] or capital(what) in two.told[at], (change, at)
        if at:
            assert what in two.told[at - 1], (change, at, "a row ahead")


@given(PIECES, SEEDS)
@examples(40)
def test_knitted_by_what_is_announced_it_is_in_step(name: str, seed: int) -> None:
    """Sock one with any changes, rips, corrections and goals; then sock two, row by row."""
    knitter = Knitter(course(name))
    one = One(knitter, seed, ACTS_ON_ONE)
    while not one.finished:
        one.go_on()
        if one.acts.between(1, 12) == 1:
            one.perhaps_back()
    two = Follower(knitter, seed)
    two.finish()
    alike(knitter, one, two)


def alike(knitter: Knitter, one: One, two: Follower) -> None:
    """In step, the same rows on the same needles, and everything announced."""
    mine, theirs = knitter.sock(1), knitter.sock(2)
    left = two.left()
    if one.alone:
        apart = [found.change for found in step.differences(knitter.state)]
        assert mine.ended != theirs.ended or all(told and told.event in one.lost for told in apart)
        return
    assert left["in_step"]
    assert left["lag"]["stitches"] == left["lag"]["rounds"] == 0
    ours = fabric(knitter.course.of(mine), mine.ended)
    shaped = knitter.course.pattern.of_feet
    assert [as_a_whole(row, shaped) for row in two.rows] == [
        as_a_whole(row, shaped) for row in ours
    ]
    announced(knitter, two)


def as_a_whole(row: Knitted, shaped: bool) -> Knitted:
    """A row; of a toe that is `shaped` for one foot what it holds in all, for its needles are others."""
    if not shaped or row.section != "toe":
        return row
    return row._replace(before=(sum(row.before),), works=(), leaves=(sum(row.leaves),))


@given(PIECES, SEEDS)
@examples(40)
def test_close_behind_sock_one_it_is_in_step_too(name: str, seed: int) -> None:
    """Sock two follows while sock one is still knitted, and changed, a few rows ahead."""
    knitter = Knitter(course(name))
    one = One(knitter, seed, WITHOUT_A_WAY_BACK)
    two = Follower(knitter, seed)
    while not one.finished:
        one.go_on()
        left = two.left()
        for _ in range(one.acts.between(0, 12)):
            if ahead(knitter) > FAR_ENOUGH:
                left = two.knit(left, ends=False)
    two.finish()
    alike(knitter, one, two)


def ahead(knitter: Knitter) -> int:
    """Rows by which sock one is ahead."""
    return pair.rounds(knitter.course, knitter.state, 1) - pair.rounds(
        knitter.course, knitter.state, 2
    )


FAR_ENOUGH = 16
"""Nothing is told of a row that lies so far back."""


# Edges told before there are any


@pytest.mark.parametrize("edges", ["17/15", "18/17", "16/16"])
def test_edges_told_in_the_cuff_are_repeated_on_a_sock_that_lies_on_other_needles(
    edges: str,
) -> None:
    """Sock two had come further than the row at which sock one went onto other needles; a longer edge makes
    the gusset longer, which is no reason to leave it out.
    """
    knitter = Knitter()
    knitter.tick(1, 2)
    knitter.needle(2, 1)
    knitter.do("changed", 1, **{"as": "set", "value": "two circulars"})
    knitter.do("changed", 1, **{"as": "picked-up", "value": edges})
    assert [change.kind for change in knitter.sock(2).changes] == ["picked-up"]
    rows = {number: _gusset(knitter, number) for number in BOTH}
    assert [row.leaves for row in rows[1]] == [row.leaves for row in rows[2]]
    assert len(rows[1][0].needles) != len(rows[2][0].needles)


def test_edges_stay_on_both_socks_where_one_set_of_needles_takes_the_place_of_another() -> None:
    """Told in the cuff, between two changes of the same round: sock two has neither set for a moment."""
    knitter = Knitter()
    knitter.needle(3, 1)
    for kind, value in (("set", "two circulars"), ("picked-up", "17/15"), ("set", "four")):
        knitter.do("changed", 1, **{"as": kind, "value": value})
    for number in BOTH:
        kinds = sorted(change.kind for change in knitter.sock(number).changes)
        assert kinds == ["picked-up", "set"], number
    assert _gusset(knitter, 1) == _gusset(knitter, 2)
    # A history from before says nothing of it, and is what it was.
    *before, last = knitter.events
    told = {key: value for key, value in last.data.items() if key != "at_once"}
    old = Replay(knitter.course, [*before, last._replace(data=told)]).state
    assert [change.kind for change in old.socks[1].changes] == ["set"]


def _gusset(knitter: Knitter, number: Number) -> tuple[Row, ...]:
    (gusset,) = [
        part for part in knitter.course.of(knitter.sock(number)).sections if part.kind == "gusset"
    ]
    return gusset.rows


# One departure


def on_to(knitter: Knitter, number: Number, section: int, rows: int = 0) -> None:
    """Knit on, each section to its plan or to where the other sock ended it."""
    while (here := knitter.sock(number)).section < section or here.rows < rows:
        there = knitter.course.of(here)
        planned = pair.planned(there, knitter.state, number)
        wanted = there.sections[here.section].rows_to(planned.rows)
        left = (rows if here.section == section else wanted) - here.rows
        if left:
            knitter.do("tick", number, rounds=left)
        if knitter.sock(number).section == here.section < section:
            knitter.do("end", number)


def said(knitter: Knitter) -> str:
    """Whether they are in step, or what differs first, as it is told; the JSON agrees."""
    glance = knitter.look(2)
    assert left_json(glance)["in_step"] is (glance.differs is None)
    return pair_words.step(glance.differs)


def begin(name: str, seed: int) -> tuple[Knitter, Acts]:
    knitter = Knitter(course(name))
    return knitter, Acts(knitter, seed)


SOCKS_ONLY = st.sampled_from(("set of five", "two circulars", "set of four, odd", "stripes"))
OPEN = st.sampled_from(("leg", "foot"))


@given(SOCKS_ONLY, SEEDS, OPEN, st.sampled_from((-2, -1, 1, 2)))
def test_a_row_more_or_less_is_named(name: str, seed: int, kind: str, by: int) -> None:
    knitter, acts = begin(name, seed)
    section = next(at for at, part in enumerate(knitter.course.sections) if part.kind == kind)
    count = knitter.course.sections[section].planned + acts.between(-9, 9)
    on_to(knitter, 1, section, count)
    knitter.do("end", 1)
    on_to(knitter, 1, section + 2)
    if by > 0:
        # What is meant for one sock alone does not end where the other did.
        knitter.do("target", 2, mm=100.0, text="", only=True, section=kind)
    on_to(knitter, 2, section, count + by)
    assert said(knitter) == "in step"
    knitter.do("end", 2)
    meant = ", as meant" if by > 0 else ""
    assert said(knitter) == f"not in step: {kind} {by:+d}{meant}"
    on_to(knitter, 2, section + 1, 1)
    assert said(knitter) == f"not in step: {kind} {by:+d}{meant}"


@given(SOCKS_ONLY, SEEDS, st.sampled_from((1, 2)), st.booleans())
def test_a_change_that_one_sock_alone_has_is_named(
    name: str, seed: int, number: Number, decrease: bool
) -> None:
    """Told on one sock when the other is past it: named once the section is finished on both."""
    knitter, acts = begin(name, seed)
    kinds = ("gusset", "toe") if decrease else [part.kind for part in knitter.course.sections[:-1]]
    kind = acts.one(*kinds)
    section = next(at for at, part in enumerate(knitter.course.sections) if part.kind == kind)
    part = knitter.course.sections[section]
    rows = [row.number for row in part.rows if row.number and (row.word == "DEC" or not decrease)]
    row = acts.one(*rows[:-1]) if rows[:-1] else rows[0]
    on_to(knitter, other(number), section + 1)
    on_to(knitter, number, section, part.rows_to(row) - (not decrease))
    told = (
        ("skipped-decrease", "") if decrease else acts.one(("needle", "2.25"), ("other", "a ridge"))
    )
    knitter.do("changed", number, **{"as": told[0], "value": told[1], "row": row})
    assert said(knitter) == "in step"
    on_to(knitter, number, section + 1)
    what = {"needle": "needles of 2.25 mm from", "other": "a ridge, at"}.get(
        told[0], "no decrease in"
    )
    unit = "row" if part.worked == "rows" else "round"
    named = "one" if number == 1 else "two"
    shown = section_name(part.called)
    longer = ", and 1 more" if knitter.sock(number).ended[section] > part.planned else ""
    last = " on" if told[0] == "needle" else ""
    assert said(knitter) == (
        f"not in step: {shown}: {what} {unit} {row}{last} on sock {named} only{longer}"
    )
    knitter.do("copy", of=knitter.sock(number).changes[-1].event, copy=False)
    assert said(knitter).startswith("not in step" if longer else "in step")
