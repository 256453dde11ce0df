"""Where no gauge is known: the readings that agree on one, and what they teach."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.forecast import length
from tracker.forecast.length import Belief, Learned, Reading
from tracker.pattern.model import Gauge
from tracker.records import NamedTuple

STARTS_TRIED = 8
"""Of the first readings and of the last so many are each tried as the first sound one."""
UNLIKE = 3.0
"""How many times taller or lower than guessed no round is (common practice, no source)."""


class Agreed(NamedTuple):
    """A run of readings from `start` on that agree: the belief before them, and what they taught.

    `learned` says of every reading whether it counts, those before the run among them.
    """

    start: int
    before: Belief
    learned: Learned


def prior(gauge: Gauge, heel_rows: int) -> Belief:
    """The belief before any reading, by a gauge; the heel as deep as so many of its rows."""
    return length.prior(
        gauge.unwashed_rows,
        gauge.source,
        heel_mm=heel_rows * 100 / gauge.unwashed_rows,
        cuff_factor=gauge.cuff_factor,
        leg_factor=gauge.leg_factor,
    )


def agreeing(readings: Sequence[Reading], heel_rows: int) -> Agreed | None:
    """The readings that agree on a gauge; None where no two of them do.

    A first reading that was a slip must not stand against all that follow: the run of readings
    of which most agree is the one believed, and of two such runs the later.
    """
    sound = [place for place, reading in enumerate(readings) if not reading.void]
    best, most = None, 2
    for start in _starts(sound[:-1]):
        found = _from(start, readings, heel_rows)
        places = places_of(readings, found.learned)
        if places >= most and _likely(found):
            best, most = found, places
            if all(found.learned.counted[place] for place in sound if place >= start):
                break  # no later run can have more of them
    return best


def places_of(readings: Sequence[Reading], learned: Learned) -> int:
    """At how many different counts the readings lie that count."""
    return len({r.counts for r, counts in zip(readings, learned.counted, strict=True) if counts})


def _starts(sound: Sequence[int]) -> Sequence[int]:
    if len(sound) <= 2 * STARTS_TRIED:
        return sound
    return (*sound[:STARTS_TRIED], *sound[-STARTS_TRIED:])


def _from(start: int, readings: Sequence[Reading], heel_rows: int) -> Agreed:
    before = prior(_gauge_of(readings[start:], heel_rows), heel_rows)
    learned = length.fold(before, readings[start:])
    counted = (*(False for _ in range(start)), *learned.counted)
    return Agreed(start, before, learned._replace(counted=counted))


def _likely(found: Agreed) -> bool:
    """Whether every round is as high as one can be: two readings may fit one another, and no fabric."""
    heights = zip(found.learned.belief.mean[:3], found.before.mean[:3], strict=True)
    return all(guess / UNLIKE < height < guess * UNLIKE for height, guess in heights)


def _gauge_of(readings: Sequence[Reading], heel_rows: int) -> Gauge:
    """The one gauge that fits the readings best: least squares through nought, all fabrics alike.

    A heel is as deep as its rows are high.
    """
    readings = [reading for reading in readings if not reading.void]
    rows = [sum(reading.counts[:3]) + heel_rows * reading.counts.heel for reading in readings]
    along = sum(count * reading.mm for count, reading in zip(rows, readings, strict=True))
    height = along / max(sum(count * count for count in rows), 1)
    return Gauge(0.0, 100 / height if height > 0 else 1.0, length.UNKNOWN)
