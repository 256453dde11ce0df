"""What she has set for every pair, by the environment."""

from __future__ import annotations

import os


def rest_is_wanted() -> bool:
    """Whether she is to be reminded to rest her hands: not where INSTEP_REST is off, no or 0."""
    return os.environ.get("INSTEP_REST", "").strip().lower() not in ("off", "no", "0")
