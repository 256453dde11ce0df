"""The whole app without a terminal: a pair from a sample, keys, and the screen's text."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from textual.pilot import Pilot

from tracker.glance import Glance, Place
from tracker.session import Session
from tracker.storage.basket import Basket, Stamp
from tracker.storage.pattern_file import open_file
from tracker.ui.knitting_app import KnittingApp

SAMPLES = Path(__file__).parents[2] / "sample_projects"
SAMPLE = SAMPLES / "night-ferry.toml"


class Clock:
    """A clock that goes on by two minutes at each look, as rounds of 64 stitches do."""

    def __init__(self, step: int = 120_000) -> None:
        self.at = 1_773_342_900_000
        self.step = step

    def __call__(self) -> Stamp:
        self.at += self.step
        return Stamp(self.at, 60)


def begin(basket: Basket, sample: str = "night-ferry", clock: Clock | None = None) -> Session:
    """A new pair from a sample."""
    file = SAMPLES / f"{sample}.toml"
    return Session.start(basket, open_file(str(file)), clock or Clock())


def app_of(basket: Basket, session: Session) -> KnittingApp:
    """The app with `session` at the needles."""
    return KnittingApp(basket, session, Clock())


def knit(session: Session, until: Callable[[Place], bool]) -> list[Glance]:
    """Knit round by round, ending open sections at their planned count; all glances on the way."""
    seen = [session.glance]
    while not until(session.glance.place):
        place = session.glance.place
        if place.planned_by == "goal" and place.done >= place.planned:
            session.end()
        else:
            session.tick(1)
        seen.append(session.glance)
    return seen


def shown(app: KnittingApp) -> str:
    """The screen's text, as the compositor has it."""
    strips = app.screen._compositor.render_strips()
    return "\n".join(strip.text for strip in strips)


def lines(app: KnittingApp) -> list[str]:
    """The same line by line."""
    return [line.rstrip() for line in shown(app).splitlines()]


def running(app: KnittingApp) -> str:
    """The screen's text as one runs on with it, line after line."""
    return " ".join(shown(app).replace("\u258c", " ").split())


async def until(pilot: Pilot[None], app: KnittingApp, text: str) -> None:
    """Wait for a state, not for a time."""
    for _ in range(200):
        if text in running(app):
            return
        await pilot.pause(0.02)
    raise AssertionError(f"never seen: {text}\n{shown(app)}")
