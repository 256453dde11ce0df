"""The floor: a bare Textual counter of large digits and one line, which may commit each key in its own file.

Run it in a terminal: python -m tests.benchmarks.bare_counter [DATABASE]
Space counts, q leaves. With a database each key is one row more and one row moved on, committed before
it is painted, as Instep's are.
"""

from __future__ import annotations

import sys
from pathlib import Path

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Digits, Static

from tests.benchmarks.own_file import OwnFile


class BareCounter(App[None]):
    """Counts keys."""

    ENABLE_COMMAND_PALETTE = False
    CSS = "Digits { width: 40; height: 3; } Static { width: 60; height: 1; }"

    def __init__(self, own: OwnFile | None) -> None:
        super().__init__()
        self._own, self._count = own, 0

    def compose(self) -> ComposeResult:
        """The digits and the line."""
        yield Digits("0")
        yield Static("0 done")

    def on_key(self, event: events.Key) -> None:
        """Count it; q leaves."""
        if event.key == "q":
            self.exit()
            return
        self._count += 1
        if self._own is not None:
            self._own.commit()
        self.query_one(Digits).update(str(self._count))
        self.query_one(Static).update(f"{self._count} done")


def main() -> None:
    """Run it."""
    BareCounter(OwnFile(Path(sys.argv[1])) if len(sys.argv) > 1 else None).run()


if __name__ == "__main__":
    main()
