"""The colours of a pattern as they are written: one for cuff, heel and toe, stripes for leg and foot."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from tracker.records import NamedTuple
from tracker.units import shorten

LONGEST_NAME = 20
"""Letters of a colour's name (a wide one counts twice): it is told on the smallest screen, too."""
MOST_ROUNDS = 999
"""Rounds of one stripe."""
MOST_STRIPES = 100
"""Stripes in a sequence."""
ONE_COLOUR = ("cuff", "heel", "toe")
"""The parts of a sock that have one colour of their own, or none."""


class Stripe(NamedTuple):
    """So many rounds of one colour. The name is a stranger's text: clean on showing."""

    name: str
    rounds: int


class Colours(NamedTuple):
    """What cuff, leg and foot, heel and toe are worked in; None or no stripes where it goes unsaid.

    `stripes` come again and again over leg and foot. A single one is no stripe but the colour of
    all of it, whatever its rounds.
    """

    cuff: str | None = None
    stripes: tuple[Stripe, ...] = ()
    heel: str | None = None
    toe: str | None = None
    letters: tuple[tuple[str, str], ...] = ()
    """The colours of a chart: the letter and the name of each, the first the main one."""

    @property
    def names(self) -> tuple[str, ...]:
        """Every colour once, in the order in which they come."""
        leg = (*(stripe.name for stripe in self.stripes), *(name for _, name in self.letters))
        told = (self.cuff, *leg, self.heel, self.toe)
        return tuple(dict.fromkeys(filter(None, told)))

    @property
    def period(self) -> int:
        """Rounds after which the stripes begin again; 0 where there are none."""
        return sum(stripe.rounds for stripe in self.stripes) if len(self.stripes) > 1 else 0

    def after(self, rounds: int) -> tuple[Stripe, int]:
        """The stripe of the round that comes after so many, and which of its rounds that is, from 1.

        Only where there are stripes.
        """
        at = rounds % self.period
        for stripe in self.stripes:
            if at < stripe.rounds:
                break
            at -= stripe.rounds
        return stripe, at + 1

    def places(self, name: str) -> list[tuple[int, Stripe]]:
        """The stripes of a colour, each with the rounds of the sequence before it."""
        found, before = [], 0
        for stripe in self.stripes if self.period else ():
            if stripe.name.casefold() == name.casefold():
                found.append((before, stripe))
            before += stripe.rounds
        return found


NO_COLOURS = Colours()

NEAR_ENOUGH_MM = 12.0
"""By so much a leg may be longer or shorter for a stripe to be whole (common practice, no source)."""


class FullStripe(NamedTuple):
    """Rounds at which a stripe ends, and by how many mm that is longer than asked (shorter: below 0)."""

    rounds: int
    longer_mm: float


def full_stripes(colours: Colours, rounds: int, row_mm: float) -> list[FullStripe]:
    """Where the stripes before and after round `rounds` end, as far as that is near enough.

    Empty where there are no stripes, or where one ends at that very round.
    """
    if not colours.period or not rounds:
        return []
    stripe, into = colours.after(rounds - 1)
    if into == stripe.rounds:
        return []
    ends = (rounds - into, rounds + stripe.rounds - into)
    found = [FullStripe(end, (end - rounds) * row_mm) for end in ends if end > 0]
    return [full for full in found if abs(full.longer_mm) <= NEAR_ENOUGH_MM]


def slip_first(stripes: tuple[Stripe, ...]) -> tuple[str, ...]:
    """The stripes whose second round begins with a slipped stitch: two rounds or more, in a new colour."""
    before = stripes[-1:] + stripes[:-1]
    return tuple(
        dict.fromkeys(
            stripe.name
            for last, stripe in zip(before, stripes, strict=True)
            if stripe.rounds > 1 and stripe.name != last.name
        )
    )


class BadColour(ValueError):
    """A colour that cannot be read: its field ("leg"), and in one line why and what to write."""

    def __init__(self, field: str, why: str) -> None:
        self.field, self.why = field, why
        super().__init__(why)


def read_colours(table: Any) -> Colours:
    """The colours in a [colours] table. Raises BadColour at the first field that cannot be read."""
    if not isinstance(table, Mapping):
        raise BadColour("", "colours are a table; write [colours] on a line of its own")
    for field in table:
        if field not in (*ONE_COLOUR, "leg"):
            why = f"{shorten(str(field))} has no colour of its own; write cuff, leg, heel or toe"
            raise BadColour(str(field), why)
    one = {field: read_colour(field, table[field]) for field in ONE_COLOUR if field in table}
    leg = table.get("leg", ())
    told = Colours(one.get("cuff"), heel=one.get("heel"), toe=one.get("toe"))
    if are_letters(leg):
        return told._replace(letters=read_letters(leg))
    return told._replace(stripes=read_stripes(leg))


_LETTERED = re.compile(r"\s*([a-h])\s+(\S.*?)\s*", re.ASCII)
MOST_LETTERS = 8
"""Colours of a chart, one for every letter there is."""


def are_letters(given: Any) -> bool:
    """Whether these are a chart's letters with their colours ("a navy", "b cream"): stripes have numbers."""
    if not isinstance(given, Sequence) or isinstance(given, str) or len(given) < 2:
        return False
    return all(
        isinstance(text, str) and _LETTERED.fullmatch(text) and not name_and_number(text)[1]
        for text in given
    )


def read_letters(given: Any) -> tuple[tuple[str, str], ...]:
    """The colours of a chart, each behind its letter, the main one first. Raises BadColour."""
    example = 'write leg = ["a navy", "b cream"]'
    if not isinstance(given, Sequence) or isinstance(given, str) or not given:
        raise BadColour("leg", f"a chart's colours are a list of texts; {example}")
    if len(given) > MOST_LETTERS:
        raise BadColour("leg", f"there are {len(given)} colours; write at most {MOST_LETTERS}")
    found: dict[str, str] = {}
    for text in given:
        read = _LETTERED.fullmatch(text) if isinstance(text, str) else None
        if read is None or name_and_number(text)[1]:
            said = shorten(f'"{text}"', 40)
            raise BadColour("leg", f"{said} is not a letter of the chart and its colour; {example}")
        letter, name = read[1], _named("leg", read[2])
        if letter in found or name.casefold() in map(str.casefold, found.values()):
            raise BadColour("leg", f'"{shorten(text, 40)}" is told twice; leave one of them out')
        found[letter] = name
    return tuple(found.items())


def read_colour(field: str, given: Any) -> str:
    """The one colour of a part such as the heel. Raises BadColour."""
    if not isinstance(given, str) or not given.strip():
        raise BadColour(field, f'{field} is the name of a colour; write {field} = "navy"')
    name, number = name_and_number(given)
    if number:
        why = f'"{shorten(given)}" has a number; {field} is one colour, so write {field} = '
        why += f'"{shorten(name, LONGEST_NAME) or "navy"}"'
        raise BadColour(field, why)
    return _named(field, name)


def read_stripes(given: Any) -> tuple[Stripe, ...]:
    """The stripes of leg and foot: names with their rounds, or one name alone. Raises BadColour."""
    if not isinstance(given, Sequence) or isinstance(given, str):
        raise BadColour("leg", 'leg is a list of texts; write leg = ["navy 9", "cream 3"]')
    if len(given) > MOST_STRIPES:
        raise BadColour("leg", f"there are {len(given)} stripes; write at most {MOST_STRIPES}")
    return tuple(_stripe(text, alone=len(given) == 1) for text in given)


def _stripe(given: Any, *, alone: bool) -> Stripe:
    if not isinstance(given, str) or not given.strip():
        raise BadColour("leg", 'a stripe is a name and its rounds; write "navy 9"')
    name, number = name_and_number(given)
    said = shorten(f'"{given.strip()}"')
    if not name:
        raise BadColour("leg", f'{said} has no name; write "navy 9"')
    name = _named("leg", name)
    if not number and not alone:
        raise BadColour("leg", f'{said} has no number of rounds; write "{shorten(name)} 9"')
    if number and not _COUNT.fullmatch(number):
        why = f'{said} cannot be; write 1 to {MOST_ROUNDS} rounds, as in "{shorten(name)} 9"'
        raise BadColour("leg", why)
    return Stripe(name, int(number or 1))


_COUNT = re.compile(r"0*[1-9][0-9]{0,2}", re.ASCII)
"""Rounds from 1 to MOST_ROUNDS."""
_NUMBER = re.compile(r"[-+]?[0-9][0-9.,]*")


def name_and_number(given: str) -> tuple[str, str]:
    """The name and the number at its end, "" where there is none; a number alone has no name."""
    *words, last = given.split()
    if _NUMBER.fullmatch(last):
        return " ".join(words), last
    return " ".join((*words, last)), ""


def _named(field: str, name: str) -> str:
    if cells(name) > LONGEST_NAME:
        why = f'"{shorten(name)}" is too long; write a name of at most {LONGEST_NAME} letters'
        raise BadColour(field, why)
    return name


def cells(name: str) -> int:
    """The room a name takes on a screen: wide letters take two cells."""
    if name.isascii():
        return len(name)
    from unicodedata import east_asian_width

    return sum(2 if east_asian_width(letter) in "WF" else 1 for letter in name)
