"""Acts that were really recorded, and then altered under right checksums: shown, or one line."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import Knitter
from tests.knitting.pieces import PIECES, SEEDS, Acts, course
from tests.knitting.test_repairs import begun, tried
from tracker.clock import now
from tracker.knitting.events import Event
from tracker.packing import unpack
from tracker.reports import history_text, left_json, left_text
from tracker.side_by_side_words import parts, verdict
from tracker.storage.basket import Basket
from tracker.storage.chain import Row, encode
from tracker.storage.files import FileTrouble
from tracker.storage.pack import Pack, write

Path_ = tuple[str | int, ...]
"""Where a field is in an act's data: its names, and its places in lists."""
WRONG: tuple[Any, ...] = (
    None, True, False, 0, 1, 2, 7, -1, 10**9, 10**20, 0.5, 1e300, "", "x", "\x1b[2J", "ok", "right",
    "section", [], [0], [1, 2], ["x"], {}, {"section": 0}, [[]], [None],
)  # fmt: skip
"""What stands in a field that was altered."""


def fields(data: Any, at: Path_ = ()) -> Iterator[Path_]:
    """Every field of an act, those inside of others among them."""
    if isinstance(data, dict | list):
        for name in data if isinstance(data, dict) else range(len(data)):
            yield (*at, name)
            yield from fields(data[name], (*at, name))


def altered(acts: Acts, data: Any) -> Any:
    """An act's data with one field dropped, or with something else in it."""
    told = deepcopy(dict(data))
    there = list(fields(told))
    if not there:
        return {acts.one("rounds", "section", "of", "needles"): acts.one(*WRONG)}
    *before, last = acts.one(*there)
    inside: Any = told
    for name in before:
        inside = inside[name]
    was = inside[last]
    if acts.between(0, 3) == 0:
        del inside[last]
    elif type(was) is int and acts.one(True, False):
        inside[last] = was + acts.one(-17, -2, -1, 1, 2, 17)
    else:
        inside[last] = acts.one(*WRONG)
    return told


def packed(knitter: Knitter, events: list[Event]) -> Pack:
    """The pair of a knitter as a pack, its checksums right whatever is in it."""
    rows = [
        Row(
            one.number, one.at, one.offset, one.sock, one.kind, encode(dict(one.data)), bytes(16), 1
        )
        for one in events
    ]
    return Pack(bytes(16), "a", "t", "", "rounds", knitter.course.pattern.text, tuple(rows))


@given(PIECES, SEEDS, st.integers(4, 20))
@examples(400)
def test_an_act_that_was_altered_is_refused_or_can_be_shown(
    name: str, seed: int, many: int
) -> None:
    """Of a history knitted with any acts: one or two of its acts are not as they were recorded."""
    knitter = Knitter(course(name))
    acts = Acts(knitter, seed)
    begun(name, acts, knitter)
    for _ in range(many):
        tried(knitter, acts.wish())
    for _ in range(3):
        events = list(knitter.events)
        for at in {acts.between(1, len(events) - 1) for _ in range(acts.between(1, 2))}:
            events[at] = events[at]._replace(data=altered(acts, events[at].data))
        shown_or_one_line(packed(knitter, events))


def shown_or_one_line(pack: Pack) -> None:
    """Unpacked it can be looked at everywhere and knitted on; else one line says why not."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.pack"
        path.write_text(write(pack, {}), encoding="utf-8")
        with Basket.open(Path(folder) / "one.db") as basket:
            told = ""
            try:
                session = unpack(basket, str(path), now).session
            except FileTrouble as trouble:
                told = str(trouble)
            if told:
                assert told.isprintable()
                assert basket.pairs() == []
                return
            for number in (1, 2):
                glance = session.look(number)
                left_json(glance)
                assert "\x1b" not in "".join(left_text(glance, "just now"))
            assert "\x1b" not in "\n".join(history_text(session.past(), "cm", True))
            pair = session.side_by_side()
            assert verdict(pair)
            assert parts(pair)
