"""The pins: one that marks how far she is, and those that are left standing."""

from tracker.pattern.model import SECOND_HALF

PIN_EVERY = 10
"""Rounds after which the pin that marks the start is moved up."""
_PINS_STAY = frozenset({"leg", "gusset"})
"""Sections at whose end a pin is left standing: a point to lay the tape from (common practice, no source)."""
_PINS_STAY_TOE_UP = frozenset({"flap", SECOND_HALF})
"""The same from the toe up, where the leg is measured from the heel."""


def pins_stay(*, toe_up: bool) -> frozenset[str]:
    """At the ends of which sections a pin is left standing."""
    return _PINS_STAY_TOE_UP if toe_up else _PINS_STAY
