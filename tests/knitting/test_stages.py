"""A pattern that goes on, or is made anew, under the needles."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import SECTIONS, Knitter
from tests.knitting.staging import appended, begun, course_up_to, otherwise, up_to, whole
from tests.knitting.test_replay import ACTS, REDO, UNDO, Wish, does
from tracker import stage_words
from tracker.glance import Shown
from tracker.knitting import replay
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.growing import MOST_PATTERNS
from tracker.knitting.past import past
from tracker.knitting.replay import BadHistory, Replay
from tracker.knitting.used_up import is_whole, until
from tracker.looking import look
from tracker.pattern.kept import kept_text, pattern_of
from tracker.pattern.model import Waiting
from tracker.pattern.reading import read_pattern
from tracker.reports import history_text, left_json, left_text
from tracker.words import place

# An append


def stand(knitter: Knitter, number: int = 1) -> tuple[str, int, bool]:
    """(section, rows done, finished) of a sock by the course in force."""
    sock, course = knitter.state.sock(number), knitter.replay.course
    return (
        course.sections[sock.section].name,
        course.number(sock.section, sock.rows),
        sock.finished,
    )


def test_a_sock_that_had_come_to_the_end_goes_on() -> None:
    knitter = begun()
    knitter.tick(22)
    knitter.tick(46)
    knitter.do("end")
    assert stand(knitter) == ("leg", 46, True)
    knitter.do("append", pattern=appended("leg", "graft"))
    assert stand(knitter) == ("heel set-up", 0, False)
    assert stand(knitter, 2) == ("cuff", 0, False)
    assert knitter.sock(1).ended == (22, 46)
    knitter.tick(1)
    assert stand(knitter) == ("flap", 0, False)


def test_inside_the_pattern_so_far_nothing_moves() -> None:
    knitter = begun()
    knitter.tick(22)
    knitter.tick(9)
    before = knitter.state
    knitter.do("append", pattern=appended("leg", "graft"))
    assert knitter.state == before._replace(last=knitter.state.last, run=0)


def test_undo_gives_the_earlier_pattern_back() -> None:
    knitter = begun()
    knitter.tick(22)
    knitter.tick(46)
    knitter.do("end")
    state, sections = knitter.state, knitter.replay.course.sections
    knitter.do("append", pattern=appended("leg", "graft"))
    knitter.do("undo")
    assert knitter.state == state
    assert knitter.replay.course.sections == sections
    with pytest.raises(Refused, match="that is all of the pattern so far; append the next stage"):
        knitter.tick()
    knitter.do("redo")
    assert stand(knitter) == ("heel set-up", 0, False)


def test_goals_and_changes_stay() -> None:
    knitter = begun()
    knitter.do("target", mm=150.0, text="15 cm", section="leg")
    knitter.tick(22)
    knitter.do("changed", None, **{"as": "needle", "value": "2.25"})
    knitter.do("changed", None, **{"as": "set", "value": "four"})
    knitter.do("append", pattern=appended("leg", "graft"))
    assert knitter.state.goals == {1: 150.0}
    assert len(knitter.sock(1).changes) == len(knitter.sock(2).changes) == 2
    flap = knitter.replay.course.of(knitter.sock(1)).sections[SECTIONS.index("gusset")]
    assert [needle.name for needle in flap.rows[0].needles] == ["N1", "N2", "N3"]


def test_what_leaves_the_pattern_otherwise_is_refused() -> None:
    knitter = begun()
    for text in (kept_text(up_to("cuff")), kept_text(otherwise("leg", rows=["p | p | p | p"]))):
        with pytest.raises(Refused, match="the pattern so far is another in it"):
            knitter.do("append", pattern=text)
    with pytest.raises(Refused, match="nothing is new"):
        knitter.do("append", pattern=kept_text(up_to("leg")))
    assert len(knitter.events) == 1


# Used up


STAGES = [
    {"number": 1, "sections": ["cuff", "leg"], "opens": "2026-02-26"},
    {"number": 2, "sections": ["heel", "gusset"], "opens": "2026-03-12"},
]


def resting(**more: Any) -> Knitter:
    """A knitter whose sock one is at the end of the leg, with nothing after it."""
    knitter = begun(**more)
    knitter.tick(22)
    knitter.tick(46)
    knitter.do("end")
    return knitter


def sight(knitter: Knitter, number: Any = None) -> Any:
    today = 20_513  # the first of March 2026 lies eleven days before the stage
    shown = Shown("pair", "rounds", len(knitter.events), today=today)
    return look(knitter.replay.course, knitter.state, shown, number)


def test_what_a_sock_rests_with_is_said() -> None:
    knitter = resting(stage=STAGES)
    glance = sight(knitter)
    assert glance.next is None
    assert place(glance) == (
        "That is all until 12 March. Sock one rests at 64 sts, 16/16/16/16. Then append stage 2: instep"
        " append FILE."
    )
    told = left_json(glance)
    assert told["next"] is None
    assert [needle["stitches"] for needle in told["needles"]] == [16, 16, 16, 16]
    assert told["stitches"] == 64
    assert told["cues"][0] == {
        "kind": "stage",
        "text": "That is all until 12 March. Sock one rests at 64 sts, 16/16/16/16."
        " Sock two: cast on (instep other). Then append stage 2: instep append FILE",
    }


def test_where_both_rest_both_are_told() -> None:
    knitter = resting(stage=STAGES)
    knitter.do("other")
    knitter.tick(22)
    knitter.tick(46)
    told = (
        "That is all until 12 March. Both socks rest at 64 sts, 16/16/16/16. Then append stage 2: instep"
        " append FILE."
    )
    for number in (1, 2):
        assert place(sight(knitter, number)) == told
        cues = left_json(sight(knitter, number))["cues"]
        assert cues == [{"kind": "stage", "text": told.rstrip(".")}]


def test_where_both_rest_on_other_needles_each_is_told() -> None:
    knitter = resting()
    knitter.do("other")
    knitter.tick(22)
    knitter.tick(46)
    glance = sight(knitter)
    three = tuple(Waiting(f"N{at}", stitches) for at, stitches in enumerate((21, 21, 22), start=1))
    glance = glance._replace(used_up=glance.used_up._replace(other_held=three))
    assert stage_words.card_brief(glance)[1:3] == [
        "Sock one: 64 sts, 21/21/22.",
        "Sock two: 64 sts, 16/16/16/16.",
    ]
    assert place(glance) == (
        "That is all of the pattern so far. Sock two rests at 64 sts, 16/16/16/16, sock one at 64 sts,"
        " 21/21/22. Append the next stage: instep append FILE."
    )


def test_a_tick_past_it_says_until_when() -> None:
    with pytest.raises(Refused, match=r"so far \(stage 2 is for 12 March\); append the next"):
        resting(stage=STAGES).tick()
    with pytest.raises(Refused, match="sock one is at the end of the pattern so far: nothing is"):
        resting(stage=STAGES).do("end")


def test_more_ticks_than_are_left_say_until_when_too() -> None:
    knitter = begun("cuff", stage=STAGES)
    with pytest.raises(
        Refused, match="only 22 rounds are left on sock one, then that is all of the pattern so far"
    ):
        knitter.tick(30)


def test_a_sock_that_waits_may_be_laid_to_rest() -> None:
    knitter = resting()
    knitter.do("rest", text="waste yarn")
    assert knitter.sock().rests_on == "waste yarn"
    knitter.do("append", pattern=appended("leg", "graft"))
    assert knitter.sock().rests_on == "waste yarn"


@pytest.mark.parametrize("section", SECTIONS)
def test_a_sock_is_whole_with_its_toe(section: str) -> None:
    pattern = read_pattern(up_to(section), "")
    assert is_whole(pattern) is (section in ("toe", "graft"))
    more = [{"number": 2, "sections": ["bow"]}]
    assert is_whole(read_pattern(up_to(section, stage=more), "")) is (section == "graft")


def test_a_hat_is_whole_unless_more_was_told() -> None:
    section = {"name": "brim", "worked": "rounds", "needles": [20, 20], "rows": ["k"]}
    hat: dict[str, Any] = {"title": "Hat", "section": [section]}
    assert is_whole(read_pattern(hat, ""))
    assert not is_whole(read_pattern({**hat, "stage": [{"opens": "2026-03-12"}]}, ""))
    assert is_whole(read_pattern({**hat, "stage": [{"sections": ["brim"]}]}, ""))
    off = {**section, "rows": ["BO all"]}
    told = {**hat, "section": [off], "stage": [{"sections": ["pompom"]}]}
    assert is_whole(read_pattern(told, ""))


def test_yarn_and_half_way_are_not_reckoned_by_a_part_of_the_pattern() -> None:
    knitter = resting(yarn={"grams": 100, "metres": 420})
    knitter.do("weigh", grams=85.0, text="85")
    glance = sight(knitter)
    assert glance.yarn is not None
    assert glance.yarn.vague
    assert "how far it goes is said once the whole pattern is there" in " ".join(
        left_text(glance, "")
    )
    assert not any(cue.kind == "yarn" for cue in glance.cues)
    knitter.do("append", pattern=appended("leg", "graft"))
    assert not sight(knitter).yarn.vague


def test_uneven_edges_are_told_where_the_foot_is_still_to_come() -> None:
    knitter = begun("gusset")
    knitter.to("gusset")
    knitter.do("changed", None, **{"as": "picked-up", "value": "17/15"})
    knitter.do("append", pattern=appended("gusset", "graft"))
    assert knitter.replay.course.of(knitter.sock()).row(5, 0).leaves == 84


# A new pattern


def test_a_new_foot_is_taken_before_it_is_knitted() -> None:
    knitter = Knitter()
    knitter.to("gusset", 5)
    purl = otherwise("foot", rows=["p | p | p | p = 16/16/16/16"])
    knitter.do("replan", pattern=kept_text(purl))
    assert stand(knitter) == ("gusset", 5, False)
    assert knitter.replay.course.row(6, 0).word == "PURL"


@pytest.mark.parametrize(
    ("name", "fields", "where"),
    [
        ("cuff", {"rows": ["*k1, p1; rep from * to end"]}, "cuff, row 1 is knitted on sock two"),
        ("cuff", {"repeat": 20}, "cuff, row 21 is knitted on sock two as"),
        ("cuff", {"repeat": 24}, "cuff, row 23: the section is over on sock two with 22 rows"),
        ("leg", {"name": "shin"}, "the leg of sock two is knitted, and .* has the shin there"),
    ],
)
def test_rows_that_are_knitted_stay_on_either_sock(
    name: str, fields: dict[str, Any], where: str
) -> None:
    knitter = Knitter()
    knitter.tick(22, 2)
    knitter.tick(8, 2)
    with pytest.raises(Refused, match=where):
        knitter.do("replan", pattern=kept_text(otherwise(name, **fields)))
    assert len(knitter.events) == 3


def test_a_section_in_hand_may_be_made_longer_or_shorter() -> None:
    knitter = Knitter()
    knitter.tick(15)
    knitter.do("replan", pattern=kept_text(otherwise("cuff", repeat=24)))
    knitter.tick(9)
    assert stand(knitter) == ("leg", 0, False)
    knitter = Knitter()
    knitter.tick(15)
    knitter.do("replan", pattern=kept_text(otherwise("cuff", repeat=15)))
    assert stand(knitter) == ("leg", 0, False)
    knitter.do("undo")
    assert stand(knitter) == ("cuff", 15, False)


def test_a_sock_at_the_end_goes_on_where_its_last_section_grew() -> None:
    knitter = begun("cuff")
    knitter.tick(22)
    assert stand(knitter) == ("cuff", 22, True)
    knitter.do("replan", pattern=kept_text(otherwise("cuff", repeat=30)))
    assert stand(knitter) == ("cuff", 22, False)
    knitter.tick(8)
    assert stand(knitter) == ("leg", 0, False)


def test_goals_go_with_their_sections() -> None:
    knitter = Knitter()
    knitter.tick(22)
    knitter.do("target", mm=230.0, text="23 cm", section="foot")
    ankle = {"name": "ankle", "worked": "rounds", "repeat": 6, "rows": ["p | p | p | p"]}
    sections = [*whole()["section"][:2], ankle, *whole()["section"][2:]]
    knitter.do("replan", pattern=kept_text({**whole(), "section": sections}))
    assert knitter.state.goals == {7: 230.0}
    assert knitter.replay.course.sections[7].name == "foot"


def test_what_has_no_place_in_it_is_named() -> None:
    knitter = Knitter()
    knitter.tick(22)
    knitter.do("target", mm=230.0, text="23 cm", section="foot")
    with pytest.raises(Refused, match="your goal of 23 cm for the foot has no place in the new"):
        knitter.do("replan", pattern=kept_text(up_to("gusset")))
    wedge = kept_text(otherwise("gusset", name="wedge"))
    knitter = Knitter()
    knitter.to("gusset", 3)
    knitter.do("note", text="the red needle")
    knitter.do("changed", None, **{"as": "other", "value": "purl", "row": 3})
    knitter.do("rip", section=2, round=0)
    with pytest.raises(Refused, match=r"the note at gusset row 3 of sock one \(number \d+ in the"):
        knitter.do("replan", pattern=wedge)
    knitter = Knitter()
    knitter.to("gusset", 3, sock=2)
    knitter.do("changed", 2, **{"as": "other", "value": "purl", "row": 3})
    with pytest.raises(Refused, match=r"was changed on sock one at gusset row 3 \(number \d+ in"):
        knitter.do("replan", pattern=wedge)


# Any acts, with the pattern going on at any moment


class Kept(str):
    """The text of a pattern; where an example is shown it is not."""

    def __repr__(self) -> str:
        return f"a pattern of {self.count('worked')} sections"


def _pattern(kind: str, text: str) -> Wish:
    return kind, None, {"pattern": Kept(text)}


STARTS = ("cuff", "leg", "flap", "turn", "foot", "toe")
NEW = (
    otherwise("foot", rows=["p | p | p | p = 16/16/16/16"]),
    otherwise("leg", rows=["p | p | p | p = 16/16/16/16"]),
    otherwise("cuff", repeat=10),
    otherwise("toe", name="point"),
)


def _grows(start: str) -> st.SearchStrategy[Wish]:
    further = [name for name in SECTIONS[SECTIONS.index(start) + 1 :] if name != "foot"]
    more = [_pattern("append", appended(start, to)) for to in further]
    new = [_pattern("replan", kept_text(tables)) for tables in NEW]
    return st.sampled_from([*more, *new, _pattern("replan", kept_text(up_to("foot")))])


@st.composite
def _histories(draw: st.DrawFn, *besides: st.SearchStrategy[Wish]) -> tuple[str, list[Wish]]:
    start = draw(st.sampled_from(STARTS))
    acts = st.lists(st.one_of(*ACTS, *besides), min_size=3, max_size=10)
    somewhere = [
        (
            "at",
            sock,
            {"round": draw(st.integers(0, 40)), "section": draw(st.sampled_from(SECTIONS))},
        )
        for sock in (1, 2)
    ]
    grows = st.lists(_grows(start), min_size=1, max_size=2)
    return start, [*somewhere, *draw(acts), *draw(grows), *draw(acts), *draw(grows), *draw(acts)]


def _seen(knitter: Knitter) -> tuple[Any, Any]:
    return knitter.state, knitter.replay.course.sections


@given(_histories())
@examples(200)
def test_undoing_each_act_gives_state_and_pattern_before(story: tuple[str, list[Wish]]) -> None:
    knitter = Knitter(course_up_to(story[0]))
    before = [_seen(knitter)]
    before += [_seen(knitter) for _ in does(knitter, story[1])]
    for seen in reversed(before[:-1]):
        knitter.do("undo")
        assert _seen(knitter) == seen
    for seen in before[1:]:
        knitter.do("redo")
        assert _seen(knitter) == seen


@given(_histories(UNDO, REDO), st.integers(1, 128))
@examples(200)
def test_a_replay_gives_the_running_state_and_pattern(
    story: tuple[str, list[Wish]], apart: int
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(replay, "KEYFRAME", apart)
        knitter = Knitter(course_up_to(story[0]))
        states = [_seen(knitter), *(_seen(knitter) for _ in does(knitter, story[1]))]
    for number, seen in enumerate(states, start=1):
        again = Replay(knitter.course, knitter.events[:number])
        assert (again.state, again.course.sections) == seen


@given(_histories(UNDO, REDO))
@examples(200)
def test_whatever_was_done_can_be_shown(story: tuple[str, list[Wish]]) -> None:
    knitter = Knitter(course_up_to(story[0]))
    for _ in does(knitter, story[1]):
        course = knitter.replay.course
        assert until(course, knitter.state)
        for number in (1, 2):
            sock = knitter.state.sock(number)
            section = course.of(sock).sections[sock.section]
            assert len(sock.ended) == sock.section + sock.finished
            if section.goal is None and not sock.finished:
                assert sock.rows < len(section.rows)
            glance = sight(knitter, number)
            assert (glance.next is None) == sock.finished
            assert "".join(left_text(glance, "")).isprintable()
            assert left_json(glance)["events"] == len(knitter.events)
    told = past(knitter.course, knitter.events)
    assert len(list(history_text(told, "cm", of_socks=True))) == len(knitter.events)
    places = [(one.section, one.row, one.needle) for one in told]
    for number in range(1, len(knitter.events)):
        some = past(knitter.course, knitter.events[:number])
        assert [(one.section, one.row, one.needle) for one in some] == places[:number]


# What a stranger may write


GOOD = {"pattern": appended("leg", "graft")}
BAD: tuple[Any, ...] = (
    None, 3, "", "{", "[]", "null", '{"section":[]}', '{"section":null}', "[" * 100_000,
    '{"section":[{"name":"a","worked":"rounds","needles":[NaN],"rows":["k"]}]}',
    '{"a":' + "9" * 5000 + "}", '{"a":' * 480 + "1" + "}" * 480, "x" * 1_000_001,
    kept_text(up_to("cuff")), kept_text(otherwise("leg", rows=["p"])), kept_text({"section": 4}),
    kept_text({**whole(), "heel": None}), kept_text({**whole(), "colours": [1]}),
    kept_text({**whole(), "stage": [{"opens": "never"}]}),
)  # fmt: skip


@pytest.mark.parametrize("kind", ["append", "replan"])
@pytest.mark.parametrize("text", BAD, ids=lambda text: str(text)[:20])
def test_a_pattern_that_is_none_is_a_bad_history(kind: str, text: Any) -> None:
    knitter = begun()
    knitter.tick(22)
    knitter.tick(9)
    act = Event(4, 3000, 0, 1, kind, {"pattern": text}, b"")
    with pytest.raises(BadHistory, match=f"event 4 .{kind}. cannot be replayed"):
        Replay(knitter.course, [*knitter.events, act])


@pytest.mark.parametrize("told", [5, None, {}, "heel", [3], ["a"] * 21], ids=str)
def test_names_of_sections_that_are_none_are_a_bad_history(told: Any) -> None:
    knitter = begun()
    act = Event(2, 3000, 0, 1, "append", {**GOOD, "sections": told}, b"")
    with pytest.raises(BadHistory):
        Replay(knitter.course, [*knitter.events, act])
    good = act._replace(data={**GOOD, "sections": ["\x1b[2J"]})
    replayed = Replay(knitter.course, [*knitter.events, good])
    (_, said) = history_text(past(replayed.started, [*knitter.events, good]), "cm", of_socks=True)
    assert said.isprintable()


def test_there_is_an_end_to_new_patterns() -> None:
    knitter = begun()
    texts = [kept_text(otherwise("foot", planned=rows)) for rows in (40, 41)]
    for turn in range(MOST_PATTERNS):
        knitter.do("replan", pattern=texts[turn % 2])
    with pytest.raises(Refused, match=f"a pair has at most {MOST_PATTERNS} stages"):
        knitter.do("replan", pattern=texts[0])


# What is knitted stays as it is


STRIPED = {"colours": {"leg": ["navy 9", "cream 3", "rust 2"]}}


def coloured(**colours: Any) -> str:
    return kept_text({**whole(), "colours": colours})


def test_knitted_rounds_never_change_their_colour() -> None:
    knitter = Knitter(Course(read_pattern({**whole(), **STRIPED}, "")))
    knitter.to("leg", 19)
    before = knitter.state
    with pytest.raises(
        Refused,
        match="cuff, row 1 is knitted on sock one in navy, and in the new pattern it is in green",
    ):
        knitter.do("replan", pattern=coloured(leg=["green 2", "cream 1"]))
    assert knitter.state == before
    knitter.do("replan", pattern=coloured(leg=STRIPED["colours"]["leg"], heel="rust"))


def test_a_stage_never_colours_what_is_knitted() -> None:
    knitter = begun()
    knitter.tick(22)
    knitter.tick(12)
    with pytest.raises(Refused, match="row 1 is knitted on sock one in the main colour"):
        knitter.do("append", pattern=kept_text({**up_to("graft"), **STRIPED}))


def test_stripes_in_which_a_place_was_told_are_not_taken_away() -> None:
    """Once that was the end of the pair: neither sock could be shown any more."""
    knitter = Knitter(Course(read_pattern({**whole(), **STRIPED}, "")))
    ball: dict[str, Any] = {"as": "colour", "value": "navy 5"}
    knitter.do("changed", **ball)
    before = knitter.state
    with pytest.raises(Refused, match='"navy 5" was told of sock one at cuff row 1'):
        knitter.do("replan", pattern=coloured(heel="rust"))
    assert knitter.state == before


def test_a_row_that_is_worked_in_part_stays_as_it_is() -> None:
    """Stitches of a needle are worked, none of its needles is: the row is knitted all the same."""
    knitter = Knitter()
    knitter.tick(22)
    knitter.needle(1)
    knitter.do("rip", stitches=12)
    assert knitter.sock().into == 4
    with pytest.raises(Refused, match="leg, row 1 is knitted on sock one as"):
        knitter.do(
            "replan", pattern=kept_text(otherwise("leg", rows=["p | p | p | p = 16/16/16/16"]))
        )


def test_tables_in_tables_without_end_are_a_bad_history() -> None:
    with pytest.raises(ValueError, match="this is no pattern"):
        pattern_of('{"a":' * 480 + "1" + "}" * 480)


# A row in hand into which stitches were taken back


def tinked_into(sock: Any, rounds: int, needles: int, stitches: int) -> Knitter:
    knitter = Knitter()
    knitter.tick(rounds, sock)
    if needles:
        knitter.needle(needles, sock)
    knitter.do("rip", sock, stitches=stitches)
    assert knitter.sock(sock).into
    return knitter


@pytest.mark.parametrize("sock", [1, 2])
@pytest.mark.parametrize(
    ("rounds", "needles", "stitches", "tables", "row"),
    [
        (12, 0, 188, otherwise("cuff", repeat=9), "cuff, row 10"),
        (22, 1, 12, otherwise("leg", rows=["p | p | p | p = 16/16/16/16"]), "leg, row 1"),
        (22, 0, 1, otherwise("cuff", repeat=21), "cuff, row 22"),
    ],
)
def test_a_row_is_knitted_in_part_where_stitches_of_it_were_taken_back(
    sock: Any, rounds: int, needles: int, stitches: int, tables: dict[str, Any], row: str
) -> None:
    knitter = tinked_into(sock, rounds, needles, stitches)
    before = knitter.state
    with pytest.raises(Refused, match=f"{row} is knitted on sock {'one' if sock == 1 else 'two'}"):
        knitter.do("replan", pattern=kept_text(tables))
    assert knitter.state == before


@pytest.mark.parametrize("needles", [0, 1])
def test_a_row_of_which_a_needle_is_worked_stays(needles: int) -> None:
    purl = kept_text(otherwise("leg", rows=["p | p | p | p = 16/16/16/16"]))
    knitter = Knitter()
    knitter.tick(22)
    if needles:
        knitter.needle(needles)
        with pytest.raises(Refused, match="leg, row 1 is knitted on sock one"):
            knitter.do("replan", pattern=purl)
    else:
        knitter.do("replan", pattern=purl)
        assert knitter.replay.course.row(1, 0).word == "PURL"
