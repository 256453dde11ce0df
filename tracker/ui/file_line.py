"""The line that takes the name of a file to open: typed, pasted, or completed by what is there."""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from tracker.records import NamedTuple

ENDINGS = (".toml", ".pack")
"""How the files end that can be opened."""
LONGEST = 400
"""Letters of a file's name."""
MOST_TOLD = 6
"""Names that are told where several go on from what is typed."""


class FileLine(NamedTuple):
    """What is typed so far, and what was found to go on with."""

    text: str = ""
    found: tuple[str, ...] = ()

    def typed(self, character: str) -> FileLine:
        """With one more character; one that does not print is none."""
        return self.pasted(character)

    def pasted(self, text: str) -> FileLine:
        """With what was pasted, as far as it prints and has room; without the quotes around it."""
        line = "".join(char for char in text.strip("\r\n'\"") if char.isprintable())
        return FileLine((self.text + line)[:LONGEST])

    def rubbed_out(self) -> FileLine:
        """Without its last character."""
        return FileLine(self.text[:-1])

    def completed(self, names: Sequence[str]) -> FileLine:
        """As far as all names agree; where that is not further, they are told."""
        if not names:
            return FileLine(self.text, ("no plan, pattern or pack is called so",))
        shared = os.path.commonprefix(names)  # noqa: RUF071 - letter by letter is what is wanted
        if len(shared) > len(self.text) or len(names) == 1:
            return FileLine(shared)
        more = (f"and {len(names) - MOST_TOLD} more",) if len(names) > MOST_TOLD else ()
        told = tuple(Path(name).name + ("/" if name.endswith("/") else "") for name in names)
        return FileLine(self.text, (*told[:MOST_TOLD], *more))

    @property
    def told(self) -> str:
        """The line as it is shown."""
        found = f"   ({', '.join(self.found)})" if self.found else ""
        return f"File to open: {self.text}_{found}"


def names_like(text: str) -> list[str]:
    """Folders, plans, patterns and packs whose names go on from what is typed; none where none is read."""
    begun = text.rpartition("/")[2]
    before = text[: len(text) - len(begun)]
    with suppress(OSError, ValueError, RuntimeError):
        there = Path(before or ".").expanduser()
        found = [
            f"{before}{entry.name}{'/' if entry.is_dir() else ''}"
            for entry in there.iterdir()
            if entry.name.startswith(begun)
            and (begun or not entry.name.startswith("."))
            and (entry.is_dir() or entry.suffix in ENDINGS)
        ]
        return sorted(found)
    return []
