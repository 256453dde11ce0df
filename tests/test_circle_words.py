"""What a line of the circle says, and who stands where."""

from __future__ import annotations

from itertools import permutations

import pytest

from tests.knitting.knitter import EVENING, Knitter
from tracker import circle_words
from tracker.circle_words import by_name, in_order, knitter_of, line
from tracker.forecast.finish import Due
from tracker.glance import Shown
from tracker.knitting.course import Course
from tracker.knitting.worked import day_of
from tracker.pattern.stages import Stage

TODAY = day_of(EVENING, 60)


def one(
    knitter: Knitter, name: str = "", days: int = 0, title: str = "Night ferry"
) -> circle_words.Knitter:
    shown = Shown("night-ferry", "rounds", len(knitter.events), today=TODAY + days)
    own = {"title": title} | ({"knitter": name} if name else {})
    return knitter_of(knitter.course, knitter.state, shown, own, TODAY)


def staged(both_socks: bool = False) -> Knitter:
    """A pattern in two stages: cuff and leg by the tenth day, the heel by the twentieth."""
    pattern = Knitter().course.pattern
    stages = (
        Stage(1, ("cuff", "leg"), knit_by=TODAY + 10, both_socks=both_socks),
        Stage(2, ("heel",), opens=TODAY + 12, knit_by=TODAY + 20, both_socks=both_socks),
    )
    return Knitter(Course(pattern._replace(stages=stages)))


def test_a_line_says_where_and_since_when() -> None:
    knitter = Knitter()
    assert (
        line(one(knitter))
        == "Night ferry: sock one, cuff to begin; stitches not counted; knitted today"
    )
    knitter.to("gusset", 9)
    knitter.do("count", found=[21, 16, 16, 21])
    assert line(one(knitter, "Ash", 1)) == (
        "Ash: sock one, gusset round 9; stitches right at the last count; knitted yesterday"
    )
    knitter.do("count", found=[21, 16, 16, 20])
    assert line(one(knitter, "Ash", 9)) == (
        "Ash: sock one, gusset round 9; stitches not right at the last count; last knitted 9 days ago"
    )


def test_the_check_is_the_last_on_either_sock() -> None:
    knitter = Knitter()
    knitter.tick(3)
    knitter.do("count", found=[64])
    knitter.do("other")
    knitter.do("count", found=[63])
    assert one(knitter).stitches == "wrong"
    knitter.do("count", sock=1, found=[64])
    assert one(knitter).stitches == "ok"
    knitter.do("undo")
    assert one(knitter).stitches == "wrong"


def test_a_pair_that_is_done_is_finished_and_nobody_is_away_from_it() -> None:
    knitter = Knitter()
    knitter.finish()
    assert "sock one finished" in line(one(knitter))
    knitter.do("other")
    knitter.finish()
    done = one(knitter, days=40)
    assert line(done) == "Night ferry: finished; stitches not counted; last knitted 40 days ago"
    assert done.reason == "rest"


def test_a_question_waits_until_a_note_of_its_own_settles_it() -> None:
    knitter = Knitter()
    knitter.tick(3)
    knitter.do("note", text=" ? does the rib twist")
    asked = one(knitter)
    assert asked.reason == "question"
    assert line(asked).endswith("; asks: does the rib twist")
    knitter.do("other")
    assert one(knitter).reason == "question"
    knitter.do("note", text="bought a second ball")
    assert one(knitter).question == "? does the rib twist"
    knitter.do("note", text="! it does not")
    assert one(knitter).question == ""
    knitter.do("undo")
    assert one(knitter).question == "? does the rib twist"
    knitter.do("note", text="?")
    knitter.do("note", text="? and the heel")
    assert line(one(knitter)).endswith("; asks: does the rib twist (+2)")
    assert circle_words.as_json(one(knitter))["more_questions"] == 2
    knitter.do("note", text="!! answered in the lesson")
    assert line(one(knitter)).endswith("; asks: and the heel; settled: ?")
    knitter.do("note", text="!!! nothing is left to ask")
    assert one(knitter).reason == "rest"
    assert line(one(knitter)).endswith("; knitted today; settled: and the heel")
    assert circle_words.as_json(one(knitter))["settled"] == "? and the heel"
    knitter.do("note", text="?")
    assert line(one(knitter)).endswith("; asks: ?")


@pytest.mark.parametrize(
    ("days", "says"),
    [
        (0, "stage 1, 46 rounds to go, 10 days before its date"),
        (9, "stage 1, 46 rounds to go, 1 day before its date"),
        (10, "stage 1, 46 rounds to go, its date is today"),
        (13, "stage 1, 46 rounds to go, 3 days behind its date"),
    ],
)
def test_before_and_behind_the_date_of_a_stage(days: int, says: str) -> None:
    knitter = staged()
    knitter.tick(22)
    told = one(knitter, days=days)
    assert f"; {says}" in line(told)
    assert told.behind == (days > 10)
    assert told.reason == ("behind" if days > 10 else "away" if days >= 7 else "rest")


def test_the_stage_is_that_of_the_sock_that_is_farther_in_it() -> None:
    knitter = staged()
    knitter.to("flap", 2)
    knitter.do("other")
    knitter.tick(3)
    assert "stage 2 opens on 13 March" in line(one(knitter))
    assert not one(knitter, days=11).behind
    both = staged(both_socks=True)
    both.to("flap", 2)
    assert one(both, days=11).behind
    assert "stage 1, 68 rounds to go, 1 day behind its date" in line(one(both, days=11))


def test_where_one_sock_has_done_more_stages_both_are_told() -> None:
    knitter = staged()
    knitter.to("flap", 2)
    knitter.do("other")
    knitter.tick(3)
    assert "; stage 1 done on sock one, 65 rounds to go on sock two; stage 2 opens" in line(
        one(knitter)
    )
    knitter.do("other")
    knitter.to("gusset")
    ahead = one(knitter, days=40)
    assert "; every stage done on sock one, 65 rounds of stage 1 to go on sock two" in line(ahead)


def test_when_every_stage_is_done_it_is_said() -> None:
    knitter = staged()
    knitter.to("gusset")
    done = one(knitter, days=40)
    assert "; every stage done" in line(done)
    assert not done.behind


def test_a_stage_that_will_not_be_done_as_she_knits_is_behind() -> None:
    late = one(staged())._replace(stage=Due(1, 40, 100, None, 5, 7, False))
    assert late.behind
    assert "5 days before its date, more than is knitted by then" in line(late)
    assert not late._replace(stage=Due(1, 40, 100, None, None, None, None)).behind


def test_who_waits_for_what_stands_in_that_order() -> None:
    base = one(Knitter(), "x")
    late = Due(1, 40, 100, None, -3, None, None)
    circle = [
        base._replace(name="wrong", stitches="wrong", question="? q", days=20),
        base._replace(name="asks, long away", question="? q", days=20),
        base._replace(name="asks", question="? q", stage=late),
        base._replace(name="four days late", stage=late._replace(due_in=-4)),
        base._replace(name="late", stage=late, days=30),
        base._replace(name="away longest", days=12),
        base._replace(name="away", days=7),
        base._replace(name="all is well", days=6),
        base._replace(name="Well, too", days=0),
    ]
    for some in permutations(circle[:6]):
        assert in_order([*some, *circle[:5:-1]]) == circle
    assert [shown.name for shown in by_name(circle)] == sorted(
        (shown.name for shown in circle), key=str.casefold
    )


def test_those_whose_stitches_are_wrong_stay_as_they_came() -> None:
    wrong = [
        one(Knitter(), name)._replace(stitches="wrong", days=len(name)) for name in ("c", "aa", "b")
    ]
    assert in_order(wrong) == wrong


def test_as_json_it_says_the_same() -> None:
    knitter = staged()
    knitter.tick(30)
    knitter.do("count", found=[63])
    knitter.do("note", text="? one is missing")
    told = one(knitter, "Ash", 2)
    assert circle_words.as_json(told) == {
        "knitter": "Ash", "title": "Night ferry", "sock": 1, "section": "leg", "round": 8,
        "finished": False, "stitches": "wrong", "days_since": 2, "question": "? one is missing",
        "more_questions": 0, "settled": None, "older_packs": 0, "parted": None,
        "stage": {"number": 1, "rounds_to_go": 38, "days_to_date": 8}, "to_join": None,
        "behind": False,
        "waits_for": "stitches", "text": line(told),
    }  # fmt: skip


def test_a_strangers_words_stay_in_their_line() -> None:
    knitter = Knitter()
    knitter.do("note", text="?\x1b[2J" + "x" * 400)
    told = line(one(knitter, "a\x9b1m\n" + "b" * 90))
    assert told.isprintable()
    assert len(told) < 300
