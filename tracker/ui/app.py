"""Opens the screens and, when she leaves, the one line that stays in the terminal."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import TYPE_CHECKING, TextIO

from tracker import words
from tracker.clock import now
from tracker.served import is_served
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket
from tracker.ui.knitting_app import KnittingApp

if TYPE_CHECKING:
    from tracker.storage.plan_file import LeftOpen


def run(basket: Basket, session: Session | None, settings: Settings) -> int:
    """Show a pair at the needles, or the basket, until she leaves; returns the exit code.

    Raises BasketTrouble where the pair cannot be looked at, before there is a screen.
    """
    if session is not None:
        session.look()
    return _shown(KnittingApp(basket, session, now, settings=settings))


def fill_in(basket: Basket, plan: LeftOpen, settings: Settings) -> int:
    """Show the blanks of a plan, then the pair that it becomes; returns the exit code."""
    return _shown(KnittingApp(basket, None, now, plan, settings))


def _shown(app: KnittingApp) -> int:
    app.run()
    _done_with(sys.stderr)  # by which the framework paints
    for lost in app.not_kept:
        _say(f"not kept: {lost}")
    if app.session is not None and not is_served():
        _say(words.kept(app.session.glance))
    return app.return_code or 0


def _say(line: str) -> None:
    """The line that stays; where the terminal is gone it is said to nobody."""
    with suppress(OSError):
        print(line)
    _done_with(sys.stdout)


def _done_with(stream: TextIO) -> None:
    """Write what still waits; where the terminal is gone it goes nowhere, and is no fault at the end."""
    try:
        stream.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
