"""How the terminal writes: what it can be sent, and what its keys come as."""

from __future__ import annotations

import locale
import os
import sys
from codecs import lookup

_UTF8 = "utf-8"


def terminal_encoding() -> str:
    """What the terminal can be sent: the locale's encoding, or the stream's where only that is not Unicode.

    Where the machine has no locales to speak of, the stream alone is asked.
    """
    stream = getattr(sys.__stderr__, "encoding", None) or _UTF8
    return stream if os.name == "nt" or not is_unicode(stream) else locale.getencoding()


def is_unicode(encoding: str) -> bool:
    """Whether an encoding has every sign there is. One that Python does not know has none."""
    return _named(encoding).startswith("utf")


def typed_encoding() -> str:
    """What keys come as: the locale's encoding. ASCII has no letters to spare: what is no ASCII is UTF-8."""
    encoding = locale.getencoding()
    return _UTF8 if _named(encoding) in ("", "ascii") or is_unicode(encoding) else encoding


def _named(encoding: str) -> str:
    """The name Python has for an encoding, "" where it has none."""
    try:
        return lookup(encoding).name
    except LookupError:
        return ""
