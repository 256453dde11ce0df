"""How the yarn is said: what is left, what a sock takes, whether it is enough, and the ways out."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import TYPE_CHECKING

from tracker.forecast.ball import ODD, YarnSight
from tracker.glance import Glance
from tracker.knitting.cues import Cue
from tracker.knitting.events import AS_FAR as AS_FAR
from tracker.pattern.yarn import percent
from tracker.units import round_half_up, shell_word, shorten, whole
from tracker.vocabulary import capital, counted, sock

if TYPE_CHECKING:
    from tracker.forecast.as_far import NotFar
    from tracker.forecast.rescues import Rescue

Then = str | tuple[str, int | None]

BRIEF = 30
"""Cells of what a weighing answers where there is little room."""
SHORT_NAME = 14
"""Letters of a colour's name that has room there; else it is the yarn."""


def grams(weight: float) -> str:
    """ "85 g", "85.5 g": as a scale shows it."""
    return f"{_figure(weight)} g"


def _of(colour: str | None) -> str:
    return "" if colour is None else f" of {shorten(colour)}"


def yarn_lines(glance: Glance) -> list[str]:
    """A line for all the yarn, or one for each colour's ball."""
    yarn = glance.yarn
    sights = () if yarn is None else (yarn, *yarn.others)
    return [_line(glance, sight, briefly=False) for sight in sights]


def yarn_line(glance: Glance, *, briefly: bool = False) -> str:
    """ "85 g left: sock one takes 36 g in all, give or take 1; enough for both."

    Where it is not enough, and not `briefly`, the ways out follow. Of several balls it is the one
    that was weighed just now, or that is least sure.
    """
    yarn = glance.yarn
    assert yarn is not None  # noqa: S101 - asked for only where there is yarn
    return _line(glance, yarn, briefly=briefly)


def _line(glance: Glance, yarn: YarnSight, *, briefly: bool) -> str:
    now = f"{_left(yarn)} left{'' if yarn.weighed else ' by its plan'}"
    if yarn.so_far:
        return f"{now}: how far it goes is said once the whole pattern is there."
    if not yarn.unfinished:
        return f"{now}: {'it' if _alone(glance) else 'the pair'} is finished."
    if yarn.vague and yarn.sock_g:
        told = f"{now}: how far it goes cannot be said yet; weigh it again after some rounds."
        return told if briefly else f"{told}{_halved(glance, yarn)}"
    told = f"{now}: {_takes(glance, yarn)}; {_enough(glance, yarn)}{_to_be_safe(yarn)}."
    out = ways_out(yarn)
    return f"{told} {out}.{_halved(glance, yarn)}" if out and not briefly else told


def _left(yarn: YarnSight) -> str:
    """ "85 g", "85 g (357 m)", "45 g of navy", "420 m"."""
    if yarn.in_metres:
        return f"{whole(yarn.left_g * (yarn.metres or 0))} m"
    metres = f" ({whole(yarn.left_g * yarn.metres)} m)" if yarn.metres else ""
    return f"{whole(yarn.left_g)} g{metres}{_of(yarn.colour)}"


def _amount(yarn: YarnSight, weight: float) -> str:
    """So many grams as they are told of this yarn: "36 g", or "140 m"."""
    if yarn.in_metres:
        return f"{whole(weight * (yarn.metres or 0))} m"
    return f"{whole(weight)} g"


def _halved(glance: Glance, yarn: YarnSight) -> str:
    """Where nothing is cast on yet: each sock has its own half."""
    if yarn.half_g is None:
        return ""
    how = "" if yarn.in_metres else " by weight"
    may = _amount(yarn, yarn.half_g)
    return f" Halve it{how} before you cast on: {sock(1, glance.of_socks)} may use {may}."


def _other(glance: Glance) -> str:
    return "the other sock" if glance.of_socks else "the other"


def _takes(glance: Glance, yarn: YarnSight) -> str:
    here = glance.place
    how = "took about" if here.finished else "takes" if yarn.weighed else "should take"
    whole_of = "" if here.finished or not yarn.weighed else " in all"
    number = _amount(yarn, yarn.sock_sd).split()[0]
    give = f", give or take {number}" if number != "0" else ""
    what = "it" if _alone(glance) else sock(here.sock, glance.of_socks)
    return f"{what} {how} {_amount(yarn, yarn.sock_g)}{' of it' if yarn.colour else ''}{whole_of}{give}"


def _enough(glance: Glance, yarn: YarnSight) -> str:
    whom = _whom(glance, yarn)
    if yarn.verdict == "enough":
        return f"enough{whom}"
    if yarn.verdict == "tight":
        return f"tight{whom}, {percent(yarn.chance)} sure"
    return f"not enough{whom}, about {_short(yarn)} short"


def _whom(glance: Glance, yarn: YarnSight) -> str:
    """ " for both", " for sock two"; nothing where there is one piece only."""
    if len(yarn.unfinished) == 2:
        return " for both"
    return "" if _alone(glance) else f" for {sock(yarn.unfinished[0], glance.of_socks)}"


def _alone(glance: Glance) -> bool:
    """Something that is no sock, and of which no second one is begun."""
    return not glance.of_socks and not glance.socks[1].begun


def _short(yarn: YarnSight) -> str:
    """ "8 g", "30 m": one at the least."""
    least = 1 / yarn.metres if yarn.in_metres and yarn.metres else 1.0
    return _amount(yarn, max(least, -yarn.over_g))


def _to_be_safe(yarn: YarnSight) -> str:
    """ " (13 to be safe)": the grams, or metres, by which the ways out that do are reckoned."""
    safe = str(ceil(yarn.lacks_g * ((yarn.metres or 1) if yarn.in_metres else 1)))
    if yarn.verdict != "not enough" or safe == _short(yarn).split()[0]:
        return ""
    return f" ({safe} to be safe)"


def ways_out(yarn: YarnSight) -> str:
    """The ways out as one sentence without its full stop; nothing where it is enough."""
    told = [way_out(rescue, yarn) for rescue in yarn.rescues]
    return capital(", or ".join(told))


def way_out(rescue: Rescue, yarn: YarnSight) -> str:
    """One of them: "toes in another yarn (6 g of it)", "both legs 4 rounds shorter (14 to be safe)"."""
    if rescue.kind == "legs":
        return _shorter(rescue)
    if rescue.kind == "ball":
        return f"another ball{_of(yarn.colour)}"
    if rescue.kind == "stripes":
        return _other_stripes(rescue)
    saves = "" if rescue.does else f"{_amount(yarn, rescue.grams)} of it"
    what, unlike = _part(rescue)
    aside = ", ".join(filter(None, [saves, unlike]))
    return (
        f"{what} in another {'colour' if yarn.colour else 'yarn'}{f' ({aside})' if aside else ''}"
    )


def _part(rescue: Rescue) -> tuple[str, str]:
    """ "toes"; or that of one sock, where the other one's is made, and what comes of it."""
    if rescue.alone is None:
        return rescue.kind, ""
    return f"{sock(rescue.alone)}'s {rescue.kind.removesuffix('s')} alone", "the pair will differ"


def _other_stripes(rescue: Rescue) -> str:
    """ "3 of its 19 stripes to come in another colour (6 to be safe)"."""
    told = f"{rescue.likely or rescue.stripes} of its {rescue.of} stripes to come in another colour"
    if not rescue.likely:
        return f"{told} to be safe"
    return f"{told} ({rescue.stripes} to be safe)" if rescue.stripes > rescue.likely else told


def _shorter(rescue: Rescue) -> str:
    """ "both legs 6 rounds shorter (16 to be safe)", "this leg 4 rounds shorter, unlike the other".

    Where no length is safe they are an even chance, and are told as that. Legs of so many rounds end by
    themselves: it takes a new plan to make them shorter.
    """
    legs, unlike = ("both legs", "") if rescue.socks == 2 else ("this leg", ", unlike the other")
    if rescue.planned:
        return _new_plan(rescue)
    if not rescue.does:
        shorter = f"{legs} {counted(rescue.rounds, 'rounds')} shorter"
        return f"{shorter} for an even chance (no length is safe){unlike}"
    if not rescue.likely:
        return f"{legs} {counted(rescue.rounds, 'rounds')} shorter to be safe{unlike}"
    safe = f" ({rescue.rounds} to be safe)" if rescue.rounds > rescue.likely else ""
    return f"{legs} {counted(rescue.likely, 'rounds')} shorter{safe}{unlike}"


def _new_plan(rescue: Rescue) -> str:
    plan = f"a new plan with leg.rounds = {rescue.planned}"
    if not rescue.does:
        plan = f"{plan} for an even chance"
    if rescue.here is None:
        return f"{plan} before you cast on"
    done, named = rescue.here
    return f"{plan} (start it, then instep at {done} --section {shell_word(named)})"


def yarn_fact(glance: Glance) -> tuple[str, str] | None:
    """("85 g left", "enough for both"), where there is anything to say."""
    yarn = glance.yarn
    if yarn is None or yarn.vague or not yarn.unfinished:
        return None
    sense = _enough(glance, yarn).replace("not enough", "too little")
    return f"{_left(yarn).replace(' of ', ' ')} left", sense


def yarn_brief(glance: Glance) -> str:
    """What a weighing answers, in 30 cells: "85 g left, enough for both", "63 g left, 2 g short"."""
    yarn = glance.yarn
    assert yarn is not None  # noqa: S101 - asked for only after a weighing
    now = f"{_amount(yarn, yarn.left_g)}{_of(yarn.colour)} left"
    bare, odd = _amount(yarn, yarn.left_g), "other ball? " if yarn.fits in ODD else ""
    if len(odd + now) > BRIEF:
        now = f"{bare} left"
    if odd:
        return f"{odd}{now}"
    if yarn.vague or not yarn.unfinished:
        return now
    if yarn.verdict == "not enough":
        told = f"{_short(yarn)} short"
    else:
        tight = f"{percent(yarn.chance)} sure"
        told = _enough(glance, yarn) if yarn.verdict == "enough" else tight
    tried = (f"{now}, {told}", f"{bare} {shorten(yarn.colour or '')}, {told.partition(' for ')[0]}")
    return next((line for line in tried if len(line) <= BRIEF), f"{bare} left, {told}")


def said_weigh(glance: Glance, *, keys: bool = False) -> str:
    """What a weighing answers: what does not fit, then what is left and how far it goes.

    At the needles (`keys`) the ways out are left to the cue that follows.
    """
    told = yarn_line(glance, briefly=keys)
    odd = next((cue for cue in glance.cues if cue.about in ODD and cue.kind == "yarn"), None)
    if odd is None or _of_cue(odd).colour != (glance.yarn and glance.yarn.colour):
        return told
    what, then = _odd(odd)
    alone = _of_cue(odd).alone
    if alone:
        then = f"{then} {_if_alone(alone, _of_cue(odd).left_g, glance.keys if keys else None)}"
    return f"{capital(what)} {then} {told}"


def _if_alone(colours: tuple[str, ...], grams: float, keys: Mapping[str, str] | None) -> str:
    """What to do where one ball was weighed for all of them."""
    if keys:
        weigh = f"{_figure(grams)} {keys['weigh_colour']}"
        return f"If so: {keys['undo']}, then {weigh} while that is at hand."
    weigh = f"instep weigh {_figure(grams)} --colour {shell_word(colours[0])}"
    return f"If so: instep undo, then {weigh}."


def _figure(grams: float) -> str:
    return f"{round_half_up(grams, 1):g}"


def not_far(why: NotFar, named: str, *, keys: Mapping[str, str] | None = None) -> str:
    """Why no goal follows from the yarn, and what to do instead; `named` is the section asked about."""
    if why.why == "short":
        return _not_one_more(why)
    if why.why == "not the leg":
        told = f"{AS_FAR} is a goal for the leg, not for the {named}"
        if why.open:
            return f"{told}; write a length"
        return f"{told}; the leg is over" if why.over else told
    if why.why == "colours":
        names = ", ".join(map(shorten, why.colours))
        how = (
            f"45 {keys['weigh_colour']} while it is at hand"
            if keys
            else f"as in instep weigh 45 --colour {shell_word(why.colours[0])}"
        )
        each = "it" if len(why.colours) == 1 else "each"
        return f"not weighed yet: {names}; weigh {each} first, {how}"
    return _UNKNOWN[why.why]


_UNKNOWN = {
    "no yarn": "no yarn is told in the plan, and none was weighed; weigh what is left first",
    "vague": "how far the yarn goes cannot be said yet; weigh the yarn once more after some rounds",
    "no length": "how long a round is cannot be said yet; measure twice first, or write a length",
}


def _not_one_more(why: NotFar) -> str:
    """Both figures: that of a leg that ends here, and those told of the leg as it will be."""
    yarn, short = why.yarn, max(1, ceil(why.short_g))
    some = shorten(yarn.colour) if yarn and yarn.colour else "yarn"
    ends = "here" if why.ends is None else f"at round {why.ends}"
    told = f"even if the leg ends {ends}, {short} g of {some} short of safe"
    if yarn is None or not yarn.rescues:
        return (
            f"not one more round is safe: {told}; another ball{_of(yarn and yarn.colour)} will help"
        )
    ways = ", or ".join(way_out(way, yarn) for way in yarn.rescues)
    return f"not one more round is safe: {told}. As it is, {_as_it_is(yarn)}: {ways} will help"


def _as_it_is(yarn: YarnSight) -> str:
    """What `left` says of the leg as it will be."""
    if yarn.verdict == "tight":
        return f"{percent(yarn.chance)} sure"
    return f"about {_short(yarn)} short{_to_be_safe(yarn)}"


# Cues


def _of_cue(cue: Cue) -> YarnSight:
    """The ball that a cue is about."""
    yarn: YarnSight = cue.data["ball"]
    return yarn


def cue_text(cue: Cue, glance: Glance) -> tuple[str, Then]:
    """What a cue of the yarn says, and what comes after it."""
    yarn = _of_cue(cue)
    some = shorten(yarn.colour) if yarn.colour else "yarn"
    if cue.about in ODD:
        return _odd(cue)[0], ""
    if cue.about == "weigh":
        act = "weigh colour" if yarn.colour else "weigh"
        return f"weigh the {some.removeprefix('the ')} that is left", (
            act,
            whole(cue.data["grams"]),
        )
    if cue.about == "as far":
        return _goes_now(cue.data["rounds"]), "goal by yarn"
    if cue.about == "second":
        ball = f"a ball{_of(yarn.colour)} for {_other(glance)}"
        return f"{ball} must weigh {ceil(cue.data['grams'])} g or more", ""
    if cue.about == "legs":
        return _leg_must_end(cue, yarn, some)
    return f"{some}: {_enough(glance, yarn)}", _will_do(yarn)


def _goes_now(more: int) -> str:
    """Where the yarn goes now: further than the goal, or not as far."""
    rounds = counted(abs(more), "rounds")
    how = f"goes {rounds} further than" if more > 0 else f"falls {rounds} short of"
    return f"the yarn now {how} the goal"


def _leg_must_end(cue: Cue, yarn: YarnSight, some: str) -> tuple[str, Then]:
    """At which round it must; one of counted rounds ends there with a new plan only."""
    legs = next(rescue for rescue in yarn.rescues if rescue.kind == "legs")
    both = " for both" if len(yarn.unfinished) == 2 else ""
    ends = "a new plan ends the leg" if legs.planned else "the leg ends"
    chance = "" if legs.does else ": an even chance"
    then = "weigh what is left first" if cue.data["weigh"] else ""
    return f"{some}{chance}{both}, if {ends} at round {cue.data['round']}", then


def _will_do(yarn: YarnSight) -> str:
    """Shorter legs while they are open, and the first other way out; another ball if nothing else does.

    Never one that makes the pair differ, that is for her to choose. Stripes are told alone: beside the
    legs there is no room for them in a cue.
    """
    legs = next((rescue for rescue in yarn.rescues if rescue.kind == "legs"), None)
    others = (way for way in yarn.rescues if way.does and way.kind != "legs" and not way.alone)
    other = next(others)
    if legs is None or not legs.does:
        unsafe = "" if legs is None else "no length of leg is safe, "
        return f"{unsafe}{_does(other, yarn)} will do"
    told = "" if other.kind == "stripes" else f" or {_does(other, yarn)}"
    return f"{_legs_that_do(legs)}{told} will do"


def _does(rescue: Rescue, yarn: YarnSight) -> str:
    """A way out by the figure that is safe."""
    return way_out(rescue._replace(likely=rescue.stripes), yarn)


def _legs_that_do(rescue: Rescue) -> str:
    if rescue.planned:
        return f"a new plan with leg.rounds = {rescue.planned}"
    legs = "both legs" if rescue.socks == 2 else "this leg"
    return f"{legs} {counted(rescue.rounds, 'rounds')} shorter"


def cue_brief(cue: Cue, glance: Glance) -> str:
    """The same in 36 cells or a little more."""
    yarn = _of_cue(cue)
    some = shorten(yarn.colour) if yarn.colour and len(yarn.colour) <= SHORT_NAME else "yarn"
    if yarn.alone and len(yarn.alone[0]) <= SHORT_NAME and len(yarn.alone) == 1:
        return f"does not fit: {shorten(yarn.alone[0])} alone?"
    if yarn.alone:
        return "does not fit: one ball alone?"
    if cue.about == "other ball":
        return "more than last time: other ball?"
    if cue.about == "anew":
        return "weight does not fit: a slip?"
    if cue.about == "weigh":
        key = "y" if yarn.colour else "w"
        return f"weigh the {some.removeprefix('the ')}: {whole(cue.data['grams'])} {key}"
    if cue.about == "as far":
        more = cue.data["rounds"]
        rounds = counted(abs(more), "rounds")
        return f"f sets the goal: {rounds} {'more' if more > 0 else 'fewer'}"
    if cue.about == "second":
        return f"{_other(glance).removeprefix('the ')} needs {ceil(cue.data['grams'])} g of {some}"
    legs = next((rescue for rescue in yarn.rescues if rescue.kind == "legs"), None)
    if cue.about == "legs":
        how = "end the leg" if legs is None or legs.does else "even chance"
        if cue.data["weigh"]:
            return f"weigh it, or {how} at {cue.data['round']}"
        return f"{some}: {how} at {cue.data['round']}"
    how = "tight" if yarn.verdict == "tight" else f"{_short(yarn)} short"
    short, safe = f"{some} {how}", legs is not None and legs.does
    return f"{short}: legs {legs.rounds} less" if legs and safe else f"{short}{_whom(glance, yarn)}"


def _odd(cue: Cue) -> tuple[str, str]:
    """What does not fit, and what is made of it."""
    named = f"{shorten(yarn.colour)} " if (yarn := _of_cue(cue)).colour else ""
    expected = max(0, whole(cue.data["expected"]))
    if yarn.alone and cue.about == "anew":
        ball = f"{shorten(yarn.alone[0])}" if len(yarn.alone) == 1 else "one ball"
        together = f"about {expected} g of all colours together were expected"
        return f"{together}: {ball} alone, or a slip?", "It counts from here on."
    if cue.about == "other ball":
        return f"{named}weighed more than last time: other ball?", "It counts as a new one."
    slip = f"about {expected} g{_of(yarn.colour)} were expected: a slip, or other yarn?"
    return slip, "It counts from here on."
