"""The command line: finds the command that is meant, runs it, and says in one line what went wrong."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

from tracker.commands.opening import named_as_a_file
from tracker.commands.speaking import (
    LONGEST_MESSAGE,
    Unsaid,
    Wrong,
    ready_to_speak,
    say,
    say_aside,
    say_no_more,
    writing,
)
from tracker.commands.table import COMMANDS
from tracker.commands.words import BASKET


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 1 wrong input, 2 wrong usage."""
    ready_to_speak()
    if "_ARGCOMPLETE" in os.environ:
        from tracker.commands.completing import complete

        complete(_parser(None))
    given, wanted = _with_command(list(sys.argv[1:] if arguments is None else arguments))
    if wanted in ("measure", "target", "weigh"):
        given = [_as_length(word) for word in given]
    try:
        options, surplus = _read(given, wanted)
        if surplus:
            options.refuse(_unknown(wanted, surplus))
        code: int = options.run(options)
        with writing():
            sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe has gone: nothing more to say, and nothing to complain of.
        say_no_more()
        return 0
    except KeyboardInterrupt:
        return _INTERRUPTED
    except Exception as error:
        return _failed(error)
    return code


def _read(given: list[str], wanted: str | None) -> tuple[argparse.Namespace, list[str]]:
    """What the words say. Help and version are answers, too: raises Unsaid where they are not written."""
    try:
        return _parser(wanted).parse_known_args(given)
    except SystemExit:
        with writing():
            sys.stdout.flush()
        raise


_INTERRUPTED = 130
"""What a shell expects of a program that ctrl+c ended."""


def _with_command(given: list[str]) -> tuple[list[str], str | None]:
    """The words with a command among them, and which it is; None where help on all is asked for.

    `instep FILE` is short for `instep knit FILE`, `instep` alone for `instep knit`, and `instep help rip` for
    `instep rip --help`.
    """
    at = 0
    while at < len(given) and given[at].startswith("-") and given[at] != "-":
        if given[at] in ("-h", "--help", "--version"):
            return given, None
        at += 2 if given[at] == "--basket" else 1
    if given[at : at + 1] == ["help"]:
        _check_helped(given[at + 1 : at + 2])
        return _with_command([*given[:at], *given[at + 1 : at + 2], "--help"])
    if at < len(given) and given[at] in COMMANDS:
        return given, given[at]
    if at + 1 < len(given):
        _check_command(given[at], given[at + 1 :])
    return [*given[:at], "knit", *given[at:]], "knit"


def _check_command(word: str, after: Sequence[str]) -> None:
    """Refuse a command that is none: what stands after it is not what is wrong."""
    meant = {"-h", "--help"} & {*after} or not all(other.startswith("-") for other in after)
    if meant and not named_as_a_file(word) and (near := _near(word)):
        _ask_back(word, near)


def _check_helped(words: Sequence[str]) -> None:
    """Refuse to help with what is no command: a pair's name is none."""
    for word in words:
        if word not in (*COMMANDS, "help") and not word.startswith("-"):
            _ask_back(word, _near(word))


def _near(word: str) -> str:
    """The command that a word may be meant as, or ""."""
    from difflib import get_close_matches

    near = get_close_matches(word, (*COMMANDS, "help"), n=1, cutoff=0.6)
    return near[0] if near else ""


def _ask_back(word: str, near: str) -> NoReturn:
    """Say that a word is no command, with the usage of the one that is near."""
    meant = f"did you mean {near}?" if near else "instep help names them all"
    _parser(near if near in COMMANDS else None).error(f'there is no command "{word}"; {meant}')


def _unknown(wanted: str | None, surplus: Sequence[str]) -> str:
    """What is said of words that the command does not take, with the option that may be meant."""
    from difflib import get_close_matches

    taken = [name for word in COMMANDS[wanted or "knit"].words for name in word.names]
    option = surplus[0].partition("=")[0]
    near = get_close_matches(option, taken, n=1, cutoff=0.6) if option.startswith("--") else []
    told = f"unrecognized arguments: {' '.join(surplus)}"
    return f"{told}; did you mean {near[0]}?" if near else told


def _as_length(word: str) -> str:
    """A word such as -5cm made one that is no option: who reads lengths says what is wrong."""
    return f"{word} " if word.startswith("-") and word[1:2].isdigit() else word


def _failed(error: Exception) -> int:
    """One line for what a person can cause; anything else is a fault of ours and shows itself."""
    from tracker.clock import BadClock
    from tracker.knitting.decide import Refused
    from tracker.storage.basket import BasketTrouble
    from tracker.storage.files import FileTrouble
    from tracker.units import BadLength, shorten

    if isinstance(error, Unsaid):
        say_no_more()
        error = Wrong(f"the answer could not be written: {error}")
    elif isinstance(error, OSError):
        named = f"{error.filename}: " if isinstance(error.filename, str) else ""
        error = Wrong(f"{named}{(error.strerror or str(error)).lower()}; see to it, then try again")
    if not isinstance(error, BadClock | Refused | BasketTrouble | FileTrouble | BadLength | Wrong):
        raise error
    say_aside(f"instep: {shorten(str(error), LONGEST_MESSAGE)}")
    return 1


class _Formatter(argparse.RawDescriptionHelpFormatter):
    """Help as wide as the terminal, without loading what argparse loads to find that out."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=_columns() - 2)


def _columns() -> int:
    try:
        return int(os.environ.get("COLUMNS", 0)) or os.get_terminal_size().columns or 80
    except (ValueError, OSError):
        return 80


class _Version(argparse.Action):
    """Looks the version up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        from importlib.metadata import version

        say(f"instep {version('instep')}")
        parser.exit()


class _Parser(argparse.ArgumentParser):
    """As argparse, but what it quotes of a stranger's words is cleaned and cut short."""

    def error(self, message: str) -> NoReturn:
        from tracker.units import shorten

        super().error(shorten(message, LONGEST_MESSAGE))


def _parser(wanted: str | None) -> argparse.ArgumentParser:
    """The words of one command, or of all: they cost more than a quick check should wait for."""
    parser = _Parser(
        prog="instep",
        description="Keeps a hand-knitter's two socks in step.",
        epilog="instep alone opens the basket; instep FILE starts the pair planned in FILE.\n"
        "instep COMMAND --help tells its words, with examples.",
        formatter_class=_Formatter,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="say which Instep this is")
    parser.add_argument("--basket", metavar="PATH", default=None, help="the basket's file")
    commands = parser.add_subparsers(metavar="COMMAND", required=True, prog="instep")
    for name in [wanted] if wanted else COMMANDS:
        command = COMMANDS[name]
        added = commands.add_parser(
            name,
            help=command.about,
            description=f"{command.about}.",
            epilog="\n".join(["examples:", *(f"  {example}" for example in command.examples)]),
            formatter_class=_Formatter,
        )
        added.set_defaults(run=command.run, refuse=added.error)
        for word in (*command.words, BASKET):
            added.add_argument(*word.names, **word.settings)
    return parser
