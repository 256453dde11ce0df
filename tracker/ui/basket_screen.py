"""The basket: every pair, the one last touched first; where it is empty, the samples to begin with."""

from __future__ import annotations

from pathlib import Path

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tracker import words
from tracker.packing import unpack
from tracker.samples import samples
from tracker.session import Clock, Session, rests_of, step_of
from tracker.storage.basket import Basket, BasketTrouble, PairRow
from tracker.storage.files import FileTrouble
from tracker.storage.pack_file import is_pack
from tracker.storage.pattern_file import open_file
from tracker.ui.knitting_app import app_of, plans_here
from tracker.ui.needles_screen import NeedlesScreen
from tracker.units import shorten

_KEYS = "space or enter at the needles   n new pair   q leave"


class BasketScreen(Screen[None]):
    """A list to choose from: space or enter goes to the needles, q leaves."""

    def __init__(self) -> None:
        super().__init__()
        self._pairs: list[PairRow] = []
        self._samples: list[Path] = []
        self._left = False

    def compose(self) -> ComposeResult:
        """A title, the list, what was said, the keys."""
        yield Static("", id="basket-title")
        yield OptionList(id="basket-list")
        yield Static("", id="basket-said")
        yield Static(Text(_KEYS), id="basket-keys")

    def on_mount(self) -> None:
        """Fill the list."""
        try:
            self._pairs = app_of(self).basket.pairs()
        except BasketTrouble as trouble:
            self._say(str(trouble))
        self._samples = [] if self._pairs else samples()
        chosen = self.query_one(OptionList)
        chosen.add_options(self._options())
        chosen.focus()
        if chosen.option_count:
            chosen.highlighted = 0
        self.query_one("#basket-title", Static).update(Text(self._title()))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open the pair, or start the sample, that was chosen."""
        if self._left:
            return
        try:
            session = self._open(event.option_index)
        except (BasketTrouble, FileTrouble) as trouble:
            self._say(str(trouble))
            return
        self._left = True
        app_of(self).session = session
        self.app.switch_screen(NeedlesScreen(session))

    def on_key(self, event: events.Key) -> None:
        """q leaves; space opens, as enter does; n is for a new pair."""
        key = event.key.lower() if len(event.key) == 1 else event.key
        if key not in ("q", "space", "n"):
            return
        event.stop()
        event.prevent_default()
        if self._left:
            return
        if key == "q":
            self.app.exit()
        elif key == "n":
            self._new_pair()
        else:
            self.query_one(OptionList).action_select()

    def _new_pair(self) -> None:
        """The sentence of a plan, with every blank."""
        if not self._left:
            from tracker.ui.blanks import new_pair

            self._left = True
            app_of(self).fill_in(new_pair(plans_here()), app_of(self).to_basket)

    def _open(self, index: int) -> Session:
        basket, clock = app_of(self).basket, app_of(self).clock
        if self._pairs:
            return Session(basket, basket.find(self._pairs[index].short), clock)
        sample = str(self._samples[index])
        if is_pack(sample):
            return unpack(basket, sample, clock).session
        return Session.start(basket, open_file(sample), clock)

    def _options(self) -> list[Option]:
        if self._pairs:
            basket, clock = app_of(self).basket, app_of(self).clock
            now = clock().at
            return [
                Option(_pair(pair, now, basket.of_socks(pair), _stands(basket, pair, clock)))
                for pair in self._pairs
            ]
        return [Option(_sample(path)) for path in self._samples]

    def _title(self) -> str:
        if not self._pairs:
            return "basket   empty: begin with a sample, or n: a new pair"
        count = len(self._pairs)
        return f"basket   {count} pair{'s' if count > 1 else ''}"

    def _say(self, text: str) -> None:
        self.query_one("#basket-said", Static).update(Text(shorten(text, 400)))


def _stands(basket: Basket, pair: PairRow, clock: Clock) -> str:
    """In step or not, and until when that is all of the pattern where it is used up."""
    return "; ".join(filter(None, (step_of(basket, pair, clock), rests_of(basket, pair, clock))))


def _pair(pair: PairRow, now: int, of_socks: bool, step: str) -> Text:
    here = pair.summary
    text = Text(shorten(pair.title, 60), "bold")
    where = f"{words.sock(here.sock, of_socks)}, {words.section(here.section, of_socks)}"
    place = f"{where}, {here.done} done"
    return text.append(f"\n{place}; {step}. {words.ago(now - pair.touched)}\n", "not bold")


def _sample(path: Path) -> Text:
    what = "a sample, half-way through sock two" if is_pack(str(path)) else "a sample"
    return Text(path.stem.replace("-", " ").capitalize(), "bold").append(f"\n{what}\n", "not bold")
