"""To the needles, on the screens or in plain lines; without a terminal, the quick check."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from typing import TYPE_CHECKING

from tracker.commands.opening import (
    is_there,
    named_as_a_file,
    no_pairs,
    open_and_tell,
    opened_basket,
    session_of,
    unpacked_pair,
)
from tracker.commands.speaking import Wrong, say
from tracker.commands.table import COMMANDS
from tracker.served import is_served

if TYPE_CHECKING:
    from tracker.session import Session
    from tracker.settings import Settings
    from tracker.storage.basket import Basket


def knit(options: argparse.Namespace) -> int:
    """`instep knit`: a pair at the needles, or the basket. Returns the exit code."""
    from tracker.clock import now
    from tracker.settings import Settings
    from tracker.storage.settings_file import read_settings

    terminal = is_served() or (sys.stdin.isatty() and sys.stdout.isatty())
    plain = options.plain or os.environ.get("TERM") == "dumb"
    if terminal and not plain:
        gc.disable()  # what is read and loaded before the first picture stays: nothing of it is garbage
    now()  # a clock that is wrong is said here, not by the screens
    settings = (
        read_settings() if terminal else Settings()
    )  # so are settings, before a pair is begun
    with opened_basket(options) as basket:
        from tracker.storage.files import FileTrouble

        try:
            session = opened_pair(basket, options.what) if options.what else None
        except FileTrouble as trouble:
            from tracker.storage.plan_file import LeftOpen

            if not terminal or plain or not isinstance(trouble, LeftOpen):
                raise
            from tracker.ui.app import fill_in

            return fill_in(basket, trouble, settings)
        if session is None and not terminal:
            return _quick_check_of_last(basket)
        if not terminal and session is not None:
            from tracker.commands.left import print_left

            print_left(session)
            return 0
        if plain:
            return _knit_in_lines(basket, session, settings)
        basket.pairs()  # what is wrong with the list is said here, not by the screens
        from tracker.ui.app import run

        return run(basket, session, settings)


def _knit_in_lines(basket: Basket, session: Session | None, settings: Settings) -> int:
    """At the needles without a screen: the pair named, or the one last touched."""
    from tracker.commands.baskets import pair_line
    from tracker.ui.plain_lines import PlainNeedles
    from tracker.ui.plain_terminal import run_plain

    if session is None and not basket.pairs():
        say(no_pairs(basket))
        return 0

    def pairs() -> list[str]:
        return [pair_line(basket, pair) for pair in basket.pairs()]

    return run_plain(PlainNeedles(session or session_of(basket, None), pairs, settings))


def opened_pair(basket: Basket, what: str) -> Session:
    """The pair of that name, or the one that a file starts or has started."""
    from tracker.clock import now
    from tracker.session import Session, source_of
    from tracker.storage.files import read_source
    from tracker.storage.trouble import NoPair

    if not named_as_a_file(what):
        try:
            return Session(basket, basket.find(what), now)
        except NoPair as trouble:
            if not is_there(what):
                raise Wrong(_or_else(what, str(trouble))) from None
    from tracker.storage.pack_file import is_pack

    if is_pack(what):
        return unpacked_pair(basket, what)
    known = basket.started_from(source_of(read_source(what).data))
    if known is None:
        return Session.begin(basket, open_and_tell(what), now)
    return Session(basket, known, now)


def _or_else(what: str, trouble: str) -> str:
    """What a word may have been meant as that is no pair."""
    from difflib import get_close_matches

    near = get_close_matches(what, (*COMMANDS, "help"), n=1, cutoff=0.7)
    if near:
        return f'there is no command and no pair "{what}"; did you mean "instep {near[0]}"?'
    return f"{trouble}; a file is named with its ending, like {what}.toml"


def _quick_check_of_last(basket: Basket) -> int:
    from tracker.commands.left import print_left

    if not basket.pairs():
        say(no_pairs(basket))
        return 0
    print_left(session_of(basket, None))
    return 0
