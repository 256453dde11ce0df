"""The commands. Each is one small function, and imports only what it needs."""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, NoReturn, TextIO

from tracker.letters import READABLE, teach_readable

if TYPE_CHECKING:
    from tracker.glance import Glance
    from tracker.printing.sheet import Sheet
    from tracker.session import Answer, Session
    from tracker.settings import Settings
    from tracker.storage.basket import Basket
    from tracker.storage.pattern_file import Opened


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 1 wrong input, 2 wrong usage."""
    _ready_to_speak()
    given, wanted = _with_command(list(sys.argv[1:] if arguments is None else arguments))
    if wanted in ("measure", "target", "weigh"):
        given = [_as_length(word) for word in given]
    try:
        options, surplus = _parser(wanted).parse_known_args(given)
        if surplus:
            options.refuse(f"unrecognized arguments: {' '.join(surplus)}")
        code: int = options.run(options)
        with _writing():
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


class _Unsaid(Exception):
    """The answer could not be written; what was done is done."""


@contextmanager
def _writing() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise _Unsaid((error.strerror or str(error)).lower()) from None


def _say(line: str) -> None:
    """A line of the answer. Whatever was overlooked, no sign that a terminal obeys leaves here."""
    with _writing():
        print(_clean(line))


def _say_aside(line: str) -> None:
    """A line beside the answer; where nobody listens, the answer is given all the same."""
    with suppress(OSError):
        print(_clean(line), file=sys.stderr)


def _clean(line: str) -> str:
    from tracker.units import shorten

    return line if line.isprintable() else shorten(line, len(line))


_INTERRUPTED = 130
"""What a shell expects of a program that ctrl+c ended."""


def _ready_to_speak() -> None:
    """A closed stream is nobody, to be heard or told; where one lacks a letter, it is said with others."""
    teach_readable()
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, _nobody("w"))
    if sys.stdin is None:
        sys.stdin = _nobody("r")
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=READABLE)


def _nobody(mode: Literal["r", "w"]) -> TextIO:
    return Path(os.devnull).open(mode, encoding="utf-8")


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
    if at + 1 < len(given):
        _check_command(given[at], given[at + 1 :])
    return [*given[:at], "knit", *given[at:]], "knit"


def _check_command(word: str, after: Sequence[str]) -> None:
    """Refuse a command that is none: what stands after it is not what is wrong."""
    from difflib import get_close_matches

    near = get_close_matches(word, COMMANDS, n=1, cutoff=0.6)
    if near and not _named_as_a_file(word) and not all(other.startswith("-") for other in after):
        _parser(near[0]).error(f'there is no command "{word}"; did you mean {near[0]}?')


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

    if isinstance(error, _Unsaid):
        _say_no_more()
        error = _Wrong(f"the answer could not be written: {error}")
    elif isinstance(error, OSError):
        named = f"{error.filename}: " if isinstance(error.filename, str) else ""
        error = _Wrong(
            f"{named}{(error.strerror or str(error)).lower()}; see to it, then try again"
        )
    if not isinstance(error, BadClock | Refused | BasketTrouble | FileTrouble | BadLength | _Wrong):
        raise error
    _say_aside(f"instep: {shorten(str(error), LONGEST_MESSAGE)}")
    return 1


LONGEST_MESSAGE = 1_000
"""Characters; a message quotes files and names that are a stranger's."""


class _Wrong(Exception):
    """The knitter's input was wrong, in one line."""


# The commands


def _knit(options: argparse.Namespace) -> int:
    from tracker.clock import now
    from tracker.settings import Settings
    from tracker.storage.files import FileTrouble
    from tracker.storage.settings_file import read_settings

    terminal = sys.stdin.isatty() and sys.stdout.isatty()
    plain = options.plain or os.environ.get("TERM") == "dumb"
    if terminal and not plain:
        gc.disable()  # what is read and loaded before the first picture stays: nothing of it is garbage
    now()  # a clock that is wrong is said here, not by the screens
    settings = (
        read_settings() if terminal else Settings()
    )  # so are settings, before a pair is begun
    with _basket(options) as basket:
        try:
            session = _opened_pair(basket, options.what) if options.what else None
        except FileTrouble as trouble:
            from tracker.storage.plan_file import LeftOpen

            if not terminal or plain or not isinstance(trouble, LeftOpen):
                raise
            from tracker.ui.app import fill_in

            return fill_in(basket, trouble, settings)
        if session is None and not terminal:
            return _quick_check_of_last(basket)
        if not terminal and session is not None:
            _print_left(session, None, as_json=False)
            return 0
        if plain:
            return _knit_in_lines(basket, session, settings)
        basket.pairs()  # what is wrong with the list is said here, not by the screens
        from tracker.ui.app import run

        return run(basket, session, settings)


def _knit_in_lines(basket: Basket, session: Session | None, settings: Settings) -> int:
    """At the needles without a screen: the pair named, or the one last touched."""
    from tracker.ui.plain_lines import PlainNeedles
    from tracker.ui.plain_terminal import run_plain

    if session is None and not basket.pairs():
        _say(_no_pairs(basket))
        return 0

    def pairs() -> list[str]:
        return [_pair_line(basket, pair) for pair in basket.pairs()]

    return run_plain(PlainNeedles(session or _session(basket, None), pairs, settings))


def _opened_pair(basket: Basket, what: str) -> Session:
    """The pair of that name, or the one that a file starts or has started."""
    from tracker.clock import now
    from tracker.session import Session, source_of
    from tracker.storage.files import read_source
    from tracker.storage.pack_file import is_pack
    from tracker.storage.trouble import NoPair

    if not _named_as_a_file(what):
        try:
            return Session(basket, basket.find(what), now)
        except NoPair as trouble:
            if not _is_there(what):
                raise _Wrong(_or_else(what, str(trouble))) from None
    if is_pack(what):
        return _unpacked_pair(basket, what)
    known = basket.started_from(source_of(read_source(what).data))
    if known is None:
        return Session.begin(basket, _open_file(what), now)
    return Session(basket, known, now)


def _unpacked_pair(basket: Basket, path: str) -> Session:
    """The pair of a pack, which is put into the basket where it is not there already."""
    from tracker import packing
    from tracker.clock import now

    unpacked = packing.unpack(basket, path, now)
    if unpacked.how == "parted":
        _say_aside(f"note: {packing.said(unpacked, opened=True)}")
    return unpacked.session


def _is_there(path: str) -> bool:
    try:
        return Path(path).exists()
    except (OSError, ValueError):
        return False


def _named_as_a_file(what: str) -> bool:
    return Path(what).suffix in (".toml", ".pack") or os.sep in what


def _or_else(what: str, trouble: str) -> str:
    """What a word may have been meant as that is no pair."""
    from difflib import get_close_matches

    near = get_close_matches(what, COMMANDS, n=1, cutoff=0.7)
    if near:
        return f'there is no command and no pair "{what}"; did you mean "instep {near[0]}"?'
    return f"{trouble}; a file is named with its ending, like {what}.toml"


def _quick_check_of_last(basket: Basket) -> int:
    if not basket.pairs():
        _say(_no_pairs(basket))
        return 0
    _print_left(_session(basket, None), None, as_json=False)
    return 0


def _plan(options: argparse.Namespace) -> int:
    from tracker import plan_report

    opened = _open_file(options.file)
    if options.output:
        _write_out(options.output, opened.pattern.text, options.file, told=not options.json)
    if options.json:
        _print_json(plan_report.plan_json(opened.pattern))
    elif not options.output:
        _print_lines(plan_report.written(opened.pattern))
        if options.words:
            _print_lines(plan_report.words_of(opened.pattern))
    return 0


def _write_out(output: str, text: str, made_from: str, *, told: bool) -> None:
    from tracker.storage.files import shown, write_file

    write_file(output, text, instead_of=made_from)
    if told:
        _say(f"Written: {shown(output)}")


def _write(options: argparse.Namespace) -> int:
    from tracker.printing.forms import FORMS
    from tracker.printing.stage import NoStage

    output = options.output or "-"
    ending = ".txt" if output == "-" else Path(output).suffix.lower()
    if ending not in FORMS:
        raise _Wrong(_no_form(output))
    try:
        sheet, made_from = _sheet(options)
    except NoStage as none:
        raise _Wrong(str(none)) from None
    text = FORMS[ending](sheet)
    if output == "-":
        _print_lines(text.splitlines())
    else:
        _write_out(output, text, made_from, told=True)
    return 0


def _no_form(output: str) -> str:
    from tracker.storage.files import shown

    return f"{shown(output)}: this ending is none of those written; end it in .md, .html or .txt"


def _sheet(options: argparse.Namespace) -> tuple[Sheet, str]:
    """The sheet of a file as planned or of a pair as made, and the file that it is made from."""
    from tracker.printing.planned import planned
    from tracker.storage.trouble import NoPair

    what = options.what
    if options.sizes:
        return _sheet_of_sizes(what, options.sizes, options.stage), what
    if what is None or not _named_as_a_file(what):
        with _basket(options) as basket:
            try:
                return _sheet_of_pair(basket, what, options.stage), str(basket.path)
            except NoPair as trouble:
                if what is None or not _is_there(what):
                    raise _Wrong(_no_pair_or_file(what, str(trouble))) from None
    opened = _open_file(what)
    return planned(opened.pattern, opened.document, opened.notes, options.stage), what


def _sheet_of_sizes(what: str | None, sizes: Sequence[int], stage: int | None) -> Sheet:
    from tracker.printing.sized import Size, sized
    from tracker.storage.sizes_file import open_sizes

    if what is None or not (_named_as_a_file(what) or _is_there(what)):
        raise _Wrong("a pair has one size; name its plan file for several")
    opened, left_out = open_sizes(what, sizes, stage)
    told = [Size(size, one.pattern) for size, one in zip(sizes, opened, strict=True)]
    notes = [f"Left out, for it is of one size: {', '.join(left_out)}."] if left_out else []
    return sized(told, opened[0].document, notes, stage)


def _no_pair_or_file(what: str | None, trouble: str) -> str:
    return (
        trouble if what is None else f"{trouble}; a file is named with its ending, like {what}.toml"
    )


def _sheet_of_pair(basket: Basket, what: str | None, stage: int | None) -> Sheet:
    from tracker.knitting.worked import day_of
    from tracker.printing.made import Pair, made

    session = _session(basket, what)
    today = day_of(*session.now())
    return made(Pair(session.course, session.state, session.past(), session.document, today), stage)


def _check(options: argparse.Namespace) -> int:
    from tracker.check import check_basket, check_file

    path = options.file
    problems, notes = check_basket(_basket_path(options)) if path is None else check_file(path)
    for note in notes:
        _say_aside(f"note: {note}")
    if options.json:
        _print_json({"ok": not problems, "problems": [problem.as_json() for problem in problems]})
    elif problems:
        for problem in problems:
            _say_aside(f"instep: {problem.line_for_people()}")
    else:
        _say("Every row comes out." if options.file else _SOUND)
    return 1 if problems else 0


def _mend(options: argparse.Namespace) -> int:
    from tracker.check import check_basket
    from tracker.clock import now
    from tracker.storage import mending

    path, moment = _basket_path(options), now()
    told: dict[str, Any] = {"pairs": [], "aside": None}
    # What is not there would be made by being checked, and then be sound.
    problems = check_basket(path).problems if path.exists() else ()
    if path.exists() and not problems:
        lines = [_SOUND]
    elif problems and not any("instep mend" in one.instead for one in problems):
        wrong = problems[0]
        raise _Wrong(f"{wrong.problem}; {wrong.instead}; nothing was changed")
    else:
        mended = mending.mend(path, moment)
        told, lines = mending.as_json(mended), mending.said(mended)
    if options.json:
        _print_json(told)
    else:
        _print_lines(lines)
    return 0


_SOUND = "Every pair in the basket is sound."


def _start(options: argparse.Namespace) -> int:
    from tracker.clock import now
    from tracker.session import Session
    from tracker.storage.pack_file import is_pack

    opened = None if is_pack(options.file) else _open_file(options.file)
    with _basket(options) as basket:
        if opened is None:
            session = _unpacked_pair(basket, options.file)
        else:
            session = Session.start(basket, opened, now)
        _say(session.pair.short)
    return 0


def _basket_list(options: argparse.Namespace) -> int:
    with _basket(options) as basket:
        pairs = basket.pairs()
        if options.json:
            _print_json({"pairs": [_pair_json(pair) for pair in pairs]})
        elif not pairs:
            _say(_no_pairs(basket))
        else:
            _print_lines([_pair_line(basket, pair) for pair in pairs])
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


def _pair_line(basket: Any, pair: Any) -> str:
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


def _away(options: argparse.Namespace) -> int:
    return _put(options, "{0} is put away; instep back {0} brings it out.", away=True)


def _back(options: argparse.Namespace) -> int:
    return _put(options, "{0} is in the basket.", away=False)


def _put(options: argparse.Namespace, told: str, *, away: bool) -> int:
    with _basket(options) as basket:
        pair = basket.find(options.what)
        basket.put_away(pair, away)
        _say(told.format(pair.short))
    return 0


def _left(options: argparse.Namespace) -> int:
    with _basket(options) as basket:
        _print_left(
            _session(basket, options.pair),
            options.sock,
            as_json=options.json,
            more=_asks_for_more(options),
        )
    return 0


def _tick(options: argparse.Namespace) -> int:
    return _acts(
        options, lambda pair: pair.tick(options.count, needles=options.needle, sock=options.sock)
    )


def _end(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.end(options.at, sock=options.sock))


def _target(options: argparse.Namespace) -> int:
    from tracker.knitting.decide import Counted, Follows
    from tracker.units import shell_word

    goal, alone = " ".join(options.length).strip(), options.only
    by_yarn = goal.lower() == "yarn"

    def set_goal(pair: Session) -> Answer:
        if by_yarn:
            return pair.target_by_yarn(options.section, only=alone, sock=options.sock)
        return pair.target(goal, options.section, only=alone, sock=options.sock)

    try:
        return _acts(options, set_goal)
    except Follows as follows:
        raise _Wrong(f"{follows}; write --only after it for a goal of this sock alone") from None
    except Counted as counted:
        if counted.ahead is None or by_yarn:
            raise
        ahead = shell_word(counted.ahead)
        raise _Wrong(f"{counted}; write --section {ahead} after it for that one") from None


def _measure(options: argparse.Namespace) -> int:
    return _acts(
        options,
        lambda pair: pair.measure(
            " ".join(options.length), rough=options.rough, mark=options.mark, sock=options.sock
        ),
        _left_object(more=_asks_for_more(options)),
    )


def _count(options: argparse.Namespace) -> int:
    from tracker import reports

    plain = True if options.plain else False if options.shaped else None
    clues = (options.length, options.colour, options.pin, options.tail, options.chart)
    bare = not options.stitches.strip() and all(clue is None for clue in clues)
    if options.plain and options.shaped:
        raise _Wrong("the last round was plain or it was not; write one of --plain and --shaped")
    return _acts(
        options,
        lambda pair: pair.count(
            options.stitches,
            plain=plain,
            length=options.length,
            colour=options.colour,
            pin=options.pin,
            tail=options.tail,
            chart=options.chart,
            sock=options.sock,
        ),
        reports.to_count_json if bare else reports.count_json,
    )


def _changed(options: argparse.Namespace) -> int:
    repeat = None if options.copy is None else options.copy == "yes"
    return _acts(
        options,
        lambda pair: pair.changed(
            options.kind,
            " ".join(options.value),
            row=options.row,
            repeat=repeat,
            late=options.late,
            stay=options.stay,
            ball=options.ball,
            sock=options.sock,
        ),
    )


def _copy(options: argparse.Namespace) -> int:
    return _acts(
        options, lambda pair: pair.copy(options.number, options.repeat == "yes", options.sock)
    )


def _note(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.note(" ".join(options.text), sock=options.sock))


def _rest(options: argparse.Namespace) -> int:
    if options.inside is not None:
        return _acts(options, lambda pair: pair.stop(options.inside, sock=options.sock))
    return _acts(options, lambda pair: pair.rest(" ".join(options.text), sock=options.sock))


def _history(options: argparse.Namespace) -> int:
    from tracker import reports
    from tracker.knitting.past import of_kind

    _check_kind(options.kind, marks=options.marks)
    with _basket(options) as basket:
        pair = _session(basket, options.pair)
        pattern = pair.course.pattern
        if options.marks:
            _print_marks(options, pair)
            return 0
        found = of_kind(pair.past(), options.kind, options.sock)
        if options.json:
            _print_json(reports.history_json(found, pattern.unit, pattern.of_socks))
        else:
            _print_lines(reports.history_text(found, pattern.unit, pattern.of_socks))
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
    raise _Wrong(f'there is no kind "{shorten(kind)}"; write {near}')


def _print_marks(options: argparse.Namespace, pair: Session) -> None:
    from tracker import reports

    marks = [
        mark
        for mark in pair.hanging()
        if options.kind in (None, mark.kind) and options.sock in (None, mark.sock)
    ]
    if options.json:
        _print_json(reports.hanging_json(marks))
    else:
        _print_lines(reports.hanging_text(marks, pair.course.pattern.of_socks))


def _rip(options: argparse.Namespace) -> int:
    from tracker.units import shell_word

    to, by, named, stitches = options.round, options.by, options.section, options.stitches
    if named and to is None and by is None and stitches is None:
        to = "0"  # to the beginning of that section
    if sum(far is not None for far in (to, by, stitches)) != 1:
        raise _Wrong(
            "say how far back: instep rip 40, instep rip --by 12, instep rip --stitches 20,"
            " or instep rip lifeline"
        )
    if named and (to is None or to == "lifeline"):
        raise _Wrong(
            f"--section goes with a round; write instep rip 40 --section {shell_word(named)}"
        )
    if stitches is not None:
        return _acts(options, lambda pair: pair.tink(stitches, sock=options.sock))
    if by is not None:
        return _acts(options, lambda pair: pair.rip_by(by, sock=options.sock))
    if to == "lifeline":
        return _acts(options, lambda pair: pair.rip_to_lifeline(sock=options.sock))
    return _acts(options, lambda pair: pair.rip(_row_of(pair, to), named, sock=options.sock))


def _row_of(pair: Session, text: str) -> int:
    """The round to go back to; a section's name says no round."""
    from tracker.units import shell_word, shorten

    if pair.course.find(text) is not None:
        named = shell_word(text)
        raise _Wrong(
            f"to go back in the {shorten(text)} write instep rip 10 --section {named},"
            f" or to its beginning instep rip --section {named}"
        )
    return _round(text)


def _round(text: str) -> int:
    try:
        return _whole(text)
    except argparse.ArgumentTypeError as bad:
        raise _Wrong(str(bad)) from None


def _lifeline(options: argparse.Namespace) -> int:
    return _acts(
        options, lambda pair: pair.lifeline(options.round, options.section, sock=options.sock)
    )


def _restart(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.restart(sock=options.sock))


def _answer(options: argparse.Namespace) -> int:
    if options.by is not None and options.how != "count":
        raise _Wrong(f"--by belongs to a count; write instep answer count --by {options.by}")
    return _acts(options, lambda pair: pair.answer(options.how, options.by, sock=options.sock))


def _weigh(options: argparse.Namespace) -> int:
    weight, colour = " ".join(options.grams), options.colour
    return _acts(
        options,
        lambda pair: pair.weigh(weight, colour=colour, sock=options.sock),
        _left_object(more=_asks_for_more(options)),
    )


def _at(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.at(options.round, options.section, sock=options.sock))


def _other(options: argparse.Namespace) -> int:
    if options.over is not None:
        return _acts(options, lambda pair: pair.move_over(options.over, options.sock))
    return _acts(options, lambda pair: pair.other(options.sock))


def _order(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.order(" ".join(options.order), sock=options.sock))


def _undo(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.undo(options.sock))


def _redo(options: argparse.Namespace) -> int:
    return _acts(options, lambda pair: pair.redo(options.sock))


def _append(options: argparse.Namespace) -> int:
    from tracker.storage.pattern_file import open_tables

    given = open_tables(options.file)
    return _acts(options, lambda pair: pair.append(given, options.sock))


def _replan(options: argparse.Namespace) -> int:
    from tracker.storage.pattern_file import open_tables

    given = open_tables(options.file)
    return _acts(options, lambda pair: pair.replan(given, options.sock))


def _pack(options: argparse.Namespace) -> int:
    from tracker import packing
    from tracker.storage.files import shown

    with _basket(options) as basket:
        session = _session(basket, options.what)
        replaced = packing.pack(session, basket, options.file, for_teacher=options.for_teacher)
    how = " for a teacher, without times, pace and words of your own but questions"
    instead = " (in place of its older pack)" if replaced else ""
    told = f"is packed{how if options.for_teacher else ''}: {shown(options.file)}{instead}"
    _say(f"{session.pair.short} {told}")
    return 0


def _unpack(options: argparse.Namespace) -> int:
    from tracker import packing, reports, words
    from tracker.clock import now

    with _basket(options) as basket:
        unpacked = packing.unpack(basket, options.file, now, sound_part=options.sound_part)
        glance = unpacked.session.glance
        if options.json:
            _print_json(reports.left_json(glance))
        else:
            _say(f"{packing.said(unpacked)} {words.place(glance)}")
    return 0


def _circle(options: argparse.Namespace) -> int:
    from tracker import circle_words
    from tracker.circle import read_circle
    from tracker.clock import now
    from tracker.knitting.worked import day_of
    from tracker.storage.files import FileTrouble

    as_they_come = not (options.by or options.json)
    waiting, broken = [], 0
    for found in read_circle(options.files, day_of(*now())):
        if isinstance(found, FileTrouble):
            broken += 1
            _say_aside(f"instep: {found}")
        elif as_they_come and found.reason == circle_words.FIRST:
            # Who stands first in any case need not wait for the others to be read.
            _say(circle_words.line(found))
            sys.stdout.flush()
        else:
            waiting.append(found)
    ordered = circle_words.by_name(waiting) if options.by else circle_words.in_order(waiting)
    if options.json:
        _print_json({"knitters": [circle_words.as_json(one) for one in ordered]})
    else:
        _print_lines(map(circle_words.line, ordered))
    return 1 if broken else 0


def _samples(options: argparse.Namespace) -> int:
    from tracker.samples import samples

    found = samples()
    if options.json:
        _print_json({"samples": [str(path) for path in found]})
    else:
        _print_lines(map(str, found))
    return 0


def _where(options: argparse.Namespace) -> int:
    from tracker.storage.opening import backup_folder, whole_path
    from tracker.storage.settings_file import settings_path

    basket = _basket_path(options)
    kept = {
        "basket": str(basket),
        "backups": str(backup_folder(whole_path(basket))),
        "settings": str(settings_path()),
    }
    if options.json:
        _print_json(kept)
    else:
        from tracker.storage.files import shown

        _print_lines(f"{what}: {shown(path)}" for what, path in kept.items())
    return 0


def _settings(options: argparse.Namespace) -> int:
    from tracker import settings_report
    from tracker.storage.settings_file import read_settings, write_setting

    if options.name is None:
        kept = read_settings()
    else:
        kept = write_setting(options.name, _value_of(options.name, options.value))
    if options.json:
        _print_json(settings_report.as_json(kept))
    else:
        _print_lines(settings_report.lines(kept))
    return 0


def _value_of(name: str, value: str | None) -> str:
    """A value that the setting can have, else what to write."""
    from tracker.settings import BY_NAME_OF_CHOICE
    from tracker.units import shell_word, shorten
    from tracker.vocabulary import or_all

    choice = BY_NAME_OF_CHOICE.get(name)
    if choice is None:
        raise _Wrong(
            f'no setting is called "{shorten(name)}"; write {or_all(list(BY_NAME_OF_CHOICE))}'
        )
    if value is None or value not in choice.values:
        said = f'"{shorten(value)}" is no value of {name}' if value else f"{name} needs its value"
        values = or_all([shell_word(one) for one in choice.values])
        raise _Wrong(f"{said}; write instep settings {name} and {values}")
    return value


# What the commands share


def _acts(
    options: argparse.Namespace,
    act: Callable[[Session], Answer],
    as_json: Callable[[Glance], dict[str, Any]] | None = None,
) -> int:
    """Do an act and say what it answers; as JSON the `left` object, or what `as_json` makes of it."""
    from tracker import reports

    with _basket(options) as basket:
        answer = act(_session(basket, options.pair))
        if options.json:
            _print_json((as_json or reports.left_json)(answer.glance))
        else:
            _say(answer.said)
    return 0


def _asks_for_more(options: argparse.Namespace) -> bool:
    if options.more and not options.json:
        raise _Wrong("--more is more for scripts; write --json with it")
    return bool(options.more)


def _left_object(*, more: bool) -> Callable[[Glance], dict[str, Any]]:
    """What makes the `left` object of a glance, with yarn, time and stage or without."""
    if more:
        from tracker.more_report import more_json

        return more_json
    from tracker.reports import left_json

    return left_json


def _session(basket: Basket, pair: str | None) -> Session:
    from tracker.clock import now
    from tracker.session import Session

    return Session(basket, basket.find(pair), now)


def _print_left(session: Session, sock: Any, *, as_json: bool, more: bool = False) -> None:
    from tracker import reports, words

    glance = session.look(sock)
    if as_json:
        _print_json(_left_object(more=more)(glance))
    else:
        last = words.ago(session.now().at - session.touched)
        _print_lines(reports.left_text(glance, last))


def _open_file(path: str) -> Opened:
    """Open a plan or a pattern, and say on the side what she should know about it."""
    from tracker.storage.pattern_file import open_file

    opened = open_file(path)
    for note in opened.notes:
        _say_aside(f"note: {note}")
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
        _say_aside(f"note: {first} ({len(problems)} in all; see: instep check {shown(path)})")


@contextmanager
def _basket(options: argparse.Namespace) -> Iterator[Basket]:
    from tracker.storage.basket import Basket

    with Basket.open(_basket_path(options)) as basket:
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
        _say_aside(f"note: {trouble}")


def _tell_of_network(path: Path) -> None:
    from tracker.storage.files import shown
    from tracker.storage.network import network_of

    kind = network_of(path)
    if kind:
        _say_aside(
            f"note: {shown(str(path))} is on a network ({kind}), where two machines that write at"
            " once can damage it; knit from one machine at a time, or name a file on a disk of"
            " its own with --basket"
        )


def _basket_path(options: argparse.Namespace) -> Path:
    named = options.basket
    if named == "":
        raise _Wrong("--basket names no file; write its path after it")
    named = named or os.environ.get("INSTEP_BASKET")
    if named:
        return Path(named)
    from platformdirs import user_data_path

    return user_data_path("instep", appauthor=False) / "basket.db"


def _print_lines(lines: Any) -> None:
    for line in lines:
        _say(line)


def _print_json(value: Any) -> None:
    import json

    # In ASCII: a stranger's title may hold signs that a terminal obeys.
    _say(json.dumps(value))


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

        _say(f"instep {version('instep')}")
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


class _Parser(argparse.ArgumentParser):
    """As argparse, but what it quotes of a stranger's words is cleaned and cut short."""

    def error(self, message: str) -> NoReturn:
        from tracker.units import shorten

        super().error(shorten(message, LONGEST_MESSAGE))


def _whole(text: str) -> int:
    """A count in plain digits. Python would read 1_000 and the digits of every script as well."""
    digits = text.removeprefix("-")
    if not (digits.isascii() and digits.isdigit() and len(digits) < 10):
        raise argparse.ArgumentTypeError(f'"{text}" is no count; write a whole number like 12')
    return int(text)


def _told(text: str) -> str:
    """A word that is no file's name: where the locale lacks its letters they come as bytes of UTF-8."""
    held = any("\udc80" <= sign <= "\udcff" for sign in text)
    return os.fsencode(text).decode("utf-8", "replace") if held else text


def _sizes(text: str) -> tuple[int, ...]:
    """Sizes such as 48,56,60 by their stitches around, each once, the smallest first."""
    found = sorted({_whole(part.strip()) for part in text.split(",")})
    if len(found) > MOST_SIZES or found[0] < 1:
        raise argparse.ArgumentTypeError(
            f"sizes are stitches around, at most {MOST_SIZES} of them; write --sizes 48,56,60"
        )
    return tuple(found)


MOST_SIZES = 9
"""Sizes that one sheet has room for."""


def _word(*names: str, **settings: Any) -> _Word:
    return _Word(names, settings)


_BASKET = _word("--basket", metavar="PATH", default=argparse.SUPPRESS, help="the basket's file")
_JSON = _word("--json", action="store_true", help="for scripts")
_MORE = _word("--more", action="store_true", help="with --json: yarn, time and stage, too")
_IN_WORDS = _word("--words", action="store_true", help="then the terms it uses, in words")
_PAIR = _word("--pair", metavar="PAIR", help="its short name; else the last one touched")
_SOCK = _word("--sock", type=_whole, choices=(1, 2), help="act there, without changing socks")
_FILE = _word("file", metavar="FILE")
_SETTING = _word("name", metavar="NAME", nargs="?", help="a setting to change, like look")
_NEW_VALUE = _word("value", metavar="VALUE", nargs="?", help="its new value, like light")
_MAYBE_FILE = _word("file", metavar="FILE", nargs="?")
_OUTPUT = _word("-o", "--output", metavar="FILE", help="write the pattern file")
_PAIR_OR_FILE = _word("what", nargs="?", metavar="PAIR_OR_FILE")
_STAGE = _word("--stage", type=_whole, metavar="N", help="only what is knitted in stage N")
_SIZES = _word("--sizes", type=_sizes, metavar="N,N", help="a plan for so many stitches around")
_PRINTED = _word(
    "-o", "--output", metavar="FILE", help="FILE.md, .html or .txt; else, or with -, text"
)
_WHICH = _word("what", metavar="PAIR")
_COUNT = _word("count", nargs="?", type=_whole, default=1, metavar="N")
_NEEDLE = _word("--needle", action="store_true", help="needles, not rounds")
_ROUND = _word("round", type=_whole, metavar="ROUND")
_AT = _word("--at", type=_whole, metavar="ROUND", help="at an earlier round")
_SECTION = _word("--section", type=_told, metavar="NAME")
_LENGTH = _word("length", nargs="+", metavar="LENGTH")
_ONLY = _word("--only", action="store_true", help="for this sock alone, not for the pair")
_GOAL = _word("length", nargs="+", metavar="LENGTH", help="or: yarn, as far as that goes")
_GRAMS = _word("grams", nargs="+", metavar="GRAMS")
_COLOUR = _word("--colour", type=_told, metavar="NAME", help="the ball of this colour alone")
_ROUGH = _word("--rough", action="store_true", help="a quick reading: trust it half as far")
_FROM = _word("--from", dest="mark", choices=("cast-on", "cuff", "heel", "section"))
_HOW = _word(
    "how", choices=("right", "void", "count"),
    help="right: it counts all the same; void: leave it out; count: rounds were not counted",
)  # fmt: skip
_BY = _word("--by", type=_whole, metavar="N", help="count: so many rounds; else as it says")
_BACK_TO = _word("round", nargs="?", metavar="ROUND", help="the last one left, or: lifeline")
_IS_LONG = _word(
    "--length", metavar="LENGTH", help="how long it is now, where the count never changes"
)
_LAST_COLOUR = _word(
    "--colour",
    type=_told,
    metavar="NAME",
    help="of the last round, like navy, or navy 5 in its stripe",
)
_CHART = _word(
    "--chart",
    type=_whole,
    metavar="N",
    help="the last round was row N of the repeat, or of the chart",
)
_TAIL = _word(
    "--tail", type=_whole, metavar="N",
    help="needles between the tail and the yarn; 0: it hangs where the two working needles meet",
)  # fmt: skip
_ABOVE_PIN = _word("--pin", type=_whole, metavar="N", help="rounds above the pin that is moved up")
_STITCHES = _word(
    "stitches",
    nargs="?",
    default="",
    metavar="STITCHES",
    help="like 21/16/16/21, 74 in all, or ok",
)
_PLAIN = _word("--plain", action="store_true", help="the last round done was a plain one")
_IN_LINES = _word(
    "--plain", action="store_true", help="in lines, for who listens: a sentence after each key"
)
_SHAPED = _word("--shaped", action="store_true", help="it was not")
_CHANGE = _word(
    "kind", metavar="KIND",
    help="skipped-decrease, extra-decrease, needle MM, set NAME, colour NAME, picked-up A/B, other TEXT",
)  # fmt: skip
_VALUE = _word("value", type=_told, nargs="*", metavar="VALUE")
_ROW = _word("--row", type=_whole, metavar="N", help="of the section in hand")
_COPY = _word("--copy", choices=("yes", "no"), help="whether the other sock repeats it; else yes")
_LATE = _word("--late", type=_whole, metavar="N", help="the change of stripe came N rounds late")
_STAY = _word("--stay", action="store_true", help="the later stripes stay where they were")
_BALL = _word("--ball", action="store_true", help="a colour: where the ball stood at the cast-on")
_NUMBER = _word("number", type=_whole, metavar="NUMBER", help="that of a change, by the history")
_REPEAT = _word("repeat", choices=("yes", "no"))
_TEXT = _word("text", type=_told, nargs="+", metavar="TEXT")
_INSIDE = _word(
    "--inside", type=_whole, nargs="?", const=0, metavar="N",
    help="you stop inside a needle, after N stitches of it where you know",
)  # fmt: skip
_MAYBE_TEXT = _word("text", type=_told, nargs="*", metavar="TEXT", help="what its stitches hang on")
_KIND = _word("--kind", metavar="KIND", help="only tick, measure, rip ...")
_MARKS = _word(
    "--marks", action="store_true", help="the lifelines, pins and notes in it, by their rounds"
)
_OF_SOCK = _word("--sock", type=_whole, choices=(1, 2), help="only what was on this one")
_OFF = _word(
    "--by",
    type=_whole,
    metavar="N",
    help="so many come off; 0: what is worked of the round in hand",
)
_STITCHES_OFF = _word("--stitches", type=_whole, metavar="N", help="so many stitches, one by one")
_MAYBE_ROUND = _word("round", nargs="?", type=_whole, metavar="ROUND")
_ORDER = _word(
    "order", nargs="+", metavar="ORDER",
    help='one, then the other; section by section; every 10 rounds; together',
)  # fmt: skip
_OTHER = _word("--sock", type=_whole, choices=(1, 2), help="change to this one")
_OVER = _word(
    "--over", type=_whole, nargs="?", const=1, metavar="N",
    help="the last tick, or the last N, belong to the other sock, or to --sock: counted there instead",
)  # fmt: skip
_LOOK_AT = _word("--sock", type=_whole, choices=(1, 2), help="answer with the place of this one")
"""Taking back and bringing back are the pair's, whichever sock it was on."""
_NEW_FILE = _word(
    "file", metavar="FILE", help="like night-ferry.pack; an older pack of it is replaced"
)
_FOR_TEACHER = _word(
    "--for-teacher", action="store_true",
    help="without clock times and pace, and without words of your own but questions: no notes, no words of a"
    " change, no names of your own for a colour, nothing of what a sock rests on, no lot of the yarn, and no"
    " remarks in a pattern file",
)  # fmt: skip
_PACKS = _word("files", nargs="+", metavar="FILE_OR_FOLDER")
_BY_NAME = _word("--by", choices=("name",), help="by name, not by who waits for what")
_SOUND_PART = _word(
    "--sound-part", action="store_true", help="of a damaged pack what is sound, from the beginning"
)
_OF_PAIR = (_JSON, _PAIR)
_ACTS = (*_OF_PAIR, _SOCK)

COMMANDS: dict[str, _Command] = {
    "knit": _Command(_knit, "a pair at the needles, or the basket", (_PAIR_OR_FILE, _IN_LINES)),
    "plan": _Command(
        _plan, "compute a plan and write the pattern", (_FILE, _OUTPUT, _IN_WORDS, _JSON)
    ),
    "write": _Command(
        _write, "to print: as planned, or as made", (_PAIR_OR_FILE, _STAGE, _SIZES, _PRINTED)
    ),
    "check": _Command(_check, "knit a plan or a pattern stitch by stitch", (_MAYBE_FILE, _JSON)),
    "mend": _Command(_mend, "save what is sound of a damaged basket", (_JSON,)),
    "start": _Command(_start, "a new pair, without opening the screens", (_FILE,)),
    "basket": _Command(_basket_list, "the pairs in the basket", (_JSON,)),
    "away": _Command(_away, "put a pair away", (_WHICH,)),
    "back": _Command(_back, "bring it out", (_WHICH,)),
    "left": _Command(_left, "the quick check: where, what next, how far", (_MORE, *_ACTS)),
    "tick": _Command(_tick, "rounds or needles done", (_COUNT, _NEEDLE, *_ACTS)),
    "end": _Command(_end, "the open section ends", (_AT, *_ACTS)),
    "at": _Command(_at, "ROUND is the last one done", (_ROUND, _SECTION, *_ACTS)),
    "count": _Command(
        _count,
        "stitches found: checks them, or says where she may be",
        (_STITCHES, _PLAIN, _SHAPED, _IS_LONG, _LAST_COLOUR, _ABOVE_PIN, _CHART, _TAIL, *_ACTS),
    ),
    "changed": _Command(
        _changed,
        "something is otherwise than planned",
        (_CHANGE, _VALUE, _ROW, _COPY, _LATE, _STAY, _BALL, *_ACTS),
    ),
    "copy": _Command(
        _copy, "whether the other sock repeats a change", (_NUMBER, _REPEAT, *_OF_PAIR, _LOOK_AT)
    ),
    "note": _Command(_note, "words at the round just done", (_TEXT, *_ACTS)),
    "rest": _Command(_rest, "a sock is laid to rest", (_MAYBE_TEXT, _INSIDE, *_ACTS)),
    "history": _Command(_history, "what happened", (*_OF_PAIR, _OF_SOCK, _KIND, _MARKS)),
    "rip": _Command(
        _rip,
        "ripped back: ROUND is the last on the needles",
        (_BACK_TO, _OFF, _STITCHES_OFF, _SECTION, *_ACTS),
    ),
    "lifeline": _Command(
        _lifeline,
        "a lifeline lies in the last round, or in ROUND",
        (_MAYBE_ROUND, _SECTION, *_ACTS),
    ),
    "restart": _Command(_restart, "the sock is begun again", _ACTS),
    "measure": _Command(_measure, "a tape reading", (_LENGTH, _ROUGH, _FROM, _MORE, *_ACTS)),
    "answer": _Command(_answer, "what to do with a reading that does not fit", (_HOW, _BY, *_ACTS)),
    "target": _Command(
        _target,
        "the goal of the open section, or of one to come",
        (_GOAL, _SECTION, _ONLY, *_ACTS),
    ),
    "weigh": _Command(
        _weigh, "the yarn that is left, on the scale", (_GRAMS, _COLOUR, _MORE, *_ACTS)
    ),
    "other": _Command(_other, "change to the other sock", (_OVER, *_OF_PAIR, _OTHER)),
    "order": _Command(
        _order, "the order in which both socks are worked", (_ORDER, *_OF_PAIR, _LOOK_AT)
    ),
    "undo": _Command(_undo, "take the last act back", (*_OF_PAIR, _LOOK_AT)),
    "redo": _Command(_redo, "bring it back", (*_OF_PAIR, _LOOK_AT)),
    "append": _Command(
        _append, "the next stage's sections are joined to the pair", (_FILE, *_OF_PAIR, _LOOK_AT)
    ),
    "replan": _Command(
        _replan, "a new pattern for what is not knitted yet", (_FILE, *_OF_PAIR, _LOOK_AT)
    ),
    "pack": _Command(_pack, "a whole pair into a file", (_WHICH, _NEW_FILE, _FOR_TEACHER)),
    "unpack": _Command(_unpack, "the pair of a pack into the basket", (_FILE, _SOUND_PART, _JSON)),
    "circle": _Command(_circle, "packs of many knitters, one line each", (_PACKS, _BY_NAME, _JSON)),
    "samples": _Command(_samples, "the samples that come with it", (_JSON,)),
    "where": _Command(_where, "where things are kept", (_JSON,)),
    "settings": _Command(
        _settings, "what is set for every pair: looks, bell, keys", (_SETTING, _NEW_VALUE, _JSON)
    ),
}


def _parser(wanted: str | None) -> argparse.ArgumentParser:
    """The words of one command, or of all: they cost more than a quick check should wait for."""
    parser = _Parser(
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
        added.set_defaults(run=command.run, refuse=added.error)
        for word in (*command.words, _BASKET):
            added.add_argument(*word.names, **word.settings)
    return parser
