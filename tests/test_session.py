"""The one door: acts that are committed whole or not at all, by one terminal or two."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.knitting.knitter import EVENING, SAMPLE
from tests.pattern.making import plan_text
from tests.storage.recording import record
from tracker.forecast.by_row import ByRow
from tracker.glance import Glance, Shown
from tracker.knitting import fold
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import Act
from tracker.knitting.state import Number, State
from tracker.looking import look
from tracker.session import Answer, CannotBeShown, Doubted, Session, short_name, source_of
from tracker.storage.basket import Basket, BasketBusy, BasketTrouble, Stamp, Summary
from tracker.storage.files import Source
from tracker.storage.pattern_file import open_file, open_source, open_tables
from tracker.units import BadLength


class Clock:
    """Two minutes later every time it is looked at, or `step` milliseconds."""

    def __init__(self, step: int = 120_000) -> None:
        self.at, self.step = EVENING, step

    def __call__(self) -> Stamp:
        self.at += self.step
        return Stamp(self.at, 60)


@pytest.fixture
def session(basket: Basket) -> Session:
    return Session.start(basket, open_file(str(SAMPLE)), Clock())


def test_a_leg_to_come_that_is_shaped_is_not_over_at_a_shorter_goal(basket: Basket) -> None:
    calf = {"direction": "toe-up", "foot.ankle": "31 cm", "leg.length": "32 cm"}
    text = plan_text(calf)
    session = Session.start(basket, open_source(Source("plan.toml", text.encode(), text)), Clock())
    said = session.target("20 cm", "leg").said
    assert said.startswith("The leg will go to 20 cm. ")
    assert said.endswith("It is shaped to round 105, at about 25 cm, and ends no sooner.")
    assert "no sooner" not in session.target("31 cm", "leg").said


def again(basket: Basket, session: Session) -> Session:
    """The same pair, opened anew."""
    return Session(basket, basket.find(session.pair.short), Clock())


def test_a_pair_begins(session: Session) -> None:
    assert session.pair.short == "night-ferry"
    assert session.counting == "rounds"
    assert session.glance.events == 1
    assert not session.glance.place.begun


def test_what_an_act_returns_is_what_was_kept(basket: Basket, session: Session) -> None:
    answer = session.tick(3)
    assert answer == Answer(
        session.glance,
        "Sock one, cuff: round 3 of 22 is done (rib). Next: round 4, rib. "
        "16/16/16/16 = 64 on the needles.",
    )
    assert again(basket, session).glance == session.glance


def test_every_act_is_there_after_a_restart(basket: Basket, session: Session) -> None:
    session.tick(22)
    session.tick(20)
    session.measure("9.8")
    session.target("17 cm")
    session.tick(3, needles=True)
    session.other()
    session.tick(5)
    session.tick(1, sock=1)
    session.undo()
    session.redo()
    session.at(4)
    session.end(sock=1)
    reopened = again(basket, session)
    assert [reopened.look(1), reopened.look(2)] == [session.look(1), session.look(2)]
    assert [event.number for event in basket.events(session.pair)] == list(range(1, 14))


def test_an_act_on_the_other_sock_changes_no_socks(session: Session) -> None:
    answer = session.tick(3, sock=2)
    assert (answer.glance.place.sock, answer.glance.place.done) == (2, 3)
    assert (session.glance.place.sock, session.glance.place.done) == (1, 0)


def test_undo_names_the_sock_it_was_on(session: Session) -> None:
    session.tick(3, sock=2)
    assert session.undo().said.startswith("Taken back: 3 rounds on sock two. Sock one: cast on 64.")
    assert session.redo().said.startswith("Brought back: 3 rounds on sock two. Sock one: cast on")


def test_a_refused_act_records_nothing(basket: Basket, session: Session) -> None:
    session.tick(5)
    before = session.glance
    acts: tuple[Callable[[], Answer], ...] = (
        lambda: session.tick(5000),
        lambda: session.end(),
        lambda: session.at(99),
        lambda: session.target("20 cm"),
        lambda: session.redo(),
    )
    for act in acts:
        with pytest.raises(Refused):
            act()
        assert session.glance == before
    assert len(basket.events(session.pair)) == 2
    assert session.tick().glance.place.done == 6


def test_an_act_that_is_not_kept_leaves_the_state_as_it_was(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    session.tick(5)
    before = session.glance

    def fails(*_: object) -> None:
        raise BasketTrouble("the disk is full")

    with monkeypatch.context() as patch:
        patch.setattr(Basket, "_append", fails)
        with pytest.raises(BasketTrouble, match="the disk is full"):
            session.tick()
    assert session.glance == before
    assert session.tick().glance.place.done == 6


# Two terminals


def test_a_key_that_was_held_takes_back_only_its_own_ticks(basket: Basket) -> None:
    """What another terminal did since is not what k is about."""
    quick = Session.start(basket, open_file(str(SAMPLE)), Clock(step=5))
    for _ in range(5):
        quick.tick()
    again(basket, quick).tick(3, sock=2)
    with pytest.raises(Refused, match="no key was held down"):
        quick.keep_single()
    assert quick.glance.place.done == 5
    assert quick.look(2).place.done == 3


def test_what_is_said_is_said_of_the_place_the_act_found(basket: Basket, session: Session) -> None:
    session.tick(2)
    again(basket, session).tick(26)
    assert session.end().said.startswith("The leg ended at round 6.")


def test_two_terminals_both_count(basket: Basket, session: Session) -> None:
    """Each decides on the state that is there when it commits, not on the one it saw."""
    second = again(basket, session)
    session.tick(3)
    assert second.glance.place.done == 0
    assert second.tick(2).glance.place.done == 5
    assert session.tick().glance.place.done == 6
    assert [event.kind for event in basket.events(session.pair)] == ["started", *["tick"] * 3]


def test_a_tick_that_has_no_place_any_more_is_refused(basket: Basket, session: Session) -> None:
    session.at(20, "toe")
    second = again(basket, session)
    session.tick()
    with pytest.raises(Refused, match="sock one is finished"):
        second.tick()
    assert second.glance.place.finished


def test_undo_takes_back_the_last_act_of_either_terminal(basket: Basket, session: Session) -> None:
    second = again(basket, session)
    session.tick(3)
    second.tick(4)
    assert session.undo().said.startswith("Taken back: 4 rounds.")
    assert session.glance.place.done == 3


def test_refresh_takes_in_what_another_terminal_did(tmp_path: Path, session: Session) -> None:
    assert not session.refresh()
    with Basket.open(tmp_path / "basket.db") as other:
        second = Session(other, other.find(None), Clock())
        second.tick(3)
        second.count_by("needles")
        assert session.refresh()
        assert not session.refresh()
    assert session.glance.place.done == 3
    assert session.counting == "needles"


def test_counting_by_needles_is_kept_and_is_no_event(basket: Basket, session: Session) -> None:
    assert session.count_by("needles").counting == "needles"
    reopened = again(basket, session)
    assert reopened.counting == "needles"
    assert reopened.glance.events == 1


def test_a_plan_can_say_how_she_counts(basket: Basket, tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text('count = "needles"\n' + SAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
    assert Session.start(basket, open_file(str(plan)), Clock()).counting == "needles"


def test_the_list_of_pairs_knows_the_place(basket: Basket, session: Session) -> None:
    session.tick(30)
    session.other()
    session.tick(4)
    (pair,) = basket.pairs()
    assert pair.summary == Summary(2, "cuff", 4, True, (26, 1664))
    assert pair.touched == session.touched


# What a history may hold


def test_a_kind_from_a_newer_program_is_refused_and_left_alone(
    basket: Basket, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delitem(fold._ACTS, "append")
    summary = Summary(1, "cuff", 0, True)
    record(basket, session.pair, 1, lambda _: (Act("append", 1, {}), summary), Stamp(EVENING, 60))
    with pytest.raises(
        BasketTrouble, match='night-ferry holds "append", which this Instep cannot replay'
    ):
        again(basket, session)
    with pytest.raises(BasketTrouble, match="cannot replay"):
        session.tick()
    assert len(basket.events(session.pair)) == 2


def test_a_history_that_contradicts_itself_is_refused(basket: Basket, session: Session) -> None:
    summary = Summary(1, "cuff", 0, True)
    record(
        basket, session.pair, 1, lambda _: (Act("undo", 1, {"of": 7}), summary), Stamp(EVENING, 60)
    )
    with pytest.raises(BasketTrouble, match="the history of night-ferry contradicts itself"):
        again(basket, session)


# Lengths in her unit


def in_leg(session: Session, done: int = 20) -> Session:
    session.tick(22)
    session.tick(done)
    return session


def test_a_bare_number_is_in_her_unit(session: Session) -> None:
    answer = in_leg(session).measure("9,8")
    assert answer.said.startswith("9.8 cm at leg round 20.")


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("98", '98 cm is far from the 9.8 cm expected; did you mean "98 mm"?'),
        ("98 cm", '98 cm is far from the 9.8 cm expected; did you mean "98 mm"?'),
        ("3.8", '3.8 cm is far from the 9.8 cm expected; did you mean "3.8 in"?'),
        ("3-3/4", '3-3/4 cm is far from the 9.8 cm expected; did you mean "3-3/4 in"?'),
        ("9.8 mm", '9.8 mm is far from the 9.8 cm expected; did you mean "9.8 cm"?'),
    ],
)
def test_a_number_that_fits_in_another_unit_is_asked_back(
    session: Session, text: str, asked: str
) -> None:
    in_leg(session)
    with pytest.raises(Refused) as refused:
        session.measure(text)
    assert str(refused.value) == asked
    assert session.glance.events == 3


@pytest.mark.parametrize("text", ["0", "0 cm", "-4", "abc", "", "1/0 in", "9 9", "3 m"])
def test_what_is_no_length(session: Session, text: str) -> None:
    in_leg(session)
    with pytest.raises((Refused, BadLength)) as refused:
        session.measure(text)
    assert "\n" not in str(refused.value)
    with pytest.raises((Refused, BadLength)):
        session.target(text)
    assert session.glance.events == 3


def test_a_bare_goal_that_fits_in_another_unit_is_asked_back_once(session: Session) -> None:
    """7 in, too, would be a leg: with its unit, or said twice, it is hers to choose."""
    with pytest.raises(Doubted, match='did you mean "7 in"') as doubt:
        in_leg(session).target("7")
    assert (doubt.value.meant, doubt.value.may_stand) == ("17.8", True)
    length = session.target("7", sure=True).glance.length
    assert length is not None
    assert length.target_mm == 70


def test_a_reading_that_no_sock_has_is_not_kept(session: Session) -> None:
    events = in_leg(session).glance.events
    for sure in (False, True):
        with pytest.raises(Refused, match="900 cm is far from the "):
            session.measure("900", sure=sure)
    assert session.glance.events == events


def test_a_goal_in_another_unit_is_asked_back(session: Session) -> None:
    with pytest.raises(
        Refused, match='170 cm is far from the 16 cm expected; did you mean "170 mm"'
    ):
        in_leg(session).target("170")


@pytest.mark.parametrize("text", ["5 cm", "9", "7 cm", "31 cm"])
def test_a_goal_is_hers_to_choose(session: Session, text: str) -> None:
    length = in_leg(session).target(text).glance.length
    assert length is not None
    assert length.target_mm == float(text.removesuffix(" cm")) * 10


def test_a_unit_that_she_wrote_is_believed(session: Session) -> None:
    """3.8 cm for twenty rounds is odd, and she says it is so: it is kept, and asked about."""
    answer = in_leg(session).measure("3.8 cm")
    assert "does not count yet" in answer.said


def test_at_the_very_start_there_is_nothing_to_measure(session: Session) -> None:
    with pytest.raises(Refused, match="no round of the cuff is done yet; count one, then measure"):
        session.measure("0.5 cm")


# Names


@pytest.mark.parametrize(
    ("title", "short"),
    [
        ("Night ferry", "night-ferry"),
        ("  Nachtfähre, 2. Paar! ", "nachtfahre-2-paar"),
        ("Ελλάδα", "pair"),
        ("", "pair"),
        ("x" * 60, "x" * 40),
        ("a\x1b[31mb", "a-31mb"),
    ],
)
def test_short_names(title: str, short: str) -> None:
    assert short_name(title) == short


def test_a_second_pair_of_the_same_title_has_a_name_of_its_own(basket: Basket) -> None:
    opened = open_file(str(SAMPLE))
    names = [Session.start(basket, opened, Clock()).pair.short for _ in range(3)]
    assert names == ["night-ferry", "night-ferry-2", "night-ferry-3"]


def test_a_pair_knows_the_file_it_began_with(basket: Basket, session: Session) -> None:
    known = basket.started_from(source_of(SAMPLE.read_bytes()))
    assert known is not None
    assert known.short == session.pair.short
    assert basket.started_from(source_of(SAMPLE.read_bytes() + b"\n")) is None


def test_one_key_keeps_a_single_tick_of_a_key_held_down(tmp_path: Path) -> None:
    """All are counted; one act later only the first stands; each can be brought back."""
    at = 1_773_342_900_000
    with Basket.open(tmp_path / "b.db") as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), lambda: Stamp(at, 60))
        with pytest.raises(Refused, match="no key was held down"):
            session.keep_single()
        for _ in range(9):
            session.tick()
        assert "held" in [cue.kind for cue in session.glance.cues]
        answer = session.keep_single()
        assert answer.said.startswith("Kept one of 9. Sock one, cuff: round 1 of 22 is done")
        assert session.glance.place.done == 1
        assert "held" not in [cue.kind for cue in session.glance.cues]
        session.redo()
        assert session.glance.place.done == 2


def test_a_goal_no_longer_than_the_toe_is_refused(tmp_path: Path) -> None:
    with Basket.open(tmp_path / "b.db") as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), lambda: Stamp(0, 0))
        session.at(3, "foot")
        with pytest.raises(Refused, match=r"the toe alone is 4\.8 cm; write a goal longer"):
            session.target("3 cm")
        assert session.target("20 cm").glance.length is not None


def test_a_goal_beyond_all_measure_is_refused_for_what_it_is(tmp_path: Path) -> None:
    with Basket.open(tmp_path / "b.db") as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), lambda: Stamp(0, 0))
        session.at(3, "leg")
        with pytest.raises(Refused, match="400 is far from the 16 cm planned"):
            session.target("400")


def test_a_refused_act_replays_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Basket.open(tmp_path / "b.db") as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), lambda: Stamp(0, 0))
        monkeypatch.setattr(session, "_replayed", lambda: pytest.fail("replayed"))
        with pytest.raises(Refused):
            session.end()
        assert session.tick().glance.place.done == 1


def test_sock_two_is_gone_to_by_name(tmp_path: Path) -> None:
    with Basket.open(tmp_path / "b.db") as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), lambda: Stamp(0, 0))
        assert session.other(2).glance.place.sock == 2
        with pytest.raises(Refused, match="sock two is in hand already"):
            session.other(2)


def test_ticks_on_the_wrong_sock_go_to_the_other(session: Session) -> None:
    """Taken back on this one, counted on the other, in one go; whole or not at all."""
    session.tick(5)
    session.other()
    session.other()
    session.tick()
    session.tick(2)
    before = session.glance.events
    answer = session.move_over(2)
    assert answer.said.startswith(
        "The last 2 ticks, 3 rounds, counted on sock two. Sock two, cuff: round 3 of 22"
    )
    assert answer.said.endswith("Sock one is at cuff round 5.")
    assert session.look(1).place.done == 5
    assert session.look(2).place.done == 3
    assert session.glance.in_hand == 1
    assert session.glance.events == before + 1
    with pytest.raises(Refused, match="only 1 tick on sock one can be moved; write 1"):
        session.move_over(0)
    session.tick()
    session.measure("1 cm")
    with pytest.raises(
        Refused, match=r"no tick on sock one alone is the last thing done.* --sock 2"
    ):
        session.move_over()
    session.undo()
    session.tick()
    with pytest.raises(Refused, match="only 3 ticks on sock one can be moved; write 1 to 3"):
        session.move_over(4)
    assert session.look(1).place.done == 7


def test_one_tick_more_is_moved_past_counts_notes_and_changes_of_sock(session: Session) -> None:
    """They stay as they were; what was moved before is looked past, and all of it is taken back."""
    session.tick(22)
    session.tick(10)
    session.other()
    session.tick(2)
    session.tick(3)
    said = session.move_over().said
    assert said.startswith("The last tick, 3 rounds, counted on sock one. Sock one, leg: round 13")
    assert said.endswith("Sock two is at cuff round 2.")
    session.note("a knot")
    session.count("ok")
    session.other()
    assert session.move_over().said.endswith("Sock two is at the beginning of the cuff.")
    assert [sock.done for sock in session.glance.socks] == [15, 0]
    assert session.glance.in_hand == 1
    assert [note.text for note in session.state.sock(2).notes] == ["a knot"]
    with pytest.raises(Refused, match="correct both socks with instep at ROUND --sock"):
        session.move_over()
    there = {one.event.number: (one.row, one.undone) for one in session.past()}
    assert (there[5], there[6], there[8]) == ((2, True), (5, True), (2, False))
    for done in ([13, 2], [13, 2], [13, 2], [13, 2], [10, 5]):
        session.undo()
        assert [sock.done for sock in session.glance.socks] == done
    for _ in range(5):
        session.redo()
    assert [sock.done for sock in session.glance.socks] == [15, 0]
    assert [one.undone for one in session.past()][4:10] == [True, True, False, False, False, False]
    assert session._replayed().state.socks == session.state.socks


def test_a_move_is_one_act_and_is_taken_back_as_one(session: Session) -> None:
    session.tick(9)
    session.tick(3)
    before = session.glance
    session.move_over()
    assert [sock.done for sock in session.glance.socks] == [9, 3]
    assert session.glance.events == before.events + 1
    answer = session.undo()
    assert answer.said.startswith("Taken back: the move of a tick on sock two.")
    assert [sock.done for sock in session.glance.socks] == [12, 0]
    session.redo()
    assert [sock.done for sock in session.glance.socks] == [9, 3]
    session.undo()
    session.undo()
    assert session.glance.place.done == 9


def test_a_pattern_with_which_a_sock_cannot_be_shown_is_not_recorded(
    basket: Basket, session: Session, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    session.tick(5)
    before = session.glance
    longer = tmp_path / "longer.toml"
    longer.write_text(SAMPLE.read_text(encoding="utf-8").replace('"16 cm"', '"17 cm"'))
    seen = look

    def fails_on_two(
        course: Course, state: State, shown: Shown, sock: Number, by_row: ByRow
    ) -> Glance:
        if sock == 2 and course.sections[1].planned != 46:
            raise ZeroDivisionError
        return seen(course, state, shown, sock, by_row)

    with monkeypatch.context() as patch:
        patch.setattr("tracker.session.look", fails_on_two)
        with pytest.raises(Refused, match="with it sock two cannot be shown"):
            session.replan(open_tables(str(longer)))
    assert session.glance == before
    assert len(basket.events(session.pair)) == 2
    session.replan(open_tables(str(longer)))
    assert len(basket.events(session.pair)) == 3


def test_an_act_after_which_nothing_can_be_shown_is_not_recorded(
    basket: Basket, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Said not to be kept, it is not: she would press the key again."""
    before = session.tick(5).glance

    def fails_on_six(
        course: Course, state: State, shown: Shown, sock: Number, by_row: ByRow
    ) -> Glance:
        if state.socks[0].rows == 6:
            raise KeyError("no such row")
        return look(course, state, shown, sock, by_row)

    with monkeypatch.context() as patch:
        patch.setattr("tracker.session.look", fails_on_six)
        with pytest.raises(CannotBeShown, match="with it night-ferry cannot be shown, and nothing"):
            session.tick()
        assert session.glance == before
        assert session.tick(2).glance.place.done == 7
    assert [event.number for event in basket.events(session.pair)] == [1, 2, 3]


def test_a_key_is_looked_at_once(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    """What she saw before it is what it answers from, and what she sees after it is asked for again."""
    session.tick(2)
    looked: list[Number | None] = []

    def looking(
        course: Course, state: State, shown: Shown, number: Number, by_row: ByRow
    ) -> Glance:
        looked.append(number)
        return look(course, state, shown, number, by_row)

    monkeypatch.setattr("tracker.session.look", looking)
    after = session.tick().glance
    assert session.glance is after
    assert looked == [1]


def test_a_look_grows_old(session: Session) -> None:
    """Days later the same pair is another sight: she is welcomed back."""
    clock = Clock()
    session.tick(30)
    before = session.glance
    clock.at += 30 * 86_400_000
    session._clock = clock
    now = session.glance
    assert now != before
    assert now.place == before.place


def test_what_others_wrote_is_taken_in_once_it_can_be_read(
    basket: Basket, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is told once that something was written; a basket that is busy just then is read later."""
    with Basket.open(basket.path) as other:
        again(other, session).tick(2)
    with monkeypatch.context() as busy:
        busy.setattr(basket, "events", _is_busy)
        with pytest.raises(BasketBusy):
            session.refresh()
    assert session.refresh()
    assert session.glance.place.done == 2
    assert not session.refresh()


def _is_busy(*_: object, **__: object) -> None:
    raise BasketBusy("the basket is busy")
