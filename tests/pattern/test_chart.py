"""Charts: a sign for every stitch, as it looks from the right side, read as charts in print are."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.knitting.knitter import FLAP, SAMPLE, sock_of_64
from tests.pattern.making import section as section_of
from tests.pattern.making import sock
from tracker.pattern.chart import NO_STITCH, Chart, chart
from tracker.pattern.model import Section
from tracker.pattern.notation import STITCHES
from tracker.storage.pattern_file import open_file


def by_hand(
    folder: Path, rows: str, *, stitches: str = "16", more: str = "", flat: bool = False
) -> Section:
    file = folder / "hat.toml"
    worked = "rows" if flat else "rounds"
    file.write_text(
        f'title = "Hat"\n[[section]]\nname = "body"\nworked = "{worked}"\nneedles = [{stitches}]\n'
        f"{more}\nrows = [{rows}]\n",
        encoding="utf-8",
    )
    return open_file(str(file)).pattern.sections[0]


def drawn(found: Chart | None) -> list[str]:
    assert found is not None
    return [line.signs for line in found.lines]


@pytest.mark.parametrize("sample", ["night-ferry", "low-tide", "harbour-pilot", "quay-steps-two"])
def test_a_line_has_a_sign_for_every_stitch_of_its_row(sample: str) -> None:
    pattern = open_file(str(SAMPLE.with_name(f"{sample}.toml"))).pattern
    charts = [(section, found) for section in pattern.sections if (found := chart(section))]
    assert [section.kind for section, _ in charts] == ["flap"]
    for section, found in charts:
        for row in section.rows:
            number = found.line_of(row.number)
            assert number is not None
            line = found.lines[number - 1]
            held = sum(needle.leaves for needle in row.needles if not needle.rests)
            assert len(line.signs) * found.times == held
            assert (line.begins == "left") == (row.side == "WS")


def test_the_slipped_flap() -> None:
    """Ridges of slipped stitches over the ones of the row before; its edge is slipped on both sides."""
    found = chart(sock_of_64().sections[FLAP])
    assert drawn(found) == ["V" + "|" * 31, "|V" * 16]


def test_symbols_show_the_right_side(tmp_path: Path) -> None:
    """Symbolcraft: upright for knit, level for purl, and in a wrong side row the opposite of what is worked.

    Right side rows and rounds are read from right to left, a decrease is drawn as it leans.
    """
    garter = by_hand(
        tmp_path, '"RS: k4, p4", "WS: k4, p4"', stitches="8", more="repeat = 6", flat=True
    )
    found = chart(garter)
    assert drawn(found) == ["----||||", "----||||"]
    assert found
    assert [line.begins for line in found.lines] == ["right", "left"]
    lace = by_hand(tmp_path, '"*k2tog, yo, k2; rep from * to end", "k"', more="repeat = 8")
    found = chart(lace)
    assert drawn(found) == ["||o/", "||||"]
    assert found
    assert (found.times, found.again) == (4, True)
    assert dict(found.key) == {"/": "k2tog", "o": "yo", "|": "k"}


def test_wrong_side_decreases_have_the_sign_of_their_like(tmp_path: Path) -> None:
    flat = by_hand(
        tmp_path,
        '"RS: ssk, yo, k4", "WS: p2tog, yo, p4"',
        stitches="6", more="repeat = 4", flat=True,
    )  # fmt: skip
    assert drawn(chart(flat)) == ["||||o\\", "/o||||"]


def test_a_cable_has_a_sign_for_each_of_its_stitches(tmp_path: Path) -> None:
    cable = by_hand(tmp_path, '"*C4F, k4; rep from * to end", "k", "k", "k"', more='until = "9 cm"')
    found = chart(cable)
    assert drawn(found)[0] == "||||<<<<"
    assert found
    assert found.line_of(cable.first + 4) == 1


def test_for_the_left_hand_it_is_the_mirror_image(tmp_path: Path) -> None:
    lace = by_hand(tmp_path, '"*k2tog, yo, k2; rep from * to end", "k"', more="repeat = 8")
    found = chart(lace, "left")
    assert drawn(found) == ["\\o||", "||||"]
    assert found
    assert {line.begins for line in found.lines} == {"left"}
    assert dict(found.key)["\\"] == "k2tog"


def test_where_a_row_has_fewer_stitches_no_stitch_stands_beside_its_decrease(
    tmp_path: Path,
) -> None:
    lace = by_hand(
        tmp_path, '"k2tog, yo, k2, yo", "k2tog, k to end"', stitches="4", more="repeat = 8"
    )
    assert drawn(chart(lace)) == ["o||o/", f"|||{NO_STITCH}/"]


@pytest.mark.parametrize(
    ("rows", "more"),
    [
        ('"k"', "repeat = 8"),
        ('"*k2, p2; rep from * to end"', "repeat = 8"),
        ('"k", "k2tog, k to end"', ""),
    ],
)
def test_what_a_line_or_two_say_has_none(tmp_path: Path, rows: str, more: str) -> None:
    assert chart(by_hand(tmp_path, rows, more=more)) is None


def test_what_comes_off_the_needle_is_not_drawn(tmp_path: Path) -> None:
    assert chart(by_hand(tmp_path, '"k2tog, yo, k to end", "BO all"')) is None


@pytest.mark.parametrize("stitch", sorted({*STITCHES} - {"BO", "graft", "draw up", "CO", "rest"}))
def test_every_stitch_has_a_sign(tmp_path: Path, stitch: str) -> None:
    """On either side; one that is not among those in print has a letter, and the key names it."""
    bare = stitch.removesuffix(" tbl")
    for side, other in (("RS", "WS"), ("WS", "RS")):
        work = f"yo, {bare} 1{stitch[len(bare) :]}, k to end"
        rows = f'"{side}: {work}", "{other}: k2, k to end"'
        found = chart(by_hand(tmp_path, rows, stitches="20", flat=True))
        assert found
        assert all(len(sign) == 1 for sign, _ in found.key)
        assert len({sign for sign, _ in found.key}) == len(found.key)


def test_a_repeat_that_changes_its_count_is_drawn_once_with_no_stitch_beside_its_decrease() -> None:
    pattern = sock({
        "leg.fabric": "repeat", "leg.repeat": ["k1, yo, k3", "k5", "k1, k2tog, k2", "k4"], "leg.stitches": 64,
    })  # fmt: skip
    found = chart(section_of(pattern, "leg"))
    assert found is not None
    assert found.times == 16
    # As drawn, the right side first: it is read from right to left.
    assert drawn(found) == ["|||o|", "|||||", "||#/|", "||#||"]
