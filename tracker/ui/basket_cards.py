"""The cards of the pairs in the basket, each made once for as long as nothing is recorded on it.

Making one opens its pair and replays its history: that is done for those in view alone.
"""

from __future__ import annotations

from tracker import pair_card
from tracker.pair_card import Card
from tracker.session import Clock, Session, lag_of, short_name
from tracker.storage.basket import Basket, BasketBusy, BasketTrouble, PairRow
from tracker.storage.files import FileTrouble
from tracker.units import shorten

LONG = 10_000
"""Events from which a history is not replayed for a card: that would be felt (a seventh of a second)."""
_MOST = 200
"""Cards that are kept."""
_MS_A_DAY = 86_400_000
_Key = tuple[int, bytes, int]


def _told_apart(pair: PairRow, card: Card) -> Card:
    """A card; of several pairs that are called alike with the name that tells it from them."""
    if pair.short == short_name(pair.title):
        return card
    name = shorten(pair.short)
    return card._replace(title=f"{card.title} ({name})", name=name)


class Cards:
    """The cards made so far, by pair, its last event and the day."""

    def __init__(self, basket: Basket, clock: Clock) -> None:
        self._basket, self._clock = basket, clock
        self._made: dict[_Key, Card] = {}

    def known(self, pair: PairRow) -> Card | None:
        """The card of a pair as it is now, if it was made."""
        return self._made.get(self._key(pair))

    def forget_troubles(self) -> None:
        """What could not be opened is tried again: the trouble may be over."""
        self._made = {key: card for key, card in self._made.items() if not card.trouble}

    def brief(self, pair: PairRow) -> Card:
        """What is known without its history."""
        return _told_apart(pair, self._brief(pair))

    def _brief(self, pair: PairRow) -> Card:
        here = pair.summary
        of_socks = self._basket.of_socks(pair)
        return pair_card.by_summary(
            pair.title, here.sock, here.section, here.done,
            in_step=here.in_step, of_socks=of_socks, lag=lag_of(here, of_socks),
        )  # fmt: skip

    def make(self, pair: PairRow) -> Card:
        """The whole card; of a pair that cannot be opened one that says why. Raises BasketBusy."""
        card = _told_apart(pair, self._card(pair))
        if len(self._made) >= _MOST:
            del self._made[next(iter(self._made))]
        self._made[self._key(pair)] = card
        return card

    def check_opens(self, pair: PairRow) -> None:
        """Raises BasketTrouble where a pair's card says that it cannot be opened, and says so again."""
        known = self.known(pair)
        if known is not None and known.trouble and (again := self.make(pair)).trouble:
            raise BasketTrouble(again.trouble)

    def _card(self, pair: PairRow) -> Card:
        if pair.last > LONG:
            acts = f"{pair.last:,} acts".replace(",", " ")
            told = f"{acts}, a long history: open it to see what is left"
            return self._brief(pair)._replace(left=(told, "A long history."))
        try:
            session = Session(self._basket, pair, self._clock)
            return pair_card.card(pair.title, session.glance, session.pictures())
        except BasketBusy:
            raise
        except (BasketTrouble, FileTrouble) as trouble:
            return pair_card.damaged(pair.title, str(trouble))

    def _key(self, pair: PairRow) -> _Key:
        return pair.id, pair.chain, self._clock().at // _MS_A_DAY
