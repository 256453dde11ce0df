"""Reading the files a knitter names: bounded, as text, with one clear line where it fails."""

from __future__ import annotations

import os
import re
import stat
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any, TextIO

from tracker.pattern.stages import nth
from tracker.records import NamedTuple
from tracker.units import shorten

LARGEST_BYTES = 1_000_000
"""No plan or pattern is larger."""
MOST_FAULTS = 50
"""More faults are not looked for; she will mend these first."""


class Fault(NamedTuple):
    """One thing wrong in a file: its line (from 1, None if unknown), the field, and what to write."""

    line: int | None
    field: str
    why: str


class FileTrouble(Exception):
    """A file that cannot be used. `lines` holds one line for a person for every fault found.

    `check` is false of a file that the command of that name does not read.
    """

    def __init__(self, name: str, faults: list[Fault], *, check: bool = True) -> None:
        self.faults = faults
        self.lines = [_say(shown(name), fault) for fault in faults]
        more = len(faults) - 1
        see = f"; see: instep check {PIPED if name == PIPED else shown(name)}" if check else ""
        also = f" (and {more} more{see})" if more else ""
        super().__init__(self.lines[0] + also)


def shown(name: str, most: int = 200) -> str:
    """A file's name fit for a message: no control characters, its end kept where it is long."""
    if name == PIPED:
        return "what is piped in"
    return shorten(name if len(name) <= most else "..." + name[3 - most :], most)


def write_file(
    path: str, text: str, *, instead_of: str, why_not: Callable[[Path], str] | None = None
) -> None:
    """Write a text file whole: beside it first, synced, then in its place; a new one for her eyes only.

    A link is followed. Of what is there only what `why_not` gives no reason to keep is replaced; left
    out, a computed pattern, for it can be made again. Never `instead_of`, the file it is made from.
    Raises FileTrouble.
    """
    try:
        target = Path(path).resolve()
        made_from = Path(instead_of).resolve()
        if why := _not_to_replace(target, made_from, why_not or _no_computed_pattern):
            raise FileTrouble(path, [Fault(None, "", why)])
        _replace(target, text)
    except (OSError, ValueError, RuntimeError) as error:  # a link in a circle is the last of these
        why = (getattr(error, "strerror", None) or "its name cannot be used").lower()
        raise FileTrouble(path, [Fault(None, "", f"it cannot be written: {why}")]) from None


def _not_to_replace(target: Path, made_from: Path, why_not: Callable[[Path], str]) -> str:
    """Why this file must stay as it is, or ""."""
    if target == made_from:
        return "this is the file it is made from; name another"
    if not target.exists():
        return ""
    if not target.is_file():
        return "this is not a plain file; name a new one"
    return why_not(target)


def _no_computed_pattern(target: Path) -> str:
    if _is_computed(target):
        return ""
    return "this file is there already and is no pattern that Instep wrote; name another"


def _is_computed(path: Path) -> bool:
    """Whether it is a pattern with the numbers that only computing writes."""
    try:
        return {"numbers", "section"} <= read_toml(read_source(str(path))).keys()
    except FileTrouble:
        return False


def _replace(target: Path, text: str) -> None:
    from tempfile import NamedTemporaryFile

    mode = target.stat().st_mode & 0o777 if target.exists() else 0o600
    # Line ends are written as they stand in the text, on every system.
    file = NamedTemporaryFile("w", encoding="utf-8", newline="", dir=target.parent, delete=False)  # noqa: SIM115
    beside = Path(file.name)
    try:
        with file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(mode)
        beside.replace(target)  # closed before: Windows renames no file that is open
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


PIPED = "-"
"""In place of a file's name: what is piped in, or out."""


def piped_in(kind: str, most: int) -> bytes:
    """What is piped in, up to one byte more than `most`: the same again, however often it is asked for.

    Raises FileTrouble where nothing is: nobody would know that they are waited for.
    """
    if sys.stdin.isatty():
        why = f"nothing is piped in; name a {kind} file, or write: instep ... - < FILE"
        raise FileTrouble(PIPED, [Fault(None, "", why)], check=False)
    if not _piped or _piped[0][0] is not sys.stdin:
        _piped[:] = [(sys.stdin, sys.stdin.buffer.read(most + 1))]
    if not _piped[0][1]:
        why = f"nothing came; name a {kind} file, or pipe one in"
        raise FileTrouble(PIPED, [Fault(None, "", why)], check=False)
    return _piped[0][1]


_piped: list[tuple[TextIO, bytes]] = []


class Source(NamedTuple):
    """A file as it was read: the name it was given by, its bytes and its text."""

    name: str
    data: bytes
    text: str


def read_source(path: str, kind: str = "plan") -> Source:
    """Read a text file. Raises FileTrouble where it is missing, unreadable, too large or not text."""
    name = path
    try:
        data = piped_in(kind, LARGEST_BYTES) if path == PIPED else _bytes_of(path, kind)
    except FileNotFoundError:
        raise FileTrouble(name, [Fault(None, "", _missing(path, kind))]) from None
    except IsADirectoryError:
        why = f"this is a folder; name a {kind} file in it"
        raise FileTrouble(name, [Fault(None, "", why)]) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "its name cannot be used"
        raise FileTrouble(name, [Fault(None, "", f"it cannot be read: {why.lower()}")]) from None
    if len(data) > LARGEST_BYTES:
        why = f"it is larger than 1 MB; a {kind} file is small"
        raise FileTrouble(name, [Fault(None, "", why)])
    try:
        return Source(name, data, data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        why = f"it is not a text file; write the {kind} as TOML"
        raise FileTrouble(name, [Fault(None, "", why)]) from None


def _missing(path: str, kind: str) -> str:
    """A bare word may be the name of a pair, where a file is asked for."""
    if Path(path).name != path or Path(path).suffix:
        return "there is no such file"
    return f"there is no such file; a {kind} file is named with its ending, like {shorten(path, 60)}.toml"


def _bytes_of(path: str, kind: str) -> bytes:
    if not stat.S_ISREG(mode := Path(path).stat().st_mode) and not stat.S_ISDIR(mode):
        # A pipe that nobody writes to would be waited for, for ever.
        raise FileTrouble(path, [Fault(None, "", f"this is no plain file; name a {kind} file")])
    with Path(path).open("rb") as file:
        return file.read(LARGEST_BYTES + 1)


# `re` compiles each of these when it is first asked for: a pair that goes on from a checkpoint needs none.
_AT = r" \(at (?:line (\d+), column \d+|end of document)\)"


MOST_PARTS = 20
"""No key has more parts between its dots: the parser's time and room grow with their square."""

_STRING_OR_REMARK = (
    r'''"""[^"\\]*+(?:(?:\\[\s\S]|"(?!""))[^"\\]*+)*(?:"""|\\?\Z)'''
    r"""|"[^"\\\n]*+(?:\\.[^"\\\n]*+)*"?|#[^\n]*+"""
    r"""|'''[^']*+(?:'(?!'')[^']*+)*(?:'''|\Z)|'[^'\n]*+'?"""
)
"""No group of it is possessive: Python up to 3.11.4 takes those for what they are not (gh-106052)."""
_LONG_KEY = rf"(?a)(?:\.[ \t]*+[\w-]++[ \t]*+){{{MOST_PARTS}}}"


def _long_key(text: str) -> int | None:
    """The line of a key with too many parts, found in one pass before the text is parsed."""
    if text.count(".") < MOST_PARTS:
        return None
    bare = re.sub(_STRING_OR_REMARK, _blank, text)
    found = re.search(_LONG_KEY, bare)
    return None if found is None else bare.count("\n", 0, found.start()) + 1


def _blank(found: re.Match[str]) -> str:
    """A string is one part of a key, a remark is none; lines stay lines."""
    return ("" if found[0][0] == "#" else "x") + "\n" * found[0].count("\n")


def read_toml(source: Source, like: str = 'title = "Night ferry"') -> dict[str, Any]:
    """The file's tables. Raises FileTrouble with the line where it is not TOML; a field is `like` that."""
    if line := _long_key(source.text):
        why = f"a name has more than {MOST_PARTS} parts; write a table and a field"
        raise FileTrouble(source.name, [Fault(line, "", why)])
    import tomllib  # a pair that is opened from a checkpoint has its tables

    try:
        return tomllib.loads(source.text)
    except ValueError as error:
        found = re.search(_AT, str(error))
        line = int(found[1]) if found and found[1] else None
        is_syntax = isinstance(error, tomllib.TOMLDecodeError)
        what = shorten(re.sub(_AT, "", str(error)), 80) if is_syntax else "a number is too long"
        why = f"this is not TOML ({what}); a field is written like {like}"
        raise FileTrouble(source.name, [Fault(line, "", why)]) from None
    except RecursionError:
        raise FileTrouble(source.name, [Fault(None, "", "its brackets stand too deep")]) from None


_NAME = r"\"?[A-Za-z0-9_-]+\"?(?:\s*\.\s*\"?[A-Za-z0-9_-]+\"?)*"
_HEADER = rf"\s*\[{{1,2}}\s*({_NAME})\s*\]{{1,2}}"
_KEY = rf"\s*({_NAME})\s*="


class Lines:
    """Where each table and field of a TOML text stands."""

    def __init__(self, text: str) -> None:
        self._at: dict[str, int] = {}
        self._sections: list[dict[str, int]] = []
        self._text = text
        self._begins = [0]
        table = ""
        listed: Counter[str] = Counter()
        for number, line in enumerate(text.split("\n"), start=1):
            self._begins.append(self._begins[-1] + len(line) + 1)
            if header := re.match(_HEADER, line):
                table = _bare(header[1])
                if line.lstrip().startswith("[["):
                    listed[table] += 1
                    table = nth(table, listed[table] - 1)
                self._at.setdefault(table, number)
                if header and _bare(header[1]) == "section":
                    self._sections.append({"": number})
            elif key := re.match(_KEY, line):
                field = _bare(key[1])
                place = f"{table}.{field}" if table else field
                self._at.setdefault(place, number)
                self._at.setdefault(place.partition(".")[0], number)
                if self._sections and table == nth("section", len(self._sections) - 1):
                    self._sections[-1].setdefault(field, number)

    def of(self, place: str) -> int | None:
        """The line of a field ("gauge.rows", "stage 2.bring"), else of its table, else None."""
        return self._at.get(place) or self._at.get(place.partition(".")[0])

    def of_section(self, index: int, key: str, position: int | None) -> int | None:
        """The line of a key in the index-th [[section]], or of one text in its list."""
        if index >= len(self._sections):
            return None
        start = self._sections[index].get(key) or self._sections[index][""]
        return start if position is None else self._of_item(start, position)

    def _of_item(self, start: int, position: int) -> int:
        """The line of a text in the list that begins in line `start`: remarks are passed over."""
        at = self._text.find("=", self._begins[start - 1]) + 1
        line, seen = start, 0
        passed = re.compile(_STRING_OR_REMARK)
        while found := passed.search(self._text, at):
            between = self._text[at : found.start()]
            line += between.count("\n")
            if "]" in between:
                break
            if found[0][0] != "#":
                if seen == position:
                    return line
                seen += 1
            line += found[0].count("\n")
            at = found.end()
        return start


def _bare(name: str) -> str:
    """A dotted name without quotes and room: `foot . "length"` is foot.length."""
    return re.sub(r"[\s\"]", "", name)


def _say(name: str, fault: Fault) -> str:
    where = name if fault.line is None else f"{name}, line {fault.line}"
    return f"{where}: {fault.field}: {fault.why}" if fault.field else f"{where}: {fault.why}"
