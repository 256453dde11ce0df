"""A pack: one whole pair as text, for another machine, another hand or a teacher.

It is TOML that a person can read, in a form that is always the same, so that it can be read line by
line and its longest sound part found. Tables come as dotted names, for events stand last: of a pack
that was cut short all before the cut is sound. What counts are the events, each with a checksum
chained to the one before; `now` is told for people. The checksum in the last line is that of all
lines above it.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from tracker.knitting.events import EVENT_VERSION, KINDS
from tracker.pattern.days import calendar_day, day_number
from tracker.records import NamedTuple
from tracker.storage.chain import Row, encode, first_link, link_of, read_data, sha256_of
from tracker.storage.files import Fault, FileTrouble, Source, read_toml, shown
from tracker.units import shorten

FORMAT = 1
"""The newest form of a pack that this Instep reads."""
LONGEST_TITLE = 200
"""Characters of a title that are read."""
LONGEST_HEAD = 4_000_000
"""Bytes above the events that are read."""

_DAY = 86_400_000
_LIST, _LIST_END, _SUM = b"\nevents = [\n", b"]\n", b"checksum = "
_EVENT = re.compile(
    r"(?P<number>[1-9]\d{0,8}) (?P<day>\d{4}-\d\d-\d\d)"
    r"T(?P<hour>[01]\d|2[0-3]):(?P<minute>[0-5]\d):(?P<second>[0-5]\d)\.(?P<milli>\d{3})"
    r"(?P<east>(?:\+\d\d|-(?!00:00)\d\d):[0-5]\d)"
    r" (?P<whom>pair|sock [12]) (?P<kind>[a-z_-]{1,40})(?: v(?P<version>[2-9]|[1-9]\d{1,8}))?"
    r" (?P<data>\{.*\}) id (?P<uid>[0-9a-f]{32}) sum (?P<link>[0-9a-f]{32})",
    re.ASCII,
)
"""An event as it is written, and in no other way."""


class Pack(NamedTuple):
    """A pair as it is packed.

    `uid` are the pair's 16 bytes, `source` the SHA-256 (hex) of the file it was started from, `rows`
    its events, oldest first. One `for_teacher` is told without clock times, pace and her own words.
    """

    uid: bytes
    short: str
    title: str
    source: str
    count: str  # type: ignore[assignment]  # her word for it; the tuple's method is not missed
    pattern_text: str
    rows: tuple[Row, ...]
    for_teacher: bool = False

    @property
    def pattern(self) -> str:
        """The SHA-256 (hex) of its pattern."""
        return sha256_of(self.pattern_text)


class Damaged(FileTrouble):
    """A pack that is not what was packed. `sound` is its longest sound part; None where there is none."""

    def __init__(self, name: str, why: str, sound: Pack | None) -> None:
        self.sound = sound
        super().__init__(name, [Fault(None, "", why)])


def is_pack(text: bytes) -> bool:
    """Whether a text begins like a pack: more need not be there, nor be sound."""
    return _FORMAT.search(text[:_HEAD_LOOKED_AT]) is not None and b"\npair.uid = " in text


_FORMAT = re.compile(rb"^format = (\d{1,9})\r?$", re.MULTILINE)
_HEAD_LOOKED_AT = 4_096


def first_event(text: bytes) -> bytes | None:
    """The 16 bytes of the first event, as it stands in the beginning of a pack; None where none does."""
    found = _FIRST.search(text)
    return bytes.fromhex(found[1].decode()) if found else None


_FIRST = re.compile(
    rb"\nevents = \[\r?\n  ['\"]1 [^\n]* id ([0-9a-f]{32}) sum [0-9a-f]{32}['\"],\r?\n"
)


def head_bytes(text: bytes) -> int:
    """How many bytes stand above the events of a pack."""
    return len(text.rpartition(_LIST)[0])


# Writing


def write(pack: Pack, now: Mapping[str, str | int]) -> str:
    """A pack (one event at least) as text. `now` says where she is, in words."""
    lines = [f"# Packed by Instep: {shorten(pack.title, 80)}"]
    lines += _FOR_TEACHER if pack.for_teacher else _FOR_HER
    lines += ["", f"format = {FORMAT}", ""]
    about = {"uid": pack.uid.hex(), "short": pack.short, "title": pack.title}
    about |= {"count": pack.count, "source": pack.source}
    lines += [f"pair.{name} = {_string(value)}" for name, value in about.items()]
    lines += ["pair.for_teacher = true"] if pack.for_teacher else []
    lines += ["", *(f"now.{name} = {_value(value)}" for name, value in now.items())]
    lines += ["", f"pattern.sha256 = {_string(pack.pattern)}"]
    lines += [f"pattern.text = {_text(pack.pattern_text)}", "", "events = ["]
    lines += [f"  {_string(event)}," for event in _events(pack)]
    whole = "\n".join((*lines, "]", ""))
    return f'{whole}checksum = "{_sum(whole.encode())}"\n'


_FOR_HER = (
    "# instep unpack FILE puts it into a basket, to be knitted on there. What counts are the events;",
    "# what stands under now is told for people. A file that was changed is not taken.",
)
_FOR_TEACHER = (
    "# For a teacher: clock times, pace and the knitter's own words are left out, but for questions.",
    "# Every act has the day it was last knitted. instep circle FILE reads it; it is no pair to knit on.",
)


def _events(pack: Pack) -> list[str]:
    link, told = _first_link(pack.uid, pack.pattern, pack.for_teacher), []
    for row in pack.rows:
        link = link_of(link, *row)
        told.append(_event(row, link))
    return told


def _first_link(uid: bytes, pattern: str, for_teacher: bool) -> bytes:
    """Told apart, so that no damage makes of a teacher's pack one to knit on."""
    return first_link(uid, f"{pattern} for a teacher" if for_teacher else pattern)


def _event(row: Row, link: bytes) -> str:
    """ "7 2026-03-12T20:15:00.000+01:00 sock 1 tick {"rounds":1} id ... sum ..."."""
    whom = f"sock {row.sock}" if row.sock else "pair"
    version = "" if row.version == 1 else f" v{row.version}"
    return (
        f"{row.number} {when(row.at, row.offset)} {whom} {row.kind}{version} {row.data}"
        f" id {row.uid.hex()} sum {link.hex()}"
    )


def when(at: int, offset: int) -> str:
    """A time (ms UTC) with the offset it had (minutes), to the millisecond."""
    day, rest = divmod(at + offset * 60_000, _DAY)
    year, month, number = calendar_day(day)
    minutes, milliseconds = divmod(rest, 60_000)
    sign, off = "-" if offset < 0 else "+", abs(offset)
    return (
        f"{year:04}-{month:02}-{number:02}T{minutes // 60:02}:{minutes % 60:02}"
        f":{milliseconds // 1000:02}.{milliseconds % 1000:03}{sign}{off // 60:02}:{off % 60:02}"
    )


def _value(value: str | int) -> str:
    return str(value) if isinstance(value, int) else _string(value)


def _string(text: str) -> str:
    """A string of TOML, without escapes where it can be."""
    if "'" not in text and text.isprintable():
        return f"'{text}'" if '"' in text or "\\" in text else f'"{text}"'
    return f'"{_escaped(text)}"'


def _text(text: str) -> str:
    """A text of many lines as TOML, as it stands where it can."""
    plain = all(line.replace("\t", "").isprintable() for line in text.split("\n"))
    if plain and "'''" not in text and not text.endswith("'"):
        return f"'''\n{text}'''"
    return '"""\n' + "\n".join(map(_escaped, text.split("\n"))) + '"""'


def _escaped(text: str) -> str:
    """No sign that a terminal obeys stands in the file as it is."""
    return "".join(
        f"\\{sign}" if sign in '\\"' else sign if sign.isprintable() else f"\\U{ord(sign):08x}"
        for sign in text
    )


def _sum(text: bytes) -> str:
    return hashlib.blake2b(text, digest_size=16).hexdigest()


# Reading


def read(name: str, data: bytes) -> Pack:
    """The pack in a file's bytes.

    Raises Damaged where anything is not what was packed, and FileTrouble for what is no pack, or one
    of a newer Instep.
    """
    data = _with_plain_ends(data)
    if not is_pack(data):
        why = "this is no pack; name a file that was written by instep pack"
        raise FileTrouble(name, [Fault(None, "", why)])
    _check_format(name, data)
    head, _, tail = data.rpartition(_LIST)
    tables = _tables(head) if 0 < len(head) <= LONGEST_HEAD else None
    pack = None if tables is None else _head_of(tables)
    if pack is None:
        raise Damaged(name, "this pack is damaged, and nothing of it is sound; get it again", None)
    lines = tail.split(b"\n")
    rows = _rows(name, pack, lines)
    sound = pack._replace(rows=tuple(rows))
    if not (rows and _is_whole(data) and lines[len(rows)] + b"\n" == _LIST_END):
        raise Damaged(name, _damage(sound, name), sound if rows else None)
    return sound


def _with_plain_ends(data: bytes) -> bytes:
    """Mail may have put other ends on the lines, or a mark before the first."""
    data = data.removeprefix(b"\xef\xbb\xbf")
    has_others = data.count(b"\r\n") == data.count(b"\n") == data.count(b"\r")
    return data.replace(b"\r\n", b"\n") if has_others else data


def _check_format(name: str, data: bytes) -> None:
    found = _FORMAT.search(data)
    number = int(found[1]) if found else 0
    if number > FORMAT:
        why = f"it was packed by a newer Instep (its format {number}, this one reads {FORMAT}); update Instep"
        raise FileTrouble(name, [Fault(None, "", why)])


def _is_whole(data: bytes) -> bool:
    """Whether the checksum in the last line is that of all above it."""
    above, _, last = data.rpartition(b"\n" + _SUM)
    return last == f'"{_sum(above + bytes([10]))}"\n'.encode()


def _tables(head: bytes) -> Mapping[str, Any] | None:
    try:
        return read_toml(Source("", b"", head.decode()))
    except (FileTrouble, UnicodeDecodeError):
        return None


def _head_of(tables: Mapping[str, Any]) -> Pack | None:
    """What stands above the events; None where the pattern, or whose it is, is not sound."""
    pair, pattern = (
        table if isinstance(table := tables.get(name), dict) else {} for name in ("pair", "pattern")
    )
    uid, text = _hex(pair.get("uid"), 32), pattern.get("text")
    if uid is None or not isinstance(text, str) or sha256_of(text) != pattern.get("sha256"):
        return None
    title, count = pair.get("title"), pair.get("count")
    return Pack(
        bytes.fromhex(uid),
        short if isinstance(short := pair.get("short"), str) else "",
        title[:LONGEST_TITLE] if isinstance(title, str) else "",
        _hex(pair.get("source"), 64) or "",
        count if count in ("rounds", "needles") else "rounds",
        text,
        (),
        pair.get("for_teacher") is True,
    )


def _hex(value: Any, digits: int) -> str | None:
    is_one = isinstance(value, str) and re.fullmatch(f"[0-9a-f]{{{digits}}}", value, re.ASCII)
    return value if is_one else None


def _rows(name: str, pack: Pack, lines: Sequence[bytes]) -> list[Row]:
    """The events up to the first that is not what was packed."""
    link, rows = _first_link(pack.uid, pack.pattern, pack.for_teacher), list[Row]()
    for line in lines:
        found = _EVENT.fullmatch(_told(line))
        row = None if found is None else _row(found)
        if found is None or row is None or row.number != len(rows) + 1:
            break
        link = link_of(link, *row)
        if found["link"] != link.hex():
            break
        _check_kind(name, row)
        if row.at < 0 or not _is_plain(row.data):
            break
        rows.append(row)
    return rows


def _told(line: bytes) -> str:
    """The string in a line of events; "" where it is none. No more is escaped in it than quotes."""
    text = line.decode("latin-1")
    if text.startswith("  '") and text.endswith("',"):
        return text[3:-2]
    if text.startswith('  "') and text.endswith('",'):
        return re.sub(r"\\(.)", r"\1", text[3:-2])
    return ""


def _row(found: re.Match[str]) -> Row | None:
    """The row that an event tells of, whatever its checksum; None where its day is none."""
    number, day, hour, minute, second, milli, east, whom, kind, version, data, uid, _ = (
        found.groups()
    )
    first = _midnight(day)
    if first is None:
        return None
    off = int(east[1:3]) * 60 + int(east[4:])
    offset = -off if east[0] == "-" else off
    minutes = int(hour) * 60 + int(minute) - offset
    at = first + minutes * 60_000 + int(second) * 1000 + int(milli)
    sock = 0 if whom == "pair" else int(whom[-1])
    return Row(
        int(number), at, offset, sock, kind, data, bytes.fromhex(uid), int(version or 1)
    )  # fmt: skip


@lru_cache(maxsize=256)
def _midnight(day: str) -> int | None:
    """When a day begins (ms since 1970), offset left out; None where it is no day."""
    try:
        return day_number(day) * _DAY
    except ValueError:
        return None


def _check_kind(name: str, row: Row) -> None:
    if row.kind not in KINDS or row.version > EVENT_VERSION:
        why = f"event {row.number} ({row.kind}) was packed by a newer Instep; update Instep to take it"
        raise FileTrouble(name, [Fault(None, "", why)])


@lru_cache(maxsize=256)
def _is_plain(data: str) -> bool:
    """Whether the data of an event are written as a basket writes them."""
    try:
        return encode(read_data(data)) == data
    except (ValueError, RecursionError):
        return False


def _damage(sound: Pack, name: str) -> str:
    many = len(sound.rows)
    if not many:
        return "this pack is damaged, and nothing of it is sound; get it again"
    if sound.for_teacher:
        return "this pack is damaged; get it again"
    part = "its first event is" if many == 1 else f"its first {many} events are"
    return (
        f"this pack is damaged; {part} sound: get it again, or take those with"
        f" instep unpack {shown(name)} --sound-part"
    )
