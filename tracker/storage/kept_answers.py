"""Answers of the quick check, kept beside a basket under all that they were made of.

The key of an answer is a checksum of every byte of the basket, of the program and of what was asked. So
none can be out of date: an act, a setting of the pair or a damaged byte makes another key, which has no
answer yet. The file holds nothing that cannot be made again; it may be deleted at any time. A quick check
loads this and hardly anything else.
"""

from __future__ import annotations

import os
import stat
import sys
import time

MOST_BYTES = 64 << 20
"""A larger basket is not summed up: by then that takes as long as opening it."""
MOST_KEPT = 16
"""How many answers are kept: the newest."""
MOST_SIZE = 1 << 20
"""Bytes beyond which a file is not of this program."""
CAN_BE_KEPT = hasattr(os, "pread") and hasattr(os, "geteuid")
"""Windows tells neither whose a file is, nor reads at a place: there the whole program answers."""
_CHUNK = 1 << 20
_STALE_S = 60
"""Seconds after which a half-written file is one of a program that was killed over it."""
_AS_IT_IS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
"""How a file is opened that a stranger may have put there: no link is followed, no pipe is waited for."""
_NOT_OF_AN_ANSWER = ("INSTEP_BASKET", "INSTEP_NOW")
"""The basket is known by its bytes, and the time by how long an answer stays true."""


class Kept:
    """An answer, and while it is true.

    That is on `day` (days since 1970, hers), from `since` to below `until` milliseconds after the pair was
    `touched` (ms UTC).
    """

    __slots__ = ("day", "since", "text", "touched", "until")

    def __init__(self, touched: int, since: int, until: int, day: int, text: str) -> None:
        self.touched, self.since, self.until, self.day = touched, since, until, day
        self.text = text

    def is_true(self, at: int, day: int) -> bool:
        """Whether it is still, at a time (ms UTC) on that day."""
        return self.day == day and self.since <= max(0, at - self.touched) < self.until


def beside(basket: str) -> str:
    """The file of the answers to a basket."""
    return f"{basket}-answers"


def is_alone(basket: str) -> bool:
    """Whether the file of a basket holds all of it, and no log does. Raises OSError.

    The index of the log tells of acts that a log has lost, too (storage.log_index). Not to be asked where
    this process has the basket open: closing the index would let SQLite's locks on it go.
    """
    if os.path.exists(f"{basket}-journal") or _size(f"{basket}-wal"):
        return False
    try:
        handle = os.open(f"{basket}-shm", _AS_IT_IS)
    except FileNotFoundError:
        return True
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            return False
        header = os.pread(handle, 100, 0)
    finally:
        os.close(handle)
    logged, folded = (int.from_bytes(header[at : at + 4], sys.byteorder) for at in (16, 96))
    return logged <= folded


def _size(path: str) -> int:
    try:
        return os.stat(path).st_size
    except FileNotFoundError:
        return 0


def sum_of(handle: int) -> str | None:
    """The checksum of all the bytes of an open file; None where there are too many. Raises OSError."""
    if os.fstat(handle).st_size > MOST_BYTES:
        return None
    from hashlib import blake2b

    told, at = blake2b(digest_size=16), 0
    while part := os.pread(handle, _CHUNK, at):
        told.update(part)
        at += len(part)
    return told.hexdigest()


def key_of(basket: str, asked: tuple[object, ...]) -> str:
    """The key of an answer: of the basket's checksum, the program, its surroundings and what was asked.

    Raises OSError.
    """
    surroundings = sorted(
        told
        for told in os.environ.items()
        if told[0].startswith("INSTEP_") and told[0] not in _NOT_OF_AN_ANSWER
    )
    return checksum(ascii((basket, asked, surroundings, sys.version, _program())).encode())


def _program() -> list[tuple[str, int, int, int]]:
    """Every file of the program: another version is told by them."""
    return stamps_in(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))


def stamps_in(*folders: str) -> list[tuple[str, int, int, int]]:
    """Every file in some folders, and in those inside, with its size and its times (ns) of change.

    Those times alter with whatever is written there, be it as long as what it takes the place of.
    """
    found, to_look = [], list(folders)
    while to_look:
        with os.scandir(to_look.pop()) as inside:
            for one in inside:
                if not one.is_dir():
                    about = one.stat()
                    found.append((one.path, about.st_size, about.st_mtime_ns, about.st_ctime_ns))
                elif one.name != "__pycache__":
                    to_look.append(one.path)
    return sorted(found)


def checksum(data: bytes) -> str:
    """BLAKE2b, 16 bytes, in hex."""
    from hashlib import blake2b

    return blake2b(data, digest_size=16).hexdigest()


def find(basket: str, key: str, at: int, day: int) -> Kept | None:
    """The answer under a key that is true at a time (ms UTC) on a day of hers. Raises OSError."""
    for its_key, kept in _entries(_read(basket)):
        if its_key == key and kept.is_true(at, day):
            return kept
    return None


def keep(basket: str, key: str, kept: Kept) -> None:
    """Keep one more, for her eyes only, in the place of one to the same; the oldest goes. Raises OSError."""
    try:
        others = [entry for entry in _entries(_read(basket)) if entry[0] != key]
    except OSError:
        others = []  # whatever is there instead is replaced, where that can be
    entries = [(key, kept), *others][:MOST_KEPT]
    write_hers(beside(basket), b"".join(_written(*entry) for entry in entries))


def write_hers(path: str, data: bytes) -> None:
    """Put what is kept in the place of what stands there, for her eyes only. Raises OSError.

    Nothing is synced: what a loss of power leaves of it has no right checksum.
    """
    half = f"{path}-{os.getpid()}"
    _clear_away(path)
    try:
        with os.fdopen(os.open(half, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
            file.write(data)
        os.replace(half, path)
    except BaseException:
        if os.path.exists(half):
            os.unlink(half)
        raise


def _clear_away(path: str) -> None:
    """Remove what programs that were killed left half written beside a file."""
    folder, name = os.path.split(path)
    with os.scandir(folder or os.curdir) as inside:
        halves = [one for one in inside if one.name.startswith(f"{name}-")]
    for one in halves:
        about = one.stat(follow_symlinks=False)
        is_half = one.name[len(name) + 1 :].isdecimal() and stat.S_ISREG(about.st_mode)
        if is_half and time.time() - about.st_mtime > _STALE_S:
            os.unlink(one.path)


def _read(basket: str) -> bytes:
    """What stands in the file of the answers. Raises OSError."""
    return read_hers(beside(basket))


def read_hers(path: str) -> bytes:
    """What is kept in a file; nothing where another could have written it, or too much. Raises OSError."""
    handle = os.open(path, _AS_IT_IS)
    try:
        about = os.fstat(handle)
        is_hers = about.st_uid == os.geteuid() and not about.st_mode & 0o022
        if not stat.S_ISREG(about.st_mode) or not is_hers or about.st_size > MOST_SIZE:
            return b""
        return os.read(handle, MOST_SIZE)
    finally:
        os.close(handle)


def _written(key: str, kept: Kept) -> bytes:
    """An entry: its checksum, its key, its numbers and its length in a line, then its text."""
    text = kept.text.encode()
    numbers = kept.touched, kept.since, kept.until, kept.day, len(text)
    head = " ".join([key, *map(str, numbers)]).encode()
    return b"%s %s\n%s" % (checksum(head + text).encode(), head, text)


def _entries(data: bytes) -> list[tuple[str, Kept]]:
    """Those in a file, the newest first, up to the first that is not what was written."""
    found: list[tuple[str, Kept]] = []
    at = 0
    while (end := data.find(b"\n", at)) > 0:
        told, _, head = data[at:end].partition(b" ")
        key, *numbers = head.split()
        try:
            touched, since, until, day, size = map(int, numbers)
            at = end + 1 + size
            text = data[end + 1 : at]
            if size < 0 or told.decode() != checksum(head + text):
                break
            said = text.decode()
            if not all(line.isprintable() for line in said.split("\n")):
                break  # no sign that steers a terminal is ever said
            found.append((key.decode(), Kept(touched, since, until, day, said)))
        except ValueError:
            break
    return found
