"""What washing does to a length: the tape meets knitting before it, feet meet it after."""

from __future__ import annotations

MOST = 0.5
"""A share beyond which no washing changes a length; more is a slip (common practice, no source)."""


def before_washing(mm: float, grows: float) -> float:
    """The length (mm) on the needles that is `mm` once washed.

    `grows` is the share by which washing lengthens: 0.03 is three per cent longer, below 0 shorter.
    Raises ValueError beyond MOST.
    """
    return mm / (1 + _possible(grows))


def after_washing(mm: float, grows: float) -> float:
    """The length (mm), once washed, of what is `mm` long on the needles; else as `before_washing`."""
    return mm * (1 + _possible(grows))


def _possible(grows: float) -> float:
    if not -MOST < grows < MOST:
        raise ValueError(f"washing does not make it {grows:g} times longer; write -0.5 to 0.5")
    return grows
