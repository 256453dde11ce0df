"""A drawing of the sock, as a value."""

from __future__ import annotations

from typing import NamedTuple


class Drawing(NamedTuple):
    """For now empty."""
