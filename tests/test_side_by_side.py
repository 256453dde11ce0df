"""The two socks side by side: rows, differences, changes, lengths, minutes, tape, and how it is told."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tracker import pair_words
from tracker import side_by_side_words as said
from tracker.knitting import step
from tracker.side_by_side import SideBySide, side_by_side


def of(knitter: Knitter) -> SideBySide:
    return side_by_side(knitter.course, knitter.state, knitter.look())


def rows(knitter: Knitter) -> list[str]:
    """The ledger, a line each."""
    return [
        " ".join(filter(None, (entry.name, entry.one, entry.two, entry.differs)))
        for entry in said.ledger(of(knitter))
    ]


def part(knitter: Knitter, heading: str) -> list[str]:
    parts = {one.heading: one.lines for one in said.parts(of(knitter))}
    return [" | ".join(line) for line in parts.get(heading, ())]


def change(knitter: Knitter, kind: str, value: str = "", **more: Any) -> None:
    knitter.do("changed", 1, **{"as": kind, "value": value, **more})


def apart() -> Knitter:
    """Sock one is finished; sock two ended its leg two rounds early and is at the gusset."""
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("measure", mm=96.0, step=1)
    knitter.do("note", text="the red marker")
    knitter.do("lifeline")
    knitter.to("leg", 46)
    knitter.do("end")
    knitter.to("gusset", 9)
    change(knitter, "needle", "2.25", copy=False)
    change(knitter, "other", "a purl bump")
    knitter.finish()
    knitter.to("leg", 20, sock=2)
    knitter.do("measure", 2, mm=88.0, step=1)
    knitter.to("leg", 44, sock=2)
    knitter.do("end", 2)
    knitter.to("gusset", 3, sock=2)
    return knitter


def test_the_ledger_has_signed_differences_and_what_is_to_go() -> None:
    assert rows(Knitter()) == [
        "cuff . .", "leg . .", "heel set-up . .", "heel flap . .", "heel turn . .", "gusset . .",
        "foot . .", "toe . .", "graft . .",
    ]  # fmt: skip
    assert rows(apart()) == [
        "cuff 22 22 +0", "leg 46 44 -2 !", "heel set-up 1 1 +0", "heel flap 32 32 +0",
        "heel turn 14 14 +0", "gusset 19 3 16 to go", "foot 44 .", "toe 20 .", "graft 1 .",
    ]  # fmt: skip


@pytest.mark.parametrize(("two", "told"), [(45, "1 to go"), (46, "as many"), (48, "2 past")])
def test_at_and_past_where_the_other_ended(two: int, told: str) -> None:
    knitter = Knitter()
    knitter.to("leg", two, sock=2)
    knitter.to("leg", 46)
    knitter.do("end")
    assert rows(knitter)[1] == f"leg 46 {two} {told}"


def test_where_each_is_in_hand() -> None:
    here = [entry.here for entry in said.ledger(of(apart()))]
    assert here.count((False, True)) == 1
    assert here[5] == (False, True)
    assert not any(one for one, _ in here), "sock one is finished"


def test_the_verdict_names_all_that_differs() -> None:
    assert said.verdict(of(Knitter())) == "in step: no section is finished on both yet"
    both = Knitter()
    both.to("leg", 3)
    both.to("leg", 1, sock=2)
    assert said.verdict(of(both)) == "in step: so far every count agrees"
    assert said.verdict(of(apart())) == "not in step: leg -2"


def test_changes_say_how_the_other_sock_has_them() -> None:
    knitter = apart()
    assert part(knitter, "otherwise than planned") == [
        "+ gusset: needles of 2.25 mm from round 10 on | on sock one alone, as meant",
        "o gusset: a purl bump, at round 10 | on sock one; sock two comes to it",
    ]
    knitter.to("gusset", 12, sock=2)
    told = part(knitter, "otherwise than planned")
    assert any(line.startswith("= gusset: a purl bump") and "on both" in line for line in told)


def test_a_change_the_other_sock_is_past_is_on_one_only() -> None:
    knitter = Knitter()
    knitter.to("gusset", 12, sock=2)
    knitter.to("gusset", 3)
    change(knitter, "skipped-decrease", row=3)
    assert part(knitter, "otherwise than planned") == [
        "! gusset: no decrease in round 3 | on sock one only"
    ]
    knitter.to("foot")
    knitter.to("foot", sock=2)
    first = step.first(knitter.course, knitter.state)
    assert first is not None
    assert pair_words.difference(first).startswith(
        "gusset: no decrease in round 3 on sock one only"
    )
    assert pair_words.difference_brief(first) == "gusset differs"


def test_lengths_minutes_and_the_tape() -> None:
    knitter = apart()
    told = part(knitter, "length and minutes")
    assert told[0].startswith("cuff | ")
    assert any(line.startswith("leg | ") and " (-" in line and " h " in line for line in told)
    tape = part(knitter, "tape")
    assert tape[0] == "sock two is 9 % tighter than sock one"
    assert "sock one, leg round 20 | 9.6 cm" in tape
    assert "sock two, leg round 20 | 8.8 cm" in tape


def test_tension_is_told_of_sock_two_whichever_was_measured_first() -> None:
    shares = []
    for first in (1, 2):
        knitter = Knitter()
        for sock, mm in ((first, 96.0), (3 - first, 88.0)):
            knitter.to("leg", 20, sock=sock)  # type: ignore[arg-type]
            knitter.do("measure", sock, mm=mm, step=1)  # type: ignore[arg-type]
        shares.append(of(knitter).tension)
    two_tighter, two_looser = shares
    assert two_tighter is not None
    assert two_looser is not None
    assert two_tighter < -0.03
    assert two_looser > 0.03


def test_what_the_errors_of_two_readings_explain_is_no_tension() -> None:
    knitter = Knitter()
    for sock, mm in ((1, 96.0), (2, 92.0)):
        knitter.to("leg", 20, sock=sock)  # type: ignore[arg-type]
        knitter.do("measure", sock, mm=mm, step=1)  # type: ignore[arg-type]
    assert part(knitter, "tape")[0] == "sock two is as tight as sock one, as far as the tape tells"


def test_notes_lifelines_weighings_and_the_lag() -> None:
    knitter = apart()
    knitter.do("weigh", grams=60.0, text="60")
    assert part(knitter, "notes") == ["sock one, leg round 20 | the red marker"]
    assert "sock one, leg round 20 | lifeline" in part(knitter, "lifelines and pins")
    assert part(knitter, "yarn weighed")[0].startswith("60 g left | ")
    lag = part(knitter, "how far apart")
    assert lag[0].startswith("sock two ")
    assert " stitches behind, " in lag[0]
    assert lag[1].endswith(
        "cuff 14 %, leg 42 %, heel flap 49 %, heel turn 51 %, gusset 65 %, foot 92 %, toe 100 %"
    )


def test_every_section_that_was_finished_has_the_minutes_it_took() -> None:
    knitter = apart()
    pair = of(knitter)
    minutes = [line.sides[0].minutes for line in pair.lines]
    whole = knitter.sock(1).minutes
    assert whole is not None
    assert sum(found or 0 for found in minutes) == pytest.approx(whole)


def test_a_finished_pair() -> None:
    knitter = Knitter()
    knitter.finish(1)
    knitter.finish(2)
    assert said.verdict(of(knitter)) == "in step: so far every count agrees"
    assert [where for number in (1, 2) if (where := said.where(of(knitter), number))] == [
        "sock one: finished", "sock two: finished",
    ]  # fmt: skip
