"""Company for a sock: half of its stitches is said once, quietly, whatever the ticks were."""

from __future__ import annotations

import pytest

from tests.knitting.knitter import Knitter
from tracker import words
from tracker.glance import Glance


def half(glance: Glance) -> list[str]:
    return [words.cue_line(cue, glance) for cue in glance.cues if cue.about == "half way"]


@pytest.mark.parametrize("sock", [1, 2])
@pytest.mark.parametrize("by", [1, 3, 7])
def test_it_is_said_once_and_at_half(sock: int, by: int) -> None:
    knitter = Knitter()
    knitter.to("leg", 46, sock=sock)  # type: ignore[arg-type]
    knitter.do("end", sock)  # type: ignore[arg-type]
    said = []
    while knitter.place(sock)[0] not in ("foot", "toe"):  # type: ignore[arg-type]
        knitter.tick(by, sock=sock)  # type: ignore[arg-type]
        glance = knitter.look(sock)  # type: ignore[arg-type]
        if half(glance):
            said.append((half(glance)[0], glance.place.kind, glance.socks[sock - 1].share))
    ((told, kind, share),) = said
    assert told == f"Half of the stitches of sock {'one' if sock == 1 else 'two'} are made"
    assert kind in ("turn", "gusset"), "the heel turn is half of this sock"
    assert share == pytest.approx(0.5, abs=0.05)


def test_needle_by_needle_it_is_said_at_the_end_of_the_round() -> None:
    knitter = Knitter()
    knitter.to("turn")
    said = 0
    for _ in range(60):
        knitter.needle()
        said += bool(half(knitter.look()))
    assert said == 1


def test_it_gives_way_to_what_must_be_done() -> None:
    knitter = Knitter()
    knitter.to("turn")
    while not half(knitter.look()):
        knitter.tick()
    knitter.do("note", text="here")
    assert not half(knitter.look()), "any act after it ends it"


def test_in_few_words() -> None:
    knitter = Knitter()
    knitter.to("turn")
    while not half(glance := knitter.look()):
        knitter.tick()
    (cue,) = [cue for cue in glance.cues if cue.about == "half way"]
    assert words.cue_brief(cue, glance) == "half of sock one is made"
