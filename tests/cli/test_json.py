"""What scripts rely on: the keys, types and nulls of every --json object."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE

Kinds = type | tuple[type, ...]
NUMBER, MAYBE_NUMBER, NONE = (int, float), (int, float, type(None)), type(None)

LEFT: dict[str, Kinds] = {
    "pair": str, "title": str, "sock": int, "section": str, "kind": str, "done": int,
    "planned": int, "needle": (str, NONE), "needles": list, "resting": list, "stitches": int,
    "next": (dict, NONE), "length_mm": MAYBE_NUMBER, "length_sd_mm": MAYBE_NUMBER,
    "target_mm": MAYBE_NUMBER, "rounds_to_go": dict, "measure_at": (int, NONE),
    "minutes_to_go": int, "lag": dict, "in_step": bool, "cues": list, "events": int,
}  # fmt: skip
CUES = {
    "end-of-round", "needle", "section", "change", "colour", "slip-first", "pin", "measure",
    "reading", "count", "yarn", "other-sock", "copy", "note", "lifeline", "rest", "stage", "held",
}  # fmt: skip
NUMBERS = [
    "cast_on", "cuff_rounds", "leg_rounds", "heel_stitches", "instep_stitches", "flap_rows",
    "turn_rows", "heel_centre", "after_pick_up", "gusset_decrease_rounds", "gusset_rounds",
    "foot_rounds", "toe_rounds", "graft_stitches", "stitches_per_sock", "effective_ease",
]  # fmt: skip


def fits(value: Any, shape: dict[str, Kinds]) -> None:
    """Exactly these keys, in this order, of these types; truth is no number."""
    assert list(value) == list(shape)
    for key, kinds in shape.items():
        allowed = kinds if isinstance(kinds, tuple) else (kinds,)
        assert isinstance(value[key], allowed), (key, value[key])
        assert bool in allowed or not isinstance(value[key], bool), key


def left_fits(left: Any) -> None:
    fits(left, LEFT)
    for needle in [*left["needles"], *left["resting"]]:
        fits(needle, {"name": str, "stitches": int})
    fits(left["rounds_to_go"], {"low": (int, NONE), "likely": (int, NONE), "high": (int, NONE)})
    fits(left["lag"], {"stitches": int, "rounds": int, "minutes": int})
    for cue in left["cues"]:
        fits(cue, {"kind": str, "text": str})
        assert cue["kind"] in CUES
        assert "\n" not in cue["text"]
    if left["next"] is not None:
        fits(left["next"], {"number": int, "side": (str, NONE), "needles": list, "leaves": int})
        for needle in left["next"]["needles"]:
            fits(needle, {"name": str, "work": str, "leaves": int})


PLACES: list[Any] = [
    (), ("cuff", 1), ("cuff", 21), ("leg", 0), ("leg", 20), ("leg", 46), ("heel set-up", 0),
    ("flap", 5), ("turn", 13), ("gusset", 0), ("gusset", 9), ("foot", 30), ("toe", 17),
    ("graft", 0), ("graft", 1),
]  # fmt: skip


@pytest.mark.parametrize("place", PLACES, ids=str)
def test_left_in_every_place(pair: Instep, place: tuple[str, int]) -> None:
    if place:
        left_fits(pair.json("at", str(place[1]), "--section", place[0]))
    left = pair.json("left")
    left_fits(left)
    assert left["pair"] == "night-ferry"
    assert left["title"] == "Night ferry"


@pytest.mark.parametrize(
    ("place", "names", "resting"),
    [
        (("leg", 3), ["N1", "N2", "N3", "N4"], []),
        (("heel set-up", 0), ["heel"], [("N2", 16), ("N3", 16)]),
        (("flap", 3), ["heel"], [("N2", 16), ("N3", 16)]),
        (("turn", 3), ["heel"], [("N2", 16), ("N3", 16)]),
        (("gusset", 3), ["N1", "N2", "N3", "N4"], []),
    ],
    ids=str,
)
def test_in_rows_worked_flat_the_others_rest(
    pair: Instep, place: tuple[str, int], names: list[str], resting: list[tuple[str, int]]
) -> None:
    left = pair.json("at", str(place[1]), "--section", place[0])
    assert [needle["name"] for needle in left["needles"]] == names
    assert [(needle["name"], needle["stitches"]) for needle in left["resting"]] == resting
    assert left["stitches"] == sum(needle["stitches"] for needle in left["needles"])


def test_sides_are_of_rows_only(pair: Instep) -> None:
    sides = {}
    for section, row in (("leg", 3), ("heel set-up", 0), ("flap", 0), ("flap", 1), ("turn", 0)):
        sides[section, row] = pair.json("at", str(row), "--section", section)["next"]["side"]
    assert sides == {
        ("leg", 3): None, ("heel set-up", 0): "RS", ("flap", 0): "WS", ("flap", 1): "RS",
        ("turn", 0): "WS",
    }  # fmt: skip


@pytest.mark.parametrize("section", ["heel set-up", "flap", "turn", "toe", "graft"])
def test_no_length_where_none_is_taken(pair: Instep, section: str) -> None:
    left = pair.json("at", "0", "--section", section)
    found = [left[key] for key in ("length_mm", "length_sd_mm", "target_mm", "measure_at")]
    assert found == [None] * 4
    rows = left["planned"]
    assert left["rounds_to_go"] == {"low": rows, "likely": rows, "high": rows}


@pytest.mark.parametrize(("section", "goal"), [("cuff", None), ("leg", 160), ("gusset", None)])
def test_goals(pair: Instep, section: str, goal: float | None) -> None:
    left = pair.json("at", "5", "--section", section)
    assert left["length_mm"] > 0
    assert left["target_mm"] == goal
    assert (left["measure_at"] is None) == (goal is None)


def test_the_graft_done_is_the_end(pair: Instep) -> None:
    left = pair.json("at", "1", "--section", "graft")
    assert (left["section"], left["done"], left["next"], left["needle"]) == ("graft", 1, None, None)
    assert (left["needles"], left["resting"], left["stitches"]) == ([], [], 0)
    assert left["minutes_to_go"] == 0


def test_before_and_after_the_pick_up(pair: Instep) -> None:
    before = pair.json("at", "14", "--section", "turn")
    assert (before["section"], before["done"], before["next"]["number"]) == ("gusset", 0, 0)
    assert before["planned"] == 19
    assert [needle["work"] for needle in before["next"]["needles"]] == [
        "rest 9, pick up 17", "k", "k", "pick up 17, k9",
    ]  # fmt: skip
    after = pair.json("tick")
    assert (after["section"], after["done"], after["next"]["number"]) == ("gusset", 0, 1)
    assert after["planned"] == 19


def test_events_are_all_that_were_recorded(pair: Instep) -> None:
    counts = [pair.json(*words)["events"] for words in (["tick"], ["undo"], ["redo"], ["left"])]
    assert counts == [2, 3, 4, 4]


@pytest.mark.parametrize(
    "words",
    [
        ["tick"], ["tick", "3"], ["tick", "--needle"], ["other"], ["undo"], ["redo"],
        ["at", "30"], ["measure", "12 cm"], ["target", "17 cm"], ["end"], ["left"],
    ],
    ids=" ".join,
)  # fmt: skip
def test_acts_answer_with_the_left_object(pair: Instep, words: list[str]) -> None:
    pair.ok("at", "25", "--section", "leg")
    if words == ["redo"]:
        pair.ok("undo")
    answer = pair.json(*words)
    left_fits(answer)
    assert answer == pair.json("left")


def test_an_act_on_the_other_sock_answers_for_that_sock(pair: Instep) -> None:
    answer = pair.json("tick", "--sock", "2")
    assert (answer["sock"], answer["done"]) == (2, 1)
    assert answer == pair.json("left", "--sock", "2")
    assert (pair.json("left")["sock"], pair.json("left")["done"]) == (1, 0)


def test_plan(instep: Instep) -> None:
    plan = instep.json("plan", str(SAMPLE))
    fits(plan, {"title": str, "numbers": dict, "sections": list})
    assert list(plan["numbers"]) == NUMBERS
    assert plan["numbers"]["stitches_per_sock"] == 10_416
    assert 0 < plan["numbers"]["effective_ease"] < 0.2
    for section in plan["sections"]:
        fits(section, {"name": str, "kind": str, "worked": str, "rows": list})
        assert section["worked"] in ("rounds", "rows")
        for row in section["rows"]:
            shape: dict[str, Kinds] = {
                "number": int, "side": (str, NONE), "needles": list, "leaves": int,
                "stitches_worked": int,
            }  # fmt: skip
            fits(row, shape)
            assert (row["side"] in ("RS", "WS")) == (section["worked"] == "rows")
            for needle in row["needles"]:
                fits(needle, {"name": str, "work": str, "leaves": int})
    kinds = [section["kind"] for section in plan["sections"]]
    assert kinds == [
        "cuff", "leg", "heel set-up", "flap", "turn", "gusset", "foot", "toe", "graft",
    ]  # fmt: skip
    made = sum(row["stitches_worked"] for section in plan["sections"] for row in section["rows"])
    assert made == 10_416


def test_a_pattern_by_hand_has_the_numbers_that_its_rows_say(
    instep: Instep, tmp_path: Path
) -> None:
    file = tmp_path / "tube.toml"
    file.write_text(
        'title = "Tube"\n[[section]]\nname = "tube"\nworked = "rounds"\nneedles = [32, 32]\n'
        'rows = ["k"]\nrepeat = 10\n'
    )
    numbers = instep.json("plan", str(file))["numbers"]
    assert list(numbers) == NUMBERS
    known = {name: number for name, number in numbers.items() if number is not None}
    assert known == {"cast_on": 64, "stitches_per_sock": 640}
    assert "Cast on 64, loosely.\n640 stitches a piece.\n" in instep.ok("plan", str(file))


def test_basket(pair: Instep) -> None:
    pair.now("2026-03-02T21:30:00+01:00")
    pair.ok("tick", "25")
    pair.ok("other")
    shape: dict[str, Kinds] = {
        "pair": str, "title": str, "sock": int, "section": str, "done": int, "in_step": bool,
        "last_touched": str,
    }  # fmt: skip
    listed = pair.json("basket")
    fits(listed, {"pairs": list})
    (only,) = listed["pairs"]
    fits(only, shape)
    assert (only["pair"], only["sock"], only["section"], only["done"]) == (
        "night-ferry",
        2,
        "cuff",
        0,
    )
    touched = datetime.fromisoformat(only["last_touched"])
    assert touched.tzinfo is not None
    assert touched == datetime.fromisoformat("2026-03-02T21:30:00+01:00")


def test_an_empty_basket(instep: Instep) -> None:
    assert instep.json("basket") == {"pairs": []}


def test_check_of_a_basket(pair: Instep) -> None:
    assert pair.json("check") == {"ok": True, "problems": []}


def test_check_of_a_file_that_is_no_plan(instep: Instep, tmp_path: Any) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text('title = "x"\nneedels = 3\n', encoding="utf-8")
    code, out, err = instep.run("check", str(plan), "--json")
    assert (code, err) == (1, "")
    found = json.loads(out)
    fits(found, {"ok": bool, "problems": list})
    assert not found["ok"]
    assert found["problems"]
    for problem in found["problems"]:
        shape: dict[str, Kinds] = {
            "line": (int, NONE), "section": (str, NONE), "row": (int, NONE), "problem": str,
            "instead": str,
        }  # fmt: skip
        fits(problem, shape)
    assert any(problem["line"] == 2 for problem in found["problems"])


def test_json_is_plain_ascii(instep: Instep, tmp_path: Any) -> None:
    """A title may hold signs that a terminal obeys; they come escaped, and come back whole."""
    title = "Fährte \x1b[31m \x9b2J \u202e ☃"
    plan = tmp_path / "plan.toml"
    text = SAMPLE.read_text(encoding="utf-8").replace('"Night ferry"', json.dumps(title))
    plan.write_text(text, encoding="utf-8")
    instep.ok("start", str(plan))
    for words in (["left"], ["basket"], ["plan", str(plan)]):
        out = instep.ok(*words, "--json")
        assert out.isascii()
        assert out[:-1].isprintable()
    assert instep.json("left")["title"] == title


# What --more adds

BALL: dict[str, Kinds] = {
    "colour": (str, NONE), "weighed": bool, "left_g": NUMBER, "left_m": MAYBE_NUMBER,
    "sock_g": NUMBER, "sock_sd_g": NUMBER, "over_g": MAYBE_NUMBER, "lacks_g": MAYBE_NUMBER,
    "chance": MAYBE_NUMBER, "verdict": (str, NONE),
    "weigh_at": (int, NONE), "leg_ends_at": (int, NONE), "ways_out": list,
}  # fmt: skip
WAY: dict[str, Kinds] = {
    "kind": str, "text": str, "saves_g": NUMBER, "does": bool, "rounds_each": (int, NONE),
}  # fmt: skip
TIME: dict[str, Kinds] = {
    "stitches_a_minute": NUMBER, "own_pace": bool, "section": (int, NONE), "sock": (int, NONE),
    "pair": (int, NONE), "done_first": (str, NONE), "done_last": (str, NONE),
}  # fmt: skip
STAGE: dict[str, Kinds] = {
    "number": int, "rounds": int, "minutes": int, "opens": (str, NONE), "knit_by": (str, NONE),
    "rounds_a_day": (int, NONE), "on_time": (bool, NONE),
}  # fmt: skip


def more_fits(left: Any) -> None:
    """The left object word for word, and after it three keys."""
    left_fits({key: left[key] for key in LEFT})
    assert list(left)[len(LEFT) :] == ["yarn", "time", "stage"]
    for ball in left["yarn"]:
        fits(ball, BALL)
        for way in ball["ways_out"]:
            fits(way, WAY)
    if left["time"] is not None:
        fits(left["time"], TIME)
    if left["stage"] is not None:
        fits(left["stage"], STAGE)


def test_more_tells_yarn_time_and_stage(instep: Instep, tmp_path: Path) -> None:
    """Scenario: 100 g, 85 after cuff and leg; two evenings at the needles; a stage with its date."""
    plan = tmp_path / "plan.toml"
    stage = '\n[[stage]]\nsections = ["cuff", "leg"]\nopens = 2026-02-20\nknit_by = 2026-03-12\n'
    plan.write_text(
        SAMPLE.read_text(encoding="utf-8") + "[yarn]\ngrams = 100\nmetres = 420\n" + stage, "utf-8"
    )
    instep.run("start", str(plan))
    for section, row in filter(None, PLACES):
        instep.ok("at", str(row), "--section", str(section))
        more_fits(instep.json("left", "--more"))
    assert instep.json("left", "--more")["yarn"][0]["verdict"] == "enough"
    instep.ok("at", "0", "--section", "cuff")
    for day in (1, 3):
        for minute in range(0, 40, 2):
            instep.now(f"2026-03-0{day}T20:{minute:02}:00+01:00")
            instep.ok("tick")
    left = instep.json("measure", "12", "--more")
    more_fits(left)
    time = left["time"]
    assert time["own_pace"]
    assert time["section"] < time["sock"] < time["pair"]
    assert "2026-03-03" < time["done_first"] <= time["done_last"]
    assert (left["stage"]["number"], left["stage"]["knit_by"]) == (1, "2026-03-12")
    assert left["stage"]["opens"] == "2026-02-20"
    ball = instep.json("weigh", "62", "--more")["yarn"][0]
    assert (ball["verdict"], ball["colour"], ball["weighed"]) == ("tight", None, True)
    assert {way["kind"] for way in ball["ways_out"]} >= {"toes", "heels", "ball"}


def test_more_of_every_colour(instep: Instep) -> None:
    instep.run("start", str(SAMPLE.with_name("low-tide.toml")))
    instep.ok("weigh", "40", "--colour", "slate")
    more = instep.json("weigh", "20", "--colour", "sand", "--more")
    more_fits(more)
    assert {ball["colour"] for ball in more["yarn"]} == {"slate", "sand"}


def test_more_is_for_scripts(pair: Instep) -> None:
    for words in (["left"], ["measure", "12"], ["weigh", "85"]):
        assert pair.wrong(*words, "--more") == "--more is more for scripts; write --json with it"
    assert pair.json("left")["events"] == 1
