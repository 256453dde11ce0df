"""The same screens in a browser, for a tablet beside the chair."""

from __future__ import annotations

import argparse
import sys
from contextlib import suppress
from errno import EADDRINUSE

from tracker.commands.opening import basket_path, opened_basket
from tracker.commands.speaking import Wrong, say, say_aside

MOST = 65_535
"""The last port that there is."""


def serve(options: argparse.Namespace) -> int:
    """`instep serve`: the same screens in a browser, on a tablet beside the chair. Returns the exit code."""
    from tracker import served

    _check(options)
    port = served.PORT if options.port is None else options.port
    if not 0 < port <= MOST:
        raise Wrong(f"{port} is no port; write --port {served.PORT}, or another one to {MOST}")
    host = served.LOOPBACK if options.address is None else _address(options.address)
    words = ["--basket", str(basket_path(options).absolute()), "knit"]
    if options.what is not None:
        words.append(options.what)
    what = served.Served(served.command_line(words), host, port)
    say(f"In a browser: {what.address}")
    if host == served.LOOPBACK:
        say("Nobody but this machine can open it. ctrl+c ends it.")
    else:
        say_aside(f"note: {_OPEN}")
    sys.stdout.flush()
    try:
        served.serve(what)
    except ImportError:
        raise Wrong(
            "the server is not installed; in Instep's own folder write: pip install '.[tablet]'"
        ) from None
    except OSError as error:
        taken = error.errno == EADDRINUSE
        why = "another program has it" if taken else (error.strerror or str(error)).lower()
        raise Wrong(
            f"{host}, port {port}, cannot be served: {why}; write another --port, or an --address of"
            " this machine"
        ) from None
    return 0


def _check(options: argparse.Namespace) -> None:
    """Say here what is wrong with basket, pair, file or settings: a page could not."""
    from tracker.commands.at_needles import opened_pair
    from tracker.storage.plan_file import LeftOpen
    from tracker.storage.settings_file import read_settings

    if options.what == "-":
        raise Wrong("what is piped in cannot be served; name a pair, or a file")
    read_settings()
    with opened_basket(options) as basket:
        basket.pairs()
        if options.what is not None:
            with suppress(LeftOpen):  # its blanks are filled in on the page
                opened_pair(basket, options.what).look()


_OPEN = (
    "whoever is in your network and knows this address can see and change every pair in the basket, and open"
    " files of yours; nothing is encrypted on the way. Give it to nobody, and end it with ctrl+c when you"
    " are done."
)


def _address(told: str) -> str:
    """An address of this machine; one that stands for all of them is none that a page can come from."""
    from ipaddress import ip_address

    try:
        address = ip_address(told)
    except ValueError:
        raise Wrong(
            "--address is not known; write the number of this machine in your network, like 192.168.1.20"
        ) from None
    if address.is_unspecified:
        raise Wrong(
            f"{told} would be every network at once; write the number of this machine in one of them, like"
            " 192.168.1.20"
        )
    return str(address)
