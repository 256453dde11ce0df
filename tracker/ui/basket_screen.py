"""The basket: every pair as a card, the one last touched first; those put away; and samples to begin with."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Literal

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from tracker import pair_card
from tracker.packing import unpack
from tracker.pair_card import Card
from tracker.records import NamedTuple
from tracker.samples import about as about_sample
from tracker.samples import samples
from tracker.session import Session, source_of
from tracker.storage.basket import Basket, BasketBusy, BasketTrouble, PairRow
from tracker.storage.files import PIPED, FileTrouble, read_source
from tracker.storage.pack_file import is_pack
from tracker.storage.pattern_file import open_file
from tracker.storage.plan_file import LeftOpen
from tracker.ui.aside import ANY_GRID, Page
from tracker.ui.basket_view import Item, Layout, Sight, layout_for, page_rows
from tracker.ui.commands import basket_footer, by_key, commands_of, spoken
from tracker.ui.file_line import FileLine, names_like
from tracker.ui.keys_screen import KeysScreen
from tracker.ui.knitting_app import app_of, plans_here
from tracker.ui.needles_screen import LOOK_FOR_OTHERS, NeedlesScreen, time_of_day
from tracker.units import shorten
from tracker.vocabulary import capital

Shown = Literal["pairs", "away", "samples"]


class BasketScreen(Screen[None]):
    """A list to choose from: space or enter goes to the needles, q leaves."""

    def __init__(self) -> None:
        super().__init__()
        self._shown: Shown = "pairs"
        self._pairs: list[PairRow] = []
        self._away: list[PairRow] = []
        self._samples: list[Path] = []
        self._at = self._top = 0
        self._said = self._minute = ""
        self._put_away: PairRow | None = None
        """The pair that was put away here last."""
        self._filling = False
        self._left = False
        self._line: FileLine | None = None
        """The line for a file's name, while it is open."""

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("basket")

    def on_mount(self) -> None:
        """Read the pairs; the one she comes from is chosen."""
        app_of(self).cards.forget_troubles()
        self._read()
        self._shown = "pairs" if self._pairs else "samples"
        session = app_of(self).session
        if session is not None:
            self._choose_pair(session.pair)
        self.set_interval(LOOK_FOR_OTHERS, self._look_for_others)

    def on_resize(self) -> None:
        """Lay it out anew."""
        self._draw()

    def on_screen_resume(self) -> None:
        """What was put over it is gone."""
        self._draw()

    def on_key(self, event: events.Key) -> None:
        """Do what a key does here."""
        event.stop()
        event.prevent_default()
        self.press(event.key, event.character or "")

    def press(self, key: str, character: str) -> None:
        """Do what a key does; one that does nothing says so."""
        if self._left:
            return
        if self._line is not None:
            self._write(self._line, key, character)
            return
        named = spoken(key, character)
        command = by_key("basket", app_of(self).keys).get(named)
        self._said = ""
        if command is None:
            self._said = f"{named} does nothing here; {self._key('help')} says what the keys do"
        else:
            getattr(self, f"do_{command.name}")()
        if not self._left:
            self._draw()

    def _write(self, line: FileLine, key: str, character: str) -> None:
        """A key while the line for a file's name is open."""
        self._said = ""
        if key == "enter":
            self._line = None
            if line.text.strip():
                self._to_needles(lambda: self._open_file(line.text.strip()))
                self._line = None if self._left or self._said == "" else line
        elif key == "escape":
            self._line = None
        elif key == "tab":
            self._line = line.completed(names_like(line.text))
        elif key == "backspace":
            self._line = line.rubbed_out()
        else:
            self._line = line.typed(character)
        if not self._left:
            self._draw()

    def on_paste(self, event: events.Paste) -> None:
        """A name, where the line for it is open; else nothing."""
        event.stop()
        if self._line is not None:
            self._line = self._line.pasted(event.text)
            self._draw()

    def _key(self, name: str) -> str:
        """The key that does it here."""
        return app_of(self).keys.screens["basket"].shown[name]

    # The mouse

    def on_click(self, event: events.Click) -> None:
        """A click chooses a card, another one opens it."""
        at = self._layout
        number = self._top + (event.screen_y - at.top) // at.rows
        in_view = self._top <= number < min(self._top + self._in_view, self._count)
        if self._left or event.screen_y < at.top or not in_view:
            return
        if number == self._at:
            self._said = ""
            self.do_open()
            if not self._left:
                self._draw()
        else:
            self._to(number)

    def on_mouse_scroll_up(self) -> None:
        """A wheel turns it."""
        self._turn(-1)

    def on_mouse_scroll_down(self) -> None:
        """A wheel turns it."""
        self._turn(1)

    def _turn(self, cards: int) -> None:
        last = max(self._count - self._in_view, 0)
        self._top = max(0, min(self._top + cards, last))
        self._to(max(self._top, min(self._at, self._top + self._in_view - 1)))

    # What the keys do

    def do_up(self) -> None:
        self._to(self._at - 1)

    def do_down(self) -> None:
        self._to(self._at + 1)

    def do_page_up(self) -> None:
        self._to(self._at - self._in_view)

    def do_page_down(self) -> None:
        self._to(self._at + self._in_view)

    def do_first(self) -> None:
        self._to(0)

    def do_last(self) -> None:
        self._to(self._count - 1)

    def do_open(self) -> None:
        if not self._count:
            self._said = f"there is nothing to open here; {self._key('new')} plans a new pair"
            return
        if self._shown == "samples" and self._at < len(_OFFERS):
            getattr(self, f"do_{_OFFERS[self._at].act}")()
            return
        self._to_needles(self._open)

    def do_trial(self) -> None:
        from tracker.ui.guided_screen import GuidedScreen, Practice

        try:
            practice = Practice(app_of(self).clock)
        except (BasketTrouble, FileTrouble, OSError) as trouble:
            self._said = f"there is nothing to try: {trouble}"
            return
        self._left = True
        self.app.switch_screen(GuidedScreen(practice, app_of(self).to_basket))

    def do_file(self) -> None:
        self._line = FileLine()

    def do_new(self) -> None:
        from tracker.ui.blanks import new_pair
        from tracker.ui.sample_repeats import sample_repeats

        self._left = True
        app_of(self).fill_in(new_pair(plans_here(), sample_repeats()), app_of(self).to_basket)

    def do_put_away(self) -> None:
        if self._shown != "pairs" or not self._pairs:
            self._said = "only a pair of the basket is put away"
            return
        pair = self._pairs[self._at]
        if self._put(pair, away=True):
            self._put_away = pair
            ways = f"{self._key('bring_out')} brings it out again, {self._key('away')} shows all that are"
            self._said = f"{_named(pair)} is put away; {ways}"

    def do_bring_out(self) -> None:
        pair = self._put_away
        if self._shown == "away" and self._away:
            pair = self._away[self._at]
        if pair is None:
            shows = f"{self._key('away')} shows those that are put away"
            self._said = shows if self._away else "nothing is put away"
            return
        if self._put(pair, away=False):
            self._put_away = None
            self._said = f"{_named(pair)} is in the basket"
            if self._shown == "pairs":
                self._choose_pair(pair)

    def do_away(self) -> None:
        if self._shown != "away" and not self._away:
            self._said = (
                f"nothing is put away; {self._key('put_away')} puts the pair that is chosen away"
            )
            return
        self._show("pairs" if self._shown == "away" else "away")

    def do_samples(self) -> None:
        self._samples = samples()
        if self._shown != "samples" and not self._samples:
            self._said = "the samples were taken away"
            return
        self._show("pairs" if self._shown == "samples" else "samples")

    def do_back(self) -> None:
        session = app_of(self).session
        if self._shown != "pairs" and (self._pairs or session is None):
            self._show("pairs")
        elif session is None:
            self._said = "you come from no pair; space opens one, q leaves"
        else:
            short = session.pair.short
            # Opened anew: others may have recorded since, and the news was heard here.
            self._to_needles(lambda: self._opened(app_of(self).basket.find(short)))

    def do_help(self) -> None:
        self.app.push_screen(
            KeysScreen(self.press, "In the basket", commands_of("basket", app_of(self).keys))
        )

    def do_leave(self) -> None:
        self._left = True
        self.app.exit()

    # Opening, putting away

    def _to_needles(self, opened: Callable[[], Session]) -> None:
        try:
            session = opened()
        except LeftOpen as plan:
            self._left = True
            app_of(self).fill_in_class_file(plan, app_of(self).to_basket)
            return
        except (BasketTrouble, FileTrouble) as trouble:
            self._said = str(trouble)
            return
        self._left = True
        app_of(self).session = session
        self.app.switch_screen(NeedlesScreen(session))

    def _open(self) -> Session:
        if self._shown != "samples":
            pair = app_of(self).basket.find(self._list[self._at].short)
            app_of(self).cards.check_opens(pair)
            return self._opened(pair)
        basket, clock = app_of(self).basket, app_of(self).clock
        sample = str(self._samples[self._at - len(_OFFERS)])
        if is_pack(sample):
            return unpack(basket, sample, clock).session
        return Session.start(basket, open_file(sample), clock)

    def _open_file(self, name: str) -> Session:
        """The pair that a file starts, or has started, or that is packed in it."""
        basket, clock = app_of(self).basket, app_of(self).clock
        # On a screen "-" is a file of that name: what is piped in are the keys.
        path = os.path.join(".", name) if name == PIPED else os.path.expanduser(name)
        if is_pack(path):
            return unpack(basket, path, clock).session
        known = basket.started_from(source_of(read_source(path).data))
        return (
            Session.begin(basket, open_file(path), clock) if known is None else self._opened(known)
        )

    def _opened(self, pair: PairRow) -> Session:
        session = Session(app_of(self).basket, pair, app_of(self).clock)
        session.look()  # where that cannot be, it is said here
        return session

    def _put(self, pair: PairRow, *, away: bool) -> bool:
        try:
            app_of(self).basket.put_away(pair, away)
        except BasketTrouble as trouble:
            self._said = str(trouble)
            return False
        self._read()
        return True

    # What there is

    @property
    def _list(self) -> list[PairRow]:
        return self._away if self._shown == "away" else self._pairs

    @property
    def _count(self) -> int:
        offers = len(_OFFERS) + len(self._samples)
        return offers if self._shown == "samples" else len(self._list)

    @property
    def _in_view(self) -> int:
        return self._layout.in_view(self.size.height)

    @property
    def _layout(self) -> Layout:
        return layout_for(*self.size, named_only=self._shown == "samples")

    def _read(self) -> None:
        """The pairs as they are now; the one chosen stays so, wherever it has moved."""
        chosen = self._list[self._at] if self._shown != "samples" and self._list else None
        basket: Basket = app_of(self).basket
        try:
            self._pairs, self._away = basket.pairs(), basket.pairs(away=True)
        except BasketBusy:
            return
        except BasketTrouble as trouble:
            self._said = str(trouble)
        if self._shown == "away" and not self._away:
            self._shown = "pairs"
        if self._shown == "pairs" and not self._pairs:
            self._shown = "samples"
        self._samples = self._samples or ([] if self._pairs else samples())
        if chosen is not None:
            self._choose_pair(chosen)

    def _choose_pair(self, pair: PairRow) -> None:
        """Choose a pair, or the one that stands there now."""
        ids = [one.id for one in self._list]
        self._to(ids.index(pair.id) if pair.id in ids else self._at)

    def _show(self, what: Shown) -> None:
        self._shown = what if what != "pairs" or self._pairs else "samples"
        self._at = self._top = 0

    def _look_for_others(self) -> None:
        """What other programs wrote appears; a card that waited for one that writes is made."""
        try:
            changed = app_of(self).basket.changed()
        except BasketTrouble as trouble:
            changed = self._said != str(trouble)
            self._said = str(trouble)
        if changed:
            self._read()
        if changed or self._missing() is not None or self._minute != self._time():
            self._draw()

    def _to(self, at: int) -> None:
        """Choose a card, and scroll as far as it takes to see it."""
        self._at = max(0, min(at, self._count - 1))
        self._draw()

    # What is shown

    def _draw(self) -> None:
        if not self.is_mounted or not self.size.height:
            return
        in_view = self._in_view
        self._top = max(min(self._top, self._at, max(self._count - in_view, 0)), 0)
        self._top = max(self._top, self._at - in_view + 1)
        self._minute = self._time()
        sight = Sight(
            heading=_HEADINGS[self._shown],
            counts=self._counts(in_view),
            items=tuple(self._items(in_view)),
            chosen=self._at - self._top,
            said=self._told(),
            clock=self._minute,
            keys=tuple(basket_footer(self._matters(), app_of(self).keys)),
            named_only=self._shown == "samples",
        )
        self.query_one(Page).show(page_rows(sight, *self.size), ANY_GRID)
        if not self._filling and self._missing() is not None:
            self._filling = True
            self.call_after_refresh(self._fill)

    def _told(self) -> str:
        said = shorten(self._said, 400)
        return capital(said) if self._line is None else f"{self._line.told}   {said}".rstrip()

    def _items(self, in_view: int) -> list[Item]:
        shown = slice(self._top, self._top + in_view)
        if self._shown == "samples":
            offers = [offer.card for offer in _OFFERS]
            return [Item(card, "") for card in [*offers, *map(_sample, self._samples)][shown]]
        cards, now = app_of(self).cards, app_of(self).clock().at
        return [
            Item(cards.known(pair) or cards.brief(pair), pair_card.ago(now - pair.touched))
            for pair in self._list[shown]
        ]

    def _missing(self) -> PairRow | None:
        """A pair in view whose card is not made yet, the one chosen first."""
        if self._shown == "samples":
            return None
        known = app_of(self).cards.known
        in_view = self._list[self._top : self._top + self._in_view]
        chosen = self._list[self._at : self._at + 1]
        return next((pair for pair in (*chosen, *in_view) if known(pair) is None), None)

    def _fill(self) -> None:
        """Make one card that is in view and draw it; the next after the keys that wait."""
        self._filling = False
        pair = self._missing()
        if pair is None or self._left:
            return
        try:
            app_of(self).cards.make(pair)
        except BasketBusy:
            return  # the next look for others tries again
        self._draw()

    def _counts(self, in_view: int) -> tuple[str, ...]:
        count = self._count
        if self._shown == "samples":
            return self._about_samples()
        pairs = f"{count:,} pair{'' if count == 1 else 's'}".replace(",", " ")
        if count <= in_view:
            return (pairs,)
        first, last = self._top + 1, min(self._top + in_view, count)
        span = f"{first} to {last}" if last > first else str(first)
        return f"{span} of {pairs}", f"{span} of {count}"

    def _about_samples(self) -> tuple[str, ...]:
        if self._pairs:
            return "to begin with; s goes back to the pairs", "to begin with"
        if self._away:
            return "every pair is put away: p shows them", "p: those put away"
        return (
            "empty: try a round, plan your own pair, or begin with a sample",
            "empty: try a round, or begin",
            "empty",
        )

    def _matters(self) -> list[str]:
        """The keys that matter now."""
        told = ["open"] if self._count else []
        if self._shown == "away":
            return [*told, "bring_out", "back"]
        told += ["new"]
        if self._shown == "samples":
            told += ["file", "trial"]
            return [*told, *(["away"] if self._away else []), *(["back"] if self._pairs else [])]
        told += ["put_away", *(["bring_out"] if self._put_away else [])]
        told += ["away"] if self._away else []
        return [*told, "samples", *(["back"] if app_of(self).session else [])]

    def _time(self) -> str:
        return time_of_day(app_of(self).clock())


class _Offer(NamedTuple):
    """Something to begin with that is no sample: its act, and how it is shown."""

    act: str
    card: Card


_OFFERS = (
    _Offer("trial", Card("A round to try", ("two minutes at the needles; nothing of it is kept",))),
    _Offer("new", Card("A pair of your own", ("a sentence to fill in: foot, gauge, needles",))),
    _Offer("file", Card("A file", ("a plan, a pattern or a packed pair, by its name",))),
)

_HEADINGS = {"pairs": "basket", "away": "put away", "samples": "basket"}


def _named(pair: PairRow) -> str:
    return shorten(pair.title, 60)


def _sample(path: Path) -> Card:
    """A sample, with what its file says of itself; a pack says nothing."""
    title = path.stem.replace("-", " ").capitalize()
    if is_pack(str(path)):
        return Card(title, ("a sample, half-way through sock two",))
    about = about_sample(path)
    return Card(title, tuple(filter(None, (about, about.partition(":")[0], "a sample"))))
