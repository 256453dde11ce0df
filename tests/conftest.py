"""What every test starts from: none of the person's own settings reach the program."""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

from tests.examples import USUAL
from tracker import session
from tracker.storage import backups
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_text

# Checks are the same on every machine and every run; a slow one is not a wrong one.
settings.register_profile("instep", derandomize=True, deadline=None, max_examples=USUAL)
settings.load_profile("instep")

# The program is started hundreds of times: compiled once, as where it is installed.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
# What is printed waits in the program as it does for her: a write that fails is then told by the flush alone.
os.environ.pop("PYTHONUNBUFFERED", None)


@pytest.fixture
def basket(tmp_path: Path) -> Iterator[Basket]:
    """An empty basket."""
    with Basket.open(tmp_path / "basket.db") as opened:
        yield opened


@pytest.fixture(scope="session", autouse=True)
def _a_kept_pattern_is_read_once() -> Iterator[None]:
    """The same text is the same pattern; a test that opens a pair for every act would read it each time.

    Commands in a process of their own, and whatever reads a file, do.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(session, "open_text", cache(open_text))
        yield


@pytest.fixture(scope="session", autouse=True)
def _no_backup_is_due() -> Iterator[None]:
    """A test makes a basket of its own, knits a day in it and throws it away; those of backups make them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(backups, "is_due", lambda *_: False)
        yield


@pytest.fixture(autouse=True)
def _own_settings_stay_out(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Colour, the framework's switches, the basket and the settings of the person who runs the tests."""
    for name in list(os.environ):
        if name == "NO_COLOR" or name.startswith(("TEXTUAL", "INSTEP_")):
            monkeypatch.delenv(name)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("INSTEP_SETTINGS", str(tmp_path / "settings.toml"))
