"""A pair as the basket shows it: where it is, what is left, how long since, in step or what differs.

What may be said longer or shorter is a tuple, the longest first; titles and names are cleaned here.
"""

from __future__ import annotations

from tracker import pair_words, words
from tracker.glance import Glance
from tracker.records import NamedTuple
from tracker.side_by_side import Pictures
from tracker.units import shorten
from tracker.vocabulary import capital, counted, duration, sock

LONGEST_TITLE = 80
"""Characters of a title, and of a trouble four times as many."""


class Card(NamedTuple):
    """One pair. `hand` is the sock in hand, from 0 on. `shares` are the parts of both socks' work that
    are done, 0 to 1; None where only the summary of the pair is known yet.

    `differs`: the socks are not in step. `trouble` says why the pair cannot be opened. `name` stands for
    a title that has no room, where others are called the same.
    """

    title: str
    place: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    step: tuple[str, ...] = ()
    differs: bool = False
    hand: int = 0
    shares: tuple[float, float] | None = None
    pictures: Pictures = (None, None)
    trouble: str = ""
    name: str = ""


def card(title: str, glance: Glance, pictures: Pictures) -> Card:
    """A pair that was opened."""
    one, two = glance.socks
    return Card(
        title=shorten(title, LONGEST_TITLE),
        place=_place(glance),
        left=_left(glance),
        step=_step(glance),
        differs=glance.differs is not None,
        hand=glance.in_hand - 1,
        shares=(one.share, two.share),
        pictures=pictures,
    )


def by_summary(
    title: str, hand: int, section: str, done: int, *, in_step: bool, of_socks: bool, lag: str = ""
) -> Card:
    """What is known of a pair without its history: `hand` is the sock in hand, 1 or 2, `lag` is as said."""
    named = sock(hand, of_socks)
    where = f"{words.section(section, of_socks)}, {done} done"
    return Card(
        title=shorten(title, LONGEST_TITLE),
        place=(f"{capital(named)}, {where}.", where),
        step=_with_lag(pair_words.IN_STEP, lag) if in_step else (pair_words.NOT_IN_STEP,),
        differs=not in_step,
        hand=hand - 1,
    )


def damaged(title: str, trouble: str) -> Card:
    """A pair that cannot be opened, and why."""
    return Card(
        shorten(title, LONGEST_TITLE),
        ("this pair cannot be opened",),
        differs=True,
        trouble=shorten(trouble, 4 * LONGEST_TITLE),
    )


def ago(milliseconds: int) -> str:
    """How long since it was touched: "just now", "40 minutes ago", "9 days ago", "3 weeks ago"."""
    minutes = milliseconds // 60_000
    if minutes < 2:
        return "just now"
    size, named = next((size, named) for most, size, named in _SPANS if minutes < most or not most)
    many = minutes // size
    return f"{many} {named}{'' if many == 1 else 's'} ago"


_DAY = 24 * 60
_SPANS: tuple[tuple[int, int, str], ...] = (
    (120, 1, "minute"), (36 * 60, 60, "hour"), (21 * _DAY, _DAY, "day"),
    (100 * _DAY, 7 * _DAY, "week"), (2 * 365 * _DAY, 30 * _DAY, "month"), (0, 365 * _DAY, "year"),
)  # fmt: skip
"""Up to how many minutes a span is told in units of how many, and what the unit is called."""


def _place(glance: Glance) -> tuple[str, ...]:
    here = glance.socks[glance.place.sock - 1]
    where = words.where(here, glance.of_socks)
    named = f"{capital(words.piece(glance, glance.place.sock))}, {where}"
    if glance.place.finished or not glance.place.begun:
        return words.place(glance), f"{named}.", where
    coming = words.coming(glance)
    what, row, *work = coming.split(": ")
    brief = f"{what}: {row}." if work else coming
    return f"{named}. {coming}", f"{named}. {brief}", f"{named}.", where


def _left(glance: Glance) -> tuple[str, ...]:
    """What is left of the section, and of the pair."""
    if all(one.finished for one in glance.socks) and glance.used_up is None:
        return "Nothing is left to knit: weave the ends in.", "Nothing left to knit."
    section, both = _of_section(glance), _of_pair(glance)
    together = [f"{capital(section)}; {both}." if section and both else ""]
    each = [f"{capital(told)}." for told in (section, both) if told]
    return tuple(filter(None, [*together, *each, section or both]))


def _of_section(glance: Glance) -> str:
    """ "28 rounds to go (23 to 35)", "2 rounds past the goal", "to 18 cm by the tape"."""
    here = glance.place
    if here.finished or glance.used_up is not None or not here.begun:
        return ""
    if past := words.is_past(glance):
        return f"{counted(past, here.worked)} past"
    low, likely, high = glance.rows_to_go
    if likely is None:
        return words.of_planned(glance)[0]
    span = f" ({low} to {high})" if low is not None and high is not None and low != high else ""
    return f"{counted(likely, here.worked)} to go{span}"


def _of_pair(glance: Glance) -> str:
    """ "13 h 54 to the end of both", or "" where that is not known."""
    time = glance.time
    if time is None or not time.all:
        return ""
    return (
        f"{duration(time.all)} to the end {'of both' if glance.whole else 'of the pattern so far'}"
    )


def _step(glance: Glance) -> tuple[str, ...]:
    """In step or what differs, with how far they are apart where there is room for it."""
    differs, lag = glance.differs, _lag(glance)
    if differs is not None:
        told = pair_words.step(differs, glance.of_socks)
        return (
            *((f"{told}; {lag}",) if lag else ()),
            told,
            pair_words.difference(differs, glance.of_socks),
            pair_words.difference_brief(differs, glance.of_socks),
            pair_words.NOT_IN_STEP,
        )
    return _with_lag(pair_words.IN_STEP, lag)


def _with_lag(told: str, lag: str) -> tuple[str, ...]:
    return (f"{told}, {lag}", told) if lag else (told,)


def _lag(glance: Glance) -> str:
    """ "sock two 31 rounds behind", "sock two not begun"; "" where both are finished."""
    other = glance.socks[2 - glance.in_hand]
    if not other.begun and glance.place.begun:
        return f"{words.piece(glance, other.sock)} not begun"
    finished = all(one.finished for one in glance.socks)
    apart = glance.lag
    return pair_words.lag(apart.rounds, apart.stitches, of_socks=glance.of_socks, finished=finished)
