"""When the terminal's bell rings at a tick, as she has set it."""

from __future__ import annotations

from tracker.glance import Glance
from tracker.settings import Settings

_RING_NOTHING = frozenset({"end-of-round", "needle", "colour"})
"""Kinds of cues that ring no bell: they come with every round."""


def rings(settings: Settings, before: Glance, now: Glance) -> bool:
    """Whether it rings: a round ended, or something is due in the next one, where she asked for that."""
    ended = now.place.worked == "rounds" and now.place.at_marker
    return (settings.rings_at_end_of_round and ended) or (
        settings.rings_at_cues and bool(_due(now) - _due(before))
    )


def _due(glance: Glance) -> set[tuple[str, str]]:
    return {
        (cue.kind, cue.about)
        for cue in glance.cues
        if not cue.when and cue.kind not in _RING_NOTHING
    }
