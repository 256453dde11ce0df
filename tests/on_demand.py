"""What of the sweeps over the real program is left to those who ask for it: `SWEEP=durability`."""

from __future__ import annotations

import os

import pytest

ALL = os.environ.get("SWEEP") == "durability"
on_demand = pytest.mark.skipif(not ALL, reason="on demand: SWEEP=durability")
