"""The colours by what they are for, and how a paint becomes a terminal style.

A painter never names a colour: it names an ink and a ground from the table below. Three themes
carry the table; where colour is not wanted a fourth says the same with bold and reverse alone.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from functools import lru_cache

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.theme import Theme

from tracker.records import NamedTuple

_TABLE = """
                 dark     light    high-contrast
page             #14171C  #FAF6EC  #000000
stage            #1D222A  #EFE8D8  #000000
faint            #2C323C  #DDD4C1  #3C3C3C
band             #373E49  #C5BCA8  #5C5C5C
todo             #333A44  #D2CAB6  #3C3C3C
text             #EFE9DC  #1F2228  #FFFFFF
muted            #A9ADB3  #55534E  #E0E0E0
quiet            #8E95A0  #66645E  #D0D0D0
accent           #F4B942  #8A4300  #FFD21F
on-accent        #1B1403  #FFF6E6  #000000
tape             #86B6F0  #1C5797  #9CCBFF
on-tape          #0B1524  #F4F8FF  #000000
turned           #EFE9DC  #1F2228  #FFFFFF
on-turned        #171A20  #FAF6EC  #000000
muted-on-turned  #4A4D53  #C3BFB5  #222222
alarm            #FF8C73  #50190B  #FF8566
on-alarm         #240600  #FFF3F0  #000000
"""

_UPPER = "\N{UPPER HALF BLOCK}"
FILLED = "#"
"""What a cell filled with its ink is where there are no blocks."""
NO_COLOUR = "instep-no-colour"
"""The theme without colours: the terminal's own, bold and reverse."""
SIXTEEN, SIXTEEN_LIGHT = "instep-sixteen", "instep-sixteen-light"
"""The themes of a terminal with sixteen colours, by its own numbers, on a dark or a light background."""

_REVERSED = frozenset({"text", "muted", "quiet", "accent", "tape", "turned", "alarm"})
"""Grounds that stand out from the page; without colour they are drawn in reverse."""

_SHADES = {"band": "\N{LIGHT SHADE}", "todo": "."}
"""What an empty cell of a quiet ground is filled with where it has no colour."""


_OF_THE_TERMINAL = (NO_COLOUR, SIXTEEN, SIXTEEN_LIGHT)
"""Themes in the terminal's own colours: yarns are signs there."""
_INKS_OF_SIXTEEN = {
    "text": (15, 0), "muted": (7, 8), "quiet": (7, 8), "todo": (8, 8), "accent": (11, 0), "tape": (14, 4),
    "on-accent": (0, 15), "on-tape": (0, 15), "on-turned": (0, 15), "muted-on-turned": (0, 15),
    "on-alarm": (0, 15), "alarm": (9, 1), "turned": (7, 0), "band": (8, 8), "faint": (8, 8),
}  # fmt: skip
"""The terminal's number of each ink, on a dark and on a light background; what is not here is its own."""
_GROUNDS_OF_SIXTEEN = {
    "accent": (11, 0), "tape": (14, 4), "turned": (7, 0), "alarm": (9, 1), "todo": (8, 7),
    "text": (15, 0), "muted": (7, 8), "quiet": (7, 8),
}  # fmt: skip
"""The same for grounds."""


class Paint(NamedTuple):
    """An ink on a ground, both rows of the palette, bold or not."""

    ink: str = "text"
    ground: str = "stage"
    bold: bool = False

    @property
    def solid(self) -> Paint:
        """The paint of a cell filled with the ink."""
        return Paint(self.ink, self.ink)


def _columns(table: str) -> dict[str, dict[str, str]]:
    head, *rows = (line.split() for line in table.strip().splitlines())
    return {
        f"instep-{name}": {row[0]: row[1 + column] for row in rows}
        for column, name in enumerate(head)
    }


PALETTES: Mapping[str, Mapping[str, str]] = _columns(_TABLE)
"""Theme name to (role to colour)."""

ROLES = tuple(next(iter(PALETTES.values())))

DEFAULT = "instep-dark"


def _theme(name: str, colours: Mapping[str, str]) -> Theme:
    return Theme(
        name=name,
        primary=colours["tape"],
        secondary=colours["muted"],
        accent=colours["accent"],
        warning=colours["accent"],
        error=colours["alarm"],
        success=colours["tape"],
        foreground=colours["text"],
        background=colours["page"],
        surface=colours["stage"],
        panel=colours["stage"],
        dark="light" not in name,
        ansi=name in _OF_THE_TERMINAL,
        variables=dict(colours),
    )


def themes() -> list[Theme]:
    """The themes an app registers; their variables ($page, $stage, $muted ...) serve the style sheet."""
    # The framework's own style sheets ask a theme of terminal colours for these two.
    bare = dict.fromkeys((*ROLES, "ansi-background", "ansi-foreground"), "ansi_default")
    own = ((name, bare) for name in _OF_THE_TERMINAL)
    return [_theme(name, colours) for name, colours in [*PALETTES.items(), *own]]


def no_colour() -> bool:
    """Whether the person asked for no colour (the NO_COLOR convention, no-color.org)."""
    return "NO_COLOR" in os.environ


def theme_of(look: str, colours: str | None) -> str:
    """The theme of a look she has set ("dark") on a terminal with such `colours`, as rich names them."""
    if no_colour():
        return NO_COLOUR
    if colours == "standard":
        return SIXTEEN_LIGHT if look == "light" else SIXTEEN
    return f"instep-{look.replace(' ', '-')}"


@lru_cache(maxsize=1024)
def style(theme: str, paint: Paint) -> Style:
    """`paint` as a terminal style under the theme named; unknown themes are dressed as the dark one."""
    if theme == NO_COLOUR:
        bold = paint.bold or paint.ink == "accent"
        return Style(bold=bold, reverse=paint.ground in _REVERSED)
    if theme in (SIXTEEN, SIXTEEN_LIGHT):
        return _of_sixteen(paint, light=theme == SIXTEEN_LIGHT)
    colours = PALETTES.get(theme, PALETTES[DEFAULT])
    ink, ground = (_colour(role, colours) for role in (paint.ink, paint.ground))
    return Style(color=ink, bgcolor=ground, bold=paint.bold)


def yarn(place: int, names: Sequence[str], *, rib: bool = False) -> str:
    """The role of a yarn, by its place in the key of a picture: a ground, or with `half_of` an ink.

    The furrows of a `rib` are nearer to the page.
    """
    return _YARN + "\x1f".join((str(place), "rib" if rib else "", *names))


def half_of(role: str) -> str:
    """The ink of the upper half of a cell; the lower half is its ground."""
    return _HALF + role


def _colour(role: str, colours: Mapping[str, str]) -> str:
    role = role.removeprefix(_HALF)
    if not role.startswith(_YARN):
        return colours[role]
    from tracker.ui.yarn_colours import towards, yarn_colours  # few pairs tell their colours

    place, rib, *names = role.removeprefix(_YARN).split("\x1f")
    colour = yarn_colours(tuple(names), colours["page"])[int(place)]
    return towards(colour, colours["page"], _FURROW) if rib else colour


_YARN, _HALF = "yarn ", "half "
_FURROW = 0.3
"""How far the furrows of a rib are from their yarn's colour to the page's."""


def _of_sixteen(paint: Paint, *, light: bool) -> Style:
    """By the terminal's own numbers; what differs is bold, for its yellow may be pale."""
    ink, ground = _INKS_OF_SIXTEEN.get(paint.ink), _GROUNDS_OF_SIXTEEN.get(paint.ground)
    return Style(
        color=None if ink is None else Color.from_ansi(ink[light]),
        bgcolor=None if ground is None else Color.from_ansi(ground[light]),
        bold=paint.bold or paint.ink == "accent",
    )


def segment(theme: str, text: str, paint: Paint, *, plain: bool = False) -> Segment:
    """`text` in `paint` as the terminal gets it: a yarn is its sign, or its colour where there are many.

    In `plain` text a cell filled with its ink has a sign in it, for terminals that do not show grounds, and
    the needle its own.
    """
    in_colour = theme not in _OF_THE_TERMINAL
    if plain and paint.ink == paint.ground:
        text = text.replace(" ", FILLED)
    if in_colour and paint.ink.startswith(_HALF) and not (plain and paint.ink == _HALF + "text"):
        text = _UPPER * len(text)
    elif in_colour and paint.ground.startswith(_YARN):
        text = " " * len(text)
    bare = theme == NO_COLOUR or (theme in (SIXTEEN, SIXTEEN_LIGHT) and paint.ground == "band")
    if bare and paint.ground in _SHADES:
        text = text.replace(" ", _SHADES[paint.ground])
    return Segment(text, style(theme, paint))
