"""The circle: packs of many knitters, read one after the other; one that cannot be read stops none."""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from tracker.circle_words import Knitter, knitter_of
from tracker.glance import Shown
from tracker.knitting.course import Course
from tracker.knitting.worked import day_of
from tracker.packing import parted_in, replayed_on
from tracker.storage.files import Fault, FileTrouble
from tracker.storage.histories import Newest, newest
from tracker.storage.pack import Pack
from tracker.storage.pack_file import began_with, is_pack, read_pack
from tracker.storage.pattern_file import document_of, open_text

PATTERNS_KEPT = 50
"""Patterns that are kept while a circle is read: a class often shares a few."""

ENDING = ".pack"
"""What a pack is called like; in a folder one of another name is found by how it begins."""


def read_circle(paths: Iterable[str], today: int) -> Iterator[Knitter | FileTrouble]:
    """The knitters of the packs in files and folders, as they are read, and what cannot be read.

    Of several packs of one pair only the newest is shown, once the last of them is read; where two went on
    each by itself, both are. `today` is the reader's day (since 1970).
    """
    files = list[str | FileTrouble]()
    for path in paths:
        try:
            files += files_of(path)
        except FileTrouble as trouble:
            files.append(trouble)
    yield from _Circle(files, today).read()


class _Circle:
    """The packs of a circle, each with the event it begins with: one pair has one such event."""

    def __init__(self, files: Sequence[str | FileTrouble], today: int) -> None:
        self._files, self._today = files, today
        self._courses: dict[str, Course] = {}
        self._began = [began_with(file) if isinstance(file, str) else None for file in files]
        self._to_come = Counter(self._began)
        self._waiting: dict[bytes, list[tuple[str, Pack]]] = {}

    def read(self) -> Iterator[Knitter | FileTrouble]:
        """One after the other; those of one pair wait for each other."""
        for file, began in zip(self._files, self._began, strict=True):
            self._to_come[began] -= 1
            if isinstance(file, FileTrouble):
                yield file
                continue
            waiting = self._waiting.setdefault(began, []) if began else []
            try:
                waiting.append((file, read_pack(file)))
            except FileTrouble as trouble:
                yield trouble
            if not (began and self._to_come[began]):
                yield from self._of_one_pair(waiting)
                waiting.clear()

    def _of_one_pair(self, packs: Sequence[tuple[str, Pack]]) -> Iterator[Knitter | FileTrouble]:
        """The newest of them; where that cannot be shown, the one before it."""
        while packs:
            broken = set()
            shown = []
            for one in newest([pack.rows for _, pack in packs]):
                file, pack = packs[one.place]
                try:
                    shown.append(self._knitter(file, pack, one))
                except FileTrouble as trouble:
                    broken.add(one.place)
                    yield trouble
            if not broken:
                yield from shown
                return
            packs = [one for place, one in enumerate(packs) if place not in broken]

    def _knitter(self, file: str, pack: Pack, among: Newest) -> Knitter:
        own, shared = _own_and_shared(file, pack.pattern_text)
        courses = self._courses
        if shared not in courses:
            if len(courses) >= PATTERNS_KEPT:
                courses.clear()
            courses[shared] = Course(open_text(file, pack.pattern_text))
        last, replay = pack.rows[-1], replayed_on(courses[shared], file, pack)
        shown = Shown(pack.short, "rounds", len(pack.rows), today=self._today)
        last_day = day_of(last.at, last.offset)
        knitter = knitter_of(replay.course, replay.state, shown, own, last_day)
        parted = ""
        if among.common:
            dated = not pack.for_teacher  # a teacher's events all have one day
            parted = parted_in(courses[shared], file, pack, among.common, dated=dated)
        return knitter._replace(older=among.older, parted=parted)


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


_OWN = re.compile(r"^(?:title|knitter) = .*\n", re.MULTILINE)


def _own_and_shared(file: str, text: str) -> tuple[dict[str, Any], str]:
    """Title and knitter of a pattern's text, and all else of it: what those share who knit the same."""
    top, table, below = text.partition("\n[")
    own = "".join(_OWN.findall(f"{top}\n"))
    try:
        return document_of(file, own), _OWN.sub("", f"{top}\n") + table + below
    except FileTrouble:  # a title over several lines
        return document_of(file, text), text
