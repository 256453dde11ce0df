"""What happened to a pair, and what hangs in its fabric."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tracker.commands.opening import opened_basket, session_of
from tracker.commands.speaking import Wrong, print_json, print_lines

if TYPE_CHECKING:
    from tracker.session import Session


def history(options: argparse.Namespace) -> int:
    """`instep history`: what happened. Returns the exit code."""
    from tracker import reports
    from tracker.knitting.past import of_kind

    _check_kind(options.kind, marks=options.marks)
    with opened_basket(options) as basket:
        pair = session_of(basket, options.pair)
        pattern = pair.course.pattern
        if options.marks:
            _print_marks(options, pair)
            return 0
        found = of_kind(pair.past(), options.kind, options.sock)
        if options.json:
            print_json(reports.history_json(found, pattern.unit, pattern.of_socks))
        else:
            print_lines(reports.history_text(found, pattern.unit, pattern.of_socks))
    return 0


def _check_kind(kind: str | None, *, marks: bool) -> None:
    """Refuse a kind of act, or of mark, that there is none of."""
    from tracker.knitting.events import KINDS

    kinds = ("lifeline", "pin", "note") if marks else sorted(KINDS)
    if kind is None or kind in kinds:
        return
    from difflib import get_close_matches

    from tracker.units import shorten

    near = ", ".join(get_close_matches(kind, kinds, n=1) or kinds)
    raise Wrong(f'there is no kind "{shorten(kind)}"; write {near}')


def _print_marks(options: argparse.Namespace, pair: Session) -> None:
    from tracker import reports

    marks = [
        mark
        for mark in pair.hanging()
        if options.kind in (None, mark.kind) and options.sock in (None, mark.sock)
    ]
    if options.json:
        print_json(reports.hanging_json(marks))
    else:
        print_lines(reports.hanging_text(marks, pair.course.pattern.of_socks))
