"""What a shell may put for her: commands, options, the names of her pairs, files, sections, settings."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from tracker.commands.opening import basket_path
from tracker.commands.speaking import Wrong, say

if TYPE_CHECKING:
    from tracker.storage.basket import Basket

SHELLS = ("bash", "zsh", "fish")
"""Those whose completion is written."""


def completion(options: argparse.Namespace) -> int:
    """Print what her shell reads to complete the commands."""
    from argcomplete import shellcode  # type: ignore[attr-defined]

    for line in shellcode(["instep"], shell=options.shell).strip("\n").split("\n"):
        say(line.replace("\t", "    "))
    return 0


def complete(parser: argparse.ArgumentParser) -> None:
    """Answer a shell that asks what may stand here, and end the program."""
    from argcomplete import autocomplete
    from argcomplete.completers import FilesCompleter

    files = FilesCompleter(("toml", "pack"))
    offers: dict[str, Callable[..., Iterable[str]]] = {
        "PAIR": lambda **asked: _pairs(asked["parsed_args"]),
        "PAIR_OR_FILE": lambda **asked: [*_pairs(asked["parsed_args"]), *files(asked["prefix"])],
        "FILE": files,
        "FILE_OR_FOLDER": FilesCompleter(("pack",)),
        "PATH": FilesCompleter(("db",)),
        "SECTION": lambda **asked: _sections(asked["parsed_args"]),
        "SETTING": lambda **_: _settings(),
        "SETTING_VALUE": lambda **asked: _values(asked["parsed_args"].name),
    }
    for action in _actions(parser):
        offer = offers.get(_told(action))
        if offer is not None:
            action.completer = offer  # type: ignore[attr-defined]
    autocomplete(parser, always_complete_options=False)


def _actions(parser: argparse.ArgumentParser) -> Iterable[argparse.Action]:
    for action in parser._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for below in action.choices.values():
                yield from _actions(below)


def _told(action: argparse.Action) -> str:
    """What a word of a command is: its name in the help, where that says enough."""
    by_place = {"section": "SECTION", "name": "SETTING", "value": "SETTING_VALUE"}
    if action.dest in by_place and action.nargs in (None, "?"):
        return by_place[action.dest]
    return str(action.metavar)


def _pairs(options: argparse.Namespace) -> list[str]:
    """The names of the pairs in the basket, those that are put away among them; none where it fails."""
    return _names(
        options,
        lambda basket: [pair.short for away in (False, True) for pair in basket.pairs(away=away)],
    )


def _sections(options: argparse.Namespace) -> list[str]:
    from tracker.commands.opening import session_of

    def named(basket: Basket) -> list[str]:
        pair = session_of(basket, getattr(options, "pair", None))
        return [section.name for section in pair.course.sections]

    return _names(options, named)


def _names(options: argparse.Namespace, named: Callable[[Basket], list[str]]) -> list[str]:
    """Names that stand in the basket, where it can be looked into and left as it is.

    A stranger's name that a message would not show as it is, is not offered: it would reach the terminal.
    """
    from tracker.storage.only_read import looked_into
    from tracker.storage.trouble import BasketTrouble
    from tracker.units import shorten

    asked = argparse.Namespace(basket=getattr(options, "basket", None))
    try:
        with looked_into(basket_path(asked)) as basket:
            names = named(basket) if basket is not None else []
    except (BasketTrouble, OSError, Wrong):
        return []  # a shell that asks has no ear for what is wrong
    return [name for name in names if shorten(name, len(name)) == name]


def _settings() -> list[str]:
    from tracker.settings import BY_NAME_OF_CHOICE

    return list(BY_NAME_OF_CHOICE)


def _values(name: str | None) -> list[str]:
    from tracker.settings import BY_NAME_OF_CHOICE

    choice = BY_NAME_OF_CHOICE.get(name or "")
    return list(choice.values) if choice else []
