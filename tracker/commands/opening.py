"""What the commands open: the basket, a pair in it, a plan or a pattern file."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.commands.speaking import Wrong, say_aside

if TYPE_CHECKING:
    from tracker.session import Session
    from tracker.storage.basket import Basket
    from tracker.storage.pattern_file import Opened


def unpacked_pair(basket: Basket, path: str) -> Session:
    """The pair of a pack, which is put into the basket where it is not there already."""
    from tracker import packing
    from tracker.clock import now

    unpacked = packing.unpack(basket, path, now)
    if unpacked.how == "parted":
        say_aside(f"note: {packing.said(unpacked, opened=True)}")
    return unpacked.session


def is_there(path: str) -> bool:
    """Whether there is a file of that name."""
    try:
        return Path(path).exists()
    except (OSError, ValueError):
        return False


def named_as_a_file(what: str) -> bool:
    """Whether a word is the name of a file, and not of a pair."""
    slashes = [sign for sign in (os.sep, os.altsep) if sign and sign in what]
    return Path(what).suffix in (".toml", ".pack") or bool(slashes) or what == "-"


def no_pairs(basket: Basket) -> str:
    """What is said of a basket without pairs."""
    away = basket.pairs(away=True)
    if away:
        return f"Every pair is put away. instep back {away[0].short} brings one out."
    return "The basket is empty. instep samples names some plans; instep FILE starts one."


def session_of(basket: Basket, pair: str | None) -> Session:
    """The pair of that short name, or the one last touched. Raises BasketTrouble."""
    from tracker.clock import now
    from tracker.session import Session

    return Session(basket, basket.find(pair), now)


def open_and_tell(path: str) -> Opened:
    """Open a plan or a pattern, and say on the side what she should know about it."""
    from tracker.storage.pattern_file import open_file

    opened = open_file(path)
    for note in opened.notes:
        say_aside(f"note: {note}")
    if "numbers" not in opened.document:
        _tell_what_is_wrong(path)
    return opened


def _tell_what_is_wrong(path: str) -> None:
    """What the audit finds in a pattern by hand: it can be counted all the same."""
    from tracker.check import check_file
    from tracker.storage.files import shown

    problems = check_file(path).problems
    if problems:
        first = problems[0].line_for_people()
        say_aside(f"note: {first} ({len(problems)} in all; see: instep check {shown(path)})")


@contextmanager
def opened_basket(options: argparse.Namespace) -> Iterator[Basket]:
    """The basket of these options, open as long as the block lasts; backed up after what was recorded."""
    from tracker.storage.basket import Basket

    with Basket.open(basket_path(options)) as basket:
        if basket.made:
            _tell_of_network(basket.path)
        try:
            yield basket
        finally:
            if basket.recorded:
                _back_up(basket.path)


def _back_up(path: Path) -> None:
    """Today's backup, where there is none yet: after the answer, so that nobody waits for it."""
    from tracker.clock import now
    from tracker.storage import backups
    from tracker.storage.basket import BasketTrouble

    try:
        if backups.is_due(path, now()):
            with suppress(OSError):
                sys.stdout.flush()
            backups.back_up(path, now())
    except (BasketTrouble, OSError) as trouble:
        say_aside(f"note: {trouble}")


def _tell_of_network(path: Path) -> None:
    from tracker.storage.files import shown
    from tracker.storage.network import network_of

    kind = network_of(path)
    if kind:
        say_aside(
            f"note: {shown(str(path))} is on a network ({kind}), where two machines that write at"
            " once can damage it; knit from one machine at a time, or name a file on a disk of"
            " its own with --basket"
        )


def basket_path(options: argparse.Namespace) -> Path:
    """The basket's file: --basket, else INSTEP_BASKET, else where such data is kept. Raises Wrong."""
    named = options.basket
    if named == "":
        raise Wrong("--basket names no file; write its path after it")
    named = named or os.environ.get("INSTEP_BASKET")
    if named:
        return Path(named)
    from platformdirs import user_data_path

    return user_data_path("instep", appauthor=False) / "basket.db"
