"""How a command speaks: lines of the answer, lines beside it, JSON, and what is wrong in one line."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Literal, TextIO

from tracker.letters import READABLE, teach_readable


class Unsaid(Exception):
    """The answer could not be written; what was done is done."""


@contextmanager
def writing() -> Iterator[None]:
    """What is written in the block; where that fails, Unsaid is raised."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Unsaid((error.strerror or str(error)).lower()) from None


def say(line: str) -> None:
    """A line of the answer. Whatever was overlooked, no sign that a terminal obeys leaves here."""
    with writing():
        print(_clean(line))


def say_aside(line: str) -> None:
    """A line beside the answer; where nobody listens, the answer is given all the same."""
    with suppress(OSError):
        print(_clean(line), file=sys.stderr)


def _clean(line: str) -> str:
    from tracker.units import shorten

    return line if line.isprintable() else shorten(line, len(line))


def ready_to_speak() -> None:
    """A closed stream is nobody, to be heard or told; where one lacks a letter, it is said with others."""
    teach_readable()
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, _nobody("w"))
    if sys.stdin is None:
        sys.stdin = _nobody("r")
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=READABLE)


def _nobody(mode: Literal["r", "w"]) -> TextIO:
    return Path(os.devnull).open(mode, encoding="utf-8")


def say_no_more() -> None:
    """Close the answer for a reader that has gone."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


LONGEST_MESSAGE = 1_000
"""Characters; a message quotes files and names that are a stranger's."""


class Wrong(Exception):
    """The knitter's input was wrong, in one line."""


def print_lines(lines: Any) -> None:
    """Print the lines of an answer."""
    for line in lines:
        say(line)


def print_text(text: str) -> None:
    """A file's text, to the letter where it is piped on; a terminal gets its lines."""
    if sys.stdout.isatty():
        print_lines(text.splitlines())
        return
    with writing():
        sys.stdout.flush()
        sys.stdout.buffer.write(text.encode())


def print_json(value: Any) -> None:
    """Print a value as JSON, in ASCII, on one line."""
    import json

    # In ASCII: a stranger's title may hold signs that a terminal obeys.
    say(json.dumps(value))
