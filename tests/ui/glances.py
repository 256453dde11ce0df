"""Glances made by hand: the 64-stitch sock on a set of five, at the places the screen must show well."""

from __future__ import annotations

from typing import Literal

from tracker.glance import (
    Glance,
    Lag,
    LengthSight,
    NeedleSight,
    NextSight,
    Place,
    ReadingSight,
    SockSight,
)
from tracker.knitting.cues import Cue
from tracker.pattern.model import Side, Waiting


def needle(
    name: str, stitches: int, work: str = "k", leaves: int | None = None, *, finished: bool = False
) -> NeedleSight:
    """One needle; it differs where its work is not a bare "k"."""
    after = stitches if leaves is None else leaves
    return NeedleSight(name, stitches, work, after, work == "k", finished)


def four(work: str = "k", finished: int = 0) -> tuple[NeedleSight, ...]:
    """N1 to N4 with 16 stitches each, the first `finished` of them ticked."""
    return tuple(needle(f"N{n}", 16, work, finished=n <= finished) for n in range(1, 5))


LEG = LengthSight(135.0, 3.0, "cast-on", 160.0, 9, 11, 13, 156.0, 166.0, 42, (
    ReadingSight(52.0, 1, True, 52.0), ReadingSight(101.0, 20, True, 101.0),
))  # fmt: skip


def socks(done: int = 34) -> tuple[SockSight, SockSight]:
    """Sock one finished, sock two at the leg."""
    return (
        SockSight(1, "graft", 1, 1, 1.0, True, True),
        SockSight(2, "leg", done, 46, 0.33, True, False),
    )


def leg(
    done: int = 34,
    finished: int = 2,
    counting: Literal["rounds", "needles"] = "needles",
) -> Glance:
    """Sock two's leg, `finished` needles of the next round done."""
    return Glance(
        pair="night-ferry",
        title="Night ferry",
        unit="cm",
        hand="right",
        needle_set="five",
        at_side=False,
        counting=counting,
        place=Place(
            2, "leg", "leg", "rounds", done, 46, "other sock", f"N{finished + 1}",
            finished == 0, finished == 3, True, False, "PLAIN",
        ),
        needles=four(finished=finished),
        resting=(),
        stitches=64,
        next=NextSight(done + 1, None, "PLAIN", True, 64),
        length=LEG,
        rows_to_go=(9, 11, 13),
        minutes_to_go=23,
        socks=socks(done),
        lag=Lag(4000, 100, 160),
        in_step=True,
        in_hand=1,
        cues=(Cue("pin", 3, {"round": 40}),),
        card=None,
        events=120,
    )  # fmt: skip


def gusset() -> Glance:
    """Gusset, round 7 to come by rounds: N1 and N4 decrease."""
    glance = leg(6, 0, "rounds")
    needles = (
        needle("N1", 23, "k to last 3, k2tog, k1", 22), needle("N2", 16), needle("N3", 16),
        needle("N4", 23, "k1, ssk, k to end", 22),
    )  # fmt: skip
    return glance._replace(
        place=glance.place._replace(
            section="gusset", kind="gusset", planned=19, planned_by="pattern", done_word="PLAIN"
        ),
        needles=needles,
        stitches=78,
        next=NextSight(7, None, "DEC", False, 76),
        length=LEG._replace(
            mm=50.0,
            mark="heel",
            target_mm=185.0,
            ends_low_mm=180.0,
            ends_high_mm=190.0,
            readings=(),
        ),
    )


def turn(
    row: int = 8,
    side: Side = "WS",
    stitches: int = 25,
    work: str = "sl1, p11, p2tog, p1, turn",
    hand: str = "right",
) -> Glance:
    """The heel turn, before row `row`."""
    glance = leg(row - 1, 0, "rounds")
    return glance._replace(
        hand=hand,
        place=glance.place._replace(
            section="turn",
            kind="turn",
            worked="rows",
            planned=14,
            planned_by="pattern",
            needle="heel",
        ),
        needles=(NeedleSight("heel", stitches, work, stitches - 1, False, False),),
        resting=(Waiting("N2", 16), Waiting("N3", 16)),
        stitches=stitches,
        next=NextSight(row, side, "PURL" if side == "WS" else "KNIT", False, stitches - 1),
        length=None,
    )


def circulars(finished: int = 1) -> Glance:
    """Two circulars, needle by needle."""
    needles = (needle("A", 32, finished=finished > 0), needle("B", 32))
    glance = leg(34, 0)
    return glance._replace(
        needles=needles,
        needle_set="two circulars",
        at_side=True,
        place=glance.place._replace(
            needle="AB"[finished], at_marker=finished == 0, last_needle=finished == 1
        ),
    )


def cast_on() -> Glance:
    """Nothing is knitted yet: the card stands."""
    glance = leg(0, 0, "rounds")
    data = {"section": "cuff", "starts": (16, 16, 16, 16), "rib_runs_on": False}
    return glance._replace(
        place=glance.place._replace(
            section="cuff",
            kind="cuff",
            planned=22,
            planned_by="pattern",
            begun=False,
            sock=1,
            done_word="",
        ),
        card=Cue("section", 0, data, "cast-on"),
        cues=(),
        next=NextSight(1, None, "RIB", True, 64),
        length=LEG._replace(
            mm=0.0, target_mm=None, ends_low_mm=None, ends_high_mm=None, readings=()
        ),
    )
