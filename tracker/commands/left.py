"""The quick check: where she is, what comes next, how far to go."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from tracker.commands.opening import opened_basket, session_of
from tracker.commands.speaking import Wrong, print_json, print_lines

if TYPE_CHECKING:
    from tracker.glance import Glance
    from tracker.session import Session


def left(options: argparse.Namespace) -> int:
    """`instep left`: the quick check: where, what next, how far. Returns the exit code."""
    with opened_basket(options) as basket:
        print_left(
            session_of(basket, options.pair),
            options.sock,
            as_json=options.json,
            more=asks_for_more(options),
        )
    return 0


def print_left(session: Session, sock: Any, *, as_json: bool, more: bool = False) -> None:
    """Print the quick check of a pair, for people or as the `left` object."""
    from tracker import reports, words

    glance = session.look(sock)
    if as_json:
        print_json(left_object(more=more)(glance))
    else:
        last = words.ago(session.now().at - session.touched)
        print_lines(reports.left_text(glance, last))


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
