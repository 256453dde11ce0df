"""A screen she looks at aside from her knitting.

A key that is none of its own closes it, and does what it does at the needles; that which opened it closes it.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Mapping
from typing import ClassVar

from textual import events
from textual.screen import Screen

from tracker.ui.canvas import Rows
from tracker.ui.commands import Command, by_key, spoken
from tracker.ui.grid import Grid
from tracker.ui.knitting_app import app_of
from tracker.ui.painted import Painted

ANY_GRID = Grid("full", {}, None)
"""A page is as large as the screen; no grid says where it stands."""


class Page(Painted[Rows]):
    """The rows it is given."""

    def paint(self, sight: Rows, grid: Grid) -> Rows:
        """Those rows."""
        return sight


class Aside(Screen[None]):
    """Its own keys do what its methods `do_...` say; "back" closes, and so do the keys of the act in
    `opened_by`.

    They are those of the table `in_settings`, as she has set it, or `keys` where it has none. Others
    close it, too, and are handed to `press`, in order.
    """

    opened_by: ClassVar[str] = ""
    in_settings: ClassVar[str] = ""

    def __init__(
        self, press: Callable[[str, str], None], keys: Mapping[str, Command] | None = None
    ) -> None:
        super().__init__()
        self._press, self._fixed = press, keys
        self._leaving = False

    @property
    def _own(self) -> Mapping[str, Command]:
        """Its own keys, those in force."""
        return by_key(self.in_settings, app_of(self).keys) if self._fixed is None else self._fixed

    def on_key(self, event: events.Key) -> None:
        """Do what an own key does; any other closes, and is done at the needles."""
        event.stop()
        event.prevent_default()
        named = spoken(event.key, event.character or "")
        # A pedal may be one of the keys that scroll: no tick is lost, whatever is looked at.
        command = None if app_of(self).keys.is_tick(named) else self._own.get(named)
        if self._leaving or (command is None and not self._opened_it(named)):
            self._close(event)
        elif command is None or command.name == "back":
            self._leaving = True
            self.app.pop_screen()
        else:
            getattr(self, f"do_{command.name}")()
            self._draw()

    def _opened_it(self, key: str) -> bool:
        act = app_of(self).keys.act(key)
        return act is not None and act == self.opened_by

    def _close(self, event: events.Key) -> None:
        if not self._leaving:
            # More keys may wait behind this one: the screen is left once, and none of them is lost.
            self._leaving = True
            self.app.pop_screen()
        self._press(event.key, event.character or "")

    @abstractmethod
    def _draw(self) -> None: ...
