"""What tests of the screens share."""

from __future__ import annotations

import pytest

from tests.ui.driving import begin
from tracker.session import Session
from tracker.storage.basket import Basket


@pytest.fixture(autouse=True)
def _the_terminal_can_draw(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the locale is in which the tests are run."""
    monkeypatch.setattr("tracker.ui.knitting_app.terminal_encoding", lambda: "utf-8")


@pytest.fixture
def session(basket: Basket) -> Session:
    """Sock one of the sample at leg round 9."""
    session = begin(basket)
    session.tick(22)
    session.tick(9)
    return session
