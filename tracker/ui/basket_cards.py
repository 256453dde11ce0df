"""The cards of the pairs in the basket, each made once for as long as nothing is recorded on it.

Making one opens its pair and replays its history: that is done for those in view alone.
"""

from __future__ import annotations

from tracker import pair_card
from tracker.pair_card import Card
from tracker.session import Clock, Session, short_name
from tracker.storage.basket import Basket, BasketBusy, BasketTrouble, PairRow
from tracker.storage.files import FileTrouble

LONG = 20_000
"""Events from which a history is not replayed for a card: that would be felt (a third of a second)."""
_MOST = 200
"""Cards that are kept."""
_MS_A_DAY = 86_400_000
_Key = tuple[int, bytes, int]


def titled(pair: PairRow) -> str:
    """A pair's title; of several that are called alike with the name that tells them apart."""
    return pair.title if pair.short == short_name(pair.title) else f"{pair.title} ({pair.short})"


class Cards:
    """The cards made so far, by pair, its last event and the day."""

    def __init__(self, basket: Basket, clock: Clock) -> None:
        self._basket, self._clock = basket, clock
        self._made: dict[_Key, Card] = {}

    def known(self, pair: PairRow) -> Card | None:
        """The card of a pair as it is now, if it was made."""
        return self._made.get(self._key(pair))

    def brief(self, pair: PairRow) -> Card:
        """What is known without its history."""
        here = pair.summary
        return pair_card.by_summary(
            titled(pair), here.sock, here.section, here.done,
            in_step=here.in_step, of_socks=self._basket.of_socks(pair),
        )  # fmt: skip

    def make(self, pair: PairRow) -> Card:
        """The whole card; of a pair that cannot be opened one that says why. Raises BasketBusy."""
        card = self._card(pair)
        if len(self._made) >= _MOST:
            del self._made[next(iter(self._made))]
        self._made[self._key(pair)] = card
        return card

    def _card(self, pair: PairRow) -> Card:
        if pair.last > LONG:
            told = f"{pair.last:,} acts, a long history: open it to see what is left"
            return self.brief(pair)._replace(left=(told.replace(",", " ", 1), "a long history"))
        try:
            session = Session(self._basket, pair, self._clock)
            return pair_card.card(titled(pair), session.glance, session.pictures())
        except BasketBusy:
            raise
        except (BasketTrouble, FileTrouble) as trouble:
            return pair_card.damaged(titled(pair), str(trouble))
        except (ArithmeticError, LookupError, TypeError, ValueError):
            # One pair that nobody can look at is no reason to show none of the others.
            why = f"{pair.short} cannot be shown; instep check says what is wrong with it"
            return pair_card.damaged(titled(pair), why)

    def _key(self, pair: PairRow) -> _Key:
        return pair.id, pair.chain, self._clock().at // _MS_A_DAY
