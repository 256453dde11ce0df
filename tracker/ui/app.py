"""Opens the screens and, when she leaves, the one line that stays in the terminal."""

from __future__ import annotations

from tracker import words
from tracker.clock import now
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.ui.knitting_app import KnittingApp


def run(basket: Basket, session: Session | None) -> int:
    """Show a pair at the needles, or the basket, until she leaves; returns the exit code."""
    app = KnittingApp(basket, session, now)
    app.run()
    if app.session is not None:
        print(words.kept(app.session.glance))
    return app.return_code or 0
