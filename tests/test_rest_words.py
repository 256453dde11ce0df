"""A sock at rest: how its stitches stood, so that they go back, on every set of needles."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import Knitter, sock_of_64
from tracker import rest_words

CIRCULARS = "the circulars A and B"


@pytest.mark.parametrize(
    ("needles", "place", "ticked", "back"),
    [
        ("five", ("leg", 40), 0, "16/16/16/16, the tail between needles 4 and 1"),
        ("four", ("leg", 40), 0, "16/32/16, the tail between needles 3 and 1"),
        (
            "five", ("leg", 40), 2,
            "16/16/16/16, the tail between needles 4 and 1; in round 41 needles 1 and 2 are worked and"
            " 3 is next, the yarn hangs between needles 2 and 3",
        ),
        (
            "five", ("toe", 4), 1,
            "13/14/14/14, the pin between needles 4 and 1; in round 5 needle 1 is worked and 2 is next,"
            " the yarn hangs between needles 1 and 2",
        ),
        ("five", ("flap", 8), 0, "32 on the heel needle; 32 wait on N2 and N3 (16/16)"),
        ("four", ("turn", 5), 0, "27 on the heel needle; 32 wait on N2"),
        ("five", ("gusset", 0), 0, "18 on the heel needle; 32 wait on N2 and N3 (16/16)"),
        ("five", ("gusset", 3), 0, "24/16/16/24, the pin between needles 4 and 1"),
        ("five", ("graft", 0), 0, "8/8, to be grafted"),
        ("two circulars", ("leg", 40), 0, f"32/32 on {CIRCULARS}, the tail where A begins"),
        (
            "two circulars", ("leg", 40), 1,
            f"32/32 on {CIRCULARS}, the tail where A begins; in round 41 A is worked and B is next,"
            " the yarn hangs between A and B",
        ),
        ("two circulars", ("flap", 8), 0, "32 on the heel needle; 32 wait on A"),
        (
            "long circular", ("leg", 40), 0,
            "32/32 on the halves A and B of the long circular, the tail where A begins",
        ),
    ],
)  # fmt: skip
def test_how_the_stitches_go_back(
    needles: str, place: tuple[str, int], ticked: int, back: str
) -> None:
    knitter = Knitter(sock_of_64(needles))
    knitter.to(*place)
    for _ in range(ticked):
        knitter.needle()
    knitter.do("rest", text="waste yarn")
    glance = knitter.look()
    assert rest_words.rests_now(glance) == f"Sock one rests on waste yarn. Put back {back}. "


def test_on_the_needles_nothing_is_put_back() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.do("rest")
    assert rest_words.rests_now(knitter.look()) == (
        "Sock one rests on the needles. They hold 16/16/16/16, the tail between needles 4 and 1. "
    )


@pytest.mark.parametrize("kind", ["tick", "rip", "end", "restart"])
def test_a_sock_that_is_worked_on_rests_no_more(kind: str) -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.do("rest", text="a spare needle")
    knitter.do("note", text="it stays so")
    knitter.tick(1, 2)
    assert knitter.look(1).rests_on == "a spare needle"
    knitter.do(kind, 1, **{"tick": {"rounds": 1}, "rip": {"by": 1}}.get(kind, {}))
    assert knitter.look(1).rests_on is None
    assert rest_words.rests_now(knitter.look(1)) == ""
    knitter.do("undo")
    assert knitter.look(1).rests_on == "a spare needle"


def test_a_strangers_words_are_clean_and_whole() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.do("rest", text=f"a \x1b[31m cord {'long ' * 30}end")
    told = rest_words.rests_now(knitter.look())
    assert "\x1b" not in told
    assert "long end. Put back" in told


def test_with_its_borders_moved_every_needle_is_called_alike() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    moved: dict[str, Any] = {"as": "set", "value": "+2"}
    knitter.do("changed", **moved)
    knitter.needle()
    knitter.do("rest", text="waste yarn")
    said = rest_words.rests_now(knitter.look())
    assert "in round 21 N4b is worked and N1 is next, the yarn hangs between N4b and N1." in said
