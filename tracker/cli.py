"""The commands. Each is one small function, and imports only what it needs."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tracker.session import Answer, Session
    from tracker.storage.basket import Basket
    from tracker.storage.pattern_file import Opened

COMMANDS = (
    "knit", "plan", "check", "start", "basket", "away", "back", "left", "tick", "end", "target",
    "at", "undo", "redo", "measure", "other", "samples", "where",
)  # fmt: skip


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 1 wrong input, 2 wrong usage."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    options = _parser().parse_args(_with_command(given))
    try:
        code: int = options.run(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe has gone: nothing more to say, and nothing to complain of.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        return _failed(error)
    return code


def _with_command(given: list[str]) -> list[str]:
    """`instep FILE` is short for `instep knit FILE`, and `instep` alone for `instep knit`."""
    at = 0
    while at < len(given) and given[at].startswith("-"):
        if given[at] in ("-h", "--help", "--version"):
            return given
        at += 2 if given[at] == "--basket" else 1
    if at < len(given) and given[at] in COMMANDS:
        return given
    return [*given[:at], "knit", *given[at:]]


def _failed(error: Exception) -> int:
    """One line for what a person can cause; anything else is a fault of ours and shows itself."""
    from tracker.clock import BadClock
    from tracker.knitting.decide import Refused
    from tracker.storage.basket import BasketTrouble
    from tracker.storage.files import FileTrouble
    from tracker.units import BadLength

    if not isinstance(error, BadClock | Refused | BasketTrouble | FileTrouble | BadLength | _Wrong):
        raise error
    print(f"instep: {error}", file=sys.stderr)
    return 1


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

    if not _looks_like_a_file(what):
        try:
            return Session(basket, basket.find(what), now)
        except BasketTrouble as trouble:
            raise _Wrong(f"{trouble}; a file is named with its ending, like {what}.toml") from None
    known = basket.started_from(source_of(read_source(what).data))
    if known is not None:
        return Session(basket, known, now)
    return Session.start(basket, _open_file(what), now)


def _looks_like_a_file(what: str) -> bool:
    return Path(what).suffix == ".toml" or os.sep in what or Path(what).exists()


def _quick_check_of_last(basket: Basket) -> int:
    if not basket.pairs():
        print(
            "The basket is empty. instep samples names some plans to begin with; instep FILE starts one."
        )
        return 0
    _print_left(_session(basket, None), None, as_json=False)
    return 0


def _plan(options: argparse.Namespace) -> int:
    from tracker import reports

    opened = _open_file(options.file)
    if options.output:
        _write_out(options.output, opened.pattern.text)
    elif options.json:
        _print_json(reports.plan_json(opened.pattern))
    else:
        _print_lines(reports.written(opened.pattern))
    return 0


def _write_out(output: str, text: str) -> None:
    from tracker.storage.files import write_new

    write_new(output, text)
    print(f"Written: {output}")


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
            print("The basket is empty. instep samples names some plans to begin with.")
        else:
            _print_lines(_pair_line(pair) for pair in pairs)
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
        basket.put_away(pair, options.away)
        print(
            f"{pair.short} is {'put away; instep back brings it out' if options.away else 'in the basket'}."
        )
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
        print(f"basket: {path}")
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

    print(json.dumps(value, ensure_ascii=False))


# The words of the command line


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="instep",
        description="Keeps a hand-knitter's two socks in step.",
        epilog="instep alone opens the basket; instep FILE starts the pair planned in FILE.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="say which Instep this is")
    parser.add_argument("--basket", metavar="PATH", default=None, help="the basket's file")
    commands = parser.add_subparsers(metavar="COMMAND", required=True)
    for build in (_build_files, _build_looking, _build_acting):
        build(commands)
    return parser


class _Version(argparse.Action):
    """Looks the version up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        from importlib.metadata import version

        print(f"instep {version('instep')}")
        parser.exit()


def _build_files(commands: Any) -> None:
    knit = _command(commands, "knit", _knit, "a pair at the needles, or the basket")
    knit.add_argument("what", nargs="?", metavar="PAIR_OR_FILE")
    plan = _command(commands, "plan", _plan, "compute a plan and write the pattern", json=True)
    plan.add_argument("file", metavar="FILE")
    plan.add_argument("-o", "--output", metavar="FILE", help="write the pattern file")
    check = _command(
        commands, "check", _check, "knit a plan or a pattern stitch by stitch", json=True
    )
    check.add_argument("file", metavar="FILE", nargs="?")
    start = _command(commands, "start", _start, "a new pair, without opening the screens")
    start.add_argument("file", metavar="FILE")
    _command(commands, "samples", _samples, "the samples that come with it", json=True)
    _command(commands, "where", _where, "where things are kept", json=True)


def _build_looking(commands: Any) -> None:
    _command(commands, "basket", _basket_list, "the pairs in the basket", json=True)
    for name, away, about in (("away", True, "put a pair away"), ("back", False, "bring it out")):
        command = _command(commands, name, _away, about)
        command.add_argument("what", metavar="PAIR")
        command.set_defaults(away=away)
    _pair(
        _command(commands, "left", _left, "the quick check: where, what next, how far", json=True)
    )


def _build_acting(commands: Any) -> None:
    tick = _pair(_command(commands, "tick", _tick, "rounds or needles done", json=True))
    tick.add_argument("count", nargs="?", type=int, default=1, metavar="N")
    tick.add_argument("--needle", action="store_true", help="needles, not rounds")
    end = _pair(_command(commands, "end", _end, "the open section ends", json=True))
    end.add_argument("--at", type=int, metavar="ROUND", help="at an earlier round")
    at = _pair(_command(commands, "at", _at, "ROUND is the last one done", json=True))
    at.add_argument("round", type=int, metavar="ROUND")
    at.add_argument("--section", metavar="NAME")
    measure = _pair(_command(commands, "measure", _measure, "a tape reading", json=True))
    measure.add_argument("length", nargs="+", metavar="LENGTH")
    measure.add_argument(
        "--rough", action="store_true", help="a quick reading: trust it half as far"
    )
    measure.add_argument("--from", dest="mark", choices=("cast-on", "cuff", "heel"))
    target = _pair(_command(commands, "target", _target, "the goal of the open section", json=True))
    target.add_argument("length", nargs="+", metavar="LENGTH")
    for name, run, about in (
        ("other", _other, "change to the other sock"),
        ("undo", _undo, "take the last act back"),
        ("redo", _redo, "bring it back"),
    ):
        _pair(_command(commands, name, run, about, json=True))


def _command(
    commands: Any,
    name: str,
    run: Callable[[argparse.Namespace], int],
    about: str,
    *,
    json: bool = False,
) -> argparse.ArgumentParser:
    command: argparse.ArgumentParser = commands.add_parser(
        name, help=about, description=f"{about}."
    )
    command.set_defaults(run=run)
    command.add_argument(
        "--basket", metavar="PATH", default=argparse.SUPPRESS, help="the basket's file"
    )
    if json:
        command.add_argument("--json", action="store_true", help="for scripts")
    return command


def _pair(command: argparse.ArgumentParser) -> argparse.ArgumentParser:
    command.add_argument("--pair", metavar="PAIR", help="its short name; else the last one touched")
    command.add_argument(
        "--sock", type=int, choices=(1, 2), help="act there, without changing socks"
    )
    return command
