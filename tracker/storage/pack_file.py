"""Packs in files: read within bounds, written whole, and never over anything that is not in them."""

from __future__ import annotations

import stat
from collections.abc import Mapping
from pathlib import Path

from tracker.storage import pack as packs
from tracker.storage.files import PIPED, Fault, FileTrouble, piped_in, write_file
from tracker.storage.pack import Damaged, Pack

LARGEST_BYTES = 40_000_000
"""No pack is larger: some two hundred thousand events."""


def read_pack(path: str) -> Pack:
    """Read a pack. Raises FileTrouble where it is missing, unreadable, too large or no pack, and
    Damaged where it is not what was packed.
    """
    return packs.read(path, _bytes_of(path))


def is_pack(path: str) -> bool:
    """Whether a file begins like a pack; False, too, where it cannot be read."""
    try:
        if path == PIPED:
            return packs.is_pack(piped_in("pack", LARGEST_BYTES)[:_BEGINNING])
        if not stat.S_ISREG(Path(path).stat().st_mode):
            return False
        with Path(path).open("rb") as file:
            return packs.is_pack(file.read(_BEGINNING))
    except (OSError, ValueError):
        return False


_BEGINNING = 4_096


def began_with(path: str) -> bytes | None:
    """The 16 bytes of the event that a pack says it begins with; None where it says none, or is no pack.

    Nothing of it is verified yet: packs that begin with the same event are looked at together.
    """
    try:
        if not stat.S_ISREG(Path(path).stat().st_mode):
            return None
        with Path(path).open("rb") as file:
            beginning = file.read(_HEAD_USUALLY)
            found = packs.first_event(beginning)
            if found is None and len(beginning) == _HEAD_USUALLY:
                found = packs.first_event(beginning + file.read(packs.LONGEST_HEAD))
    except (OSError, ValueError):
        return None
    return found


_HEAD_USUALLY = 65_536


def write_pack(path: str, pack: Pack, now: Mapping[str, str | int], *, basket: str) -> bool:
    """Write a pack whole; True where an older one of the same pair was replaced. Raises FileTrouble.

    No other file is written over, least of all the `basket`.
    """
    replaced = False

    def why_not(target: Path) -> str:
        nonlocal replaced
        why = _not_to_replace(target, pack)
        replaced = not why
        return why

    text = packs.write(pack, now)
    if why := _not_to_read(text):
        raise FileTrouble(path, [Fault(None, "", why)])
    write_file(path, text, instead_of=basket, why_not=why_not)
    return replaced


def _not_to_read(text: str) -> str:
    """Why a pack could not be read back, or ""."""
    if len(data := text.encode()) > LARGEST_BYTES:
        return (
            f"no pack of more than {LARGEST_BYTES // 1_000_000} MB can be read, and this pair's is larger, so"
            " that none is written; leave Instep and copy the basket itself (instep where names it)"
        )
    if packs.head_bytes(data) > packs.LONGEST_HEAD:
        return (
            "its pattern is too long for a pack that can be read, so that none is written; leave Instep and"
            " copy the basket itself (instep where names it)"
        )
    return ""


def _not_to_replace(target: Path, pack: Pack) -> str:
    """Why the file that is there must stay as it is, or ""."""
    try:
        there = read_pack(str(target))
    except Damaged:
        return "a damaged pack is there already; name another file, or see to that one first"
    except FileTrouble:
        return "this file is there already and is no pack; name another"
    if (there.uid, there.pattern) != (pack.uid, pack.pattern):
        return "the pack of another pair is there already; name another file"
    if there.for_teacher != pack.for_teacher:
        kind = "a teacher's pack" if there.for_teacher else "the whole pack"
        return f"{kind} of this pair is there already; name another file"
    if not pack.for_teacher and there.rows != pack.rows[: len(there.rows)]:
        return (
            "the pack there holds what is not in this basket; put it in with instep unpack, or name"
            " another file"
        )
    return ""


def _bytes_of(path: str) -> bytes:
    if path == PIPED:
        return _bounded(path, piped_in("pack", LARGEST_BYTES))
    try:
        mode = Path(path).stat().st_mode
        if stat.S_ISDIR(mode):
            raise FileTrouble(path, [Fault(None, "", "this is a folder; name a pack in it")])
        if not stat.S_ISREG(mode):
            # A pipe that nobody writes to would be waited for, for ever.
            raise FileTrouble(path, [Fault(None, "", "this is no plain file; name a pack")])
        with Path(path).open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise FileTrouble(path, [Fault(None, "", "there is no such file")]) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "its name cannot be used"
        raise FileTrouble(path, [Fault(None, "", f"it cannot be read: {why.lower()}")]) from None
    return _bounded(path, data)


def _bounded(path: str, data: bytes) -> bytes:
    if len(data) > LARGEST_BYTES:
        why = f"it is larger than {LARGEST_BYTES // 1_000_000} MB; no pack is"
        raise FileTrouble(path, [Fault(None, "", why)])
    return data
