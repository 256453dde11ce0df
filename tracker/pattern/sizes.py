"""Foot lengths from shoe sizes, by the published foot-length formulas.

EU from Paris points (2/3 cm) with a last two points longer than the foot; UK and US from
barleycorns (1/3 in), US by the Brannock foot set; Mondopoint is the foot length itself
(ISO 9407). Allowances differ from maker to maker, so a size fixes a foot to about 5 mm.
"""

from __future__ import annotations

import re

from tracker.units import MM_PER, shorten, whole

TOLERANCE_MM = 5.0
"""How far a foot may be from what its shoe size says."""

_SHOE = re.compile(
    r"(EU|UK|US women|US men|mondo)[ \t]+(\d{1,3}(?:[.,]\d)?)", re.IGNORECASE | re.ASCII
)
_BARLEYCORNS = {"uk": 23.0, "us men": 22.0, "us women": 21.0}
_FORMS = '"EU 39", "UK 6", "US women 8", "US men 9" or "mondo 245"'


def foot_length(shoe: str) -> float:
    """The foot's length in mm for a shoe size such as "EU 39" or "mondo 245".

    Raises ValueError with one line that names the forms it reads.
    """
    found = _SHOE.fullmatch(shoe.strip())
    if found is None:
        raise ValueError(f'"{shorten(shoe)}" is not a shoe size; write {_FORMS}')
    system, size = found[1].lower(), float(found[2].replace(",", "."))
    if system == "mondo":
        length = size
    elif system == "eu":
        length = (size - 2) / 0.15
    else:
        length = (size + _BARLEYCORNS[system]) / 3 * MM_PER["in"]
    if not 70 <= length <= 330:
        raise ValueError(
            f'"{shorten(shoe)}" is a foot of {whole(length)} mm; sizes from 70 to 330 mm work'
        )
    return length
