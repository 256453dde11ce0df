"""Keys in, lines out: the same keys as on the screen, the same acts, and every one of them answered."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.ui.driving import Clock, begin
from tracker.keys import DEFAULT, NAMED
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket, BasketTrouble
from tracker.ui.acting import Acting
from tracker.ui.commands import BY_NAME
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.plain_keys import Key
from tracker.ui.plain_lines import BELL, Heard, PlainNeedles


def key(name: str) -> Key:
    """A key by its name in the settings, or the sign it types."""
    character = " " if name == "space" else "" if len(name) > 1 else name
    return Key(name.replace(" ", "") if name in NAMED else name, character)


PIN = "Pin up: round 10."


class Knitter:
    """Presses keys and keeps what was said."""

    def __init__(self, session: Session, **values: object) -> None:
        own = Settings(**values)  # type: ignore[arg-type]
        self.needles = PlainNeedles(session, lambda: ["Night ferry: sock one"], own)
        self.heard: list[Heard] = []

    def press(self, *names: str) -> str:
        """The lines that came of these keys."""
        self.heard = [self.needles.hear(key(name)) for name in names]
        return "\n".join(line for heard in self.heard for line in heard.lines)


@pytest.fixture
def knitter(session: Session) -> Knitter:
    return Knitter(session)


def test_what_is_said_first(basket: Basket, session: Session) -> None:
    clock = Clock()
    clock.at += 9 * 86_400_000
    again = PlainNeedles(Session(basket, basket.find(None), clock), list, Settings())
    title, place, keys = again.opening()
    assert title == "Night ferry."
    assert place.startswith("Sock one, leg: round 9 of about 46 is done (plain).")
    assert "Last knitted 8 days ago." in place
    assert keys == "Space is done, ? says all keys, q leaves."


def test_a_tick_is_one_short_line(knitter: Knitter) -> None:
    assert knitter.press("space") == f"Round 10 of about 46 done. Next: round 11, plain. {PIN}"
    assert knitter.press("enter") == "Round 11 of about 46 done. Next: round 12, plain."


def test_the_disk_is_waited_for_only_where_something_is_recorded(knitter: Knitter) -> None:
    """A long journal takes its time as well, and no disk is slow then."""
    waited: list[str] = []

    @contextmanager
    def watched() -> Iterator[None]:
        before = knitter.needles.session.glance.events
        yield
        waited.append(f"{knitter.needles.session.glance.events - before} more")

    knitter.needles.told_if_slow = watched
    knitter.press("j", ">", ";", "%", "?", "3")
    assert waited == []
    knitter.press("space", "backspace", "t", "a", "enter")
    assert waited == ["1 more"] * 3


def test_figures_gather_and_the_key_says_what_they_are(knitter: Knitter) -> None:
    told = knitter.press("3", "space")
    assert [heard.echo for heard in knitter.heard] == ["3", ""]
    assert told == (
        "3 rounds: 10 to 12, backspace takes them back."
        " Round 12 of about 46 done. Next: round 13, plain."
    )
    assert knitter.press("1", "2", "backspace") == "Figures: 1"
    assert knitter.press("backspace") == "No figures."
    assert knitter.press("4", "escape") == "No figures."
    assert knitter.press("escape") == "Nothing is open."
    assert knitter.press("m").startswith("Type the length first, in cm:")
    assert knitter.press(*"7.4", "m").startswith("7.4 cm at leg round 12.")
    assert knitter.press("8", "^") == "8 ^: ^ does nothing here; ? says what the keys do."
    assert knitter.press(*"1" * 15, "1").endswith("no more fit.")


def test_needle_by_needle(knitter: Knitter) -> None:
    assert knitter.press("n") == "Counting needle by needle."
    assert knitter.press("space") == "Needle 1 of 4 done. Next: needle 2 of 4: k."
    assert knitter.press("space", "space", "space").endswith(
        f"\nEND OF ROUND. Round 10 of about 46 done. Next: round 11, plain. {PIN}"
    )


def test_a_section_that_she_begins_by_another_act_than_a_tick_says_its_card(
    knitter: Knitter,
) -> None:
    knitter.press("2", "+", "=", "space")
    told = knitter.press("e")
    assert told.startswith("The leg ended at round 10. ")
    assert "All borders 2 stitches back. Knit N1, then turn. N4 and N1 become" in told
    assert "LEG DONE: 10 rounds" in told
    assert "Cast on 64, loosely." in knitter.press("tab")
    assert "Cast on 64" not in knitter.press("5", "m"), "once is enough"


def test_borders_that_go_back_are_said_a_round_ahead(knitter: Knitter) -> None:
    knitter.press("e", "tab", "2", "2", "a", "6", "a", "2", "+", "=")
    ahead = "ll borders 2 stitches back before the heel set-up."
    assert f"Next round: a{ahead}" in knitter.press("space")
    assert f" A{ahead}" in knitter.press("space")
    assert knitter.press("space").count("ll borders 2 stitches back") == 1


def test_what_is_to_be_put_right_is_said_again_at_its_needle(knitter: Knitter) -> None:
    knitter.press("n", "space", *"16/15/14/16", "c")
    told = [knitter.press("space") for _ in range(8)]
    this, following = (
        "In this round look for a dropped stitch on N3",
        "In round 11 look for a dropped",
    )
    assert [this in one or following in one for one in told] == [True] + 6 * [False] + [False]


def test_words_are_typed_and_echoed(knitter: Knitter, session: Session) -> None:
    assert knitter.press("t") == (
        "Note on sock one, leg round 9. Enter keeps it, escape leaves it."
    )
    assert knitter.press("q", "space", "x", "backspace") == "Note on sock one, leg round 9: q "
    assert [heard.echo for heard in knitter.heard] == ["q", " ", "x", ""]
    assert knitter.press("1", "enter") == "Noted at leg round 9: q 1."
    assert knitter.press("t", "enter").splitlines()[-1].startswith("A note has words")
    assert knitter.press("escape") == "Nothing is kept of that."
    assert knitter.press("t", "space").endswith(f"done. Next: round 11, plain. {PIN}")
    assert session.glance.place.done == 10


def test_what_is_taken_back_and_refused_is_said(knitter: Knitter) -> None:
    assert knitter.press("space", "backspace").splitlines()[-1].startswith("Taken back: a round.")
    assert "; type 0 a to " in knitter.press("9", "9", "9", "9", "a")
    assert knitter.press("s") == "No round of the leg decreases; make a note of it: t."
    assert knitter.press("tab").startswith("Sock two")
    assert "counting sock two (tab goes back)" in knitter.press("space").lower()


def test_what_is_not_kept_is_said_first(
    knitter: Knitter, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise BasketTrouble("the disk is full")

    monkeypatch.setattr(session, "tick", fails)
    assert knitter.press("space") == "NOT KEPT: the disk is full"


def test_what_others_recorded_is_said_before_the_answer(
    knitter: Knitter, basket: Basket, session: Session
) -> None:
    with Basket.open(basket.path) as elsewhere:
        Session(elsewhere, elsewhere.find(None), Clock()).tick(2)
    meanwhile, tick = knitter.press("space").splitlines()
    assert meanwhile.startswith("Meanwhile: Sock one, leg: round 11 of about 46 is done")
    assert tick.startswith("Round 12 of about 46 done.")


def test_her_own_keys_and_nearly_every_key(basket: Basket, session: Session) -> None:
    own = Knitter(session, own_keys={"tick": ("page down",), "end": ("f5",)})
    assert own.press("page down").startswith("Round 10 ")
    assert own.press("f5").startswith("The leg ended at round 10.")
    own.press("backspace")
    every = Knitter(session, counting="nearly every key")
    assert every.press("g", "7", "x").count(" done. Next: ") == 3


def test_a_space_that_counts_nothing_does_nothing_in_an_empty_line(session: Session) -> None:
    """Where she gave it to another act, or to none, no line that is open does that act or is lost."""
    for keys in ({"tick": ("f5",)}, {"tick": ("f5",), "undo": ("space",)}):
        own = Knitter(session, own_keys=keys)
        events = session.glance.events
        own.press("t", "space", "q", "enter")
        assert session.glance.events == events + 1
        assert [note.text for note in session.state.sock(1).notes][-1] == "q"


def test_the_bell_rings_where_she_asked_for_it(session: Session) -> None:
    assert BELL not in Knitter(session).press("space")
    assert Knitter(session, bell="end of round").press("space").startswith(BELL)


@pytest.mark.parametrize("number", [".", "1.2.3", "1,,5", "3-4", "/.", "1-", "+"])
@pytest.mark.parametrize("act", sorted(act for act, one in BY_NAME.items() if one.number))
def test_figures_that_are_no_number_are_refused(knitter: Knitter, number: str, act: str) -> None:
    """Whatever takes figures says so; what is not a number ends no program."""
    assert knitter.press(*number, DEFAULT[act][0])


def test_a_pedal_counts_in_an_empty_line(session: Session) -> None:
    own = Knitter(session, own_keys={"tick": ("page down",)})
    assert own.press("t", "page down").startswith("Note on sock one, leg round 9")
    assert session.glance.place.done == 10


@pytest.mark.parametrize(("bell", "rings"), [("end of round", 3), ("cues", 2), ("both", 3)])
def test_the_bell_rings_at_the_ticks_at_which_it_does_on_the_screen(
    basket: Basket, bell: str, rings: int
) -> None:
    session = begin(basket)
    session.tick(19)
    assert Knitter(session, bell=bell).press("space", "space", "space").count(BELL) == rings


@pytest.mark.parametrize("act", [act for act in DEFAULT if act != "leave"])
def test_every_act_answers(knitter: Knitter, act: str) -> None:
    """None of them is a key that only a screen can show."""
    assert knitter.press(DEFAULT[act][0])
    assert not knitter.needles.left


def test_what_is_shown_aside(knitter: Knitter) -> None:
    assert "\nspace, enter: the round, row or needle is done" in f"\n{knitter.press('?')}"
    assert knitter.press("j").splitlines()[-1].endswith("leg 9: 9 rounds.")
    assert "leg: one 9, two " in knitter.press(";")
    assert "look: dark" in knitter.press("*")
    assert "Night ferry: sock one" in knitter.press("o")
    assert "m: enter a tape reading." in knitter.press(":", *"tape", "enter")
    assert knitter.press(":", "x", "backspace", *"zzz", "enter").endswith(
        "Nothing is found by zzz."
    )
    assert knitter.press(":", "escape").endswith("Nothing is looked for.")


def test_leaving(knitter: Knitter) -> None:
    assert knitter.press("q") == ""
    assert knitter.needles.left
    assert knitter.needles.kept() == "Kept: sock one, leg round 9 of about 46."


def test_the_screen_and_the_lines_do_their_acts_by_the_same_methods() -> None:
    for act in DEFAULT:
        screen, lines = (getattr(one, f"do_{act}", None) for one in (NeedlesScreen, PlainNeedles))
        assert screen is not None, act
        assert lines is not None, act
        shared = getattr(Acting, f"do_{act}", None)
        assert shared in (None, screen), act
        assert shared in (None, lines), act


KEYS = st.sampled_from([*(one for its in DEFAULT.values() for one in its if one != "q"),
                        *"0123456789.,/!", "escape", "up"])  # fmt: skip


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(st.lists(KEYS, max_size=25))
def test_whatever_is_pressed_is_answered_in_lines_that_can_be_read(
    tmp_path_factory: pytest.TempPathFactory, pressed: list[str]
) -> None:
    with Basket.open(tmp_path_factory.mktemp("any") / "b.db") as basket:
        session = begin(basket)
        session.tick(22)
        needles = PlainNeedles(session, list, Settings())
        for name in pressed:
            open_before = needles.takes_words
            heard = needles.hear(key(name))
            assert heard.echo or heard.lines or open_before, name
            assert all(line.isprintable() and line.strip() for line in heard.lines), heard
        assert session.glance.events == len(basket.events(session.pair))
