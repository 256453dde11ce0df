"""What a teacher gets: all that was done, and of a knitter's own words her questions alone."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting import staging
from tests.knitting.knitter import Knitter
from tests.knitting.pieces import PIECES, SEEDS, TOGETHER, Acts, Wish, course
from tests.pattern.test_folded import FILES
from tracker.change_words import change_name
from tracker.knitting.asking import questions
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import KINDS, Event
from tracker.knitting.past import past
from tracker.knitting.replay import Replay
from tracker.knitting.state import BOTH, Sock, State
from tracker.knitting.stripes import threads
from tracker.past_words import happened
from tracker.pattern.kept import kept_text
from tracker.pattern.tables import without_strangers
from tracker.storage.chain import Row, encode, event_of
from tracker.storage.pack import Pack, read, write
from tracker.storage.pattern_file import document_of, open_file, open_text
from tracker.storage.pattern_file import write as write_pattern
from tracker.taught import taught

SECRET = "zqxj"
"""No word of a pattern or of the program holds it."""
OTHER: dict[str, Any] = {"as": "other"}
COLOUR: dict[str, Any] = {"as": "colour"}


def packed(knitter: Knitter, text: str = "") -> Pack:
    rows = tuple(
        Row(*event[:5], encode(dict(event.data)), event.number.to_bytes(16, "big"), 1)
        for event in knitter.events
    )
    return Pack(bytes(16), "a", "t", "0" * 64, "rounds", text or text_of(knitter.course), rows)


def text_of(course: Course) -> str:
    """The pattern's text, with the colours that a test gave it."""
    colours, text = course.pattern.colours, course.pattern.text
    if "colours" in document_of("x", text) or not colours.stripes:
        return text
    leg = [f"{stripe.name} {stripe.rounds}" for stripe in colours.stripes]
    return write_pattern(document_of("x", text) | {"colours": {"leg": leg}})


def words_in(given: Pack) -> str:
    """All that its file says, as a reader finds it again."""
    text = write(given, {})
    assert read("x", text.encode()).rows == given.rows
    return text


def with_secrets(wish: Wish, number: int) -> Wish:
    """The same act with a secret wherever she may write what she likes."""
    kind, sock, data = wish
    secret = f"{SECRET}{number % 3}"
    told = dict(data)
    if kind in ("note", "rest"):
        told["text"] = f"{'!' * (number % 2)} {secret}"
    if kind == "changed" and told["as"] == "other":
        told["value"] = secret
    if kind == "changed" and told["as"] == "colour" and number % 2:
        told["value"] = secret
        told |= {} if number % 3 else {"ball": True}
    if "colour" in told and number % 2:
        told["colour"] = secret
    return kind, sock, told


def done(sock: Sock) -> tuple[Any, ...]:
    """What was done on a sock, words left out."""
    changes = [one._replace(value="", coloured=None) for one in sock.changes]
    check = sock.check and sock.check._replace(clue=sock.check.clue._replace(colour=None))
    notes = [note._replace(text="") for note in sock.notes]
    return (*sock[:5], sock.finished, sock.readings, sock.lifelines, changes, check, notes)


def colours(course: Course, state: State) -> list[Any]:
    """Where on either sock which colour begins, by the order in which colours come up."""
    names: dict[str, int] = {}
    found = []
    for number in BOTH:
        told = threads(course, state, number)
        for index, there in enumerate(course.sections):
            runs = told.runs(index, 0, max(1, there.planned))
            found += [
                (number, index, run[1:], names.setdefault(run.name, len(names))) for run in runs
            ]
    return found


@examples(150)
@given(name=PIECES, seed=SEEDS, length=st.integers(1, 40))
def test_no_word_of_hers_is_in_it_and_all_that_was_done_is(
    name: str, seed: int, length: int
) -> None:
    knitter = Knitter(course(name))
    acts = Acts(knitter, seed)
    if name == TOGETHER:
        knitter.do("order", order="together")
    for number in range(length):
        kind, sock, data = with_secrets(acts.wish(), number + seed)
        try:
            knitter.do(kind, sock, **data)  # type: ignore[arg-type]
        except Refused:
            continue
        if number % 9 == 8 and knitter.replay.undoable:
            knitter.do("undo")
    given = taught(packed(knitter))
    assert SECRET not in words_in(given)
    again = Replay(knitter.course, map(event_of, given.rows))
    for one, two in zip(knitter.state.socks, again.state.socks, strict=True):
        assert done(one) == done(two)
    assert [one[:2] for one in again.state.weighings] == [
        one[:2] for one in knitter.state.weighings
    ]
    assert colours(again.course, again.state) == colours(knitter.course, knitter.state)
    told = [happened(one, "cm") for one in past(knitter.course, map(event_of, given.rows))]
    assert not [line for line in told if line.rstrip().endswith(":") or "  " in line]
    assert not [line for line in told if line.startswith((",", " "))]


def test_borders_that_were_moved_keep_the_names_of_their_needles() -> None:
    """They are the pattern's own and the program's; without them the pack could not be replayed."""
    knitter = Knitter(course("hat"))
    knitter.tick()
    knitter.do("changed", 2, **{"as": "set", "value": "+1", "row": 2})
    given = taught(packed(knitter))
    again = Replay(knitter.course, map(event_of, given.rows))
    assert again.state.socks == knitter.state.socks


def test_whatever_is_told_later_is_left_out_until_it_is_known_to_be_no_secret() -> None:
    """Of every kind of act: a text in a field of its own that no act has today."""
    rows = []
    for number, kind in enumerate(sorted(KINDS), start=1):
        data = {"diary": SECRET, "more": [{"still": [SECRET]}], "rounds": 1, "text": SECRET}
        rows.append(Row(number, 0, 0, 1, kind, encode(data), bytes(16), 1))
    given = taught(Pack(bytes(16), "a", "t", "", "rounds", 'title = "t"\n', tuple(rows)))
    assert SECRET not in words_in(given)
    assert {json.loads(row.data)["rounds"] for row in given.rows} == {1}


def asking(knitter: Knitter) -> None:
    knitter.tick(4)
    knitter.do("note", text=f"? {SECRET} one")
    knitter.do("changed", value=f"? {SECRET} two", **OTHER)


def test_a_question_stays_in_a_note_and_in_a_change() -> None:
    knitter = Knitter()
    asking(knitter)
    given = taught(packed(knitter))
    state = Replay(knitter.course, map(event_of, given.rows)).state
    assert [one.text for one in questions(state).open] == [f"? {SECRET} one", f"? {SECRET} two"]


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"as": "other", "value": SECRET}, "a change of her own, at cuff round 5"),
        ({"as": "colour", "value": SECRET}, "own colour 1 from cuff round 5 on"),
        ({"as": "needle", "value": "2.25"}, "needles of 2.25 mm from cuff round 5 on"),
        ({"as": "set", "value": "four"}, "on four from cuff round 5 on"),
        ({"as": "set", "value": "20/22/22"}, "on 20/22/22 from cuff round 5 on"),
    ],
)
def test_a_change_is_named_by_what_it_is(told: dict[str, Any], says: str) -> None:
    knitter = Knitter()
    knitter.tick(4)
    knitter.do("changed", **told)
    knitter.do("copy", of=3, copy=False)
    changed, copied = taught(packed(knitter)).rows[2:]
    assert change_name(json.loads(changed.data)) == says
    assert change_name(json.loads(copied.data)).partition(" ")[0] == says.partition(" ")[0]


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        ("picked-up", "17/15"),
        ("needle", "2.25 mm"),
        ("set", "two circulars"),
        ("set", "16/16/16/16"),
        ("set", "+1"),
        ("set", "2-"),
    ],
)
def test_figures_of_a_change_stay_and_nothing_else_does(kind: str, value: str) -> None:
    for told in (value, f"{value} {SECRET}"):
        data = {"as": kind, "value": told}
        row = Row(1, 0, 0, 1, "changed", encode(data), bytes(16), 1)
        (left,) = taught(Pack(bytes(16), "a", "t", "", "rounds", 'title = "t"\n', (row,))).rows
        assert json.loads(left.data)["value"] == (told if told == value else "")


def test_where_a_ball_stood_in_her_own_words_is_left_out() -> None:
    knitter = Knitter(course("stripes"))
    knitter.do("changed", value=f"{SECRET} 45 g", ball=True, **COLOUR)
    (_, told) = taught(packed(knitter)).rows
    assert change_name(json.loads(told.data)) == "where the ball stood, at the cast-on"


def test_a_colour_of_the_pattern_is_named_and_so_is_its_place() -> None:
    knitter = Knitter(course("stripes"))
    knitter.tick(24)
    knitter.do("changed", value="cream 2", **COLOUR)
    knitter.do("weigh", grams=40.0, text="40", colour="navy")
    rows = taught(packed(knitter)).rows
    assert json.loads(rows[2].data)["value"].startswith("cream, 2 of ")
    assert json.loads(rows[3].data)["colour"] == "navy"


def test_a_goal_as_far_as_the_yarn_goes_still_is_one() -> None:
    knitter = Knitter()
    knitter.do("target", mm=160.0, text="as far as the yarn goes", section="leg")
    knitter.do("target", mm=150.0, text="15", section="foot")
    given = taught(packed(knitter))
    assert Replay(knitter.course, map(event_of, given.rows)).state == knitter.state._replace(
        last=event_of(given.rows[-1])
    )


BY_HAND = f"""
title = "Snow hat"
knitter = "Ash"
diary = "{SECRET}"   # {SECRET}
[yarn]
lot = "{SECRET}"
grams = 50
secret = "{SECRET}"
[[section]]
name = "brim"            # {SECRET}
worked = "rounds"
needles = [24, 24]
rows = ["k"]
repeat = 16
wish = "{SECRET}"
[[stage]]
number = 1
sections = ["brim"]
opens = 2026-03-05
wish = "{SECRET}"
"""


def test_of_a_pattern_its_remarks_and_her_own_fields_are_left_out() -> None:
    was = open_text("x", BY_HAND)
    given = taught(packed(Knitter(Course(was)), BY_HAND))
    assert SECRET not in words_in(given)
    now = open_text("x", given.pattern_text)
    assert now._replace(text="") == was._replace(text="")
    assert 'knitter = "Ash"' in given.pattern_text
    assert taught(given).pattern_text == given.pattern_text


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_of_any_pattern_nothing_that_it_says_is_left_out(file: Path) -> None:
    tables = document_of("x", open_file(str(file)).pattern.text)
    if "lot" not in tables.get("yarn", {}):
        assert without_strangers(tables) == tables


@pytest.mark.parametrize("kind", ["append", "replan"])
def test_so_it_is_with_a_pattern_that_came_later(kind: str) -> None:
    knitter = staging.begun()
    own = {"yarn": {"lot": SECRET}, "diary": SECRET}
    tables = {**staging.up_to("toe"), **own}
    knitter.do(kind, pattern=kept_text(tables))
    given = taught(packed(knitter, 'title = "t"\n'))
    assert SECRET not in words_in(given)
    again = Replay(knitter.course, map(event_of, given.rows))
    assert again.course.sections == knitter.replay.course.sections


def test_a_colour_that_a_later_pattern_has_is_named() -> None:
    """What she called it before it was in the pattern, the pattern calls it now."""
    knitter = staging.begun()
    knitter.tick(30)
    knitter.do("changed", value="rust", **COLOUR)
    tables = {**staging.up_to("toe"), "colours": {"toe": "rust"}}
    knitter.do("append", pattern=kept_text(tables))
    rows = taught(packed(knitter, 'title = "t"\n')).rows
    assert json.loads(rows[2].data)["coloured"]["name"] == "rust"


def test_every_kind_of_act_was_decided_upon() -> None:
    """A kind that is new is looked at before it goes to a teacher."""
    decided = {
        "started", "tick", "undo", "redo", "end", "target", "measure", "answer", "weigh", "count", "at",
        "rip", "lifeline", "note", "changed", "copy", "other", "rest", "order", "restart", "replan",
        "append",
    }  # fmt: skip
    assert decided == KINDS
    assert Event._fields[5] == "data"
