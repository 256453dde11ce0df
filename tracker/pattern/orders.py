"""Orders of work: in which order the rounds of both socks are knitted. Common practice, no source."""

from __future__ import annotations

import re
from typing import Literal

from tracker.records import NamedTuple
from tracker.units import shorten

OrderKind = Literal["one", "sections", "together", "every"]

MOST_EVERY = 500
"""Rounds after which socks are changed, at the most."""


class BadOrder(ValueError):
    """What is no order of work: one line, and what to write instead."""


class Order(NamedTuple):
    """An order of work; `rounds` are those after which the socks are changed, of the kind "every"."""

    kind: OrderKind = "one"
    rounds: int = 0

    @property
    def told(self) -> str:
        """As it is written: "section by section", "every 10 rounds"."""
        return f"every {self.rounds} rounds" if self.kind == "every" else _WRITTEN[self.kind]

    @property
    def two_sets(self) -> bool:
        """Whether both socks hang on needles at the same time, so that it takes two sets of them."""
        return self.kind in ("sections", "every")


IN_TURN = (Order(), Order("sections"), Order("together"))
"""The orders without a number, as a key steps through them."""


def on_one_set(holds_both: bool) -> tuple[Order, ...]:
    """The orders that need no second set of needles; one more on needles that hold both socks at once."""
    return (Order("together"), Order()) if holds_both else (Order(),)


_WRITTEN: dict[OrderKind, str] = {
    "one": "one, then the other", "sections": "section by section", "together": "together",
}  # fmt: skip
_EVERY = re.compile(r"every ([1-9][0-9]{0,2}) rounds?")


def read_order(text: str) -> Order:
    """An order of work from its words. Raises BadOrder."""
    bare = " ".join(text.lower().split())
    for kind, written in _WRITTEN.items():
        if bare in (written, written.replace(",", "")):
            return Order(kind)
    found = _EVERY.fullmatch(bare)
    if found and int(found[1]) <= MOST_EVERY:
        return Order("every", int(found[1]))
    known = ", ".join(f'"{written}"' for written in _WRITTEN.values())
    raise BadOrder(f'"{shorten(text)}" is no order of work; write {known} or "every 10 rounds"')
