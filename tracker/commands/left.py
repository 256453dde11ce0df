"""The quick check: where she is, what comes next, how far to go."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from tracker.commands.opening import opened_basket
from tracker.commands.speaking import Wrong, clean, in_json, print_lines, writing

if TYPE_CHECKING:
    from tracker.glance import Glance
    from tracker.session import Session


def left(options: argparse.Namespace) -> int:
    """`instep left`: the quick check: where, what next, how far. Returns the exit code."""
    from tracker.clock import now
    from tracker.keep_left import keep_left
    from tracker.session import Session

    more, moment = asks_for_more(options), now()
    with opened_basket(options) as basket:
        session = Session(basket, basket.find(options.pair), lambda: moment)
        lines = _lines(session, options.sock, as_json=options.json, more=more)
        print_lines(lines)
        # Nobody waits for what is kept of it.
        with writing():
            sys.stdout.flush()
        keep_left(basket, session, (options.json, more, options.sock, options.pair), lines)
    return 0


def print_left(session: Session) -> None:
    """Print the quick check of a pair."""
    print_lines(_lines(session, None))


def _lines(session: Session, sock: Any, *, as_json: bool = False, more: bool = False) -> list[str]:
    """The lines of a quick check, as they are printed."""
    from tracker import reports, words

    glance = session.look(sock)
    if as_json:
        return [in_json(left_object(more=more)(glance))]
    last = words.ago(session.now().at - session.touched)
    return [clean(line) for line in reports.left_text(glance, last)]


def left_object(*, more: bool) -> Callable[[Glance], dict[str, Any]]:
    """What makes the `left` object of a glance, with yarn, time and stage or without."""
    if more:
        from tracker.more_report import more_json

        return more_json
    from tracker.reports import left_json

    return left_json


def asks_for_more(options: argparse.Namespace) -> bool:
    """Whether --more stands there. Raises Wrong where it stands without --json."""
    if options.more and not options.json:
        raise Wrong("--more is more for scripts; write --json with it")
    return bool(options.more)
