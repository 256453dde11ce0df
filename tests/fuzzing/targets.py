"""What reads a stranger's bytes, each as a function that may refuse in one line and do nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple
from unittest.mock import patch

from tests.knitting.knitter import SAMPLE
from tracker import packing
from tracker.check import _of_tables
from tracker.knitting.events import KINDS
from tracker.pattern.notation import BadRow, read_row, runs
from tracker.plan_report import plan_json, written
from tracker.storage import pack as packs
from tracker.storage.files import FileTrouble, Lines, Source, read_toml
from tracker.storage.pack import Pack
from tracker.storage.pattern_file import open_source, open_text
from tracker.storage.plan_file import LeftOpen
from tracker.storage.settings_file import _settings, _with
from tracker.units import BadLength, BadWeight, read_grams, read_length

BY_HAND = Path(__file__).parents[1] / "pattern" / "data" / "by_hand"


class Target(NamedTuple):
    """`run` raises only what a person is told in one line; `seeds` are what is sound."""

    run: Callable[[bytes], object]
    seeds: Callable[[], Iterable[bytes]]


REFUSALS = (FileTrouble, BadRow, BadLength, BadWeight)
"""What a stranger's bytes may lead to: each says in one line what is wrong."""


def _source(data: bytes) -> Source:
    try:
        return Source("x.toml", data, data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        return Source("x.toml", data, "")


def _file(data: bytes) -> object:
    """A plan or a pattern, opened, written out, audited."""
    source = _source(data)
    try:
        opened = open_source(source)
    except LeftOpen as left:
        return left.instead
    lines = [*written(opened.pattern), *opened.notes, str(plan_json(opened.pattern)["title"])]
    return [line for line in lines if not line.isprintable()]


def _audit(data: bytes) -> object:
    """The second reader and the loom, on whatever tables there are."""
    source = _source(data)
    document = read_toml(source)
    return [each.line_for_people() for each in _of_tables("x", Lines(source.text), document)]


def _row(data: bytes) -> object:
    row = read_row(data.decode("latin-1"))
    return [runs(items, 64) for items in row.segments]


def _pack(data: bytes) -> object:
    given = packs.read("x.pack", data)
    return packing._checked("x.pack", given)


def _sound_pack(data: bytes) -> object:
    """Acts under right checksums: the last line of the fuzz is laid over a sound pack's data."""
    text = data.decode("utf-8", "replace")
    given = _begun()
    rows = list(given.rows)
    for line in text.splitlines()[:8]:
        kind, _, told = line.partition(" ")
        if kind in KINDS and packs._is_plain(told):
            rows.append(rows[-1]._replace(number=len(rows) + 1, kind=kind, data=told))
    with patch.object(packing, "open_text", _open_text):
        return packing._checked("x.pack", given._replace(rows=tuple(rows)))


_open_text = cache(open_text)


@cache
def _begun() -> Pack:
    """The packed sample as it was begun."""
    given = packs.read("x.pack", _packed())
    return given._replace(rows=given.rows[:6])


def _packed() -> bytes:
    return (SAMPLE.parent / "second-watch.pack").read_bytes()


def _set(data: bytes) -> object:
    source = _source(data)
    _settings(source)
    return _settings(source._replace(text=_with(source.text, "look", "light")))


def _typed(data: bytes) -> object:
    text = data.decode("latin-1")
    try:
        return read_length(text, "cm")
    except BadLength:
        return read_grams(text)


def _samples() -> list[bytes]:
    return [one.read_bytes() for one in (*SAMPLE.parent.glob("*.toml"), *BY_HAND.glob("*.toml"))]


def _small_packs() -> list[bytes]:
    text = _packed()
    cut = text.index(b"\nevents = [")
    return [text, text[: cut + 3_000]]


_ROWS = [
    b"*k2, p2; rep from * to end", b"RS: sl1, k3, [k2tog, yo] 4 times, w&t = 9", b"C2F, BO all",
    b"rest 9, pick up 17 | k | k | pick up 17, k9 = 26/16/16/26",
]  # fmt: skip
_ACTS = [
    b'tick {"rounds":1}\nmeasure {"from":"cast-on","mm":61.5}', b'count {"stitches":[16,16,16,16]}',
    b'changed {"as":"needle","value":"2.25"}\nrip {"round":3}\nnote {"text":"a"}',
]  # fmt: skip
_SETTINGS = [b'look = "light"\n[keys]\ntick = ["space", "f5"]\n"weigh colour" = "f6"\n']

TARGETS: Mapping[str, Target] = {
    "file": Target(_file, _samples),
    "audit": Target(_audit, _samples),
    "row": Target(_row, lambda: _ROWS),
    "pack": Target(_pack, _small_packs),
    "acts": Target(_sound_pack, lambda: _ACTS),
    "settings": Target(_set, lambda: _SETTINGS),
    "typed": Target(_typed, lambda: [b"6 3/4 in", b"11,4 cm", b"3 oz", b'9-1/4 "', b"85"]),
}
