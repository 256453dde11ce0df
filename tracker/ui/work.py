"""The work of the next row, below its word: what each needle does, as loud as it differs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

from tracker.glance import Glance, NeedleSight
from tracker.pattern.model import HEEL_PLACE, LATE_HEEL, SECOND_HALF, on_each
from tracker.records import NamedTuple
from tracker.ui.heel_row import HeelRow, rest_text
from tracker.ui.shaped import SHAPING, changes_only, in_rib
from tracker.vocabulary import in_full

_REPEAT = re.compile(r"\*(?P<repeat>[^*;]+); rep from \* to end")


class WorkLine(NamedTuple):
    """One needle's work; `leaves` is what it then holds ("[22]"), or "" where that goes unsaid.

    `shaped` is true where that is more or fewer than it holds now. `brief` says the work in two words where
    it would be cut off else: "chart row 5". `ribbed` is true where what comes again in it is known to be rib.
    """

    name: str
    work: str
    leaves: str
    loud: bool
    shaped: bool = False
    brief: str = ""
    ribbed: bool = False


class Work(NamedTuple):
    """The lines of a row's work.

    Manner "needle" is the needle at work and, second, the one after it or the marker; "needles"
    is all of them; "row" is one line for the whole row. `after` is a sentence that follows. `ticked`
    says how much of the round is done, for a screen without the picture that shows it.
    """

    manner: Literal["needle", "needles", "row"]
    lines: tuple[WorkLine, ...]
    after: str = ""
    ticked: str = ""


_MARKER = WorkLine("\N{BLACK SQUARE} marker", "", "", False)
"""What comes after the last needle of a round."""


def work_of(glance: Glance, row: HeelRow | None) -> Work:
    """The work of the row in hand, or of the next one."""
    needles = glance.needles
    if row is not None:
        needle = needles[0]
        line = WorkLine("", in_full(glance, needle.work), f"[{needle.leaves}]", not needle.plain)
        return Work("row", (line,), _at_the_turn(glance) or rest_text(row))
    return _in_the_round(_with_loops(glance))._replace(
        after=_in_waste_yarn(glance), ticked=ticked(glance)
    )


def _with_loops(glance: Glance) -> Glance:
    """The pick-up round of a heel knitted afterwards: live loops between the corners, which alone are new.

    The card had them put on the needles already, so that there is only to knit.
    """
    row, many = glance.next, len(glance.needles)
    if glance.place.kind != LATE_HEEL or row is None or row.word != "PICK" or many not in _CORNERS:
        return glance
    needles = []
    for needle, (first, last) in zip(glance.needles, _CORNERS[many], strict=True):
        loops = f"k{needle.leaves - first - last}"
        work = [*(["pick up 1"] * first), loops, *(["pick up 1"] * last)]
        needles.append(needle._replace(work=", ".join(work)))
    return glance._replace(needles=tuple(needles))


_CORNERS = {2: ((1, 1), (1, 1)), 3: ((1, 1), (1, 0), (0, 1)), 4: ((1, 0), (0, 1), (1, 0), (0, 1))}
"""Of so many needles whether a corner of the opening lies at the beginning and at the end of each."""


def _in_waste_yarn(glance: Glance) -> str:
    """Which needles hold the heel's place, in the round of the waste yarn; else ""."""
    if glance.place.kind != HEEL_PLACE or glance.next is None:
        return ""
    first, last = glance.needles[0].name, glance.needles[-1].name
    if first == last:
        return "the heel: waste yarn, in one run"
    on = last if glance.at_side else f"{last} and {first}"
    return f"{on}: waste yarn, in one run"


def _at_the_turn(glance: Glance) -> str:
    """How the stitch at the turn is worked in the second half of a short-row heel; else ""."""
    row = glance.next
    if glance.place.kind != SECOND_HALF or glance.sides is None or row is None:
        return ""
    if glance.sides.what == "wrapped":
        return ""
    return "through the DS and 1 more" if row.number > 2 else ""


def ticked(glance: Glance) -> str:
    """ "2 of 4 done", or "" where none is, or all are."""
    done = sum(needle.finished for needle in glance.needles)
    return f"{done} of {len(glance.needles)} done" if done else ""


def _in_the_round(glance: Glance) -> Work:
    needles = glance.needles
    if glance.counting == "needles" and len(needles) > 1:
        return Work("needle", _this_and_next(glance))
    if len(needles) == 1:
        (one,) = needles
        line = WorkLine("", one.work, f"[{one.leaves}]", not one.plain, ribbed=one.ribbed)
        return Work("row", (line,))
    if all(needle.plain for needle in needles) and len({needle.work for needle in needles}) == 1:
        left = on_each([one.name for one in needles], [one.leaves for one in needles])
        counts = "/".join(str(stitches) for _, stitches in left)
        return Work("row", (WorkLine("", _everywhere(needles[0].work), counts, False),))
    return Work(
        "needles", tuple(_line(needle, _brief(glance, at)) for at, needle in enumerate(needles))
    )


def _brief(glance: Glance, place: int) -> str:
    """What a needle's work is called where a chart says it: in the leg that of each, else of the instep's."""
    if not glance.chart_row:
        return ""
    last = len(glance.needles) - 1
    on_instep = not place if glance.at_side else 0 < place < last
    return f"chart row {glance.chart_row}" if glance.place.kind == "leg" or on_instep else ""


def phrases(work: Work, labels: Sequence[str] = ("",)) -> list[str]:
    """The work in one phrase behind a label, shorter and shorter: that of the needle at work, or
    of the first that differs. The labels are given up before the work is.
    """
    if not work.lines:
        return [""]
    loud = next((line for line in work.lines if line.shaped), None)
    loud = loud or next((line for line in work.lines if line.loud), work.lines[0])
    line = work.lines[0] if work.manner == "needle" else loud
    full = shorter(line)
    ends = [short for short in shortest(line) if short not in full]
    named = [[f"{line.name} {short}".strip() for short in some] for some in (full, ends)]
    return [f"{label}{text}" for texts in named for label in labels for text in texts]


def shorter(line: WorkLine) -> list[str]:
    """The same work, shorter and shorter; no word that is to be worked is left out."""
    text = line.work
    bare = text.removesuffix(", every needle").removeprefix("change ")
    if line.ribbed and (ribbed := in_rib(text)) != text:
        return [text, text.replace(", ", ","), ribbed]
    if (brief := _in_brief(text)) != text:
        return [text, brief, brief.replace(", ", ",")]
    return [text, bare, text.replace(", ", ","), bare.replace(", ", ",")]


def _in_brief(text: str) -> str:
    """A row of a short-row heel whose double or wrapped stitches are named in fewer words."""
    text = text.replace("doubles, both legs as one", "doubles as one")
    return text.replace("the wrapped one with its wraps (two)", "1 with 2 wraps").replace(
        "the wrapped one with its wrap", "1 with its wrap"
    )


def shortest(line: WorkLine) -> list[str]:
    """As `shorter`, and where nothing of that fits the ends of the needle, for the rest is plain.

    "k1,ssk..k2tog,k1", "..k2tog,k1", "[k2,p2]x4,k2", and of a rib that stands already "in rib"; then the
    decreases alone, or what is brief for it.
    """
    text, brief = line.work, line.brief
    ends = _BETWEEN.sub("..", text).replace(", ", ",")
    told = [*shorter(line), _TIMES.sub(r"]x\1", ends).replace("* to end", "*")]
    if _RIB.search(text) and not _MORE_THAN_RIB.search(text):
        return [*told, brief or "in rib"]
    last = brief or changes_only(text)
    # With room between, so that it may be broken there, and without.
    apart = _GAP.sub(".. ", last.replace(",", ", "))
    return told if last == text else [*told, *dict.fromkeys((apart, last))]


_RIB = re.compile(r"\bk\d*( tbl)?, p\d*|\bp\d*, k\d*")
_MORE_THAN_RIB = re.compile(rf"{SHAPING.pattern}|\bsl|rest")

_GAP = re.compile(r"(?<=\w)\.\.(?=\w)")
_BETWEEN = re.compile(r"(?:^|, )k to (?:last \d+, |end$)")
_TIMES = re.compile(r"\] (\d+) times")


def grouped(lines: Sequence[WorkLine]) -> list[WorkLine]:
    """Needles with the same work in one line: "N1+3"."""
    groups: dict[tuple[str, bool], list[WorkLine]] = {}
    for line in lines:
        groups.setdefault((line.work, line.loud), []).append(line)
    return [_together(same) for same in groups.values()]


def _together(same: Sequence[WorkLine]) -> WorkLine:
    first, *others = same
    name = "+".join([first.name, *(line.name.removeprefix("N") for line in others)])
    return first._replace(name=name)


def in_brief(lines: Sequence[WorkLine]) -> list[WorkLine]:
    """Where stitches are taken or made on some needles, the others in two words, those alike together."""
    if not any(line.shaped for line in lines):
        return list(lines)
    return grouped([line._replace(work=line.brief or line.work) for line in lines])


def _everywhere(work: str) -> str:
    return f"{work} every needle" if work in ("k", "p") else f"{_short(work)}, every needle"


def _short(work: str) -> str:
    """A repeat over the whole needle the way knitters write it to themselves: "*k2, p2* to end"."""
    found = _REPEAT.fullmatch(work)
    return f"*{found['repeat']}* to end" if found else work


def _this_and_next(glance: Glance) -> tuple[WorkLine, ...]:
    names = [needle.name for needle in glance.needles]
    at = names.index(glance.place.needle) if glance.place.needle in names else 0
    lines = [
        _line(needle, _brief(glance, place), counted=True)
        for place, needle in enumerate(glance.needles[at : at + 2], start=at)
    ]
    if glance.place.kind == HEEL_PLACE and glance.place.last_needle:
        lines[0] = lines[0]._replace(work=f"waste yarn first, {lines[0].work}", loud=True)
    return (*lines, _MARKER) if glance.place.last_needle else tuple(lines)


def _line(needle: NeedleSight, brief: str = "", *, counted: bool = False) -> WorkLine:
    """A needle's line; `counted` says how many stitches a bare "k" or "p" means."""
    work = _short(needle.work)
    if counted and work in ("k", "p"):
        work = f"{work} {needle.stitches}"
    loud, shaped = not needle.plain and not needle.finished, needle.leaves != needle.stitches
    return WorkLine(
        needle.name, work, f"[{needle.leaves}]", loud, shaped and loud, brief, needle.ribbed
    )
