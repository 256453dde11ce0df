"""What goes wrong with a basket, in a knitter's words: the one place where errors become lines."""

from __future__ import annotations

import errno
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tracker.units import shorten


class BasketTrouble(Exception):
    """The basket cannot do it. str() is one line: what, what to do instead, and the file."""


class BasketBusy(BasketTrouble):
    """Another program held the basket for BUSY_MS; nothing was recorded."""


class NoPair(BasketTrouble):
    """No pair is called so."""


BUSY = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
"""SQLite's result codes where another one is writing."""

SYNC_FAILED = (sqlite3.SQLITE_IOERR_FSYNC, sqlite3.SQLITE_IOERR_DIR_FSYNC)
"""SQLite's result codes where all was written, and the disk does not say that it has it."""

_SAID = {
    sqlite3.SQLITE_FULL: "the disk is full and nothing was recorded; make room, then do it again",
    sqlite3.SQLITE_IOERR: (
        "the disk failed and nothing was recorded; see that it is sound and has room, then do it"
        " again"
    ),
    sqlite3.SQLITE_READONLY: (
        "the basket may only be read and nothing was recorded; make its file and its folder"
        " writable"
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "the basket cannot be opened; make its file and its folder writable, or name another with"
        " --basket"
    ),
    sqlite3.SQLITE_CONSTRAINT: (
        'the basket does not take this and nothing was recorded; "instep check" lists what is wrong'
    ),
    sqlite3.SQLITE_CORRUPT: (
        'the basket is damaged; "instep check" lists what is wrong, "instep mend" saves what is sound'
    ),
    sqlite3.SQLITE_NOTADB: (
        "this file is no basket; name another file, or where it was your basket, instep mend brings it back"
    ),
}
"""What SQLite's result codes mean to a knitter."""

_LIKE = {
    errno.EACCES: sqlite3.SQLITE_CANTOPEN, errno.EPERM: sqlite3.SQLITE_CANTOPEN,
    errno.EROFS: sqlite3.SQLITE_READONLY, errno.ENOSPC: sqlite3.SQLITE_FULL,
    errno.EDQUOT: sqlite3.SQLITE_FULL, errno.EFBIG: sqlite3.SQLITE_FULL,
}  # fmt: skip
"""What the system says where SQLite would say this."""


UNREADABLE = (sqlite3.Error, UnicodeDecodeError)
"""What SQLite's module raises of a damaged file: its messages quote it, and are then no UTF-8 either."""


@contextmanager
def in_words(path: Path, *also: type[Exception], writes: bool = False) -> Iterator[None]:
    """The one place where errors, SQLite's and those named in `also`, are put into words."""
    kinds: tuple[type[Exception], ...] = (*UNREADABLE, *also)
    try:
        yield
    except BasketTrouble:
        raise
    except kinds as error:
        raise _trouble(error, path, writes) from error


def _trouble(error: Exception, path: Path, writes: bool) -> BasketTrouble:
    code, where = result_code(error) or _LIKE.get(getattr(error, "errno", 0), 0), in_file(path)
    if code in BUSY:
        busy = "the basket is busy: another program is writing to it"
        instead = "the key was not counted, press it again" if writes else "try again"
        return BasketBusy(f"{busy}; {instead}{where}")
    if code in _SAID:
        return BasketTrouble(f"{_SAID[code]}{where}")
    reason = shorten(getattr(error, "strerror", None) or str(error), 120)
    return BasketTrouble(
        f"the basket cannot be used ({reason}); name another file, or mend it{where}"
    )


def result_code(error: Exception) -> int:
    """SQLite's primary result code; 0 where the error is not SQLite's."""
    if isinstance(error, UnicodeDecodeError):
        return sqlite3.SQLITE_CORRUPT
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def unsure(path: Path) -> BasketTrouble:
    """The disk failed after all was written, and takes nothing more that would undo it."""
    return BasketTrouble(
        "the disk failed, and whether this was recorded shows when the basket is opened again; see that"
        f" the disk is sound and has room, then look at the count before you go on{in_file(path)}"
    )


def was_put_back(path: Path) -> BasketTrouble:
    """The file was removed while it was open here."""
    return BasketTrouble(
        f"the basket's file was removed; it was put back, with all that is recorded{in_file(path)}"
    )


def not_put_back(copy: Path, path: Path) -> BasketTrouble:
    """It was removed, and its name is another file's by now, or cannot be given."""
    return BasketTrouble(
        "the basket's file was removed and cannot be put back; all that is recorded is in"
        f" {shorten(str(copy), 300)}: look at that with --basket, and start Instep again{in_file(path)}"
    )


def damage(what: str, path: Path) -> BasketTrouble:
    """Something in the file is not what was recorded."""
    return BasketTrouble(
        f'{what} is damaged, and nothing was changed; "instep check" lists what is, "instep mend" saves'
        f" what is sound{in_file(path)}"
    )


def no_backup(path: Path, folder: Path, error: Exception) -> BasketTrouble:
    """Whatever hindered it: it comes after what was recorded, which is kept."""
    reason = shorten(getattr(error, "strerror", None) or str(error), 120).lower()
    return BasketTrouble(
        f"today's backup is not made ({reason}), though all that was recorded is kept; see that the disk has"
        f" room and that {shorten(str(folder), 300)} can be written to{in_file(path)}"
    )


def basket_open(path: Path) -> BasketBusy:
    """It cannot be replaced while another program has it open."""
    return BasketBusy(
        "the basket is open in another program, and nothing was changed; leave that, then"
        f" do it again{in_file(path)}"
    )


def log_damaged(path: Path, aside: Path | None) -> BasketTrouble:
    """What was recorded last is not in the log any more, which a killed program left."""
    kept = f"; as it was it is kept in {shorten(str(aside), 300)}" if aside else ""
    return BasketTrouble(
        "the log that a killed program left is damaged, and acts that were recorded last are lost; start"
        f" Instep again and look at the count before you knit on{kept}{in_file(path)}"
    )


def may_only_be_read(path: Path) -> BasketTrouble:
    """The system lets her read its file and not write it."""
    return BasketTrouble(f"{_SAID[sqlite3.SQLITE_READONLY]}{in_file(path)}")


def not_a_basket(path: Path) -> BasketTrouble:
    """Another program's file, or no database at all."""
    return BasketTrouble(
        "this file is no basket, and nothing was changed; name another file, or where it was your"
        f" basket, instep mend brings it back{in_file(path)}"
    )


def not_a_file(path: Path, mode: int) -> BasketTrouble:
    """A folder, or something that cannot be written like a file; `mode` is that of os.stat."""
    if stat.S_ISDIR(mode):
        return BasketTrouble(f"this is a folder; name a file in it{in_file(path)}")
    return BasketTrouble(f"this is no plain file; name another one{in_file(path)}")


def old_sqlite(path: Path) -> BasketTrouble:
    """The library is older than the tables of a basket."""
    return BasketTrouble(
        f"this Python brings SQLite {sqlite3.sqlite_version}, and a basket needs 3.37 or newer; run"
        f" Instep with a newer Python{in_file(path)}"
    )


def gone(short: str, path: Path) -> BasketTrouble:
    """The pair was there when it was opened."""
    return BasketTrouble(
        f"{shorten(short)} is no longer in the basket; see"
        f' "instep basket" for what is{in_file(path)}'
    )


def behind(short: str, known: int, last: int, path: Path) -> BasketTrouble:
    """The file holds fewer events of a pair than were seen in it."""
    return BasketTrouble(
        f"the basket holds {last} events of {shorten(short)}, and {known} are known here:"
        f" an older copy was put in its place; start Instep again{in_file(path)}"
    )


def not_found(short: str | None, names: list[str], path: Path) -> NoPair:
    """No pair is called `short`, or, with None, none is out; `names` are those that there are."""
    where = in_file(path)
    if not names:
        return NoPair(f'the basket is empty; start a pair with "instep start FILE"{where}')
    if short is None:
        named = shorten(names[0])
        return NoPair(f'every pair is put away; bring one out: "instep back {named}"{where}')
    return NoPair(
        f'no pair is called "{shorten(short)}"; write "{_nearest(short, names)}", or see'
        f' "instep basket" for the others{where}'
    )


def _nearest(short: str, names: list[str]) -> str:
    from difflib import get_close_matches

    return shorten(next(iter(get_close_matches(short, names, n=1, cutoff=0.0)), names[0]))


def in_file(path: Path) -> str:
    """Which file it is about, as every line ends."""
    return f" ({shorten(str(path), 300)})"
