"""The table of the commands: what each is for, the words it takes, how it is written, and where it runs."""

from __future__ import annotations

import argparse
from importlib import import_module

from tracker.commands import words
from tracker.commands.words import ACTS, JSON, LOOK_AT, OF_PAIR, Word
from tracker.records import NamedTuple


class Command(NamedTuple):
    """A command: the file and the function that run it, its help in a line, its words, examples of it.

    The file is imported when the command runs: the others are not waited for.
    """

    file: str
    function: str
    about: str
    words: tuple[Word, ...] = ()
    examples: tuple[str, ...] = ()

    def run(self, options: argparse.Namespace) -> int:
        """Run it, and return its exit code."""
        function = getattr(import_module(f"tracker.commands.{self.file}"), self.function)
        code: int = function(options)
        return code


COMMANDS: dict[str, Command] = {
    "knit": Command(
        "at_needles", "knit", "a pair at the needles, or the basket",
        (words.PAIR_OR_FILE, words.IN_LINES),
        ("instep", "instep my-socks.toml", "instep knit night-ferry", "instep knit --plain"),
    ),
    "plan": Command(
        "paper", "plan", "compute a plan and write the pattern",
        (words.FILE, words.OUTPUT, words.IN_WORDS, JSON),
        ("instep plan my-socks.toml", "instep plan my-socks.toml -o pattern.toml",
         "instep plan my-socks.toml --json"),
    ),
    "write": Command(
        "paper", "write", "to print: as planned, or as made",
        (words.PAIR_OR_FILE, words.STAGE, words.SIZES, words.PRINTED),
        ("instep write night-ferry", "instep write my-socks.toml -o my-socks.html",
         "instep write class.toml --stage 1 --sizes 48,56,60"),
    ),
    "check": Command(
        "care", "check", "knit a plan or a pattern stitch by stitch", (words.MAYBE_FILE, JSON),
        ("instep check my-socks.toml", "instep check"),
    ),
    "mend": Command(
        "care", "mend", "save what is sound of a damaged basket", (JSON,), ("instep mend",)
    ),
    "start": Command(
        "baskets", "start", "a new pair, without opening the screens", (words.FILE,),
        ("instep start my-socks.toml",),
    ),
    "basket": Command(
        "baskets", "basket_list", "the pairs in the basket", (JSON,), ("instep basket",)
    ),
    "away": Command(
        "baskets", "away", "put a pair away", (words.WHICH,), ("instep away night-ferry",)
    ),
    "back": Command(
        "baskets", "back", "bring it out", (words.WHICH,), ("instep back night-ferry",)
    ),
    "left": Command(
        "left", "left", "the quick check: where, what next, how far", (words.MORE, *ACTS),
        ("instep left", "instep left --sock 2", "instep left --json --more"),
    ),
    "tick": Command(
        "acts", "tick", "rounds or needles done", (words.COUNT, words.NEEDLE, *ACTS),
        ("instep tick", "instep tick 3", "instep tick --needle"),
    ),
    "end": Command(
        "acts", "end_section", "the open section ends", (words.AT, *ACTS),
        ("instep end", "instep end --at 46"),
    ),
    "at": Command(
        "acts", "at_round", "ROUND is the last one done", (words.ROUND, words.SECTION, *ACTS),
        ("instep at 31",),
    ),
    "count": Command(
        "acts", "count_stitches", "stitches found: checks them, or says where she may be",
        (words.STITCHES, words.PLAIN, words.SHAPED, words.IS_LONG, words.LAST_COLOUR, words.ABOVE_PIN,
         words.CHART, words.TAIL, *ACTS),
        ("instep count 21/16/16/21", "instep count 74 --plain", "instep count --pin 3",
         'instep count --length "11.4 cm"'),
    ),
    "changed": Command(
        "acts", "changed", "something is otherwise than planned",
        (words.CHANGE, words.VALUE, words.ROW, words.COPY, words.LATE, words.STAY, words.BALL, *ACTS),
        ("instep changed skipped-decrease --row 9", "instep changed needle 2.25",
         'instep changed colour "cream 2" --copy no'),
    ),
    "copy": Command(
        "acts", "copy_change", "whether the other sock repeats a change",
        (words.NUMBER, words.REPEAT, *OF_PAIR, LOOK_AT), ("instep copy 12 no",),
    ),
    "note": Command(
        "acts", "note", "words at the round just done", (words.TEXT, *ACTS),
        ("instep note left the darning needle in the tin", 'instep note "? is this the right side"'),
    ),
    "rest": Command(
        "acts", "rest", "a sock is laid to rest", (words.MAYBE_TEXT, words.INSIDE, *ACTS),
        ("instep rest waste yarn", "instep rest --inside 7"),
    ),
    "history": Command(
        "past", "history", "what happened", (*OF_PAIR, words.OF_SOCK, words.KIND, words.MARKS),
        ("instep history", "instep history --kind measure --sock 1", "instep history --marks"),
    ),
    "rip": Command(
        "acts", "rip", "ripped back: ROUND is the last on the needles",
        (words.BACK_TO, words.OFF, words.STITCHES_OFF, words.SECTION, *ACTS),
        ("instep rip 40", "instep rip --by 12", "instep rip lifeline"),
    ),
    "lifeline": Command(
        "acts", "lifeline", "a lifeline lies in the last round, or in ROUND",
        (words.MAYBE_ROUND, words.SECTION, *ACTS), ("instep lifeline", "instep lifeline 40"),
    ),
    "restart": Command(
        "acts", "restart", "the sock is begun again", ACTS, ("instep restart --sock 2",)
    ),
    "measure": Command(
        "acts", "measure", "a tape reading",
        (words.LENGTH, words.ROUGH, words.FROM, words.MORE, *ACTS),
        ("instep measure 11.4 cm", "instep measure 4 1/2 in --rough", "instep measure 6 cm --from heel"),
    ),
    "answer": Command(
        "acts", "answer", "what to do with a reading that does not fit",
        (words.HOW, words.BY, *ACTS), ("instep answer void", "instep answer count --by 5"),
    ),
    "target": Command(
        "acts", "target", "the goal of the open section, or of one to come",
        (words.GOAL, words.SECTION, words.ONLY, *ACTS),
        ("instep target 14.5 cm", "instep target 22 cm --section foot", "instep target yarn"),
    ),
    "weigh": Command(
        "acts", "weigh", "the yarn that is left, on the scale",
        (words.GRAMS, words.COLOUR, words.MORE, *ACTS),
        ("instep weigh 85 g", "instep weigh 45 --colour navy"),
    ),
    "other": Command(
        "acts", "other", "change to the other sock", (words.OVER, *OF_PAIR, words.OTHER),
        ("instep other", "instep other --over 3"),
    ),
    "order": Command(
        "acts", "order_of_work", "the order in which both socks are worked",
        (words.ORDER, *OF_PAIR, LOOK_AT),
        ("instep order section by section", "instep order every 10 rounds"),
    ),
    "undo": Command(
        "acts", "undo", "take the last act back", (*OF_PAIR, LOOK_AT), ("instep undo",)
    ),
    "redo": Command("acts", "redo", "bring it back", (*OF_PAIR, LOOK_AT), ("instep redo",)),
    "append": Command(
        "acts", "append", "the next stage's sections are joined to the pair",
        (words.FILE, *OF_PAIR, LOOK_AT), ("instep append stage-two.toml",),
    ),
    "replan": Command(
        "acts", "replan", "a new pattern for what is not knitted yet",
        (words.FILE, *OF_PAIR, LOOK_AT), ("instep replan longer-leg.toml",),
    ),
    "serve": Command(
        "serving", "serve", "the same screens in a browser, on a tablet beside the chair",
        (words.PAIR_OR_FILE, words.PORT, words.ADDRESS),
        ("instep serve", "instep serve night-ferry --port 9000",
         "instep serve --address 192.168.1.20"),
    ),
    "pack": Command(
        "packs", "pack", "a whole pair into a file",
        (words.WHICH, words.NEW_FILE, words.FOR_TEACHER),
        ("instep pack night-ferry night-ferry.pack",
         "instep pack night-ferry for-thursday.pack --for-teacher"),
    ),
    "unpack": Command(
        "packs", "unpack", "the pair of a pack into the basket",
        (words.FILE, words.SOUND_PART, JSON),
        ("instep unpack night-ferry.pack", "instep unpack - < night-ferry.pack"),
    ),
    "circle": Command(
        "packs", "circle", "packs of many knitters, one line each",
        (words.PACKS, words.BY_NAME, JSON), ("instep circle class/", "instep circle *.pack --by name"),
    ),
    "samples": Command(
        "care", "samples", "the samples that come with it", (JSON,), ("instep samples",)
    ),
    "where": Command("care", "where", "where things are kept", (JSON,), ("instep where",)),
    "completion": Command(
        "completing", "completion", "what your shell reads to complete commands and names",
        (words.SHELL,),
        ('eval "$(instep completion bash)"',
         "instep completion fish > ~/.config/fish/completions/instep.fish"),
    ),
    "settings": Command(
        "care", "settings", "what is set for every pair: looks, bell, keys",
        (words.SETTING, words.NEW_VALUE, JSON), ("instep settings", "instep settings look light"),
    ),
}  # fmt: skip
"""In the order in which help names them."""
