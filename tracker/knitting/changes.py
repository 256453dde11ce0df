"""What a knitter changed on the way: recorded with what it does to the rows.

Rows are written anew, the stitches laid on other needles, or the stripes moved. Nothing of it is
computed again, so a history means the same for good.
"""

from __future__ import annotations

from typing import Literal

from tracker.records import NamedTuple

Kind = Literal[
    "skipped-decrease", "extra-decrease", "needle", "set", "colour", "picked-up", "other"
]
"""What can be otherwise than planned."""
MOST_CHANGES = 200
"""No sock has more changes, those it repeats among them."""


class BadChange(ValueError):
    """A change that cannot be: one line, why."""


class Rewritten(NamedTuple):
    """The rows of a section from `number` on as they are worked, in the trade's notation.

    `planned` is how many rows the section then has, row 0 left out. With no rows only that changes.
    `begins` are the stitches on each needle when they begin; none named: those that were there.
    """

    section: int
    number: int
    rows: tuple[str, ...]
    planned: int
    begins: tuple[int, ...] = ()


class Laid(NamedTuple):
    """Stitches laid on other needles from row `number` of a section on.

    With a `set` by its name to the end of the sock; else `needles` stitches on each of them, to the end
    of that section. With both that section begins with so many on each needle of the set: they had not
    lain as on any set. With `names` the needles are called so: all borders were moved, in all by `moved`
    stitches (below 0: back), and stay there over sections that follow and can have them there.
    """

    section: int
    number: int
    set: str = ""
    needles: tuple[int, ...] = ()
    names: tuple[str, ...] = ()
    moved: int = 0


class Coloured(NamedTuple):
    """Another colour from row `number` of a section on.

    `name` is that of `rounds` rounds (0: of those up to the next stripe; where there are none, of all
    that follow; in a part of one colour, to its end); without one the clock itself is set. `clock` are
    the rounds of the sequence that it has behind it then: None leaves it as it goes. `ball` says that
    this is where the ball stood at the cast-on, `back` that the whole sock has the stripes in reverse.
    """

    section: int
    number: int
    name: str = ""
    rounds: int = 0
    clock: int | None = None
    ball: bool = False
    back: bool = False


class Change(NamedTuple):
    """A change on one sock, at a row of a section by index.

    `kind` and `value` are as she told them, `event` the number of its event. `repeat` says whether the
    other sock is to repeat it. On the sock that repeats it, `repeats` is true.

    `there` are the rows on the other sock, where its own are otherwise and the change was computed for them;
    none at all: it cannot be repeated there. None: the same rows.
    """

    kind: Kind
    value: str
    section: int
    row: int
    event: int
    repeat: bool = True
    rewritten: tuple[Rewritten, ...] = ()
    laid: Laid | None = None
    repeats: bool = False
    coloured: Coloured | None = None
    there: tuple[Rewritten, ...] | None = None
    inside: bool = False
    """Told while its row was half worked: it stands when that row is taken back to its beginning."""

    @property
    def ways(self) -> tuple[Change, ...]:
        """It, and where it is repeated with rows of its own also as it was told: those may come out yet."""
        if not self.repeats or not self.there:
            return (self,)
        return self, self._replace(rewritten=self.there, there=self.rewritten)

    def repeated(self) -> Change | None:
        """It on the other sock; None where it cannot be repeated there."""
        if self.there is None:
            return self._replace(repeats=True)
        if not self.there:
            return None
        return self._replace(repeats=True, rewritten=self.there, there=self.rewritten)

    @property
    def alters(self) -> bool:
        """Whether it alters rows or their colours, and is not only told."""
        return bool(self.rewritten) or self.laid is not None or self.coloured is not None

    @property
    def at_cast_on(self) -> bool:
        """Whether it tells of the cast-on itself, which no ripping takes back."""
        return self.coloured is not None and (self.coloured.ball or self.coloured.back)

    @property
    def place(self) -> tuple[int, int, int]:
        """Its section, its row, and when it was told: the order in which changes are laid over a pattern.

        Rows that were computed over this sock's own come after what was otherwise in them.
        """
        row = self.row
        if self.repeats and self.there and self.kind != "picked-up":
            row = max([row, *(one.number + len(one.rows) - 1 for one in self.rewritten)])
        return self.section, row, self.event
