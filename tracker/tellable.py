"""Whether what is shown of a pair can be told: acts that replay may hold what nobody can look at.

No act of this program leads there; a file that somebody altered under right checksums may.
"""

from __future__ import annotations

from collections.abc import Iterable

from tracker import past_words
from tracker.glance import Shown
from tracker.knitting.past import Past
from tracker.knitting.replay import Replay
from tracker.knitting.state import BOTH
from tracker.looking import NOTHING_TO_SEE, look
from tracker.units import Unit, shorten


class Untellable(Exception):
    """str() says what cannot be told, in a few words."""


def check_acts(told: Iterable[Past], unit: Unit, of_socks: bool) -> None:
    """Raises Untellable where an act cannot be said."""
    for one in told:
        if one.event.kind == "tick" and "over" not in one.event.data:
            continue  # most of them are ticks, and what is told of these the replay has seen
        try:
            past_words.happened(one, unit, of_socks)
        except NOTHING_TO_SEE:
            event = one.event
            named = f"event {event.number} ({shorten(event.kind)})"
            raise Untellable(f"{named} does not hold what is told of it") from None


def check_places(replay: Replay) -> None:
    """Raises Untellable where a sock cannot be looked at."""
    for number in BOTH:
        try:
            look(replay.course, replay.state, Shown("", "rounds", replay.events), number)
        except NOTHING_TO_SEE:
            raise Untellable("its acts lead to a place that cannot be looked at") from None
