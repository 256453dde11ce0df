"""The leg's fabric where it is a repeat or a chart of colours: read, counted, and laid on the needles.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import lcm

from tracker.pattern import fit
from tracker.pattern.colours import BadColour, are_letters, read_letters
from tracker.pattern.cuff import cuff_stitches
from tracker.pattern.fit import Fabric, Rib
from tracker.pattern.layout import Layout
from tracker.pattern.panel import Lie, NoPlace, fits_instep, lie, panel_of
from tracker.pattern.plan import Plan, WillNotWork
from tracker.pattern.repeat import BadRepeat, Repeat, read_chart, read_repeat
from tracker.units import round_half_up, shorten

REPEATED = ("repeat", "stranded")
"""Fabrics that follow leg.repeat."""
PLAIN_SWATCH = 1.25
"""A stranded swatch has at most so many times as many rows as stitches to a length; more is a plain one."""
UNEQUAL = 4
"""Heel and instep differ by no more stitches."""


def repeat_of(plan: Plan) -> Repeat | None:
    """The repeat that the leg is worked in; None of a plain or ribbed leg. Raises WillNotWork."""
    fabric, rows = plan.of("leg.fabric"), plan.of("leg.repeat")
    if fabric != "stranded":
        _check_stripes(plan)
    if fabric not in REPEATED:
        if rows:
            raise WillNotWork(
                "leg.repeat",
                f'a {fabric} leg has no repeat; write fabric = "repeat", or leave repeat out',
            )
        return None
    example = (
        '["k2, yo, ssk, k1, k2tog, yo, k1", "k8"]' if fabric == "repeat" else '["aabb", "abab"]'
    )
    if not rows:
        raise WillNotWork("leg.repeat", f"it has no rows yet; write repeat = {example}")
    try:
        read = read_repeat(rows) if fabric == "repeat" else read_chart(rows)
    except BadRepeat as bad:
        raise WillNotWork("leg.repeat", str(bad)) from None
    if fabric == "repeat" and read.coloured:
        raise WillNotWork(
            "leg.repeat", 'it has colours; write a chart of letters with fabric = "stranded"'
        )
    _check_letters(plan, read)
    return read


def _check_stripes(plan: Plan) -> None:
    """No letters of a chart where there is none. Raises WillNotWork."""
    given = plan.of("colours.leg")
    if are_letters(given):
        said, name = shorten(given[0], 40), shorten(given[0].split(maxsplit=1)[1], 40)
        raise WillNotWork(
            "colours.leg",
            f'"{said}" is a letter of a chart, and this leg has none; write each stripe with its rounds, '
            f'as "{name} 9"',
        )


def _check_letters(plan: Plan, read: Repeat) -> None:
    """Every letter of a chart has a name, where colours are named. Raises WillNotWork."""
    given = plan.of("colours.leg")
    if not read.coloured or given is None:
        return
    try:
        named = read_letters(given)
    except BadColour as bad:
        raise WillNotWork("colours.leg", str(bad)) from None
    missing = [letter for letter in read.letters if letter not in dict(named)]
    if missing:
        raise WillNotWork(
            "colours.leg",
            f'letter {missing[0]} of the chart has no colour; write one more, as "{missing[0]} cream"',
        )


def fabric_of(plan: Plan) -> Fabric:
    """What the leg's fabric does, told by the stitches that occur. Raises WillNotWork."""
    read = repeat_of(plan)
    if read is None:
        return fit.FABRICS[plan.of("leg.fabric")]
    usual = fit.FABRICS["plain" if read.fabric == "texture" else read.fabric]
    if read.coloured and not is_plain_swatch(plan):
        return usual._replace(row_factor=1.0)
    return usual


def is_plain_swatch(plan: Plan) -> bool:
    """Whether a gauge has as many rows to its stitches as only knitting in one colour has."""
    return bool(plan.of("gauge.rows") > PLAIN_SWATCH * plan.of("gauge.stitches"))


# How many stitches


def check_given(plan: Plan, read: Repeat, given: int) -> None:
    """Her own stitches: colours go round, any other repeat may be a panel. Raises WillNotWork."""
    width = read.width
    if given % width == 0:
        return
    near = _multiples_near(given, width)
    if read.coloured:
        raise WillNotWork(
            "leg.stitches", f"the chart of {width} stitches does not divide {given}; write {near}"
        )
    if not _panels(read, given):
        raise WillNotWork(
            "leg.stitches",
            f"the repeat of {width} does not divide {given}, and is wider than the instep of "
            f"{(given + 1) // 2}; write {near}",
        )


def _multiples_near(given: int, width: int) -> str:
    low = given - given % width
    return f"{low} or {low + width}" if low >= 12 else f"{low + width}"


def around(
    plan: Plan, read: Repeat, sg: float, rib: Rib, ease: float, fits: tuple[float, float]
) -> fit.Round:
    """The stitches of a leg by foot, rib and repeat. Raises WillNotWork with numbers that work."""
    measure = plan.millimetres("foot.circumference") or 0.0
    chosen = fit.around(measure, sg, ease, rib.stitches, read.width, tie_up=read.coloured)
    got = fit.effective_ease(chosen.stitches, measure, sg)
    if fits[0] <= got <= fits[1]:
        return chosen
    ways = list(_ways(plan, read, sg, rib, chosen, fits))
    if not ways:
        return chosen  # the repeat is not at fault; what is odd is told with the rest
    together = (
        f"a repeat of {read.width} and {plan.of('cuff.rib')} go together in {chosen.multiple} "
        f"stitches, and {chosen.stitches} would be {_than_the_foot(got)} than the foot"
    )
    raise WillNotWork("leg.stitches", f"{together}; write {', or '.join(ways)}")


def _ways(
    plan: Plan, read: Repeat, sg: float, rib: Rib, chosen: fit.Round, fits: tuple[float, float]
) -> Iterator[str]:
    """What fits better: whole repeats under a cuff of its own, a panel on the instep, another rib."""
    measure = plan.millimetres("foot.circumference") or 0.0

    def off(stitches: int) -> float:
        ease = fit.effective_ease(stitches, measure, sg)
        return max(fits[0] - ease, ease - fits[1], 0.0)

    told: set[int] = {chosen.stitches}
    apart = fit.nearest(chosen.wanted, read.width, tie_up=read.coloured)
    if apart not in told and apart >= 12 and off(apart) < off(chosen.stitches):
        told.add(apart)
        cuff = cuff_stitches(apart, rib)
        under = f" under a cuff of {cuff}" if cuff != apart else ""
        yield f"{apart}, whole repeats{under} ({_than_the_foot(fit.effective_ease(apart, measure, sg))})"
    plain = fit.around(measure, sg, fit.FABRICS["plain"].ease, rib.stitches).stitches
    panel = _panels(read, plain)
    if panel and plain % read.width and plain not in told:
        told.add(plain)
        many, edges = panel
        sides = f" + {2 * edges} edge stitches" if edges else ""
        yield f"{plain}, a panel on the instep ({many} x {read.width}{sides})"
    for name, other in fit.RIBS.items():
        multiple = lcm(2, other.stitches, read.width)
        if multiple >= chosen.multiple or name.startswith("twisted"):
            continue
        number = fit.nearest(chosen.wanted, multiple, tie_up=read.coloured)
        if number not in told and off(number) < off(chosen.stitches):
            told.add(number)
            ease = fit.effective_ease(number, measure, sg)
            yield f'{number} with cuff.rib = "{name}" ({_than_the_foot(ease)})'


def _than_the_foot(ease: float) -> str:
    percent = round_half_up(ease * 100, 0)
    return f"{abs(percent):g} % {'larger' if percent < 0 else 'smaller'}"


def _panels(read: Repeat, stitches: int) -> tuple[int, int] | None:
    """Whole repeats and edge stitches of a panel on an instep of about half the stitches, if one fits."""
    if read.coloured:
        return None
    fitting = insteps(read, stitches)
    return panel_of(read, fitting[0]) if fitting else None


# How they are shared


def insteps(read: Repeat, stitches: int) -> list[int]:
    """The insteps on which whole repeats lie in the middle, the nearest to half first, of two the larger."""
    low, high = (stitches - UNEQUAL + 1) // 2, (stitches + UNEQUAL) // 2
    fitting = [instep for instep in range(low, high + 1) if fits_instep(read, instep)]
    return sorted(fitting, key=lambda instep: (abs(2 * instep - stitches), -instep))


def goes_down(plan: Plan) -> bool:
    """Whether the repeat goes on down the foot."""
    return bool(plan.of("foot.fabric") == "as the leg")


def lies(plan: Plan, read: Repeat, layout: Layout, stitches: int, on_heel: int, rib: Rib) -> Lie:
    """How it lies on the needles. Raises WillNotWork where no needle could end."""
    if layout.together:
        raise WillNotWork(
            "needles.set",
            'no repeat or chart is made on one short circular yet; write set = "five" or "two '
            'circulars"',
        )
    foot = plan.of("foot.stitches") or stitches
    try:
        return lie(
            read,
            layout,
            stitches,
            on_heel,
            rib.stitches,
            on_foot=goes_down(plan),
            foot=foot,
            centred=plan.of("heel.kind") == "afterthought",
        )
    except NoPlace:
        instead = '"two circulars"' if len(layout.names) > 2 else '"five" with a narrower repeat'
        raise WillNotWork(
            "needles.set",
            f"a repeat of {read.width} has stitches that lie across every place where {len(layout.names)} "
            f"needles could end; write set = {instead}",
        ) from None


def whole_rounds(read: Repeat, rounds: int, lead: int, least: int = 1) -> int:
    """Rounds of a leg or foot, of which `lead` come before the repeat, that end on the full count.

    A repeat whose rows all have as many stitches ends anywhere.
    """
    if len(set(read.counts)) == 1:
        return rounds
    least = max(lead, least)
    most = max(rounds, least) + read.height
    near = sorted(range(least, most + 1), key=lambda one: (abs(one - rounds), one))
    return next(one for one in near if read.begins_on(one - lead) == read.width)
