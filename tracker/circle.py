"""The circle: packs of many knitters, read one after the other; one that cannot be read stops none."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from tracker.circle_words import Knitter, knitter_of
from tracker.glance import Shown
from tracker.knitting.course import Course
from tracker.knitting.worked import day_of
from tracker.packing import replayed_on
from tracker.storage.files import Fault, FileTrouble
from tracker.storage.pack_file import is_pack, read_pack
from tracker.storage.pattern_file import document_of, open_text

PATTERNS_KEPT = 50
"""Patterns that are kept while a circle is read: a class often shares a few."""

ENDING = ".pack"
"""What a pack is called like; in a folder one of another name is found by how it begins."""


def read_circle(paths: Iterable[str], today: int) -> Iterator[Knitter | FileTrouble]:
    """The knitters of the packs in files and folders, as they are read, and what cannot be read.

    `today` is the reader's day (since 1970).
    """
    courses: dict[str, Course] = {}
    for path in paths:
        try:
            for file in files_of(path):
                try:
                    yield _knitter(file, courses, today)
                except FileTrouble as trouble:
                    yield trouble
        except FileTrouble as trouble:
            yield trouble


def files_of(path: str) -> list[str]:
    """A file, or the packs in a folder by their names. Raises FileTrouble where that has none."""
    try:
        if not Path(path).is_dir():
            return [path]
        names = sorted(os.listdir(path))
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "its name cannot be used"
        raise FileTrouble(path, [Fault(None, "", f"it cannot be read: {why.lower()}")]) from None
    found = [file for name in names if _is_one(file := os.path.join(path, name))]
    if not found:
        raise FileTrouble(path, [Fault(None, "", "no pack is in this folder; name another")])
    return found


def _is_one(file: str) -> bool:
    if Path(file).name.startswith("."):
        return False
    return Path(file).suffix == ENDING or is_pack(file)


def _knitter(file: str, courses: dict[str, Course], today: int) -> Knitter:
    pack = read_pack(file)
    own, shared = _own_and_shared(file, pack.pattern_text)
    if shared not in courses:
        if len(courses) >= PATTERNS_KEPT:
            courses.clear()
        courses[shared] = Course(open_text(file, pack.pattern_text))
    last, replay = pack.rows[-1], replayed_on(courses[shared], file, pack)
    shown = Shown(pack.short, "rounds", len(pack.rows), today=today)
    return knitter_of(replay.course, replay.state, shown, own, day_of(last.at, last.offset))


_OWN = re.compile(r"^(?:title|knitter) = .*\n", re.MULTILINE)


def _own_and_shared(file: str, text: str) -> tuple[dict[str, Any], str]:
    """Title and knitter of a pattern's text, and all else of it: what those share who knit the same."""
    top, table, below = text.partition("\n[")
    own = "".join(_OWN.findall(f"{top}\n"))
    try:
        return document_of(file, own), _OWN.sub("", f"{top}\n") + table + below
    except FileTrouble:  # a title over several lines
        return document_of(file, text), text
