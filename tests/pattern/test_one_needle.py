"""A sock on one short circular: the whole round on one needle, the toe on others.

Common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.pattern.making import computed, on_needles, section, sock, written
from tracker.pattern.audit import audit, knitted
from tracker.pattern.model import Waiting
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern
from tracker.pattern.tables import BadSection

ONE: dict[str, Any] = {"needles.set": "short circular"}


def test_the_sock_of_64_has_the_counts_that_it_has_on_a_set_of_four() -> None:
    one, four = sock(ONE), sock({"needles.set": "four"})
    assert one.numbers == four.numbers
    for here, there in zip(one.sections, four.sections, strict=True):
        assert [row.leaves for row in here.rows] == [row.leaves for row in there.rows]


def test_its_rows() -> None:
    made = sock(ONE)
    told = {part.kind: (part.needles, part.starts, written(part.rows[0])) for part in made.sections}
    assert told["cuff"] == (("round",), (64,), "*k2, p2; rep from * to end = 64")
    assert told["leg"] == (("round",), (64,), "k = 64")
    assert told["heel set-up"] == (("heel",), (32,), "RS: k16, turn = 32")
    assert told["gusset"] == (
        ("round",), (50,), "rest 9, pick up 17, k32, pick up 17, k9 = 84",
    )  # fmt: skip
    assert written(section(made, "gusset").rows[1]) == "k23, k2tog, k1, k32, k1, ssk, k to end = 82"
    assert told["toe"][:2] == (("N1", "N2", "N3", "N4"), (16, 16, 16, 16))
    for kind in ("heel set-up", "flap", "turn"):
        assert section(made, kind).waiting == (Waiting("instep", 32),)


def test_a_rib_down_the_instep_keeps_its_place_between_the_markers() -> None:
    made = sock(ONE | {"foot.fabric": "rib on the instep"})
    told = written(section(made, "gusset").rows[1])
    assert told == "k22, k2tog, k1, [k2, p2] 8 times, k2, k1, ssk, k to end = 82"


@pytest.mark.parametrize(
    ("spare", "needles"),
    [
        (None, "15/15/15/15"),
        ("a set of four, 2.5 mm", "15/30/15"),
        ("two circulars", "15/30/15"),
        ("five of 2.25 mm", "15/15/15/15"),
    ],
)
def test_the_toe_goes_onto_her_second_set(spare: str | None, needles: str) -> None:
    made = computed(ONE | {"needles.spare_set": spare})
    assert audit(made.document) == ()
    toe = section(read_pattern(made.document, ""), "toe")
    assert on_needles(toe.rows[0]) == needles
    assert toe.needles == (("B1", "A", "B2") if spare == "two circulars" else toe.needles)


def test_what_she_hears_of_it() -> None:
    notes = computed(ONE).notes
    assert notes[-2:] == (
        "64 stitches reach round a short circular of at most 32 cm from tip to tip. The heel is worked to "
        "and fro on it, while the instep waits.",
        "The toe is too narrow for it: all stitches go onto a set of five before the toe; to take another, "
        "name it (needles.spare_set).",
    )
    unknown = computed(ONE | {"needles.spare_set": "my old dpns"}).notes
    assert unknown[-1] == (
        "The toe is too narrow for it: all stitches go onto a set of five before the toe; my old dpns is no "
        'set known here: write needles.spare_set = "five" or "four" or "two circulars" or "long circular".'
    )
    small = computed(ONE | {"leg.stitches": 36, "foot.length": "20 cm"}).notes
    assert any("hardly any is so short" in note for note in small)


def test_both_socks_do_not_go_on_it() -> None:
    with pytest.raises(WillNotWork, match="both socks at once take two circulars"):
        computed(ONE | {"pair.order": "together"})


@pytest.mark.parametrize(
    "row", ["RS: k16, turn", "RS: k16, turn = 64", "RS: k16, turn = 900", "RS: k?", 5]
)
def test_a_heel_by_hand_says_how_many_are_worked(row: Any) -> None:
    table = {
        "name": "heel", "worked": "rows", "names": ["round"], "needles": [64], "onto": "heel",
        "resting_names": ["instep"], "rows": [row],
    }  # fmt: skip
    with pytest.raises(BadSection):
        read_pattern({"section": [table]}, "")
    right = table | {"rows": ["RS: k16, turn = 32"]}
    assert read_pattern({"section": [right]}, "").sections[0].waiting == (Waiting("instep", 32),)


FIELDS: list[dict[str, Any]] = [
    {},
    {"leg.fabric": "rib", "foot.fabric": "as the leg", "cuff.rib": "k1p1"},
    {"foot.fabric": "rib on the instep", "cuff.rib": "k2p1"},
    {"heel.turn": "square", "heel.gusset": "plain first", "toe.kind": "star"},
    {"toe.feet": "left and right", "needles.spare_set": "two circulars"},
    {"toe.kind": "round", "needles.spare_set": "four"},
    {"toe.feet": "left and right"},
]


@pytest.mark.parametrize("start", [20, 78])
def test_every_number_of_stitches_is_knitted_by_the_loom(start: int) -> None:
    for stitches in range(start, min(start + 56, 133), 4):
        rib = {"cuff.rib": "k1p1"} if stitches % 4 else {}
        fields = FIELDS[stitches // 4 % len(FIELDS)]
        given = {"leg.stitches": stitches, "foot.length": "34 cm", **rib, **fields, **ONE}
        odd = (
            {}
            if fields.get("leg.fabric") or "foot.fabric" in fields
            else {"leg.stitches": stitches + 1}
        )
        made = computed(given | odd)
        assert audit(made.document) == (), given
        pattern = read_pattern(made.document, "")
        rows = [row for part in pattern.sections for row in part.rows]
        assert [row.worked for row in rows] == [row.made for row in knitted(made.document)]
        for before, after in zip(pattern.sections, pattern.sections[1:], strict=False):
            left = before.rows[-1].leaves + sum(wait.stitches for wait in before.waiting)
            assert left == sum(after.rows[0].before) + sum(wait.stitches for wait in after.waiting)


TOE_UP = ONE | {"direction": "toe-up"}


def test_from_the_toe_up_the_toe_is_begun_on_other_needles_and_left_for_the_one() -> None:
    made = sock(TOE_UP)
    told = {part.kind: (part.needles, part.starts, written(part.rows[0])) for part in made.sections}
    assert told["toe"][:2] == (("N1", "N2", "N3", "N4"), (4, 4, 4, 4))
    assert told["foot"] == (("round",), (64,), "k = 64")
    assert told["gusset"] == (("round",), (64,), "k15, M1R, k34, M1L, k15 = 66")
    assert told["heel set-up"] == (
        ("sole 1", "instep", "sole 2"), (26, 32, 26), "RS: k | k |  = 26/32/26",
    )  # fmt: skip
    assert told["turn"] == (("heel",), (52,), "RS: k41, w&t = 52")
    assert section(made, "turn").waiting == (Waiting("instep", 32),)
    assert told["leg"] == (("round",), (64,), "rest 16, k48 = 64")
    assert told["bind-off"][:2] == (("round",), (64,))


def test_from_the_toe_up_it_has_the_counts_that_it_has_on_a_set_of_four() -> None:
    one, four = sock(TOE_UP), sock({"direction": "toe-up", "needles.set": "four"})
    assert one.numbers == four.numbers
    for here, there in zip(one.sections, four.sections, strict=True):
        assert [row.leaves for row in here.rows] == [row.leaves for row in there.rows]


@pytest.mark.parametrize("heel", ["flap", "wrapped", "double-stitch", "afterthought"])
@pytest.mark.parametrize("spare", [None, "a set of four", "two circulars"])
def test_from_the_toe_up_every_heel_toe_and_rib_comes_out(heel: str, spare: str | None) -> None:
    toes = [{"toe.kind": kind} for kind in ("wedge", "graduated", "star", "round")]
    for toe in (*toes, {"toe.feet": "left and right"}):
        for more in ({}, {"cuff.rib": "k2p1"}, {"leg.stitches": 62}, {"leg.fabric": "rib"}):
            given = {"heel.kind": heel, "needles.spare_set": spare, **toe, **more}
            made = computed(TOE_UP | given)
            assert audit(made.document) == (), given
            read = read_pattern(made.document, "")
            assert read.sections[-1].rows[-1].leaves == 0, given


def test_a_row_that_is_wrong_there_is_found() -> None:
    made = computed(TOE_UP).document
    (set_up,) = [part for part in made["section"] if part["kind"] == "heel set-up"]
    set_up["names"], set_up["needles"] = ["round", "sole 2"], [50, 34]
    set_up["rows"] = ["RS: k |  = 50/34"]
    assert audit(made)


def test_what_she_hears_of_it_from_the_toe_up() -> None:
    assert computed(TOE_UP).notes[-1] == (
        "The toe is too narrow for it: it is begun on a set of five, and all stitches go onto the short "
        "circular after it; to take another, name it (needles.spare_set)."
    )
