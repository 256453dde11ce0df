"""Texts of several sizes written as one, the way the trade does it: 48 (56, 60)."""

from __future__ import annotations

import re
from collections.abc import Sequence

_NUMBER = re.compile(r"(\d+(?:\.\d+|(?:/\d+)+|(?: / \d+)+)?)")
"""A number, or the counts on needles that belong together: 16/16/16/16."""


def merged(texts: Sequence[str]) -> str | None:
    """ "k16, turn" and "k14, turn" as "k16 (14), turn"; None where they differ in more than numbers.

    `texts` are those of the sizes in order, one or more; what is the same in all is written once.
    """
    parts = [_NUMBER.split(text) for text in texts]
    if len({tuple(part[::2]) for part in parts}) > 1:
        return None
    return "".join(_together(same) for same in zip(*parts, strict=True))


def _together(same: Sequence[str]) -> str:
    first, *others = same
    return f"{first} ({', '.join(others)})" if set(others) - {first} else first
