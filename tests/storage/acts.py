"""Acts in turn in a process of its own, each answered with a line of JSON: `python -m tests.storage.acts`.

`commands BASKET` gives commands, each of which opens the basket and closes it; `needles BASKET` presses
keys at the needles, the basket open from the first to the last.
"""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from tracker.ui.plain_lines import PlainNeedles

SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"


class Told(NamedTuple):
    """What an act came to: the kind of its event, 0 or (refused, not kept) 1, and what was said of it."""

    kind: str
    code: int
    said: str


COMMANDS = (
    ("started", ["start", str(SAMPLE)]), ("tick", ["tick", "3"]), ("measure", ["measure", "1"]),
    ("undo", ["undo"]), ("tick", ["tick"]), ("rip", ["rip", "--by", "1"]),
)  # fmt: skip
KEYS = (
    ("tick", " "),
    ("tick", "2 "),
    ("undo", "\x7f"),
    ("note", "tfrogged\r"),
    ("tick", " "),
    ("rip", "1r"),
)


def commands(basket: Path) -> Iterator[Told]:
    """Every command's answer, or what it complains of."""
    from tracker.cli import main

    for kind, words in COMMANDS:
        said, complaint = io.StringIO(), io.StringIO()
        with redirect_stdout(said), redirect_stderr(complaint):
            code = main([*words, "--basket", str(basket)])
        yield Told(kind, code, complaint.getvalue())


def needles(basket: Path) -> Iterator[Told]:
    """What is said after the keys of each act; of a basket that does not open, why."""
    from tracker.clock import now
    from tracker.session import Session
    from tracker.settings import Settings
    from tracker.storage.basket import Basket, BasketTrouble
    from tracker.ui.plain_lines import PlainNeedles

    try:
        with Basket.open(basket) as opened:
            plain = PlainNeedles(Session(opened, opened.find(None), now), list, Settings())
            for kind, typed in KEYS:
                yield _pressed(plain, kind, typed)
    except BasketTrouble as trouble:
        yield Told("", 1, str(trouble))


def _pressed(plain: PlainNeedles, kind: str, typed: str) -> Told:
    from tracker.ui.plain_keys import Decoder, Key

    before = plain.session.glance.events
    lines = [line for key in Decoder().keys(typed.encode()) for line in plain.hear(key).lines]
    kept = plain.session.glance.events - before
    if plain.takes_words:
        plain.hear(Key("escape"))
    return Told(kind, 1 - kept, " ".join(lines))


if __name__ == "__main__":
    for told in {"commands": commands, "needles": needles}[sys.argv[1]](Path(sys.argv[2])):
        print(json.dumps(told), flush=True)
