"""From a plan or a pair to what is written: the pattern file, the pattern in words, the printed sheet."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.commands.opening import (
    is_there,
    named_as_a_file,
    open_and_tell,
    opened_basket,
    session_of,
)
from tracker.commands.speaking import Wrong, print_json, print_lines, print_text, say

if TYPE_CHECKING:
    from tracker.printing.sheet import Sheet
    from tracker.storage.basket import Basket


def plan(options: argparse.Namespace) -> int:
    """`instep plan`: compute a plan and write the pattern. Returns the exit code."""
    from tracker import plan_report

    if options.output == "-" and options.json:
        raise Wrong("--json and -o - both write here; leave one of them out")
    opened = open_and_tell(options.file)
    if options.output == "-":
        print_text(opened.pattern.text)
    elif options.output:
        _write_out(options.output, opened.pattern.text, options.file, told=not options.json)
    if options.json:
        print_json(plan_report.plan_json(opened.pattern))
    elif not options.output:
        print_lines(plan_report.written(opened.pattern))
        if options.words:
            print_lines(plan_report.words_of(opened.pattern))
    return 0


def _write_out(output: str, text: str, made_from: str, *, told: bool) -> None:
    from tracker.storage.files import shown, write_file

    write_file(output, text, instead_of=made_from)
    if told:
        say(f"Written: {shown(output)}")


def write(options: argparse.Namespace) -> int:
    """`instep write`: to print: as planned, or as made. Returns the exit code."""
    from tracker.printing.forms import FORMS
    from tracker.printing.stage import NoStage

    output = options.output or "-"
    ending = ".txt" if output == "-" else Path(output).suffix.lower()
    if ending not in FORMS:
        raise Wrong(_no_form(output))
    try:
        sheet, made_from = _sheet(options)
    except NoStage as none:
        raise Wrong(str(none)) from None
    text = FORMS[ending](sheet)
    if output == "-":
        print_lines(text.splitlines())
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
    if what is None or not named_as_a_file(what):
        with opened_basket(options) as basket:
            try:
                return _sheet_of_pair(basket, what, options.stage), str(basket.path)
            except NoPair as trouble:
                if what is None or not is_there(what):
                    raise Wrong(_no_pair_or_file(what, str(trouble))) from None
    opened = open_and_tell(what)
    return planned(opened.pattern, opened.document, opened.notes, options.stage), what


def _sheet_of_sizes(what: str | None, sizes: Sequence[int], stage: int | None) -> Sheet:
    from tracker.printing.sized import Size, sized
    from tracker.storage.sizes_file import open_sizes

    if what is None or not (named_as_a_file(what) or is_there(what)):
        raise Wrong("a pair has one size; name its plan file for several")
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

    session = session_of(basket, what)
    today = day_of(*session.now())
    return made(Pair(session.course, session.state, session.past(), session.document, today), stage)
