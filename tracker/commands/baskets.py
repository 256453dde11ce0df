"""The pairs in the basket: one begun, all listed, one put away and brought out."""

from __future__ import annotations

import argparse
from typing import Any

from tracker.commands.opening import no_pairs, open_and_tell, opened_basket, unpacked_pair
from tracker.commands.speaking import print_json, print_lines, say


def start(options: argparse.Namespace) -> int:
    """`instep start`: a new pair, without opening the screens. Returns the exit code."""
    from tracker.clock import now
    from tracker.session import Session
    from tracker.storage.pack_file import is_pack

    opened = None if is_pack(options.file) else open_and_tell(options.file)
    with opened_basket(options) as basket:
        if opened is None:
            session = unpacked_pair(basket, options.file)
        else:
            session = Session.start(basket, opened, now)
        say(session.pair.short)
    return 0


def basket_list(options: argparse.Namespace) -> int:
    """`instep basket`: the pairs in the basket. Returns the exit code."""
    with opened_basket(options) as basket:
        pairs = basket.pairs()
        if options.json:
            print_json({"pairs": [_pair_json(pair) for pair in pairs]})
        elif not pairs:
            say(no_pairs(basket))
        else:
            print_lines([pair_line(basket, pair) for pair in pairs])
    return 0


def _pair_json(pair: Any) -> dict[str, Any]:
    return {
        "pair": pair.short,
        "title": pair.title,
        "sock": pair.summary.sock,
        "section": pair.summary.section,
        "done": pair.summary.done,
        "in_step": pair.summary.in_step,
        "last_touched": _iso(pair.touched),
    }


def pair_line(basket: Any, pair: Any) -> str:
    """A pair in the list: where it is, in step or what differs."""
    from tracker.clock import now
    from tracker.session import rests_of, step_of
    from tracker.units import shorten
    from tracker.words import section, sock

    here, of_socks = pair.summary, basket.of_socks(pair)
    step = step_of(basket, pair, now)
    where = f"{sock(here.sock, of_socks)}, {section(here.section, of_socks)}"
    rests = rests_of(basket, pair, now)
    place = f"{where}, {here.done} done, {step}{f'; {rests}' if rests else ''}"
    return f"{shorten(pair.short)}  {shorten(pair.title, 60)}: {place}"


def _iso(milliseconds: int) -> str | None:
    """A time with the offset it has here, as ISO 8601; None for one that no calendar has."""
    from datetime import UTC, datetime

    try:
        moment = datetime.fromtimestamp(milliseconds / 1000, UTC).astimezone()
    except (ValueError, OverflowError, OSError):
        return None
    return moment.isoformat(timespec="seconds")


def away(options: argparse.Namespace) -> int:
    """`instep away`: put a pair away. Returns the exit code."""
    return _put(options, "{0} is put away; instep back {0} brings it out.", away=True)


def back(options: argparse.Namespace) -> int:
    """`instep back`: bring it out. Returns the exit code."""
    return _put(options, "{0} is in the basket.", away=False)


def _put(options: argparse.Namespace, told: str, *, away: bool) -> int:
    with opened_basket(options) as basket:
        pair = basket.find(options.what)
        basket.put_away(pair, away)
        say(told.format(pair.short))
    return 0
