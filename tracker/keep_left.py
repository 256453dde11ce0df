"""The answer of a quick check is kept, so that the next one need not replay the pair (quick_check)."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from contextlib import suppress

from tracker.looking import pause
from tracker.moment import ago, day_of
from tracker.quick_check import Asked, dated
from tracker.session import Session
from tracker.storage import kept_answers
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.kept_answers import Kept

_MOST_MS = 30 * 86_400_000
"""No answer is kept for longer than a month from here on."""


def keep_left(basket: Basket, session: Session, asked: Asked, said: Sequence[str]) -> None:
    """Keep the lines `said` to what was asked, where the basket is as it was when the session read it.

    The session's clock must stand at the moment of the answer. What hinders it hinders nobody: then the
    whole is asked again.
    """
    if not kept_answers.CAN_BE_KEPT:
        return
    moment, as_json = session.now(), asked[0]
    idle = moment.at - session.touched
    text = "".join(f"{line}\n" for line in said)
    bare = text if as_json else _undated(text, ago(idle))
    if not as_json and dated(bare, ago(idle)) != text:
        return
    with suppress(BasketTrouble, OSError, ValueError):
        total = basket.sum_of_file()
        if total is not None:
            kept = Kept(session.touched, *_stays(idle), day_of(*moment), bare)
            kept_answers.keep(str(basket.path), kept_answers.key_of(total, asked), kept)


def _undated(text: str, last: str) -> str:
    """The lines without when it was last knitted, which goes on with the clock."""
    title, place, *others = text.split("\n")
    return "\n".join([title, place.removesuffix(f" {last}"), *others])


def _stays(idle: int) -> tuple[int, int]:
    """From and until how many milliseconds after the last act a glance stays as it is."""
    here = max(0, idle)
    since = pause(here)
    return since, here + bisect_right(range(here, here + _MOST_MS), since, key=pause)
