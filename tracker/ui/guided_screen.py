"""A round to try, at the needles of a practice pair that is gone afterwards."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from shutil import rmtree
from tempfile import mkdtemp

from tracker import words
from tracker.samples import samples
from tracker.session import Clock, Session
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.files import Fault, FileTrouble
from tracker.storage.pattern_file import open_file
from tracker.ui.guide import BEGINS_AT, Guide
from tracker.ui.knitting_app import app_of
from tracker.ui.needles_screen import NeedlesScreen

PRACTICE = "night-ferry"
"""The sample whose leg is tried."""


_CANNOT_FAIL = frozenset({"counting", "help"})
"""Acts that record nothing, or cannot be refused."""


class GuidedScreen(NeedlesScreen):
    """The needles with a voice that asks for one key after the other; every key does what it always does.

    Its basket is its own, in a folder that is removed when she leaves: for `to_basket`, whichever way.
    """

    def __init__(self, practice: Practice, to_basket: Callable[[], None]) -> None:
        super().__init__(practice.session)
        self._practice, self._to_basket = practice, to_basket
        self._guide = Guide()
        self._said = self._said_brief = ""  # not where she is, for that she is about to be told

    def press(self, key: str, character: str) -> None:
        """Escape leaves the trial where it leaves nothing else."""
        if key == "escape" and not (self._typed or self._writing or self._left):
            self.do_basket("")
        else:
            super().press(key, character)

    def on_unmount(self) -> None:
        """Whichever way she left: the practice pair is gone."""
        self._practice.remove()

    def _command(self, key: str) -> None:
        before, act = self.session.glance.events, self.keys.act(key) or ""
        super()._command(key)
        if self._left:
            return
        done = act in _CANNOT_FAIL or self.session.glance.events > before
        if done and (on := self._guide.after(act)) != self._guide:
            self._guide = on
            self._said = self._said_brief = ""  # the next step is said instead
            self._draw()

    def _to_say(self) -> tuple[str, str]:
        if self._said or self._left:
            return super()._to_say()
        keys = app_of(self).keys
        shown = {**keys.shown, "new": keys.screens["basket"].shown["new"]}
        return self._guide.told({**shown, "length": words.example(self.session.glance)})

    def do_basket(self, number: str) -> None:
        """Back to the basket."""
        self._left = True
        self._to_basket()

    def do_leave(self, number: str) -> None:
        """As to the basket: what she leaves is the trial."""
        self.do_basket(number)


class Practice:
    """A pair to try things on, in a basket of its own."""

    def __init__(self, clock: Clock) -> None:
        sample = next((path for path in samples() if path.stem == PRACTICE), None)
        if sample is None:
            raise FileTrouble(PRACTICE, [Fault(None, "", "the samples were taken away")])
        self._folder = Path(mkdtemp(prefix="instep-"))
        try:
            self._basket = Basket.open(self._folder / "trial.db")
            self.session = Session.start(self._basket, open_file(str(sample)), clock)
            self.session.at(BEGINS_AT, "leg")
        except (BasketTrouble, FileTrouble):
            self.remove()
            raise

    def remove(self) -> None:
        """Close its basket and remove it."""
        self._basket.close()
        rmtree(self._folder, ignore_errors=True)
