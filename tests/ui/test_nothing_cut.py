"""A whole sock of every sample, row by row and needle by needle: nothing she is to read is cut off."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from textual.geometry import Size

from tests.examples import IN_ALL
from tests.knitting.knitter import Knitter, sock_of_64
from tests.ui.driving import SAMPLES, Clock
from tests.ui.reading import text
from tracker.glance import Glance
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file
from tracker.ui import sights
from tracker.ui.cue_line import cue_rows
from tracker.ui.needles_view import NeedlesView
from tracker.ui.sights import Scene
from tracker.ui.stage import stage_rows
from tracker.ui.three_lines import line_rows

SIZES = [
    (120, 36), (112, 34), (80, 24), (72, 22), (60, 20), (56, 18), (40, 12), (36, 11), (30, 3),
]  # fmt: skip
NEW_AT = [size for size in SIZES if size != (60, 20)]
"""Where all that is new is seen; 60 by 20 has more room than 56 by 18, and comes in turn."""


def looks(session: Session) -> Iterator[Glance]:
    """The glance after every row and, in every third round, inside it, in both ways of counting."""
    while not session.glance.place.finished:
        place = session.glance.place
        yield from both(session)
        if place.worked == "rounds" and place.done % 3 == 0:
            session.tick(1, needles=True)
            yield from both(session)
        if place.planned_by == "goal" and place.done >= place.planned:
            session.end()
        else:
            session.tick(1)
    yield from both(session)


def both(session: Session) -> Iterator[Glance]:
    glance = session.glance
    yield glance._replace(counting="rounds")
    yield glance._replace(counting="needles")


def unlike(glances: Iterable[Glance]) -> list[Glance]:
    """Of glances that differ in their figures only, one: as many digits take as much room."""
    return list({re.sub(r"\d", "0", repr(glance)): glance for glance in glances}.values())


def to_be_seen(
    glances: Iterable[Glance],
) -> Iterator[tuple[Glance, Sequence[tuple[int, int]]]]:
    """Each glance with the sizes it is looked at in.

    One that says anything new is seen at all of `NEW_AT`; of those that say the same with other numbers
    each is seen at one size, in turn. On demand all are seen at all sizes.
    """
    said = set[str]()
    for at, glance in enumerate(unlike(glances)):
        says = re.sub(r"\d+", "0", re.sub(r"\d+\.\d+(e-?\d+)?", "0", repr(glance)))
        in_turn = SIZES[at % len(SIZES)]
        yield glance, SIZES if IN_ALL else (in_turn,) if says in said else NEW_AT
        said.add(says)


@cache
def a_view() -> NeedlesView:
    """One view for all scenes: to make one costs more than to ask it for its places."""
    return NeedlesView()


def shown(scene: Scene, size: tuple[int, int]) -> Iterator[str]:
    """The lines of stage and cue at a size, or the three lines."""
    view = a_view()
    view._shown = scene
    grid = view.grid(Size(*size))
    if grid.stage is None:
        yield from text(line_rows(sights.lines_sight(scene), *size))
        return
    stage = sights.stage_sight(scene)
    yield from text(stage_rows(stage, grid.places["stage"], grid.stage, grid.size))
    if "cue" in grid.places:
        yield from text(cue_rows(sights.cue_sight(scene), grid))


ON_TWO = {
    '"five"': '"two circulars"',
    'kind = "flap"': 'kind = "flap"\nflap = "eye of partridge"\nturn = "square"\npicked_up = "18/16"',
}
TWISTED = {'"k2p2"': '"twisted k2p2"', "[foot]": '[foot]\nfabric = "rib on the instep"'}


TOE_UP = {"[foot]": 'direction = "toe-up"\n\n[foot]'}
TOE_UP_OTHERWISE = {
    **TOE_UP, 'kind = "flap"': 'kind = "wrapped"',
    'kind = "wedge"': 'kind = "wedge"\nfeet = "left and right"',
}  # fmt: skip
RING = {**TOE_UP, 'kind = "flap"': 'kind = "afterthought"', 'kind = "wedge"': 'kind = "round"'}
SHORT = {"[toe]": "[yarn]\ngrams = 62\nmetres = 260\n\n[toe]"}
"""Too little yarn for both, which is said from the cast-on on."""


@pytest.mark.parametrize(
    ("sample", "otherwise"),
    [
        ("night-ferry", {}), ("low-tide", {}), ("harbour-pilot", {}), ("low-tide", ON_TWO),
        ("low-tide", TWISTED), ("night-ferry", SHORT), ("night-ferry", TOE_UP),
        ("night-ferry", TOE_UP_OTHERWISE), ("night-ferry", RING),
    ],
    ids=[
        "five", "five, few", "four", "two circulars", "twisted rib down the instep", "yarn short", "toe up",
        "toe up, other heel", "toe up, in a ring",
    ],
)  # fmt: skip
def test_nothing_is_cut(sample: str, otherwise: dict[str, str], tmp_path: Path) -> None:
    text = (SAMPLES / f"{sample}.toml").read_text(encoding="utf-8")
    for old, new in otherwise.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    plan = tmp_path / "plan.toml"
    plan.write_text(text, encoding="utf-8")
    with Basket.open(tmp_path / "basket.db") as basket:
        glances = list(looks(Session.start(basket, open_file(str(plan)), Clock())))
    assert len(glances) > 300
    for glance, sizes in to_be_seen(glances):
        for size in sizes:
            # By needles the end of a round turns the stage over by itself.
            for turned in (None, True) if glance.counting == "rounds" else (None,):
                lines = list(shown(Scene(glance, turned=turned), size))
                assert not [line for line in lines if "..." in line], (size, glance.place)


LONG_NAMES = {
    "leg": ["dark heather greyish 3", "nightingaleblueishes 1", "navy 2"],
    "heel": "chestnutty reddening", "toe": "nightingaleblueishes",
}  # fmt: skip
"""Names as long as they may be, in one word and in several."""


def striped(sample: str, tmp_path: Path) -> Path:
    """A sample's plan with colours of the longest names."""
    plan = tmp_path / "striped.toml"
    text = (SAMPLES / f"{sample}.toml").read_text(encoding="utf-8").partition("[colours]")[0]
    colours = "\n".join(f"{field} = {value!r}" for field, value in LONG_NAMES.items())
    plan.write_text(f"{text}\n[colours]\n{colours}\n", encoding="utf-8")
    return plan


@pytest.mark.parametrize("sample", ["night-ferry", "harbour-pilot"])
def test_no_colour_is_cut_and_what_is_done_to_the_yarn_is_seen_at_every_size(
    sample: str, tmp_path: Path
) -> None:
    with Basket.open(tmp_path / "basket.db") as basket:
        opened = open_file(str(striped(sample, tmp_path)))
        session = Session.start(basket, opened, Clock())
        glances = list(looks(session))
    told = 0
    for glance, sizes in to_be_seen(glances):
        due = [cue for cue in glance.cues if cue.kind in DUE and not cue.when]
        for size in sizes:
            for turned in (None, True) if glance.counting == "rounds" else (None,):
                lines = list(shown(Scene(glance, turned=turned), size))
                assert not [line for line in lines if "..." in line], (size, glance.place)
                for cue in due:
                    told += 1
                    assert seen(cue, lines), (size, glance.place, lines)
    assert told > 500


DUE = {"change": ("change", "to"), "slip-first": ("slip the", "first")}


def seen(cue: Cue, lines: list[str]) -> bool:
    """Whether a cue on the yarn stands in a line, or in two rows of a column."""
    first, second = DUE[cue.kind]
    whole = (f"{first} {second}", f"to {cue.data.get('to')}")
    in_one = any(text in line.lower() for line in lines for text in whole)
    return in_one or any(first in one and second in two for one, two in pairwise(lines))


@pytest.mark.parametrize("later", [0, 1])
@pytest.mark.parametrize("unit", ["cm", "mm", "in"])
def test_a_reading_that_does_not_fit_is_told_whole_with_every_way_out(
    unit: Any, later: int
) -> None:
    """Count them on the fabric comes before the number: a count is not bent to fit a bad tape."""
    knitter = Knitter(Course(sock_of_64().pattern._replace(unit=unit)))
    knitter.to("leg", 24)
    knitter.do("measure", mm=106.0, step=0)
    knitter.do("measure", mm=126.0, step=0)
    if later:
        knitter.tick(later)
    glance = knitter.look()
    assert glance.cues[0].kind == "reading"
    for size in SIZES:
        lines = list(shown(Scene(glance), size))
        assert not [line for line in lines if "..." in line], size
        if size[1] > 3:
            told = " ".join(lines)
            assert "ount" in told.partition(f"{32 + later} a")[0], size
            assert re.search(r"\bx\b", told), size


@pytest.mark.parametrize("unit", ["cm", "mm", "in"])
@pytest.mark.parametrize("mm", [92.0, 103.0, 131.0])
def test_a_tension_that_differs_is_told_whole_with_what_can_be_done(unit: Any, mm: float) -> None:
    knitter = Knitter(Course(sock_of_64().pattern._replace(unit=unit)))
    knitter.to("leg", 24)
    knitter.do("measure", mm=112.0, step=0)
    knitter.tick(20)
    knitter.do("end")
    knitter.do("other")
    knitter.to("leg", 24)
    knitter.do("measure", mm=mm, step=0)
    right: dict[str, Any] = {"of": knitter.events[-1].number, "as": "right"}
    knitter.do("answer", **right)
    knitter.tick(1)
    glance = knitter.look()
    assert glance.cues[0].about == "tension"
    assert glance.cues[0].data["match"] is not None
    for size in SIZES:
        assert not [line for line in shown(Scene(glance), size) if "..." in line], size
