"""Why an act cannot be recorded: one line, what and what to do instead."""

from __future__ import annotations

from collections.abc import Callable, Mapping

AtNeedles = Callable[[Mapping[str, str]], str]


class Refused(Exception):
    """An act that cannot be recorded. The message is one line: what, and what to do instead.

    `at_needles` makes that line of the keys in force, for her who has keys and no commands, where the two
    are not alike.
    """

    def __init__(self, why: str, at_needles: AtNeedles | None = None) -> None:
        self._at_needles = at_needles
        super().__init__(why)

    def at_needles(self, keys: Mapping[str, str]) -> str:
        """The line for her who has these keys; "" where it is as for everybody."""
        return self._at_needles(keys) if self._at_needles is not None else ""


class Counted(Refused):
    """A goal for a section that ends at a count; `ahead` is the next that has a length, if any."""

    def __init__(self, why: str, ahead: str | None) -> None:
        super().__init__(why)
        self.ahead = ahead


class Follows(Refused):
    """A goal for the pair that can be one sock's only: on the other the section is over."""
