"""The round to try: what it asks for, one key after the other, and how far she is in it."""

from __future__ import annotations

from collections.abc import Mapping

from tracker.records import NamedTuple

BEGINS_AT = 12
"""Rounds of the leg that are done on the practice pair when it begins."""


class Step(NamedTuple):
    """What she is to press: the act it does, and how that is said, the longer way first.

    `{tick}` and the like are the keys in force, `{length}` is a reading as the tape would give it.
    """

    act: str
    told: str
    brief: str


STEPS = (
    Step(
        "tick",
        "A pair to try; nothing of it is kept. You knit a round of the leg, and at its end press {tick}.",
        "To try: at the round's end press {tick}.",
    ),
    Step(
        "tick",
        "The band turned over: there is the marker. It asks for nothing: knit on, and {tick} when the next "
        "round ends.",
        "The band turned: a round ended. {tick} again.",
    ),
    Step(
        "undo",
        "Once too often? {undo} takes the last act back, and says which. All of them, if you like.",
        "Once too often? {undo} takes it back.",
    ),
    Step(
        "counting",
        "You may count needle by needle instead: press {counting}.",
        "Needle by needle: {counting}.",
    ),
    Step(
        "tick",
        "The next round begins with N1, on the right among your needles. At its end press {tick}.",
        "At the needle's end {tick}.",
    ),
    Step(
        "measure",
        "Lay it flat, measure from the cast-on edge, and type what the tape says: {length} {measure}.",
        "Measured? Type {length} {measure}.",
    ),
    Step(
        "count",
        "That taught it how many rounds are left. Now count your stitches: {count} says that all are there.",
        "It learned from that. Counted? {count}.",
    ),
    Step(
        "help",
        "What every key does, and at the end of that the row at hand in words: {help}. Any key goes back.",
        "All keys, the row in words: {help}.",
    ),
    Step(
        "basket",
        "That is all it takes. {basket} goes to the basket, where {new} begins a pair of your own.",
        "That is all. {basket} leaves.",
    ),
)
"""All that is asked for, in order; the last one leaves."""


class Guide(NamedTuple):
    """How far she is: the steps that are done."""

    done: int = 0

    @property
    def step(self) -> Step:
        """What is asked for now."""
        return STEPS[self.done]

    def after(self, act: str) -> Guide:
        """The guide after an act was done: on where it was the one asked for, else as it was."""
        if act == self.step.act and self.done + 1 < len(STEPS):
            return Guide(self.done + 1)
        return self

    def told(self, keys: Mapping[str, str]) -> tuple[str, str]:
        """What is said, and the same in few words; `keys` are those in force, and the `length`."""
        place = f"{self.done + 1} of {len(STEPS)}"
        long, brief = (text.format_map(keys) for text in (self.step.told, self.step.brief))
        leaves = " esc leaves this." if not self.done else ""
        return f"{place}: {long}{leaves}", f"{place}: {brief}"
