"""Lines of a text. What is fitted into several widths, and shown again by the next key, is wrapped once."""

from __future__ import annotations

import textwrap
from functools import lru_cache


def wrap(
    text: str,
    width: int,
    *,
    initial_indent: str = "",
    max_lines: int | None = None,
    placeholder: str = " [...]",
) -> list[str]:
    """`text` in lines of at most `width` letters, as the standard library wraps it."""
    return list(_wrapped(text, width, initial_indent, max_lines, placeholder))


@lru_cache(maxsize=256)
def _wrapped(
    text: str, width: int, indent: str, most: int | None, placeholder: str
) -> tuple[str, ...]:
    wrapper = textwrap.TextWrapper(
        width, initial_indent=indent, max_lines=most, placeholder=placeholder
    )
    return tuple(wrapper.wrap(text))
