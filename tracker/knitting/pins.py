"""The pins: one that marks how far she is, and those that are left standing."""

PIN_EVERY = 10
"""Rounds after which the pin that marks the start is moved up."""
PINS_STAY = frozenset({"leg", "gusset"})
"""Sections at whose end a pin is left standing: a point to lay the tape from (common practice, no source)."""
