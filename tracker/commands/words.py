"""The words that the commands take, and how counts, texts and sizes among them are read."""

from __future__ import annotations

import argparse
import os
from typing import Any

from tracker.records import NamedTuple


class Word(NamedTuple):
    """One argument of a command: its names, and what argparse is to know of it."""

    names: tuple[str, ...]
    settings: dict[str, Any]


def whole(text: str) -> int:
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
    found = sorted({whole(part.strip()) for part in text.split(",")})
    if len(found) > MOST_SIZES or found[0] < 1:
        raise argparse.ArgumentTypeError(
            f"sizes are stitches around, at most {MOST_SIZES} of them; write --sizes 48,56,60"
        )
    return tuple(found)


MOST_SIZES = 9
"""Sizes that one sheet has room for."""


def _word(*names: str, **settings: Any) -> Word:
    return Word(names, settings)


BASKET = _word("--basket", metavar="PATH", default=argparse.SUPPRESS, help="the basket's file")
JSON = _word("--json", action="store_true", help="for scripts")
MORE = _word("--more", action="store_true", help="with --json: yarn, time and stage, too")
IN_WORDS = _word("--words", action="store_true", help="then the terms it uses, in words")
_PAIR = _word("--pair", metavar="PAIR", help="its short name; else the last one touched")
_SOCK = _word("--sock", type=whole, choices=(1, 2), help="act there, without changing socks")
FILE = _word("file", metavar="FILE", help="-: what is piped in")
SETTING = _word("name", metavar="NAME", nargs="?", help="a setting to change, like look")
NEW_VALUE = _word("value", metavar="VALUE", nargs="?", help="its new value, like light")
MAYBE_FILE = _word("file", metavar="FILE", nargs="?", help="-: what is piped in")
OUTPUT = _word("-o", "--output", metavar="FILE", help="write the pattern file; -: here")
PORT = _word("--port", type=whole, metavar="N", help="else 8642")
ADDRESS = _word(
    "--address",
    metavar="ADDRESS",
    help="this machine's own in your network; else none but this machine can open it",
)
SHELL = _word("shell", choices=("bash", "zsh", "fish"))
PAIR_OR_FILE = _word("what", nargs="?", metavar="PAIR_OR_FILE")
STAGE = _word("--stage", type=whole, metavar="N", help="only what is knitted in stage N")
SIZES = _word("--sizes", type=_sizes, metavar="N,N", help="a plan for so many stitches around")
PRINTED = _word(
    "-o", "--output", metavar="FILE", help="FILE.md, .html or .txt; else, or with -, text"
)
WHICH = _word("what", metavar="PAIR")
COUNT = _word("count", nargs="?", type=whole, default=1, metavar="N")
NEEDLE = _word("--needle", action="store_true", help="needles, not rounds")
ROUND = _word("round", type=whole, metavar="ROUND")
AT = _word("--at", type=whole, metavar="ROUND", help="at an earlier round")
SECTION = _word("--section", type=_told, metavar="NAME")
LENGTH = _word("length", nargs="+", metavar="LENGTH")
ONLY = _word("--only", action="store_true", help="for this sock alone, not for the pair")
GOAL = _word("length", nargs="+", metavar="LENGTH", help="or: yarn, as far as that goes")
GRAMS = _word("grams", nargs="+", metavar="GRAMS")
COLOUR = _word("--colour", type=_told, metavar="NAME", help="the ball of this colour alone")
ROUGH = _word("--rough", action="store_true", help="a quick reading: trust it half as far")
FROM = _word("--from", dest="mark", choices=("cast-on", "cuff", "heel", "section"))
HOW = _word(
    "how", choices=("right", "void", "count"),
    help="right: it counts all the same; void: leave it out; count: rounds were not counted",
)  # fmt: skip
BY = _word("--by", type=whole, metavar="N", help="count: so many rounds; else as it says")
BACK_TO = _word("round", nargs="?", metavar="ROUND", help="the last one left, or: lifeline")
IS_LONG = _word(
    "--length", metavar="LENGTH", help="how long it is now, where the count never changes"
)
LAST_COLOUR = _word(
    "--colour",
    type=_told,
    metavar="NAME",
    help="of the last round, like navy, or navy 5 in its stripe",
)
CHART = _word(
    "--chart",
    type=whole,
    metavar="N",
    help="the last round was row N of the repeat, or of the chart",
)
TAIL = _word(
    "--tail", type=whole, metavar="N",
    help="needles between the tail and the yarn; 0: it hangs where the two working needles meet",
)  # fmt: skip
ABOVE_PIN = _word("--pin", type=whole, metavar="N", help="rounds above the pin that is moved up")
STITCHES = _word(
    "stitches",
    nargs="?",
    default="",
    metavar="STITCHES",
    help="like 21/16/16/21, 74 in all, or ok",
)
PLAIN = _word("--plain", action="store_true", help="the last round done was a plain one")
IN_LINES = _word(
    "--plain", action="store_true", help="in lines, for who listens: a sentence after each key"
)
SHAPED = _word("--shaped", action="store_true", help="it was not")
CHANGE = _word(
    "kind", metavar="KIND",
    help="skipped-decrease, extra-decrease, needle MM, set NAME, colour NAME, picked-up A/B, other TEXT",
)  # fmt: skip
VALUE = _word("value", type=_told, nargs="*", metavar="VALUE")
ROW = _word("--row", type=whole, metavar="N", help="of the section in hand")
COPY = _word("--copy", choices=("yes", "no"), help="whether the other sock repeats it; else yes")
LATE = _word("--late", type=whole, metavar="N", help="the change of stripe came N rounds late")
STAY = _word("--stay", action="store_true", help="the later stripes stay where they were")
BALL = _word("--ball", action="store_true", help="a colour: where the ball stood at the cast-on")
NUMBER = _word("number", type=whole, metavar="NUMBER", help="that of a change, by the history")
REPEAT = _word("repeat", choices=("yes", "no"))
TEXT = _word("text", type=_told, nargs="+", metavar="TEXT")
INSIDE = _word(
    "--inside", type=whole, nargs="?", const=0, metavar="N",
    help="you stop inside a needle, after N stitches of it where you know",
)  # fmt: skip
MAYBE_TEXT = _word("text", type=_told, nargs="*", metavar="TEXT", help="what its stitches hang on")
KIND = _word("--kind", metavar="KIND", help="only tick, measure, rip ...")
MARKS = _word(
    "--marks", action="store_true", help="the lifelines, pins and notes in it, by their rounds"
)
OF_SOCK = _word("--sock", type=whole, choices=(1, 2), help="only what was on this one")
OFF = _word(
    "--by",
    type=whole,
    metavar="N",
    help="so many come off; 0: what is worked of the round in hand",
)
STITCHES_OFF = _word("--stitches", type=whole, metavar="N", help="so many stitches, one by one")
MAYBE_ROUND = _word("round", nargs="?", type=whole, metavar="ROUND")
ORDER = _word(
    "order", nargs="+", metavar="ORDER",
    help='one, then the other; section by section; every 10 rounds; together',
)  # fmt: skip
OTHER = _word("--sock", type=whole, choices=(1, 2), help="change to this one")
OVER = _word(
    "--over", type=whole, nargs="?", const=1, metavar="N",
    help="the last tick, or the last N, belong to the other sock, or to --sock: counted there instead",
)  # fmt: skip
LOOK_AT = _word("--sock", type=whole, choices=(1, 2), help="answer with the place of this one")
"""Taking back and bringing back are the pair's, whichever sock it was on."""
NEW_FILE = _word(
    "file", metavar="FILE", help="like night-ferry.pack; an older pack of it is replaced; -: here"
)
FOR_TEACHER = _word(
    "--for-teacher", action="store_true",
    help="without clock times and pace, and without words of your own but questions: no notes, no words of a"
    " change, no names of your own for a colour, nothing of what a sock rests on, no lot of the yarn, and no"
    " remarks in a pattern file",
)  # fmt: skip
PACKS = _word("files", nargs="+", metavar="FILE_OR_FOLDER")
BY_NAME = _word("--by", choices=("name",), help="by name, not by who waits for what")
SOUND_PART = _word(
    "--sound-part", action="store_true", help="of a damaged pack what is sound, from the beginning"
)
OF_PAIR = (JSON, _PAIR)
ACTS = (*OF_PAIR, _SOCK)
