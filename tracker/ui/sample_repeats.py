"""The repeats of the sample plans, which may be called by their titles while a plan is filled in."""

from __future__ import annotations

import tomllib

from tracker.samples import samples
from tracker.ui.blanks import Repeat


def sample_repeats() -> tuple[Repeat, ...]:
    """Each sample's leg with rows of its own; one that cannot be read is left out."""
    found = []
    for path in samples():
        if path.suffix != ".toml":
            continue
        try:
            plan = tomllib.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue
        leg = plan.get("leg")
        leg = leg if isinstance(leg, dict) else {}
        rows = leg.get("repeat")
        if isinstance(rows, list) and rows and all(isinstance(row, str) for row in rows):
            found.append(Repeat(str(plan.get("title", "")), str(leg.get("fabric")), tuple(rows)))
    return tuple(found)
