"""The framework's driver of a page in a browser, with what that leaves out.

It ends the program when the page, or the server that showed it, is gone; and no page is larger than a screen.
"""

from __future__ import annotations

from typing import Any

from textual import messages
from textual.app import App
from textual.drivers.web_driver import WebDriver

LARGEST = 500, 200
"""Columns and rows that a page may have: what it tells is a stranger's."""


class PageDriver(WebDriver):
    """A page: what comes from it are keys, and its size."""

    def __init__(
        self,
        app: App[Any],
        *,
        debug: bool = False,
        mouse: bool = True,
        size: tuple[int, int] | None = None,
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        if self._size is not None:
            self._size = bounded(*self._size)

    def run_input_thread(self) -> None:
        """Take keys until there are no more: then nobody looks any longer."""
        super().run_input_thread()
        if not self.exit_event.is_set():
            self._app.post_message(messages.ExitApp())

    def on_meta(self, packet_type: str, payload: dict[str, object]) -> None:
        """What the server tells beside the keys."""
        if packet_type == "resize":
            width, height = bounded(payload.get("width"), payload.get("height"))
            payload = {**payload, "width": width, "height": height}
        super().on_meta(packet_type, payload)


def bounded(width: object, height: object) -> tuple[int, int]:
    """A size within bounds; what is no number is the usual one."""
    wide = width if isinstance(width, int) else 80
    high = height if isinstance(height, int) else 24
    return max(1, min(wide, LARGEST[0])), max(1, min(high, LARGEST[1]))
