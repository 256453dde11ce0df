"""A plan as a sentence to fill in: each key computes it anew; its last word keeps it and starts the pair."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from tracker.pattern.tables import LONGEST_TEXT
from tracker.session import Session
from tracker.storage.basket import BasketTrouble
from tracker.storage.files import FileTrouble, write_file
from tracker.ui.aside import ANY_GRID, Page
from tracker.ui.blanks import Filling
from tracker.ui.commands import PLAN_BY_KEY, plan_footer
from tracker.ui.footer import Entry
from tracker.ui.knitting_app import app_of
from tracker.ui.outcome import NOTHING_YET, first_to_mend, work_out
from tracker.ui.plan_view import Sight, in_view, last_top, page_rows, sizes


class PlanScreen(Screen[None]):
    """The sentence. `start` starts the pair of a plan file; then `begun` is told of it, or `left` that she
    went back.

    `made_from` is the file whose blanks these are, which is never written over; "" for a new pair.
    """

    def __init__(
        self,
        filling: Filling,
        start: Callable[[str], Session],
        begun: Callable[[Session], None],
        left: Callable[[], None],
        made_from: str = "",
    ) -> None:
        super().__init__()
        self.filling, self._untouched = filling, filling
        self._start, self._begun, self._back = start, begun, left
        self._made_from = made_from
        self._sight = Sight(filling, work_out(filling, NOTHING_YET))
        self._replaces = ""
        """A file that is there already: enter once more replaces it."""
        self._leaves = False
        """Whether escape was pressed once: once more, and what is typed is gone."""
        self._gone = False

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("plan")

    def on_resize(self) -> None:
        """Lay it out anew."""
        self._draw()

    def on_key(self, event: events.Key) -> None:
        """Moves among the blanks; any other key is a letter."""
        event.stop()
        event.prevent_default()
        if self._gone:
            return
        command = PLAN_BY_KEY.get(event.key)
        if command is not None:
            self._do(command.name, event.key)
        else:
            self._fill(self.filling.typed(event.character or ""))

    def on_paste(self, event: events.Paste) -> None:
        """Letters of the blank at work."""
        event.stop()
        self._fill(self.filling.pasted(event.text))

    def on_mouse_scroll_up(self) -> None:
        """A wheel turns it, too."""
        self._scroll(-3)

    def on_mouse_scroll_down(self) -> None:
        """A wheel turns it, too."""
        self._scroll(3)

    # What the keys do

    def _do(self, name: str, key: str) -> None:
        if name in ("page_up", "page_down"):
            page = max(sizes(*self.size).rows - 1, 1)
            self._scroll(page if name == "page_down" else -page)
        elif name == "back":
            self._leave()
        elif key == "enter" and self.filling.blank is None:
            self._keep()
        else:
            self._fill(_STEPS[name](self.filling))

    def _fill(self, filling: Filling) -> None:
        """Show another filling, computed where anything was typed."""
        before, outcome = self.filling, self._sight.outcome
        self.filling, self._replaces, self._leaves = filling, "", False
        told = filling.texts != before.texts
        self._sight = Sight(filling, work_out(filling, outcome) if told else outcome)
        self._draw()

    def _leave(self) -> None:
        if self.filling.texts == self._untouched.texts or self._leaves:
            self._gone = True
            self._back()
            return
        self._leaves = True
        self._say("what is typed is not kept; esc once more leaves it")

    def _keep(self) -> None:
        """Keep the plan in its file, and start the pair from that."""
        filling, outcome = self.filling, self._sight.outcome
        at = first_to_mend(filling, outcome)
        if at is not None:
            self._fill(filling.to(at))
            return
        if outcome.opened is None:
            return
        path = os.path.expanduser(filling.file)
        try:
            write_file(path, outcome.text, instead_of=self._made_from, why_not=self._why_not)
            session = self._start(path)
        except (FileTrouble, BasketTrouble) as trouble:
            self._say(str(trouble))
            return
        self._gone = True
        self._begun(session)

    def _why_not(self, target: Path) -> str:
        """Why a file that is there is not replaced: she is told first."""
        if self._replaces == str(target):
            return ""
        self._replaces = str(target)
        return "this file is there already; enter once more replaces it, or name another"

    # What is shown

    def _say(self, text: str) -> None:
        self._sight = self._sight._replace(said=text, top=None)
        self._draw()

    def _scroll(self, lines: int) -> None:
        at = sizes(*self.size)
        column, first = in_view(self._sight._replace(top=self._sight.top or 0), at)
        top = max(0, min(first + lines, last_top(column, at)))
        self._sight = self._sight._replace(top=top)
        self._draw()

    def _draw(self) -> None:
        sight = self._sight._replace(plain=app_of(self).in_plain_text)
        rows = page_rows(sight, self._keys(), *self.size)
        self.query_one(Page).show(rows, ANY_GRID)

    def _keys(self) -> list[Entry]:
        at, blank = sizes(*self.size), self.filling.blank
        column, _ = in_view(self._sight._replace(top=0), at)
        return plan_footer(
            chooses=blank is not None and blank.kind == "choice",
            starts=blank is None,
            scrolls=len(column) > at.rows,
        )


_STEPS: dict[str, Callable[[Filling], Filling]] = {
    "next": lambda filling: filling.moved(1),
    "previous": lambda filling: filling.moved(-1),
    "left": lambda filling: filling.sideways(-1),
    "right": lambda filling: filling.sideways(1),
    "begin": lambda filling: filling.to_letter(0),
    "finish": lambda filling: filling.to_letter(LONGEST_TEXT),
    "rub_out": lambda filling: filling.rubbed_out(),
    "delete": lambda filling: filling.deleted(),
}
