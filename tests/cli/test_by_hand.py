"""Patterns by hand at the needles: a hat, mittens, a scarf, a stocking from a printed page, a cowl.

They are written as a maker would write them; each is audited, started, counted, measured, ended and
brought in step like a computed one.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.ui.test_nothing_cut import SIZES, looks, shown
from tracker.session import Session
from tracker.storage.basket import Basket, Stamp
from tracker.storage.pattern_file import open_file
from tracker.ui.sights import Scene

FILES = sorted((Path(__file__).parents[1] / "pattern" / "data" / "by_hand").glob("*.toml"))
BY_NAME = {file.stem: file for file in FILES}
WORDS_OF_A_SOCK = ("sock", "heel", "instep", "toe")


@pytest.fixture(params=FILES, ids=lambda file: file.stem)
def file(request: pytest.FixtureRequest) -> Path:
    """One of the patterns."""
    path: Path = request.param
    return path


def begun(instep: Instep, name: str) -> Instep:
    instep.ok("start", str(BY_NAME[name]))
    return instep


def whole(instep: Instep) -> Iterator[dict[str, Any]]:
    """The state after every step of a piece, knitted to its end."""
    while True:
        left = instep.json("left")
        yield left
        if left["next"] is None:
            return
        likely = left["rounds_to_go"]["likely"]
        if left["done"] and not likely:
            instep.ok("end")
        else:
            instep.ok("tick", str(min(likely or 3, 9)))


def test_each_comes_out_and_is_written_out(instep: Instep, file: Path) -> None:
    assert instep.line("check", str(file)) == "Every row comes out."
    assert instep.json("check", str(file)) == {"ok": True, "problems": []}
    told = instep.ok("plan", str(file))
    assert " | |" not in told


def test_each_is_knitted_twice_and_is_in_step(instep: Instep, file: Path) -> None:
    instep.ok("start", str(file))
    first = list(whole(instep))
    assert first[-1]["in_step"] is True
    instep.ok("other")
    second = list(whole(instep))
    assert second[-1]["in_step"] is True
    assert second[-1]["lag"] == {"stitches": 0, "rounds": 0, "minutes": 0}
    # What was open on the first has a count on the second.
    assert all(left["planned"] is not None for left in second)
    sections = list(dict.fromkeys(left["section"] for left in first))
    assert sections == list(dict.fromkeys(left["section"] for left in second))


@pytest.mark.parametrize("name", ["hat", "scarf", "cowl", "mittens", "mittens_on_a_holder"])
def test_what_is_no_sock_is_not_called_one(instep: Instep, name: str) -> None:
    begun(instep, name)
    said = []
    while instep.json("left")["next"]:
        said.append(instep.ok("left"))
        left = instep.json("left")
        likely = left["rounds_to_go"]["likely"]
        act = ["end"] if left["done"] and not likely else ["tick", str(min(likely or 3, 9))]
        said.append(instep.ok(*act))
    said += [instep.ok("left"), instep.ok("other"), instep.ok("tick"), instep.ok("left")]
    told = " ".join(said).replace("instep undo", "").replace("instep measure", "")
    told = told.replace("instep other", "").replace("instep end", "").lower()
    assert not [word for word in WORDS_OF_A_SOCK if word in told.split()]
    assert "the first" in told
    assert "the second" in told


def test_of_one_piece_no_second_is_missed(instep: Instep) -> None:
    begun(instep, "hat")
    instep.ok("tick", "3")
    assert "behind" not in instep.ok("left")
    instep.ok("other")
    instep.ok("tick", "1")
    assert "In step so far, the second 2 rounds behind." in instep.ok("left")


def test_of_two_mittens_none_is_a_sock_whatever_is_told_of_the_pair(
    instep: Instep, tmp_path: Path
) -> None:
    """Whose turn it is, the second set, the company of the first, the yarn, moving ticks over."""
    file = tmp_path / "mittens.toml"
    yarn = '\n[gauge]\nstitches = 22\nrows = 30\nper = "10 cm"\n[yarn]\ngrams = 50\nmetres = 125\n'
    title, _, rest = BY_NAME["mittens"].read_text().partition("\n")
    file.write_text(f"{title}\n{yarn}{rest}")
    instep.ok("start", str(file))
    said = [instep.ok("weigh", "50"), instep.ok("order", "every", "10", "rounds")]
    minute = 0
    for sock, pace in (*[("1", 2)] * 21, *[("2", 1)] * 11):
        minute += pace
        instep.now(f"2026-03-01T21:{minute:02}:00+01:00")
        said += [instep.ok("tick", "--sock", sock), instep.ok("left")]
    said += [instep.ok("left"), instep.ok("left", "--sock", "2")]
    said += [instep.wrong("other", "--over", "--sock", "2"), instep.ok("weigh", "44")]
    told = " ".join(said)
    for word in ("the second's turn", "second set of needles", "the second is "):
        assert word in told.lower(), word
    for command in ("instep", "--sock"):
        told = told.replace(command, "")
    assert "sock" not in told.lower()


def test_a_stocking_from_a_page_is_a_sock(instep: Instep) -> None:
    begun(instep, "stocking")
    assert instep.line("tick").startswith("Sock one, top: round 1 is done (rib).")
    instep.ok("end")
    instep.ok("tick")
    instep.ok("end")
    left = instep.json("left")
    assert (left["section"], left["kind"]) == ("heel", "other")
    assert left["resting"] == [{"name": "holder", "stitches": 30}]
    instep.ok("tick", "31")
    left = instep.json("left")
    # The turn says nothing of the instep, which rests on.
    assert (left["section"], left["done"], left["resting"][0]["stitches"]) == ("turn", 1, 30)


def test_a_hat_is_measured_from_its_edge_and_planned_by_its_gauge(instep: Instep) -> None:
    """6 cm at 28 rows to 10 cm, a rib taking 1.05 of them: 17.64, so 18; then 12 cm more: 33.6 less
    the rib's (18 / 1.05 - 16.8 = 0.34), so 33."""
    begun(instep, "hat")
    left = instep.json("left")
    assert (left["planned"], left["target_mm"]) == (18, 60)
    left = instep.json("tick", "18")
    assert left["length_mm"] == pytest.approx(60, abs=2)
    instep.ok("measure", "6.0 cm")
    left = instep.json("end")
    assert (left["section"], left["planned"], left["target_mm"]) == ("body", 33, 180)
    assert left["length_mm"] == pytest.approx(60, abs=1)
    left = instep.json("tick", "10")
    # From the body's own beginning as well: ten rounds.
    instep.ok("measure", "3.6 cm", "--from", "section")
    assert instep.json("left")["length_mm"] == pytest.approx(96, abs=2)
    assert "measured from cast-on or section, not from heel" in instep.wrong(
        "measure", "9 cm", "--from", "heel"
    )
    instep.ok("target", "17 cm")
    assert instep.json("left")["target_mm"] == 170


def test_a_scarf_in_rows_says_rows(instep: Instep) -> None:
    begun(instep, "scarf")
    left = instep.json("left")
    assert (left["planned"], left["next"]["side"]) == (110, "RS")
    assert "do not join" in instep.ok("left")
    assert "no row of the scarf is done yet" in instep.wrong("end")
    said = instep.line("tick", "20")
    assert said == (
        "The first, scarf: row 20 of about 110 is done. Next: row 21, right side: "
        "k3, p to last 3, k3. 40 on the needle."
    )
    instep.ok("tick", "90")
    assert instep.line("end", "--at", "109").startswith(
        "The scarf ended at row 109. 1 row goes to what follows."
    )


def test_without_a_gauge_two_readings_that_agree_tell_the_length(instep: Instep) -> None:
    begun(instep, "mittens_on_a_holder")
    left = instep.json("tick", "10")
    unknown = {"low": None, "likely": None, "high": None}
    assert (left["planned"], left["length_mm"], left["minutes_to_go"]) == (None, None, None)
    assert (left["rounds_to_go"], left["target_mm"]) == (unknown, pytest.approx(76.2))
    assert left["measure_at"] == 10
    assert "To 3 in by the tape: measure twice" in instep.ok("left")
    said = instep.line("measure", "1 1/4 in")
    assert "measure once more" in said
    assert instep.json("left")["length_mm"] is None
    instep.ok("tick", "6")
    instep.ok("measure", "2 in")
    left = instep.json("left")
    # 16 rounds are two inches, so 24 are three: eight more.
    assert left["length_mm"] == pytest.approx(2 * 25.4, abs=1.5)
    assert left["rounds_to_go"]["likely"] in (7, 8)
    assert left["planned"] is not None


def test_two_readings_that_do_not_agree_tell_nothing_until_a_third_decides(instep: Instep) -> None:
    begun(instep, "mittens_on_a_holder")
    instep.ok("tick", "10")
    instep.ok("measure", "1/4 in")  # a slip
    instep.ok("tick", "6")
    instep.ok("measure", "2 in")
    assert instep.json("left")["length_mm"] is None
    instep.ok("tick", "4")
    instep.ok("measure", "2 1/2 in")
    assert instep.json("left")["length_mm"] == pytest.approx(2.5 * 25.4, abs=1.5)


def test_a_thumb_is_measured_from_its_own_beginning(instep: Instep) -> None:
    begun(instep, "mittens")
    instep.ok("at", "4", "--section", "thumb")
    left = instep.json("left")
    assert (left["section"], left["target_mm"]) == ("thumb", 50)
    assert instep.wrong("measure", "9 cm", "--from", "cast-on") == (
        "the thumb is measured from section, not from cast-on"
    )
    instep.ok("measure", "1.2 cm")
    instep.ok("tick", "6")
    instep.ok("measure", "3 cm")
    assert instep.json("left")["rounds_to_go"]["likely"] in (6, 7)


def test_a_needle_that_rests_costs_no_tick(instep: Instep) -> None:
    begun(instep, "mittens")
    left = instep.json("at", "0", "--section", "hand")
    assert left["needle"] == "N2"
    assert [needle["name"] for needle in left["needles"]] == ["N2", "N3", "N4", "N5"]
    assert left["resting"] == [{"name": "N1", "stitches": 7}]
    for needle in ("N3", "N4", "N5"):
        left = instep.json("tick", "--needle")
        assert (left["needle"], left["done"]) == (needle, 0)
    left = instep.json("tick", "--needle")
    assert (left["needle"], left["done"], left["stitches"]) == ("N2", 1, 48)
    assert left["next"]["leaves"] == 48


def test_of_two_sections_of_one_name_the_near_one_is_meant(instep: Instep, tmp_path: Path) -> None:
    file = tmp_path / "bands.toml"
    band = '[[section]]\nname = "{}"\nworked = "rounds"\n{}repeat = 6\nrows = ["{}"]\n'
    file.write_text(
        'title = "Bands"\n'
        + band.format("band", "needles = [40]\n", "k")
        + band.format("ridge", "", "p")
        + band.format("band", "", "k")
        + band.format("ridge", "", "p")
    )
    instep.ok("start", str(file))
    instep.ok("tick", "15")
    left = instep.json("at", "2", "--section", "band")
    assert (left["section"], left["done"], left["lag"]["rounds"]) == ("band", 2, 14)
    left = instep.json("at", "3", "--section", "ridge")
    assert (left["done"], left["lag"]["rounds"]) == (3, 9)


def test_a_goal_that_the_work_has_reached_already_is_counted_anew(
    instep: Instep, tmp_path: Path
) -> None:
    """Brim until 6 cm, band until 5 cm: the band's five can only be its own; 7 cm are the whole's."""
    text = BY_NAME["hat"].read_text()
    for goal, target in (("5 cm", 50), ("7 cm", 70)):
        file = tmp_path / f"{goal[0]}.toml"
        file.write_text(text.replace('until = "18 cm"', f'until = "{goal}"'))
        instep.ok("start", str(file))
        instep.ok("tick", "18")
        left = instep.json("end")
        assert left["target_mm"] == target
        assert left["length_mm"] == pytest.approx(0 if target == 50 else 60, abs=2)
        assert left["planned"] == (14 if target == 50 else 2)


def test_what_is_knitted_until_it_is_long_enough_keeps_its_stitches(
    instep: Instep, tmp_path: Path
) -> None:
    file = tmp_path / "narrows.toml"
    file.write_text(
        'title = "Narrows"\n[[section]]\nname = "leg"\nworked = "rounds"\nneedles = [20, 20]\n'
        'until = "20 cm"\nrows = ["k1, ssk, k | k to last 3, k2tog, k1", "k"]\n'
    )
    for command in ("check", "start"):
        told = instep.wrong(command, str(file))
        assert "line 6" in told
        assert "from 20/20 to 19/19" in told
        assert "write repeat or planned for until" in told


class _Clock:
    at = 1_772_391_600_000

    def __call__(self) -> Stamp:
        self.at += 1_200_000
        return Stamp(self.at, 60)


def test_nothing_of_it_is_cut_at_the_needles(file: Path, tmp_path: Path) -> None:
    """At every size, by rounds and by needles, as at a computed sock."""
    with Basket.open(tmp_path / "basket.db") as basket:
        session = Session.start(basket, open_file(str(file)), _Clock())
        session.keys = True
        seen = 0
        for glance in looks(session):
            seen += 1
            if glance.place.done > 12 and glance.place.done % 10:
                continue
            for size in SIZES:
                lines = list(shown(Scene(glance), size))
                assert not [line for line in lines if "..." in line], (size, glance.place)
        assert seen > 20


def test_the_written_pattern_in_words(instep: Instep) -> None:
    """Rows first, then every term they use, once; for scripts nothing changes."""
    told = instep.ok("plan", str(BY_NAME["mittens"]), "--words")
    bare = instep.ok("plan", str(BY_NAME["mittens"]))
    assert told.startswith(bare)
    glossary = told[len(bare) :].splitlines()
    assert glossary[:2] == ["", "In words"]
    names = [line[2:13].strip() for line in glossary[2:]]
    assert len(names) == len(set(names))
    assert {"k", "p", "M1L", "M1R", "CO", "ssk", "k2tog", "BO", "pick up"} <= set(names)
    assert (
        "  ssk         slip two knitwise one by one, knit them together through the back loops"
        " (2 become 1)"
    ) in glossary
    plain = instep.json("plan", str(BY_NAME["mittens"]))
    assert instep.json("plan", str(BY_NAME["mittens"]), "--words") == plain


def test_what_follows_the_other_needs_no_tape(instep: Instep) -> None:
    """The second wrist ends at the count of the first: no reading is asked for."""
    begun(instep, "mittens_on_a_holder")
    instep.ok("tick", "10")
    assert instep.json("left")["measure_at"] == 10
    instep.ok("end")
    instep.ok("other")
    left = instep.json("tick", "9")
    assert (left["planned"], left["rounds_to_go"]["likely"], left["measure_at"]) == (10, 1, None)
    assert not [cue for cue in left["cues"] if cue["kind"] == "measure"]


def test_the_basket_calls_each_what_it_is(instep: Instep) -> None:
    for name in ("mittens", "stocking"):
        instep.ok("start", str(BY_NAME[name]))
        instep.ok("tick", "2")
    instep.ok("start", str(Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"))
    told = instep.ok("basket")
    assert "Red mittens: the first, wrist, 2 done" in told
    assert "Grandmother's sock: sock one, top, 2 done" in told
    assert "Night ferry: sock one, cuff, 0 done" in told
