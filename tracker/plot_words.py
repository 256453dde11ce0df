"""What a plot shows, said in a sentence or two; and where there is none, what to do to get one."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.forecast.series import Growth, Pace, Sitting, Tight
from tracker.knitting.state import BOTH, Number
from tracker.pattern.days import said as day
from tracker.pattern.model import Mark
from tracker.units import Unit, round_half_up, whole, write_length
from tracker.vocabulary import and_all, capital, counted, doubt, laid_from, section, sock, unit


def growth_title(found: Growth, number: Number, of_socks: bool) -> str:
    """ "Length of the leg, sock two"."""
    return f"Length of the {section(found.section, of_socks)}, {sock(number, of_socks)}"


def growth_said(found: Growth, measure: Unit, *, brief: bool = False, toe_up: bool = False) -> str:
    """How long it is, and how long it will be at its end; `brief` leaves out what the plot shows as well."""
    here, last = found.at(found.done), found.points[-1]
    known = doubt((here.high - here.low) / 2, measure)
    mark = "" if brief else f" {laid_from(found.mark, toe_up=toe_up)}"
    told = (
        f"{write_length(here.mm, measure)}{mark} after {counted(found.done, found.worked)}{known}"
    )
    goal = f"; the goal is {write_length(found.goal, measure)}" if found.goal is not None else ""
    taught = " As the other one's tape taught: none was laid here." if found.taught else ""
    taught = "" if brief else taught
    if found.done >= found.end:
        return f"{told}{goal}.{taught}"
    span = (
        f"{write_length(last.low, measure, with_unit=False)} to {write_length(last.high, measure)}"
    )
    sure = "" if brief else ", nine times in ten"
    return f"{told}; at {unit(found.worked)} {found.end} {span}{sure}{goal}.{taught}"


def no_more_growth(number: int, of_socks: bool) -> str:
    """Of a sock that no tape is laid on any more."""
    whose = sock(number, of_socks)
    return f"No tape tells of its length, and nothing that is left of {whose} is measured."


def no_growth(
    mark: Mark | None, example: str, key: str, *, gauge: bool, toe_up: bool = False
) -> str:
    """What to do where no tape has told of the length; with no `mark` none can be laid where she is."""
    if mark is None:
        return "No tape was laid yet, and none can be here: lay it in the next section that is measured."
    mark_named = laid_from(mark, toe_up=toe_up)
    laid = f"Lay the tape {mark_named} to the needle and type what it says, like {example} {key}"
    if not gauge:
        return f"{laid}; once two readings agree the length is drawn here."
    return f"{laid}; then the length is drawn here, with what is still to come."


def pace_said(found: Sequence[Pace], of_socks: bool, numbers: Sequence[Number] = BOTH) -> str:
    """The fastest and the slowest section of some of the socks."""
    told = []
    for number in numbers:
        known = [
            (minutes, pace) for pace in found if (minutes := pace.minutes[number - 1]) is not None
        ]
        if known:
            told.append(f"{sock(number, of_socks)}: {_extremes(known, of_socks)}")
    return f"{capital('; '.join(told))}." if told else no_pace()


def _extremes(known: Sequence[tuple[float, Pace]], of_socks: bool) -> str:
    (least, fast), (most, slow) = (pick(known, key=lambda one: one[0]) for pick in (min, max))
    if fast is not slow and to_tenths(least) == to_tenths(most):
        return f"{to_tenths(least)} min a round or row, everywhere"
    if fast is slow:
        return _minutes(least, fast, of_socks)
    return f"from {_minutes(least, fast, of_socks)} to {_minutes(most, slow, of_socks)}"


def _minutes(minutes: float, pace: Pace, of_socks: bool) -> str:
    each = "a row" if pace.worked == "rows" else "a round"
    return f"{to_tenths(minutes)} min {each} in the {section(pace.section, of_socks)}"


def no_pace() -> str:
    """What to do where no time is known."""
    return "Nothing is timed yet: tick every round as it is done, and the minutes it takes are drawn here."


def sittings_said(found: Sequence[Sitting], *, brief: bool = False) -> str:
    """The last sitting, and how fast those before it were; what a sitting is, unless in `brief`."""
    if not found:
        return no_pace()
    *before, last = found
    told = f"{_in_minutes(last)} on {day(last.day)}{_than_before(before)}."
    return told if brief else f"{told} {A_SITTING}"


def _in_minutes(sitting: Sitting) -> str:
    """ "31 stitches a minute in 52 minutes"."""
    minutes = whole(sitting.minutes)
    length = "a minute" if minutes == 1 else f"{minutes} minutes"
    return f"{per_minute(sitting)} stitches a minute in {length}"


def _than_before(before: Sequence[Sitting]) -> str:
    """ "; from 27 to 33 in the 8 sittings before"."""
    if not before:
        return ""
    slow, fast = (pick(map(per_minute, before)) for pick in (min, max))
    those = "the sitting before" if len(before) == 1 else f"the {len(before)} sittings before"
    return f"; {slow if slow == fast else f'from {slow} to {fast}'} in {those}"


A_SITTING = "A pause of more than an hour ends a sitting."


def per_minute(sitting: Sitting) -> int:
    """Stitches a minute as they are said: whole."""
    return whole(sitting.per_minute)


def tension_said(found: Sequence[Tight], measure: Unit, of_socks: bool) -> str:
    """The rounds to a length of both socks, and how much tighter one of them is."""
    told = [
        _rows(found, fabric, of_socks, measure)
        for fabric in dict.fromkeys(one.fabric for one in found)
    ]
    gauge = next((one.gauge for one in found if one.gauge and one.fabric != "cuff"), None)
    swatch = f"; the swatch said {to_tenths(per_unit(gauge, measure))}" if gauge else ""
    return f"{capital(tension_axis(measure))}: {'; '.join(told)}{swatch}."


def _rows(found: Sequence[Tight], fabric: str, of_socks: bool, measure: Unit) -> str:
    """ "leg 42.3 on sock one and 43.1 on sock two, sock two 2 % tighter"."""
    those = [one for one in found if one.fabric == fabric]
    each = (
        f"{to_tenths(per_unit(one.rows, measure))} on {sock(one.sock, of_socks)}" for one in those
    )
    return f"{f'{fabric} ' if of_socks else ''}{and_all(each)}{_apart(those, of_socks)}"


def _apart(those: Sequence[Tight], of_socks: bool) -> str:
    if len(those) < 2:
        return ""
    share = round_half_up((those[1].rows / those[0].rows - 1) * 100)
    if not share:
        return ", as tight as each other"
    return f", {sock(2, of_socks)} {abs(share):g} % {'tighter' if share > 0 else 'looser'}"


def tension_axis(measure: Unit) -> str:
    """ "rounds to 10 cm", or "rounds to 1 in"."""
    return f"rounds to {'1 in' if measure == 'in' else '10 cm'}"


def per_unit(rows: float, measure: Unit) -> float:
    """Rounds to 100 mm as rounds to 10 cm, or to an inch."""
    return rows * 0.254 if measure == "in" else rows


def no_tension(example: str, key: str) -> str:
    """What to do where no reading counts."""
    return (
        f"Lay the tape on the leg or the foot of either sock, and type what it says, like {example} {key};"
        " then the tension of both is drawn here."
    )


def to_tenths(number: float) -> str:
    """ "2.1", "3"."""
    return f"{round_half_up(number, 1):g}"
