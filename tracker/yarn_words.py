"""How the yarn is said: what is left, what a sock takes, whether it is enough, and the ways out."""

from __future__ import annotations

from math import ceil

from tracker.forecast.ball import Rescue, YarnSight
from tracker.glance import Glance
from tracker.knitting.cues import Cue
from tracker.pattern.yarn import percent
from tracker.units import round_half_up, whole
from tracker.vocabulary import capital, counted, sock

Then = str | tuple[str, int | None]


def grams(weight: float) -> str:
    """ "85 g", "85.5 g": as a scale shows it."""
    return f"{round_half_up(weight, 1):g} g"


def yarn_line(glance: Glance, *, briefly: bool = False) -> str:
    """ "85 g left: sock one will take 36 g, give or take 1; enough for both."

    Where it is not enough, and not `briefly`, the ways out follow.
    """
    yarn = glance.yarn
    assert yarn is not None  # noqa: S101 - asked for only where there is yarn
    now = f"{whole(yarn.left_g)} g left{'' if yarn.weighed else ' by its plan'}"
    if not yarn.unfinished:
        return f"{now}: {'it' if _alone(glance) else 'the pair'} is finished."
    if yarn.vague:
        return f"{now}: how far it goes cannot be said yet; weigh it again after some rounds."
    told = f"{now}: {_takes(glance, yarn)}; {_enough(glance)}."
    out = ways_out(yarn)
    return f"{told} {out}." if out and not briefly else told


def _takes(glance: Glance, yarn: YarnSight) -> str:
    here = glance.place
    how = "took about" if here.finished else "will take" if yarn.weighed else "should take"
    doubt = whole(yarn.sock_sd)
    give = f", give or take {doubt}" if doubt else ""
    what = "it" if _alone(glance) else sock(here.sock, glance.of_socks)
    return f"{what} {how} {whole(yarn.sock_g)} g{give}"


def _enough(glance: Glance) -> str:
    yarn = glance.yarn
    assert yarn is not None  # noqa: S101 - asked for only where there is yarn
    whom = _whom(glance, yarn)
    if yarn.verdict == "enough":
        return f"enough{whom}"
    if yarn.verdict == "tight":
        return f"tight{whom}, {percent(yarn.chance)} sure"
    return f"not enough{whom}, about {_short(yarn)} g short"


def _whom(glance: Glance, yarn: YarnSight) -> str:
    """ " for both", " for sock two"; nothing where there is one piece only."""
    if len(yarn.unfinished) == 2:
        return " for both"
    return "" if _alone(glance) else f" for {sock(yarn.unfinished[0], glance.of_socks)}"


def _alone(glance: Glance) -> bool:
    """Something that is no sock, and of which no second one is begun."""
    return not glance.of_socks and not glance.socks[1].begun


def _short(yarn: YarnSight) -> int:
    return max(1, whole(-yarn.over_g))


def ways_out(yarn: YarnSight) -> str:
    """The first ways out as one sentence without its full stop; nothing where it is enough."""
    told = [_way_out(rescue) for rescue in yarn.rescues]
    return capital(", or ".join(told))


def _way_out(rescue: Rescue) -> str:
    if rescue.kind == "legs":
        return _shorter(rescue)
    if rescue.kind == "ball":
        return "another ball"
    saves = "" if rescue.does else f" ({whole(rescue.grams)} g of it)"
    return f"{rescue.kind} in another yarn{saves}"


def _shorter(rescue: Rescue) -> str:
    """ "both legs 6 rounds shorter (16 to be safe)", "this leg 4 rounds shorter, unlike the other"."""
    legs, unlike = ("both legs", "") if rescue.socks == 2 else ("this leg", ", unlike the other")
    if not rescue.likely:
        return f"{legs} {counted(rescue.rounds, 'rounds')} shorter to be safe{unlike}"
    safe = f" ({rescue.rounds} to be safe)" if rescue.rounds > rescue.likely else ""
    return f"{legs} {counted(rescue.likely, 'rounds')} shorter{safe}{unlike}"


def yarn_fact(glance: Glance) -> tuple[str, str] | None:
    """("85 g left", "enough for both"), where there is anything to say."""
    yarn = glance.yarn
    if yarn is None or yarn.vague or not yarn.unfinished:
        return None
    return f"{whole(yarn.left_g)} g left", _enough(glance).replace("not enough", "too little")


def yarn_brief(glance: Glance) -> str:
    """What a weighing answers, in 30 cells: "85 g left, enough for both", "63 g left, 2 g short"."""
    yarn = glance.yarn
    assert yarn is not None  # noqa: S101 - asked for only after a weighing
    now = f"{whole(yarn.left_g)} g left"
    if yarn.fits in _ODD:
        return f"other ball? {now}"
    if yarn.vague or not yarn.unfinished:
        return now
    if yarn.verdict == "tight":
        return f"{now}, {percent(yarn.chance)} sure"
    enough = yarn.verdict == "enough"
    return f"{now}, {_enough(glance)}" if enough else f"{now}, {_short(yarn)} g short"


def said_weigh(glance: Glance, *, keys: bool = False) -> str:
    """What a weighing answers: what does not fit, then what is left and how far it goes.

    At the needles (`keys`) the ways out are left to the cue that follows.
    """
    told = yarn_line(glance, briefly=keys)
    odd = next((cue for cue in glance.cues if cue.about in _ODD and cue.kind == "yarn"), None)
    if odd is None:
        return told
    what, then = _odd(odd)
    return f"{capital(what)} {then} {told}"


# Cues


def cue_text(cue: Cue, glance: Glance) -> tuple[str, Then]:
    """What a cue of the yarn says, and what comes after it."""
    yarn = glance.yarn
    if cue.about in _ODD:
        return _odd(cue)[0], ""
    if cue.about == "weigh":
        return "weigh the yarn that is left", ("weigh", whole(cue.data["grams"]))
    if cue.about == "second":
        return f"a ball for the other sock must weigh {ceil(cue.data['grams'])} g or more", ""
    if cue.about == "legs":
        return f"yarn for both, if the leg ends at round {cue.data['round']}", ""
    assert yarn is not None  # noqa: S101 - its cues come with it
    return f"yarn: {_enough(glance)}", f"{' or '.join(_will_do(yarn))} will do"


def _will_do(yarn: YarnSight) -> list[str]:
    """Shorter legs while they are open, and the first other way out; another ball if nothing else does."""
    does = [rescue for rescue in yarn.rescues if rescue.does]
    legs = [
        f"{'both legs' if rescue.socks == 2 else 'this leg'} {counted(rescue.rounds, 'rounds')} shorter"
        for rescue in does
        if rescue.kind == "legs"
    ]
    others = [_way_out(rescue) for rescue in does if rescue.kind != "legs"]
    return [*legs, *others[:1]]


def cue_brief(cue: Cue, glance: Glance) -> str:
    """The same in 36 cells or a little more."""
    yarn = glance.yarn
    if cue.about == "other ball":
        return "more than last time: other ball?"
    if cue.about == "anew":
        return "weight does not fit: a slip?"
    if cue.about == "weigh":
        return f"weigh the yarn: {whole(cue.data['grams'])} w"
    if cue.about == "second":
        return f"other sock needs {ceil(cue.data['grams'])} g of yarn"
    if cue.about == "legs":
        return f"yarn: end the leg at {cue.data['round']}"
    assert yarn is not None  # noqa: S101 - its cues come with it
    how = "tight" if yarn.verdict == "tight" else f"{_short(yarn)} g short"
    legs = [rescue.rounds for rescue in yarn.rescues if rescue.kind == "legs"]
    return f"yarn {how}: legs {legs[0]} less" if legs else f"yarn {how}{_whom(glance, yarn)}"


_ODD = frozenset({"other ball", "anew"})


def _odd(cue: Cue) -> tuple[str, str]:
    """What does not fit, and what is made of it."""
    if cue.about == "other ball":
        return "weighed more than last time: other ball?", "It counts as a new one."
    expected = max(0, whole(cue.data["expected"]))
    return f"about {expected} g were expected: a slip, or other yarn?", "It counts from here on."
