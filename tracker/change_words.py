"""How it is said what is otherwise than planned, and whether the other sock repeats it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from tracker.glance import Glance
from tracker.knitting import borders
from tracker.knitting.changes import Change
from tracker.knitting.cues import Cue
from tracker.knitting.events import LONGEST_NOTE
from tracker.knitting.repair import Mend, Repair
from tracker.pattern.model import Section, is_split
from tracker.units import shorten
from tracker.vocabulary import capital, counted, inside_needle, section, sock, stitches, unit


def change_name(data: Mapping[str, Any], of_socks: bool = True) -> str:
    """A change in few words, from the data of its event: "no decrease in gusset round 9"."""
    kind, value = data["as"], shorten(str(data["value"]), LONGEST_NOTE)
    named = section(str(data["name"]), of_socks)
    where = f"{named} {data['unit']} {data['round']}".strip()
    if kind == "picked-up":
        return f"{_chains(value, data.get('rewritten') or ())} picked up along the edges"
    if kind in ("skipped-decrease", "extra-decrease"):
        return f"{'no' if kind == 'skipped-decrease' else 'a'} decrease in {where}"
    if kind == "other":
        return f"{value or HER_OWN}, at {where}"
    if kind == "colour" and data.get("coloured"):
        return _colour_name(data["coloured"], value, where)
    if kind == "set" and (in_all := borders.move_told(value)) is not None:
        return f"all borders {_moved(data.get('by', in_all), in_all)} from {where} on"
    return f"{_WHAT.get(kind, '{}').format(value or 'a colour of her own')} from {where} on"


HER_OWN = "a change of her own"
"""What a change is called whose words were left out."""


def _on_or_back(by: int) -> str:
    """ "2 stitches on", "2 stitches back"; one way and back again before the same round is none."""
    if not by:
        return "where they were"
    return f"{stitches(abs(by))} {'on' if by > 0 else 'back'}"


def _moved(by: int, in_all: int) -> str:
    """How far borders moved with one act, and that they then lie where they were, if so."""
    back = ", where they were," if by and not in_all else ""
    return f"{_on_or_back(by)}{back}"


def borders_back(cue: Cue, of_socks: bool) -> str:
    """Moved borders are to lie where the pattern has them: by when, and how far."""
    ahead = section(str(cue.data["section"]), of_socks)
    return f"all borders {_on_or_back(-int(cue.data['moved']))} before the {ahead}"


def borders_back_brief(cue: Cue) -> str:
    """The same in few words."""
    return f"all borders {_on_or_back(-int(cue.data['moved']))}"


def borders_back_shortest(cue: Cue) -> str:
    """In three or four words: "all borders 2 back"."""
    return borders_back_brief(cue).replace(" stitches", "").replace(" stitch", "")


def _chains(value: str, rewritten: Iterable[Mapping[str, Any]]) -> str:
    """ "17 and 16 chains, 1 more in each gap: 18 and 17 stitches", of 17/16 and the rows that came of it."""
    first, _, second = value.partition("/")
    told = f"{first} and {second} chains"
    gap = _gap(value, rewritten)
    if gap < 1:
        return told
    return f"{told}, {gap} more in each gap: {int(first) + gap} and {int(second) + gap} stitches"


def _gap(value: str, rewritten: Iterable[Mapping[str, Any]]) -> int:
    """Stitches picked up in each gap beside the chains of 17/16, by the rows that came of it; 0: none."""
    chains = value.split("/")
    up = [int(many) for one in rewritten for row in one["rows"] for many in _PICKED_UP.findall(row)]
    if not (up and len(chains) == 2 and all(map(str.isdecimal, chains))):
        return 0
    return max(0, max(up) - max(map(int, chains)))


_PICKED_UP = re.compile(r"pick up ([0-9]+)")


def _colour_name(coloured: Mapping[str, Any], value: str, where: str) -> str:
    """ "cream, 1 of 3, from leg round 20 on", "cream 3 rounds late, due in leg round 10"."""
    if coloured.get("ball"):
        where = f"the ball at {value}" if value else "where the ball stood"
        return f"{where}, at the cast-on"
    if coloured.get("back"):
        return "the stripes reversed, from the cast-on"
    if coloured.get("rounds"):
        return f"{value}, due in {where}"
    return f"{value}{',' if ',' in value else ''} from {where} on"


def told(change: Change, there: Section, of_socks: bool = True) -> str:
    """A change that stands, in the section it was made in, in few words."""
    return _in(there.called, change, there.worked, of_socks)


def in_section(change: Change, worked: str) -> str:
    """The same where its section is named already: "no decrease in round 9"."""
    return _in("", change, worked)


def _in(name: str, change: Change, worked: str, of_socks: bool = True) -> str:
    data = {
        "as": change.kind, "value": change.value, "round": change.row, "name": name,
        "unit": unit(worked), "coloured": change.coloured and change.coloured._asdict(),
        "rewritten": [{"rows": one.rows} for one in change.rewritten],
    }  # fmt: skip
    return change_name(data, of_socks)


_WHAT = {"needle": "needles of {}", "set": "on {}"}


def change_cue(cue: Cue, glance: Glance) -> tuple[str, tuple[str, int | None] | str]:
    """A change just told, or one of the other sock that this one comes to."""
    other = sock(int(cue.data["other"]), glance.of_socks)
    if cue.about == "asked":
        number = int(cue.data["number"])
        if cue.data["lost"]:
            why = "is past it" if cue.data["past"] else "cannot repeat it: its rows are otherwise"
            return f"{other} {why}", ("copy no", number)
        if cue.data["repeat"]:
            return f"{other} repeats it", ("copy no", number)
        return f"{other} does not repeat it", ("copy yes", number)
    return f"{_here(cue.data['change'])}, as on {other}", ""


def copy_when(cue: Cue) -> str:
    """The round a change of the other sock is repeated in: "from round 5", "in this round".

    It is named by its number: the next round on the needles is the one before it.
    """
    named = unit(str(cue.data["unit"]))
    if cue.when == 0:
        return f"in this {named}"
    change, row, there = cue.data["change"], int(cue.data["row"]), str(cue.data["section"])
    some_rounds = change.coloured is not None and change.coloured.rounds > 0
    stays = change.kind in _WHAT or (change.kind == "colour" and not some_rounds)
    where = f"{named} {row}" if row else "the pick-up round"
    of = f" of the {section(there)}" if there and row else ""
    return f"{'from' if stays else 'in'} {where}{of}"


def _here(change: Change) -> str:
    """A change of the row that is at hand, or comes: "no decrease", "with needles of 2.25 mm"."""
    value = shorten(change.value, LONGEST_NOTE)
    if change.kind == "picked-up":
        rewritten = [{"rows": one.rows} for one in change.rewritten]
        return f"pick up {_chains(value, rewritten)} along the edges"
    if change.kind in ("skipped-decrease", "extra-decrease"):
        return "no decrease" if change.kind == "skipped-decrease" else "a decrease already"
    if change.coloured is not None and change.coloured.back:
        return "the stripes reversed"
    if change.coloured is not None and change.coloured.rounds:
        rounds = counted(change.coloured.rounds, "rounds")
        return f"{shorten(change.coloured.name)} for {rounds} more"
    if change.kind == "set" and (by := borders.move_told(value)) is not None:
        return f"all borders {_on_or_back(by)}"
    return _WHAT.get(change.kind, "{}").format(value or HER_OWN)


def change_brief(change: Change) -> str:
    """A change of the other sock where this one comes to it, in few words: "pick up 18 and 16"."""
    if change.kind != "picked-up":
        return _here(change)
    gap = _gap(change.value, [{"rows": one.rows} for one in change.rewritten])
    if not gap:
        return _here(change)
    return "pick up " + " and ".join(str(int(edge) + gap) for edge in change.value.split("/"))


def repair_cue(cue: Cue) -> str:
    """How needles that are off are put right: "N3 has 1 too many: k2tog once on it in round 10"."""
    return repair_words(cue.data["repair"])


def repair_words(repair: Repair) -> str:
    """The same of the plan itself; a needle of the round in hand is still to come."""
    now = [mend for mend in repair.mends if mend.here]
    then = [mend for mend in repair.mends if not mend.here]
    told = [f"in this round {', '.join(map(_mend, now))}"] if now else []
    told += [f"in round {repair.row} {', '.join(map(_mend, then))}"] if then else []
    return "; ".join(told)


def repair_brief(repair: Repair) -> str:
    """The same in few words: "round 11: k2tog once more on N1"."""
    if len(repair.mends) == 1:
        (mend,) = repair.mends
        off = f"{abs(mend.over)} too {'many' if mend.over > 0 else 'few'}"
        return (
            f"{'this round' if mend.here else f'round {repair.row}'}: {_mend_briefly(mend)} ({off})"
        )
    now = [_mend_briefly(mend) for mend in repair.mends if mend.here]
    then = [_mend_briefly(mend) for mend in repair.mends if not mend.here]
    told = [f"this round: {', '.join(now)}"] if now else []
    return "; ".join([*told, *([f"round {repair.row}: {', '.join(then)}"] if then else [])])


def _mend_briefly(mend: Mend) -> str:
    how, _, _ = _mend(mend).partition(f"{mend.needle}, which has ")
    how = f"find or make {-mend.over} on " if how.startswith("look") else how
    return f"{how}{mend.needle}"


def _mend(mend: Mend) -> str:
    times = "once" if abs(mend.over) == 1 else "twice"
    if mend.over > 0:
        more = " more" if mend.decreases else ""
        return f"k2tog {times}{more} on {mend.needle}, which has {mend.over} too many"
    few = f"{mend.needle}, which has {-mend.over} too few"
    if 0 < -mend.over <= mend.decreases:
        return f"decrease {times} less on {few}"
    return f"look for a dropped stitch on {few}, else make {-mend.over}"


def said_changed(data: Mapping[str, Any], after: Glance, *, keys: bool = False) -> str:
    """What a change answers: what it is, what follows from it, and whether the other sock repeats it."""
    named = change_name(data, after.of_socks)
    named = named if data["as"] == "other" else capital(named)
    if data.get("coloured"):
        return f"{named}{_stripes(data, keys=keys)}. {_repeated(data, after, keys=keys)}"
    return f"{named}{_then(data)}. {_repeated(data, after, keys=keys)}"


def _stripes(data: Mapping[str, Any], *, keys: bool) -> str:
    """What colour comes next, and whether the later stripes move with it."""
    coloured, then = data["coloured"], data.get("then")
    name, number = then or ("", 0)
    told = f"; {shorten(name)} in {data['unit']} {number}" if then else _until(data)
    if coloured.get("ball") or coloured.get("back"):
        return ""
    if coloured.get("clock") is None:
        return told
    stays = "0 # leaves them" if keys else "--stay leaves them"
    return f"{told}; the later stripes move with it, {stays} where they were"


def _until(data: Mapping[str, Any]) -> str:
    """How far a colour goes that nothing ends before its part does."""
    until = data.get("until")
    if until is None:
        return ""
    return f"; to the end of the {section(until)}" if until else "; on till another is told"


def _then(data: Mapping[str, Any]) -> str:
    """What becomes of the rows that follow."""
    rewritten = data.get("rewritten", ())
    if data["as"] == "picked-up":
        gusset = next(one for one in rewritten if one["number"] == 0)
        return f": the decreases are planned anew, over {gusset['planned']} rounds"
    if data.get("laid", {}).get("names"):
        return f"; {_marker(data['laid'])}"
    if not rewritten:
        return ""
    last = rewritten[0]["number"] + len(rewritten[0]["rows"]) - 1
    how = "it is made in" if data["as"] == "skipped-decrease" else "none in"
    return f"; {how} {data['unit']} {last}"


def _marker(laid: Mapping[str, Any]) -> str:
    """Where the marker then lies: inside a needle, of whose parts one comes first and one last."""
    first, last = (shorten(str(laid["names"][at])) for at in (0, -1))
    behind = int(laid["needles"][0])
    if not is_split(laid["names"]):
        return f"the round begins with {first}"
    where = inside_needle(first[:-1].rstrip(), int(laid["needles"][-1]), behind)
    return f"the marker lies {where}; {first} comes first, {last} last"


def _repeated(data: Mapping[str, Any], after: Glance, *, keys: bool) -> str:
    """Nothing waits for the answer: not said, the other sock repeats it, where it can."""
    asked = next((cue for cue in after.cues if (cue.kind, cue.about) == ("copy", "asked")), None)
    if asked is not None and asked.data["lost"]:
        how = "d" if keys else f"instep copy {after.events} no"
        return f"{capital(change_cue(asked, after)[0])}; {how} if it is meant for this one alone."
    other, repeats = capital(sock(3 - after.place.sock, after.of_socks)), data.get("copy", True)
    how = "d" if keys else f"instep copy {after.events} {'no' if repeats else 'yes'}"
    if repeats:
        return f"{other} repeats it; {how} if not."
    return f"{other} does not repeat it; {how} if it does."


def said_copy(data: Mapping[str, Any], after: Glance) -> str:
    """What is said once it is settled whether the other sock repeats a change."""
    named = capital(change_name(data, after.of_socks))
    return f"{named}: {'on both' if data['copy'] else 'on this one alone'}."
