"""What comes of a sentence with its blanks filled in: a pattern, or what will not work, said at its blank."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tracker.records import NamedTuple
from tracker.storage.files import Fault, FileTrouble, Source
from tracker.storage.filled import filled
from tracker.storage.pattern_file import Opened, open_source
from tracker.storage.plan_file import LeftOpen
from tracker.ui.blanks import Blank, Filling, shown_as
from tracker.units import round_half_up, shorten


class Outcome(NamedTuple):
    """The pattern that a filling computes to, or its faults; `text` is that of the plan file.

    `last` is the last pattern there was: its numbers stand until there are new ones.
    """

    text: str = ""
    opened: Opened | None = None
    faults: tuple[Fault, ...] = ()
    last: Opened | None = None


NOTHING_YET = Outcome()


def work_out(filling: Filling, before: Outcome = NOTHING_YET) -> Outcome:
    """Compute the plan as it stands, by the reader and the rules of plan files."""
    # The numbers need no name; the pair cannot be started before it has one.
    text = filled(filling.text, {"title": "?", **filling.document()})
    if text == before.text:
        return before
    try:
        opened = open_source(Source(filling.file, text.encode(), text))
    except LeftOpen:
        return Outcome(text, None, (), before.last)
    except FileTrouble as trouble:
        faults = tuple(fault for fault in trouble.faults if not _is_open(filling, fault))
        return Outcome(text, None, faults, before.last)
    return Outcome(text, opened, (), opened)


def _is_open(filling: Filling, fault: Fault) -> bool:
    """Whether it says no more than that a blank is empty."""
    at = filling.at_place(fault.field)
    return at is not None and not filling.texts[at].strip()


class Finding(NamedTuple):
    """Something said beside the sentence.

    `sign` is "" for what to write into the blank at work, ":" for what is wrong there, "!" for what keeps
    the pair from being started, "?" for what she should know, "=" for what agrees.
    """

    sign: str
    text: str


def at_work(filling: Filling, outcome: Outcome) -> Finding:
    """What to write into the blank at work, or what is wrong there; quiet, for she is still at it."""
    blank = filling.blank
    if blank is None:
        return _at_last_word(filling, outcome)
    for fault in outcome.faults:
        if filling.at_place(fault.field) == filling.at:
            return Finding(":", _of_blank(filling, blank, fault))
    return Finding("", _asked(filling, blank))


def _at_last_word(filling: Filling, outcome: Outcome) -> Finding:
    if filling.open():
        return Finding(":", f"not yet: {_still_open(filling)}")
    if outcome.opened is not None:
        return Finding("", f"enter keeps the plan in {filling.file} and starts the pair")
    why = next((finding.text for finding in beside(filling, outcome)), "")
    return Finding(":", f"not yet: {why}")


def _asked(filling: Filling, blank: Blank) -> str:
    if blank.place == "leg.repeat" and filling.named_repeats:
        names = " / ".join(shorten(repeat.title) for repeat in filling.named_repeats)
        return f"{blank.hint}; or the name of a sample, whose rows they are then: {names}"
    if blank.kind != "choice":
        return blank.hint
    choices = " / ".join(shown_as(blank.place, choice) for choice in blank.choices)
    return f"left and right choose: {choices}"


def _still_open(filling: Filling) -> str:
    return f"still open: {', '.join(filling.blanks[at].name for at in filling.open())}"


def beside(filling: Filling, outcome: Outcome) -> Iterator[Finding]:
    """What else is wrong, what she should know, and what agrees."""
    for fault in outcome.faults:
        at = filling.at_place(fault.field)
        if at is None:
            where = f"{fault.field}: " if fault.field else ""
            yield Finding("!", f"{where}{in_words(filling, fault.why)}")
        elif at != filling.at:
            yield Finding("!", _of_blank(filling, filling.blanks[at], fault))
    if outcome.opened is not None:
        yield from (Finding("?", in_words(filling, note)) for note in outcome.opened.notes)
        yield from _agrees(outcome.opened)


def _agrees(opened: Opened) -> Iterator[Finding]:
    pattern = opened.pattern
    if (gauge := pattern.gauge) is not None and gauge.stitches:
        ratio = round_half_up(gauge.rows / gauge.stitches, 1)
        if 1.1 <= gauge.rows / gauge.stitches <= 1.7:
            yield Finding("=", f"{ratio:g} rounds to a stitch: usual for socks")
    ease = pattern.numbers.effective_ease
    if ease is not None:
        how = "smaller" if ease >= 0 else "larger"
        yield Finding("=", f"{abs(round_half_up(ease * 100, 1)):g} % {how} than the foot")


def _of_blank(filling: Filling, blank: Blank, fault: Fault) -> str:
    """A fault in the words of the sentence: without the names that a file gives its fields."""
    field = fault.field.rpartition(".")[2]
    why = re.sub(rf"\b(?<!\.)(?:{re.escape(field)}|length|shoe) = ", "", fault.why)
    return f"{blank.name}: {in_words(filling, why)}"


def in_words(filling: Filling, text: str) -> str:
    """A message about a plan with its blanks by their names: "62 for the stitches around"."""

    def asked(found: re.Match[str]) -> str:
        at = filling.at_place(found[1])
        if at is None:
            return found[0]
        name, given = filling.blanks[at].name, (found[2] or "").strip('"')
        if not given:
            return name
        rounds = " rounds" if found[1].endswith(".rounds") else ""
        return f"{shown_as(found[1], given)}{rounds} for {name}"

    return _FIELD.sub(asked, text)


_FIELD = re.compile(r'\b([a-z]+\.[a-z_]+)\b(?: = ("[^"]*"|\d+(?:\.\d+)?))?')
"""A field of a plan as a message names it, alone or with what to write."""


def wrong(filling: Filling, outcome: Outcome) -> frozenset[int]:
    """The blanks at fault."""
    places = (filling.at_place(fault.field) for fault in outcome.faults)
    return frozenset(at for at in places if at is not None)


def first_to_mend(filling: Filling, outcome: Outcome) -> int | None:
    """The first blank that keeps the pair from being started; None where no blank does."""
    return min([*filling.open(), *wrong(filling, outcome)], default=None)
