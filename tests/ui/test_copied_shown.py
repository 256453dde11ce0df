"""What is repeated from the other sock, on the screen: named by its round, and whole at every size."""

from __future__ import annotations

import re
from functools import cache

import pytest

from tests.knitting.knitter import Knitter
from tests.test_words import STRIPED
from tests.ui.test_nothing_cut import SIZES, shown
from tracker.glance import Glance
from tracker.knitting.cues import Cue
from tracker.ui.sights import Scene

TOLD = (
    ("cuff", 4, "needle", "2.25"), ("leg", 9, "set", "four"),
    ("leg", 20, "other", "two extra purl stitches at the centre back, ribbed on"),
    ("leg", 30, "colour", "cream"), ("leg", 35, "set", "22/21/21"), ("gusset", 0, "picked-up", "17/15"),
    ("gusset", 9, "skipped-decrease", ""), ("foot", 20, "needle", "2.75"), ("toe", 4, "extra-decrease", ""),
)  # fmt: skip
"""What is otherwise on sock one: after which round of which section, and what."""


@cache
def coming() -> tuple[Glance, ...]:
    """Sock two wherever it comes to something of sock one, in both ways of counting."""
    knitter = Knitter(STRIPED)
    for section, row, kind, value in TOLD:
        knitter.to(section, row)
        knitter.do("changed", None, **{"as": kind, "value": value})
    knitter.do("other")
    seen = []
    while not knitter.sock().finished:
        seen += [knitter.look(by=by) for by in ("rounds", "needles")]
        here = knitter.look().place
        open_still = here.planned_by == "goal" and here.done >= here.planned
        knitter.do("end") if open_still else knitter.tick()
    return tuple(glance for glance in seen if copied(glance))


def copied(glance: Glance) -> Cue | None:
    return next((cue for cue in glance.cues if (cue.kind, cue.about) == ("copy", "ahead")), None)


def test_all_of_it_comes() -> None:
    assert len(coming()) > 2 * len(TOLD)


@pytest.mark.parametrize("size", SIZES)
def test_nothing_of_it_is_cut(size: tuple[int, int]) -> None:
    """Only her own words may be, where there is no third row for them."""
    for glance in coming():
        lines = list(shown(Scene(glance), size))
        own = size in ((36, 11), (30, 3)) and "two extra" in " ".join(lines)
        assert own or not [line for line in lines if "..." in line], (size, glance.place)


@pytest.mark.parametrize("size", SIZES)
def test_a_round_ahead_its_number_is_seen(size: tuple[int, int]) -> None:
    for glance in coming():
        cue = copied(glance)
        if cue and cue.when and cue.data["row"] and glance.cues[0] == cue:
            told = " ".join(shown(Scene(glance), size))
            assert re.search(rf"(from|in) (round )?{cue.data['row']}\b", told), (size, glance.place)


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
def test_a_pin_at_the_same_round_hides_it_not(size: tuple[int, int]) -> None:
    (glance, _) = (one for one in coming() if (one.place.kind, one.place.done) == ("leg", 20))
    told = " ".join(" ".join(shown(Scene(glance), size)).replace("▌", "").split())
    assert "two extra purl stitches at the centre back, ribbed on" in told
    assert "pin up: round 20" in told


@pytest.mark.parametrize("size", SIZES)
def test_edges_that_were_told_are_not_asked_for_again(size: tuple[int, int]) -> None:
    (glance, _) = (
        one for one in coming() if (one.place.kind, one.place.done) == ("gusset", 0) and one.card
    )
    told = " ".join(shown(Scene(glance), size))
    assert "chains on an edge" not in told
    assert "Uneven" not in told
