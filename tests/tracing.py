"""The system calls of the real program, by strace; skipped, never passed, where tracing is not allowed."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

import pytest


def traced(log: Path, *options: str) -> tuple[str, ...]:
    """What stands before a program so that its system calls are told in `log`. Skips where that cannot be."""
    if why := _why_not():
        pytest.skip(why)
    return ("strace", "-f", "-y", "-s", "200", "-o", str(log), *options)


@cache
def _why_not() -> str:
    try:
        ended = subprocess.run(
            ["strace", "-f", "-o", "/dev/null", "true"], capture_output=True, check=False
        )
    except OSError:
        return "there is no strace here"
    return "" if ended.returncode == 0 else "tracing is forbidden here"
