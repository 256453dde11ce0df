"""The pieces that proofs are knitted on, and what is made of them: no act is left out."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from random import Random
from typing import Any

from hypothesis import strategies as st

from tests.knitting.knitter import Knitter, sock_of_64
from tests.knitting.test_stripes import striped
from tests.pattern.choices import HEELS
from tests.pattern.making import plan_text
from tracker.knitting.course import Course
from tracker.knitting.state import Sock
from tracker.storage.files import Source
from tracker.storage.pattern_file import open_file, open_source

HAT = Path(__file__).parents[1] / "pattern" / "data" / "by_hand" / "hat.toml"

Wish = tuple[str, int | None, dict[str, Any]]
"""What she may try: kind, sock, data; it may be refused."""


@cache
def course(name: str) -> Course:
    """The course of a piece by its name."""
    return _PIECES[name]()


@cache
def odd(needles: str) -> Course:
    """A sock of 63 stitches: nothing of it is halved evenly."""
    fields = {"foot.stitches": 63, "leg.stitches": 63, "cuff.rib": "k2p1", "needles.set": needles}
    text = plan_text(fields)
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


@cache
def of_feet(needles: str, **fields: Any) -> Course:
    """A sock of 64 stitches, or as its fields say, with toes for the left and the right foot."""
    given = {"needles.set": needles, "toe.feet": "left and right", **fields}
    text = plan_text({place.replace("__", "."): value for place, value in given.items()})
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


@cache
def of_heel(kind: str, needles: str, **fields: Any) -> Course:
    """A sock of 64 stitches, or as its fields say, with a heel of that kind."""
    given = {"needles.set": needles, "heel.kind": kind}
    given |= {place.replace("__", "."): value for place, value in fields.items()}
    text = plan_text(given)
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


@cache
def toe_up(needles: str, text: str = "", **fields: Any) -> Course:
    """A sock of 64 stitches, or as its fields say, from the toe up; `text` stands behind its plan."""
    given = {"needles.set": needles, "direction": "toe-up", **fields}
    text = plan_text({place.replace("__", "."): value for place, value in given.items()}) + text
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


def in_repeat(fabric: str, rows: list[str], **more: str) -> Course:
    """A sock whose leg is worked in a repeat that goes on past the heel."""
    fields = {
        "leg.stitches": 64, "leg.fabric": fabric, "leg.repeat": rows, "foot.fabric": "as the leg",
        **{place.replace("__", "."): value for place, value in more.items()},
    }  # fmt: skip
    text = plan_text(fields)
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


_PIECES: dict[str, Callable[[], Course]] = {
    "set of five": lambda: sock_of_64("five"),
    "two circulars": lambda: sock_of_64("two circulars"),
    "set of four, odd": lambda: odd("four"),
    "left and right": lambda: of_feet("five"),
    "wrapped heel": lambda: of_heel("wrapped", "five"),
    "heel with double stitches": lambda: of_heel("double-stitch", "two circulars"),
    "heel afterwards": lambda: of_heel("afterthought", "four"),
    "short circular, star": lambda: of_feet("short circular", toe__feet="alike", toe__kind="star"),
    "toe up": lambda: toe_up("five"),
    "toe up, short circular": lambda: toe_up("short circular"),
    "toe up, odd": lambda: toe_up(
        "two circulars", leg__stitches=63, foot__stitches=63, cuff__rib="k2p1"
    ),
    "toe up, star, wrapped heel": lambda: toe_up("five", toe__kind="star", heel__kind="wrapped"),
    "toe up, left and right, heel afterwards": lambda: toe_up(
        "four",
        toe__feet="left and right",
        heel__kind="afterthought",
        foot__ankle="28 cm",
        leg__length="28 cm",
    ),
    "toe up, in two colours": lambda: in_repeat(
        "stranded",
        ["aaaabbbb", "abbbbaaa", "aaaaaaab"],
        direction="toe-up",
        heel__kind="double-stitch",
    ),
    "toe up, cables": lambda: in_repeat("repeat", ["p1, C4F, p1, k2", "k8"], direction="toe-up"),
    "lace down the foot": lambda: in_repeat("repeat", ["k2, yo, ssk, k4", "k8", "p1, C4F, p1, k2"]),
    "in two colours": lambda: in_repeat("stranded", ["aaaabbbb", "abbbbaaa", "aaaaaaab"]),
    "stripes": striped,
    "hat": lambda: Course(open_file(str(HAT)).pattern),
}
_PIECES |= {
    f"{kind} heel": partial(of_heel, kind, "five")
    for kind in HEELS
    if kind not in ("flap", "wrapped", "double-stitch", "afterthought")
}
"""Another heel of the plan is knitted, too, as soon as there is one."""
PIECES = st.sampled_from(sorted(_PIECES))
SEEDS = st.integers(0, 10**9)
"""What acts are drawn by: every one as likely as the next, which leads to more places than a search."""
TOGETHER = "two circulars"
"""The piece of which both are worked together."""

VALUES = {
    "skipped-decrease": ("",), "extra-decrease": ("",), "needle": ("2.25", "3"),
    "colour": ("navy", "rust", "cream", "cream 2", "navy 4", "reversed"),
    "set": ("four", "five", "two circulars", "long circular", "short circular", "+2", "-2", "+1"),
    "picked-up": ("17/15", "16/16", "18/17"), "other": ("a purl ridge", "a cable"),
}  # fmt: skip
KINDS = (
    *("tick", "row", "row", "changed") * 4, *("needle", "end", "rip", "rip by", "copy", "at", "other") * 2,
    "end at", "target", "measure", "answer", "weigh", "count", "clue", "at far", "lifeline",
    "rip to lifeline", "note", "order", "rest", "restart", "over", *("tink", "set inside", "past note") * 2,
)  # fmt: skip


class Acts:
    """Draws acts that fit where she is, so that few are refused."""

    def __init__(self, knitter: Knitter, seed: int) -> None:
        self._knitter, self._by = knitter, Random(seed)  # noqa: S311 - no secret

    def wish(self, kinds: tuple[str, ...] = KINDS, sock: int | None = None) -> Wish:
        """The next act, on `sock` or on any."""
        kind = self.one(*kinds)
        on = sock or self.one(None, None, 1, 2)
        rule: Callable[[int], Wish] = getattr(self, "_" + kind.replace(" ", "_"))
        _, said, data = wish = rule(on or self._knitter.state.hand)
        return wish if said is not None else (wish[0], on, data)

    def one(self, *of: Any) -> Any:
        """One of several, each as likely."""
        return self._by.choice(of)

    def between(self, low: int, high: int) -> int:
        """A number from `low` to `high`, both among them."""
        return self._by.randint(low, high)

    def rounds(self) -> int:
        """Few or many."""
        return self.between(1, self.one(4, 15, 60))

    def _sock(self, on: int) -> Sock:
        return self._knitter.state.sock(on)

    def _section_or_before(self, on: int) -> tuple[int, int]:
        """A section that is begun, by index, and one of its rows that are done."""
        sock = self._sock(on)
        section = self.between(max(0, sock.section - 2), sock.section)
        course = self._knitter.course.of(sock)
        done = (*sock.ended, course.number(sock.section, sock.rows))[section]
        return section, self.between(max(0, done - 15), done)

    def _tick(self, on: int) -> Wish:
        return "tick", None, {"rounds": self.rounds()}

    def _row(self, on: int) -> Wish:
        return "tick", None, {"rounds": 1}

    def _needle(self, on: int) -> Wish:
        return "tick", None, {"needles": self.between(1, 9)}

    def _end(self, on: int) -> Wish:
        return "end", None, {}

    def _end_at(self, on: int) -> Wish:
        return "end", None, {"at": max(1, self._done(on) - self.between(0, 12))}

    def _done(self, on: int) -> int:
        sock = self._sock(on)
        return self._knitter.course.of(sock).number(sock.section, sock.rows)

    def _target(self, on: int) -> Wish:
        mm, only = float(self.between(90, 260)), self.one(True, False)
        where = self.one({}, {"section": "foot"}, {"section": "leg"})
        return "target", None, {"mm": mm, "text": "", "only": only, **where}

    def _measure(self, on: int) -> Wish:
        return "measure", None, {"mm": float(self.between(5, 250)), "step": 0}

    def _answer(self, on: int) -> Wish:
        readings = [reading.event for reading in self._sock(on).readings] or [2]
        how = self.one("right", "void", "count")
        by = self.between(-9, 9)
        return "answer", None, {"of": self.one(*readings), "as": how, "by": by}

    def _weigh(self, on: int) -> Wish:
        data = {"grams": float(self.between(1, 120)), "text": "some"}
        colour = self.one(None, None, "navy", "cream")
        return "weigh", None, data if colour is None else {**data, "colour": colour}

    def _count(self, on: int) -> Wish:
        found = self.one([], [64], [74], [21, 16, 16, 21], [32])
        return "count", None, {"found": found, "plain": True} if found else {}

    def _clue(self, on: int) -> Wish:
        clues = ({"pin": 3}, {"colour": "navy"}, {"mm": 80.0}, {"mm": 120.0, "pin": 1})
        return "count", None, dict(self.one(*clues))

    def _at(self, on: int) -> Wish:
        """A little off, and perhaps inside a round."""
        number = max(0, self._done(on) + self.between(-8, 8))
        inside = self.one({}, {}, {"needles": 1})
        return "at", None, {"round": number, "section": self._sock(on).section, **inside}

    def _at_far(self, on: int) -> Wish:
        section = self.between(0, self._knitter.course.last)
        planned = self._knitter.course.sections[section].planned
        number = max(0, planned - self.between(0, 20))
        return "at", None, {"round": number, "section": section}

    def _rip(self, on: int) -> Wish:
        section, number = self._section_or_before(on)
        return "rip", None, {"round": number, "section": section}

    def _tink(self, on: int) -> Wish:
        return "rip", None, {"stitches": self.between(1, self.one(5, 40, 200))}

    def _rip_by(self, on: int) -> Wish:
        return "rip", None, {"by": self.rounds()}

    def _lifeline(self, on: int) -> Wish:
        section, number = self._section_or_before(on)
        return "lifeline", None, {"round": number, "section": section}

    def _rip_to_lifeline(self, on: int) -> Wish:
        lines = self._sock(on).lifelines
        if not lines:
            return "lifeline", None, {}
        return "rip", None, {"round": lines[-1].row, "section": lines[-1].section}

    def _note(self, on: int) -> Wish:
        return "note", None, {"text": "a note"}

    def _changed(self, on: int) -> Wish:
        """Of the next row, of one done, or of one to come; mostly what there is in this section."""
        sock = self._sock(on)
        section = self._knitter.course.of(sock).sections[sock.section]
        shaped = any(row.word == "DEC" for row in section.rows) and section.kind != "turn"
        kinds: tuple[str, ...] = ("skipped-decrease", "extra-decrease") if shaped else ()
        kinds += ("picked-up",) * 3 if section.first == 0 and sock.rows < 2 else ()
        kind = self.one(*kinds, *sorted(VALUES), "set", "set")
        return "changed", None, {"as": kind, **self._told(on, kind), **self._repeated()}

    def _told(self, on: int, kind: str) -> dict[str, Any]:
        value, row = self.one(*VALUES[kind], *self._borders(on, kind)), None
        if kind in ("skipped-decrease", "extra-decrease"):
            row = self._row_of(on, shaped=kind == "skipped-decrease")
        elif self.one(True, False):
            row = max(0, self._done(on) + self.one(-4, -1, 0, 1, 2, 6))
        ways = self._ways() if kind == "colour" else {}
        return {"value": value, **ways} | ({} if row is None else {"row": row})

    def _ways(self) -> dict[str, Any]:
        """How a colour goes: mostly from that row on; late, with the later stripes staying, by the ball."""
        late, ball = {"value": "", "late": self.between(1, 5)}, {"value": "navy 5", "ball": True}
        return dict(self.one({}, {}, {}, {"stay": True}, late, {**late, "stay": True}, ball))

    def _row_of(self, on: int, *, shaped: bool) -> int | None:
        """One of the last rows done that decrease, or that do not."""
        sock, done = self._sock(on), self._done(on)
        rows = self._knitter.course.of(sock).sections[sock.section].rows
        there = [
            row.number for row in rows if 0 < row.number <= done and (row.word == "DEC") is shaped
        ]
        return self.one(*there[-4:]) if there else None

    def _borders(self, on: int, kind: str) -> tuple[str, ...]:
        """So many stitches as there are, on other needles than they lie on."""
        sock = self._sock(on)
        if kind != "set" or sock.finished:
            return ()
        row = self._knitter.course.of(sock).row(sock.section, sock.rows)
        stitches, needles = sum(row.before), self.one(2, 3, 4)
        cuts = [stitches // needles + self.between(-2, 2) for _ in range(needles - 1)]
        return ("/".join(map(str, (*cuts, stitches - sum(cuts)))),) * 3

    def _set_inside(self, on: int) -> Wish:
        """Other needles, or moved borders, while a round is half worked."""
        if not self._sock(on).inside:
            return "tick", None, {"needles": self.between(1, 2)}
        value = self.one(*VALUES["set"], *self._borders(on, "set"))
        return "changed", None, {"as": "set", "value": value, **self._repeated()}

    def _past_note(self, on: int) -> Wish:
        """A change at a row at which something was written."""
        sock = self._sock(on)
        rows = [note.row for note in sock.notes if note.section == sock.section]
        if not rows:
            return "note", None, {"text": "a note"}
        kind = self.one("skipped-decrease", "extra-decrease", "other", "colour", "needle")
        value = self.one(*VALUES[kind])
        told = {"as": kind, "value": value, "row": self.one(*rows)}
        return "changed", None, {**told, **self._repeated()}

    def _repeated(self) -> dict[str, bool]:
        return dict(self.one({}, {}, {}, {"copy": True}, {"copy": False}))

    def _copy(self, on: int) -> Wish:
        changes = self._knitter.state.socks[0].changes + self._knitter.state.socks[1].changes
        numbers = sorted({change.event for change in changes}) or [2]
        of, yes = self.one(*numbers), self.one(True, False)
        return "copy", None, {"of": of, "copy": yes}

    def _other(self, on: int) -> Wish:
        return "other", None, {}

    def _order(self, on: int) -> Wish:
        orders = ("together", "section by section", "every 9 rounds", "one, then the other")
        return "order", None, {"order": self.one(*orders)}

    def _rest(self, on: int) -> Wish:
        return "rest", None, {"text": "waste yarn"}

    def _restart(self, on: int) -> Wish:
        return "restart", None, {}

    def _over(self, on: int) -> Wish:
        return "tick", None, {"over": self.between(1, 3)}
