"""The commands. Each is one small function, and imports only what it needs."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TextIO

if TYPE_CHECKING:
    from tracker.session import Answer, Session
    from tracker.storage.basket import Basket
    from tracker.storage.pattern_file import Opened


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 1 wrong input, 2 wrong usage."""
    _ready_to_speak()
    given, wanted = _with_command(list(sys.argv[1:] if arguments is None else arguments))
    try:
        options = _parser(wanted).parse_args(given)
        code: int = options.run(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe has gone: nothing more to say, and nothing to complain of.
        _say_no_more()
        return 0
    except KeyboardInterrupt:
        return _INTERRUPTED
    except Exception as error:
        return _failed(error)
    return code


_INTERRUPTED = 130
"""What a shell expects of a program that ctrl+c ended."""


def _ready_to_speak() -> None:
    """Where a stream is closed, say it to nobody; where it lacks a letter, say it with a ?."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, _nobody())
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")


def _nobody() -> TextIO:
    return Path(os.devnull).open("w", encoding="utf-8")


def _say_no_more() -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _with_command(given: list[str]) -> tuple[list[str], str | None]:
    """The words with a command among them, and which it is; None where help on all is asked for.

    `instep FILE` is short for `instep knit FILE`, and `instep` alone for `instep knit`.
    """
    at = 0
    while at < len(given) and given[at].startswith("-"):
        if given[at] in ("-h", "--help", "--version"):
            return given, None
        at += 2 if given[at] == "--basket" else 1
    if at < len(given) and given[at] in COMMANDS:
        return given, given[at]
    return [*given[:at], "knit", *given[at:]], "knit"


def _failed(error: Exception) -> int:
    """One line for what a person can cause; anything else is a fault of ours and shows itself."""
    from tracker.clock import BadClock
    from tracker.knitting.decide import Refused
    from tracker.storage.basket import BasketTrouble
    from tracker.storage.files import FileTrouble
    from tracker.units import BadLength, shorten

    if isinstance(error, OSError):
        _say_no_more()
        error = _Wrong(f"the answer could not be written: {(error.strerror or str(error)).lower()}")
    if not isinstance(error, BadClock | Refused | BasketTrouble | FileTrouble | BadLength | _Wrong):
        raise error
    print(f"instep: {shorten(str(error), LONGEST_MESSAGE)}", file=sys.stderr)
    return 1


LONGEST_MESSAGE = 1_000
"""Characters; a message quotes files and names that are a stranger's."""


class _Wrong(Exception):
    """The knitter's input was wrong, in one line."""


# The commands


def _knit(options: argparse.Namespace) -> int:
    terminal = sys.stdin.isatty() and sys.stdout.isatty()
    with _basket(options) as basket:
        session = _opened_pair(basket, options.what) if options.what else None
        if session is None and not terminal:
            return _quick_check_of_last(basket)
        if not terminal and session is not None:
            _print_left(session, None, as_json=False)
            return 0
        from tracker.ui.app import run

        return run(basket, session)


def _opened_pair(basket: Basket, what: str) -> Session:
    """The pair of that name, or the one that a file starts or has started."""
    from tracker.clock import now
    from tracker.session import Session, source_of
    from tracker.storage.basket import BasketTrouble
    from tracker.storage.files import read_source

    if not _named_as_a_file(what):
        try:
            return Session(basket, basket.find(what), now)
        except BasketTrouble as trouble:
            if not Path(what).exists():
                raise _Wrong(f"{trouble}; {_or_else(what)}") from None
    known = basket.started_from(source_of(read_source(what).data))
    if known is not None:
        return Session(basket, known, now)
    return Session.start(basket, _open_file(what), now)


def _named_as_a_file(what: str) -> bool:
    return Path(what).suffix == ".toml" or os.sep in what


def _or_else(what: str) -> str:
    """What a word may have been meant as that is no pair."""
    from difflib import get_close_matches

    near = get_close_matches(what, COMMANDS, n=1, cutoff=0.7)
    if near:
        return f'or did you mean the command "instep {near[0]}"?'
    return f"a file is named with its ending, like {what}.toml"


def _quick_check_of_last(basket: Basket) -> int:
    if not basket.pairs():
        print(_no_pairs(basket))
        return 0
    _print_left(_session(basket, None), None, as_json=False)
    return 0


def _plan(options: argparse.Namespace) -> int:
    from tracker import reports

    opened = _open_file(options.file)
    if options.output:
        _write_out(options.output, opened.pattern.text, options.file)
    elif options.json:
        _print_json(reports.plan_json(opened.pattern))
    else:
        _print_lines(reports.written(opened.pattern))
    return 0


def _write_out(output: str, text: str, made_from: str) -> None:
    from tracker.storage.files import shown, write_file

    write_file(output, text, instead_of=made_from)
    print(f"Written: {shown(output)}")


def _check(options: argparse.Namespace) -> int:
    from tracker.check import check_basket, check_file

    if options.file is None:
        with _basket(options) as basket:
            problems = check_basket(basket)
    else:
        problems = check_file(options.file)
    if options.json:
        _print_json({"ok": not problems, "problems": [problem.as_json() for problem in problems]})
    elif problems:
        for problem in problems:
            print(f"instep: {problem.line_for_people()}", file=sys.stderr)
    else:
        print("Every row comes out." if options.file else "Every pair in the basket is sound.")
    return 1 if problems else 0


def _start(options: argparse.Namespace) -> int:
    from tracker.clock import now
    from tracker.session import Session

    opened = _open_file(options.file)
    with _basket(options) as basket:
        session = Session.start(basket, opened, now)
        print(session.pair.short)
    return 0


def _basket_list(options: argparse.Namespace) -> int:
    with _basket(options) as basket:
        pairs = basket.pairs()
        if options.json:
            _print_json({"pairs": [_pair_json(pair) for pair in pairs]})
        elif not pairs:
            print(_no_pairs(basket))
        else:
            _print_lines(_pair_line(pair) for pair in pairs)
    return 0


def _no_pairs(basket: Basket) -> str:
    away = basket.pairs(away=True)
    if away:
        return f"Every pair is put away. instep back {away[0].short} brings one out."
    return "The basket is empty. instep samples names some plans; instep FILE starts one."


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


def _pair_line(pair: Any) -> str:
    from tracker.units import shorten
    from tracker.words import section, sock

    here = pair.summary
    step = "in step" if here.in_step else "not in step"
    place = f"{sock(here.sock)}, {section(here.section)}, {here.done} done, {step}"
    return f"{shorten(pair.short)}  {shorten(pair.title, 60)}: {place}"


def _iso(milliseconds: int) -> str:
    """A time with the offset it has here, as ISO 8601."""
    from datetime import UTC, datetime

    return (
        datetime.fromtimestamp(milliseconds / 1000, UTC).astimezone().isoformat(timespec="seconds")
    )


def _away(options: argparse.Namespace) -> int:
    with _basket(options) as basket:
        pair = basket.find(options.what)
        basket.put_away(pair, True)
        print(f"{pair.short} is put away; instep back {pair.short} brings it out.")
    return 0


def _back(options: argparse.Namespace) -> int:
    with _basket(options) as basket:
        pair = basket.find(options.what)
        basket.put_away(pair, False)
        print(f"{pair.short} is in the basket.")
    return 0


def _left(options: argparse.Namespace) -> int:
    with _basket(options) as basket:
        _print_left(_session(basket, options.pair), options.sock, as_json=options.json)
    return 0


def _tick(options: argparse.Namespace) -> int:
    return _acts(
        options, lambda pair: pair.tick(options.count, needles=options.needle, sock=options.sock)
    )


def _end(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.end(options.at, sock=options.sock))


def _target(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.target(" ".join(options.length), sock=options.sock))


def _measure(options: argparse.Namespace) -> int:
    return _acts(
        options,
        lambda pair: pair.measure(
            " ".join(options.length), rough=options.rough, mark=options.mark, sock=options.sock
        ),
    )


def _at(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.at(options.round, options.section, sock=options.sock))


def _other(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.other())


def _undo(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.undo())


def _redo(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.redo())


def _samples(options: argparse.Namespace) -> int:
    from tracker.samples import samples

    found = samples()
    if options.json:
        _print_json({"samples": [str(path) for path in found]})
    else:
        _print_lines(map(str, found))
    return 0


def _where(options: argparse.Namespace) -> int:
    path = _basket_path(options)
    if options.json:
        _print_json({"basket": str(path)})
    else:
        from tracker.storage.files import shown

        print(f"basket: {shown(str(path))}")
    return 0


# What the commands share


def _acts(options: argparse.Namespace, act: Callable[[Session], Answer]) -> int:
    from tracker import reports

    with _basket(options) as basket:
        answer = act(_session(basket, options.pair))
        if options.json:
            _print_json(reports.left_json(answer.glance))
        else:
            print(answer.said)
    return 0


def _session(basket: Basket, pair: str | None) -> Session:
    from tracker.clock import now
    from tracker.session import Session

    return Session(basket, basket.find(pair), now)


def _print_left(session: Session, sock: Any, *, as_json: bool) -> None:
    from tracker import reports, words

    glance = session.look(sock)
    if as_json:
        _print_json(reports.left_json(glance))
    else:
        last = words.ago(session.now().at - session.touched)
        _print_lines(reports.left_text(glance, last))


def _open_file(path: str) -> Opened:
    """Open a plan or a pattern, and say on the side what she should know about it."""
    from tracker.storage.pattern_file import open_file

    opened = open_file(path)
    for note in opened.notes:
        print(f"note: {note}", file=sys.stderr)
    return opened


@contextmanager
def _basket(options: argparse.Namespace) -> Iterator[Basket]:
    from tracker.storage.basket import Basket

    with Basket.open(_basket_path(options)) as basket:
        yield basket


def _basket_path(options: argparse.Namespace) -> Path:
    named = options.basket or os.environ.get("INSTEP_BASKET")
    if named:
        return Path(named)
    from platformdirs import user_data_path

    return user_data_path("instep", appauthor=False) / "basket.db"


def _print_lines(lines: Any) -> None:
    for line in lines:
        print(line)


def _print_json(value: Any) -> None:
    import json

    # In ASCII: a stranger's title may hold signs that a terminal obeys.
    print(json.dumps(value))


# The words of the command line


class _Formatter(argparse.HelpFormatter):
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

        print(f"instep {version('instep')}")
        parser.exit()


class _Word(NamedTuple):
    """One argument of a command: its names, and what argparse is to know of it."""

    names: tuple[str, ...]
    settings: dict[str, Any]


class _Command(NamedTuple):
    """A command: what it runs, its help in a line, its arguments."""

    run: Callable[[argparse.Namespace], int]
    about: str
    words: tuple[_Word, ...] = ()


def _word(*names: str, **settings: Any) -> _Word:
    return _Word(names, settings)


_BASKET = _word("--basket", metavar="PATH", default=argparse.SUPPRESS, help="the basket's file")
_JSON = _word("--json", action="store_true", help="for scripts")
_PAIR = _word("--pair", metavar="PAIR", help="its short name; else the last one touched")
_SOCK = _word("--sock", type=int, choices=(1, 2), help="act there, without changing socks")
_FILE = _word("file", metavar="FILE")
_MAYBE_FILE = _word("file", metavar="FILE", nargs="?")
_OUTPUT = _word("-o", "--output", metavar="FILE", help="write the pattern file")
_PAIR_OR_FILE = _word("what", nargs="?", metavar="PAIR_OR_FILE")
_WHICH = _word("what", metavar="PAIR")
_COUNT = _word("count", nargs="?", type=int, default=1, metavar="N")
_NEEDLE = _word("--needle", action="store_true", help="needles, not rounds")
_ROUND = _word("round", type=int, metavar="ROUND")
_AT = _word("--at", type=int, metavar="ROUND", help="at an earlier round")
_SECTION = _word("--section", metavar="NAME")
_LENGTH = _word("length", nargs="+", metavar="LENGTH")
_ROUGH = _word("--rough", action="store_true", help="a quick reading: trust it half as far")
_FROM = _word("--from", dest="mark", choices=("cast-on", "cuff", "heel"))
_ACTS = (_JSON, _PAIR, _SOCK)

COMMANDS: dict[str, _Command] = {
    "knit": _Command(_knit, "a pair at the needles, or the basket", (_PAIR_OR_FILE,)),
    "plan": _Command(_plan, "compute a plan and write the pattern", (_FILE, _OUTPUT, _JSON)),
    "check": _Command(_check, "knit a plan or a pattern stitch by stitch", (_MAYBE_FILE, _JSON)),
    "start": _Command(_start, "a new pair, without opening the screens", (_FILE,)),
    "basket": _Command(_basket_list, "the pairs in the basket", (_JSON,)),
    "away": _Command(_away, "put a pair away", (_WHICH,)),
    "back": _Command(_back, "bring it out", (_WHICH,)),
    "left": _Command(_left, "the quick check: where, what next, how far", _ACTS),
    "tick": _Command(_tick, "rounds or needles done", (_COUNT, _NEEDLE, *_ACTS)),
    "end": _Command(_end, "the open section ends", (_AT, *_ACTS)),
    "at": _Command(_at, "ROUND is the last one done", (_ROUND, _SECTION, *_ACTS)),
    "measure": _Command(_measure, "a tape reading", (_LENGTH, _ROUGH, _FROM, *_ACTS)),
    "target": _Command(_target, "the goal of the open section", (_LENGTH, *_ACTS)),
    "other": _Command(_other, "change to the other sock", _ACTS),
    "undo": _Command(_undo, "take the last act back", _ACTS),
    "redo": _Command(_redo, "bring it back", _ACTS),
    "samples": _Command(_samples, "the samples that come with it", (_JSON,)),
    "where": _Command(_where, "where things are kept", (_JSON,)),
}


def _parser(wanted: str | None) -> argparse.ArgumentParser:
    """The words of one command, or of all: they cost more than a quick check should wait for."""
    parser = argparse.ArgumentParser(
        prog="instep",
        description="Keeps a hand-knitter's two socks in step.",
        epilog="instep alone opens the basket; instep FILE starts the pair planned in FILE.",
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
            formatter_class=_Formatter,
        )
        added.set_defaults(run=command.run)
        for word in (*command.words, _BASKET):
            added.add_argument(*word.names, **word.settings)
    return parser
