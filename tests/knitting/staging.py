"""Patterns in stages for tests: the sample's sock cut where a teacher would cut it, and made otherwise."""

from __future__ import annotations

from functools import cache
from typing import Any

from tests.knitting.knitter import SAMPLE, SECTIONS, Knitter
from tracker.knitting.course import Course
from tracker.pattern.joining import joined
from tracker.pattern.kept import kept_text
from tracker.pattern.reading import read_pattern
from tracker.storage.pattern_file import open_file


@cache
def whole() -> dict[str, Any]:
    """The tables of the sock of 64 stitches."""
    return open_file(str(SAMPLE)).document


def up_to(section: str, **more: Any) -> dict[str, Any]:
    """Its tables as far as a section, that among them."""
    sections = whole()["section"][: SECTIONS.index(section) + 1]
    return {**whole(), "section": sections, **more}


def course_up_to(section: str, **more: Any) -> Course:
    """The course of a pair that was begun with so much of it."""
    return Course(read_pattern(up_to(section, **more), ""))


@cache
def appended(begun: str, to: str) -> str:
    """What an event keeps where so much was there, and it goes on as far as `to`."""
    return kept_text(joined(up_to(begun), up_to(to)))


def otherwise(name: str, /, **fields: Any) -> dict[str, Any]:
    """The whole sock with other fields in the section of that name."""
    sections = [
        {**table, **fields} if table["name"] == name else table for table in whole()["section"]
    ]
    return {**whole(), "section": sections}


def begun(section: str = "leg", **more: Any) -> Knitter:
    """A knitter with the sample's sock as far as a section."""
    return Knitter(course_up_to(section, **more))
