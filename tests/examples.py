"""How many examples a property is tried with: few in the suite, all of them on demand.

`SWEEP=properties .venv/bin/python -m pytest` tries all.
"""

from __future__ import annotations

import os

from hypothesis import settings

IN_ALL = os.environ.get("SWEEP") == "properties"
USUAL = 100 if IN_ALL else 25
"""Examples of a property that names no number."""


def examples(many: int) -> settings:
    """So many on demand, a sixth of them in the suite."""
    return settings(max_examples=many if IN_ALL else max(10, many // 6))
