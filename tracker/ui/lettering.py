"""Numerals and words drawn from blocks: strings of full, upper-half, lower-half and empty cells.

Upright strokes are two cells and level ones one row, so that both weigh the same in a terminal's
tall cells. Everything comes back as rows of equal width.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import zip_longest
from typing import Literal

Letters = tuple[str, ...]

_TALL = """
 ▄████▄       ▄██      ▄████▄     ▄████▄        ▄██
██▀  ▀██    ▄████     ██▀  ▀██   ██▀  ▀██     ▄████
██    ██    ▀▀ ██           ██         ██   ▄██▀ ██
██    ██       ██         ▄██▀     █████    ██   ██
██    ██       ██       ▄██▀           ██   ████████
██▄  ▄██       ██     ▄██▀       ██▄  ▄██        ██
 ▀████▀     ██████    ████████    ▀████▀         ██

███████     ▄████▄    ████████    ▄████▄     ▄████▄
██         ██▀  ▀▀         ▄██   ██▀  ▀██   ██▀  ▀██
██▄▄▄▄     ██▄▄▄▄         ▄██    ██▄  ▄██   ██    ██
▀▀▀▀▀██▄   ██▀▀▀██▄       ██      ██████    ▀██▄▄▄██
      ██   ██    ██      ██▀     ██▀  ▀██     ▀▀▀▀██
██▄  ▄██   ██▄  ▄██      ██      ██▄  ▄██    ▄▄  ▄██
 ▀████▀     ▀████▀       ██       ▀████▀     ▀████▀
"""
"""Numerals of seven rows, eight cells each, drawn eleven apart."""

_LOW = """
0 .####. ###### ##..## ##..## ##..## ##..## ##..## ##..## ###### .####.
1 .###.. ####.. ####.. ..##.. ..##.. ..##.. ..##.. ..##.. ###### ######
2 .####. ###### ##..## ....## ..#### .####. ###... ##.... ###### ######
3 .####. ###### ##..## ....## ..###. ..###. ....## ##..## ###### .####.
4 ##..## ##..## ##..## ##..## ###### .##### ....## ....## ....## ....##
5 ###### ###### ##.... #####. ###### ....## ....## ##..## ###### .####.
6 .####. ###### ##.... #####. ###### ##..## ##..## ##..## ###### .####.
7 ###### ###### ....## ...### ...##. ..###. ..##.. ..##.. ..##.. ..##..
8 .####. ###### ##..## ##..## .####. ###### ##..## ##..## ###### .####.
9 .####. ###### ##..## ##..## ###### .##### ....## ##..## ###### .####.
"""
"""Numerals of five rows, six cells each, by half-rows."""

_TALL_WHOLE = """
0 .######. ##....## ##....## ##....## ##....## ##....## .######.
1 ...##... .####... ...##... ...##... ...##... ...##... .######.
2 .######. ##....## ......## .######. ##...... ##...... ########
3 .######. ##....## ......## ...####. ......## ##....## .######.
4 ##...##. ##...##. ##...##. ######## .....##. .....##. .....##.
5 ######## ##...... ##...... #######. ......## ##....## .######.
6 .######. ##....## ##...... #######. ##....## ##....## .######.
7 ######## ......## .....##. ....##.. ...##... ...##... ...##...
8 .######. ##....## ##....## .######. ##....## ##....## .######.
9 .######. ##....## ##....## .####### ......## ##....## .######.
"""
_LOW_WHOLE = """
0 .####. ##..## ##..## ##..## .####.
1 ..##.. .###.. ..##.. ..##.. .####.
2 #####. ....## .####. ##.... ######
3 #####. ....## ..###. ....## #####.
4 ##..## ##..## ###### ....## ....##
5 ###### ##.... #####. ....## #####.
6 .####. ##.... #####. ##..## .####.
7 ###### ....## ...##. ..##.. ..##..
8 .####. ##..## .####. ##..## .####.
9 .####. ##..## .##### ....## .####.
"""
"""Numerals of seven and of five rows in whole cells, for a terminal that has no halves."""

_FOUR = """
A .###. #...# #...# ##### #...# #...# #...#
B ####. #...# #...# ####. #...# #...# ####.
C .###. #...# #.... #.... #.... #...# .###.
D ####. #...# #...# #...# #...# #...# ####.
E #### #... #... ###. #... #... ####
F #### #... #... ###. #... #... #...
G .###. #...# #.... #.... #..## #...# .###.
H #...# #...# #...# ##### #...# #...# #...#
I ### .#. .#. .#. .#. .#. ###
J ...# ...# ...# ...# ...# #..# .##.
K #...# #..#. #.#.. ##... #.#.. #..#. #...#
L #... #... #... #... #... #... ####
M #...# ##.## #.#.# #.#.# #...# #...# #...#
N #...# ##..# #.#.# #.#.# #..## #...# #...#
O .###. #...# #...# #...# #...# #...# .###.
P ####. #...# #...# ####. #.... #.... #....
Q .###. #...# #...# #...# #.#.# #..#. .##.#
R ####. #...# #...# ####. #.#.. #..#. #...#
S .#### #.... #.... .###. ....# ....# ####.
T ##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..
U #...# #...# #...# #...# #...# #...# .###.
V #...# #...# #...# #...# #...# .#.#. ..#..
W #...# #...# #...# #.#.# #.#.# ##.## #...#
X #...# #...# .#.#. ..#.. .#.#. #...# #...#
Y #...# #...# .#.#. ..#.. ..#.. ..#.. ..#..
Z ##### ....# ...#. ..#.. .#... #.... #####
_ .. .. .. .. .. .. ..
? .###. #...# ....# ...#. ..#.. ..... ..#..
"""
"""Capitals of four rows: five by seven half-rows, the half-row above them empty."""

_THREE = """
A .##. #..# #### #..# #..#
B ###. #..# ###. #..# ###.
C .### #... #... #... .###
D ###. #..# #..# #..# ###.
E ### #.. ##. #.. ###
F ### #.. ##. #.. #..
G .### #... #.## #..# .###
H #..# #..# #### #..# #..#
I # # # # #
J ..# ..# ..# #.# .#.
K #..# #.#. ##.. #.#. #..#
L #.. #.. #.. #.. ###
M #...# ##.## #.#.# #...# #...#
N #..# ##.# #.## #..# #..#
O .##. #..# #..# #..# .##.
P ###. #..# ###. #... #...
Q .##. #..# #..# #.#. .#.#
R ###. #..# ###. #.#. #..#
S .### #... .##. ...# ###.
T ### .#. .#. .#. .#.
U #..# #..# #..# #..# .##.
V #..# #..# #..# .##. .##.
W #...# #...# #.#.# ##.## #...#
X #.# #.# .#. #.# #.#
Y #.# #.# .#. .#. .#.
Z #### ...# .##. #... ####
0 .##. #..# #..# #..# .##.
1 .#. ##. .#. .#. ###
2 ###. ...# .##. #... ####
3 ###. ...# .##. ...# ###.
4 #..# #..# #### ...# ...#
5 #### #... ###. ...# ###.
6 .##. #... ###. #..# .##.
7 #### ...# ..#. .#.. .#..
8 .##. #..# .##. #..# .##.
9 .##. #..# .### ...# .##.
. . . . . #
, .. .. .. .# #.
/ ..# ..# .#. #.. #..
- ... ... ### ... ...
_ . . . . .
? ##. ..# .#. ... .#.
"""
"""Capitals, digits and signs of three rows: four by five half-rows, the one above them empty."""


def numerals(number: int, rows: Literal[5, 7] = 7, *, whole: bool = False) -> Letters:
    """`number` (0 or more) in figures of five or seven rows, all of one width, left-aligned.

    Those of `whole` cells have no halves.
    """
    if whole:
        figures = _in_whole_cells(_TALL_WHOLE if rows == 7 else _LOW_WHOLE)
    else:
        figures = _tall() if rows == 7 else _low()
    return _beside([figures[digit] for digit in str(number)], 2 if rows == 7 else 1)


@lru_cache(maxsize=64)
def enlarged(number: int, times: int, *, whole: bool = False) -> Letters:
    """`number` in figures of seven rows, `times` as high and as wide."""
    if whole:
        rows = ("".join(cell * times for cell in row) for row in numerals(number, whole=True))
        return tuple(row for row in rows for _ in range(times))
    dots = [line for row in numerals(number) for line in _in_dots(row)]
    grown = [wide for line in dots for wide in ["".join(dot * times for dot in line)] * times]
    return _halved(tuple(grown))


def _in_dots(row: str) -> tuple[str, str]:
    """The two half-rows of a row of cells."""
    return "".join(_DOTS[cell][0] for cell in row), "".join(_DOTS[cell][1] for cell in row)


@lru_cache(maxsize=256)
def word(text: str, rows: Literal[3, 4] = 4, *, thick: bool = False) -> Letters:
    """`text` in capitals of three or four rows; a sign there is no drawing of becomes "?".

    Thick lettering doubles each dot to its right (four rows only).
    """
    table = _drawn(_FOUR) if rows == 4 else _drawn(_THREE)
    dots = [table.get(char, table["?"]) for char in text.upper().replace(" ", "_")]
    if thick and rows == 4:
        dots = [tuple(_doubled(line) for line in letter) for letter in dots]
    return _beside([_halved(letter) for letter in dots], 1)


def _beside(letters: list[Letters], between: int) -> Letters:
    gap = " " * between
    return tuple(gap.join(lines) for lines in zip(*letters, strict=True))


@lru_cache(maxsize=1)
def _tall() -> dict[str, Letters]:
    block = _TALL.strip("\n").split("\n\n")
    lines = [line.ljust(55) for half in block for line in half.splitlines()]
    return {
        str(digit): tuple(line[x : x + 8] for line in lines[y : y + 7])
        for digit in range(10)
        for x, y in [(digit % 5 * 11, digit // 5 * 7)]
    }


@lru_cache(maxsize=1)
def _low() -> dict[str, Letters]:
    return {digit: _halved(dots) for digit, dots in _drawn(_LOW).items()}


@lru_cache(maxsize=2)
def _in_whole_cells(table: str) -> dict[str, Letters]:
    return {
        digit: tuple(
            "".join(" " if dot == "." else "\N{FULL BLOCK}" for dot in row) for row in dots
        )
        for digit, dots in _drawn(table).items()
    }


@lru_cache(maxsize=8)
def _drawn(table: str) -> dict[str, Letters]:
    rows = (line.split() for line in table.strip().splitlines())
    return {name: tuple(dots) for name, *dots in rows}


def _doubled(dots: str) -> str:
    wide = f".{dots}", f"{dots}."
    return "".join("#" if "#" in pair else "." for pair in zip(*wide, strict=True))


def _halved(dots: Letters) -> Letters:
    """Half-rows of dots as cells; an odd number of them gets an empty one on top."""
    if len(dots) % 2:
        dots = ("." * len(dots[0]), *dots)
    pairs = zip_longest(dots[::2], dots[1::2], fillvalue="")
    return tuple(
        "".join(_CELL[up + down] for up, down in zip(top, bottom, strict=True))
        for top, bottom in pairs
    )


_CELL = {"..": " ", "#.": "▀", ".#": "▄", "##": "█"}
_DOTS = {cell: dots for dots, cell in _CELL.items()}
