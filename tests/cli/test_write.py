"""`instep write`: to print, as planned or as made, in three forms."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from tests.cli.conftest import Instep
from tests.cli.test_commands import JUNK, junk_files
from tests.knitting.knitter import SAMPLE
from tests.pattern.test_folded import FILES
from tests.printing.reading import read_html, read_markdown

STAGES = """
[[stage]]
number = 1
sections = ["cuff", "leg"]
opens = 2026-03-05
knit_by = 2026-03-12
both_socks = true
bring = "a darning needle & <b>pins</b>"

[[stage]]
number = 2
sections = ["heel"]

[[stage]]
number = 3
sections = ["gusset", "foot", "toe", "graft"]
"""


def part(text: str, head: str) -> list[str]:
    """The lines under a heading of a text."""
    lines = text.splitlines()
    begin = next(at for at, line in enumerate(lines) if line.split(" (")[0] == head) + 2
    end = next((at for at in range(begin, len(lines)) if not lines[at]), len(lines))
    return lines[begin:end]


@pytest.fixture
def staged(tmp_path: Path) -> str:
    """A plan with stages."""
    plan = tmp_path / "staged.toml"
    plan.write_text(SAMPLE.read_text("utf-8") + STAGES, "utf-8")
    return str(plan)


# As planned


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_each_is_printed_in_every_form(instep: Instep, file: Path, tmp_path: Path) -> None:
    """The whole samples, and what is written by hand: all say the same rows."""
    _, text, _ = instep.run("write", str(file))
    for ending, read in ((".html", read_html), (".md", read_markdown)):
        out = tmp_path / f"page{ending}"
        code, said, _ = instep.run("write", str(file), "-o", str(out))
        assert (code, said) == (0, f"Written: {out}\n")
        told = _bare(" ".join(read(out.read_text("utf-8")).texts))
        for line in text.splitlines():
            assert _bare(line) in told, line
    plain = tmp_path / "page.txt"
    instep.run("write", str(file), "-o", str(plain))
    assert plain.read_text("utf-8") == text


def _bare(text: str) -> str:
    """Letters and figures alone: forms differ in room and in signs."""
    return "".join(letter for letter in text if letter.isalnum())


def test_as_planned_says_it_all(instep: Instep) -> None:
    told = instep.ok("write", str(SAMPLE))
    assert told.startswith("Night ferry\n===========\nAs planned\n")
    assert "Gauge        30 stitches and 42 rows to 10 cm, round swatch\n" in told
    assert "Needles      a set of five, 2.5 mm\n" in told
    assert "stop when it hurts" in told
    assert part(told, "Leg") == [
        "- Count once: 16 / 16 / 16 / 16.",
        "  Rounds 1 to 46: every needle k  [16/16/16/16]",
        "  To 16 cm from the cast-on edge: 46 rounds are planned, the tape says when it",
        "      ends.",
    ]
    heel = part(told, "Heel set-up")
    assert heel[:2] == [
        "- Knit N1, then turn.",
        "- N4 and N1 become the heel needle: 32; one needle is free. The instep's 32",
    ]
    assert "ssk          slip two knitwise one by one, knit them together through the back" in told


def test_with_a_dash_or_nothing_it_is_text(instep: Instep) -> None:
    assert instep.ok("write", str(SAMPLE)) == instep.ok("write", str(SAMPLE), "-o", "-")


@pytest.mark.parametrize(
    ("length", "caution", "without"),
    [("24.5 cm", "Plain soles slip", "For a baby"), ("10 cm", "short floats", "Plain soles slip")],
)
def test_the_cautions_that_apply(
    instep: Instep, tmp_path: Path, length: str, caution: str, without: str
) -> None:
    baby = tmp_path / "plan.toml"
    text = SAMPLE.read_text("utf-8").replace('"24.5 cm"', f'"{length}"').replace("23.6 cm", "12 cm")
    text = text.replace("16 cm", "9 cm") if length == "10 cm" else SAMPLE.read_text("utf-8")
    baby.write_text(text.replace('length = "5 cm"', 'length = "2 cm"'), "utf-8")
    _, told, _ = instep.run("write", str(baby))
    assert caution in " ".join(told.split())
    assert without not in told


def test_a_hat_is_no_sock(instep: Instep) -> None:
    hat = next(file for file in FILES if file.stem == "hat")
    told = instep.ok("write", str(hat))
    assert "sock" not in told.lower()
    assert "soles" not in told


# A stage


def test_a_stage_is_printed_alone(instep: Instep, staged: str) -> None:
    told = instep.ok("write", staged, "--stage", "1")
    assert "Stage 1, as planned\n" in told
    assert "Given out    5 March 2026\n" in told
    assert "Knit by      12 March 2026, on both socks\n" in told
    assert "Bring        a darning needle & <b>pins</b>\n" in told
    assert part(told, "What you should have") == ["- Nothing yet: it begins with the cast-on."]
    assert part(told, "What to reach") == [
        "- After the leg, about 46 rounds: 16/16/16/16 = 64 on the needles."
    ]
    assert "\nLeg (" in told
    assert "\nHeel" not in told


def test_a_heel_begins_and_ends_with_its_counts(instep: Instep, staged: str) -> None:
    told = instep.ok("write", staged, "--stage", "2")
    assert part(told, "What you should have") == [
        "- After the leg, about 46 rounds: 16/16/16/16 = 64 on the needles."
    ]
    assert " ".join(part(told, "What to reach")) == (
        "- After the heel turn, 14 rows: 18 on the needle; 16 rest on N2; 16 rest on   N3."
    )
    assert [line.split(" (")[0] for line in told.splitlines() if line.endswith("rests)")] == [
        "Heel set-up", "Heel flap", "Heel turn",
    ]  # fmt: skip
    end = instep.ok("write", staged, "--stage", "3")
    assert part(end, "What to reach") == [
        "- After the graft, 1 row: no stitches are left on the needles."
    ]


def test_a_stage_that_there_is_not(instep: Instep, staged: str) -> None:
    for number in ("4", "0", "-1"):
        assert instep.wrong("write", staged, "--stage", number) == (
            f"there is no stage {number}; it has stages 1, 2 and 3"
        )
    assert instep.wrong("write", str(SAMPLE), "--stage", "1") == (
        "it has no stages; leave --stage out, or write [[stage]] in its plan"
    )
    instep.ok("start", staged)
    assert instep.wrong("write", "night-ferry", "--stage", "9").startswith("there is no stage 9")


def test_a_stage_as_made_tells_that_stage_only(instep: Instep, staged: str) -> None:
    instep.ok("start", staged)
    instep.ok("at", "46", "--section", "leg")
    instep.ok("end")
    instep.ok("tick", "3")
    told = instep.ok("write", "night-ferry", "--stage", "1")
    assert "Stage 1, as made, 1 March 2026\n" in told
    assert part(told, "Row by row")[1:] == ["cuff  22 rounds", "leg   46 rounds"]
    assert "- Sock one, heel flap: row 2 of 32 is done." in told
    assert "\nLeg (" in told
    assert "\nHeel" not in told
    assert part(told, "What to reach") == [
        "- After the leg, 46 rounds: 16/16/16/16 = 64 on the needles."
    ]


# As made


@pytest.fixture
def worked(pair: Instep) -> Instep:
    """Sock one finished, with a history; sock two at its flap, its leg two rounds shorter."""
    for minute in range(1, 6):
        pair.now(f"2026-03-01T20:0{minute}:00+01:00")
        pair.ok("tick")
    pair.now("2026-03-02T20:00:00+01:00")
    for words in (
        "tick 17", "tick 30", "measure 12.4 cm", "lifeline 26", "tick 8", "rip 36", "weigh 85",
        "tick 10", "target 15.5 cm", "end", "tick", "tick 32", "tick 14", "tick 20", "tick 44", "end",
        "tick 21",
    ):  # fmt: skip
        pair.ok(*words.split())
    pair.ok("note", "a <b>knot</b>", "--sock", "1")
    pair.now("2026-03-09T20:00:00+01:00")
    for words in ("other", "tick 22", "tick 44", "end", "tick", "tick 9"):
        pair.ok(*words.split())
    return pair


def test_a_pair_that_is_not_begun_is_as_planned(pair: Instep) -> None:
    assert pair.ok("write", "night-ferry") == pair.ok("write", str(SAMPLE))
    assert pair.ok("write") == pair.ok("write", "night-ferry")


def test_as_made_says_what_was_done(worked: Instep) -> None:
    told = worked.ok("write", "night-ferry")
    assert told.startswith("Night ferry\n===========\nAs made, 9 March 2026\n")
    one = part(told, "Sock one")
    assert one[:5] == [
        "Begun        1 March 2026",
        "Finished     2 March 2026",
        "Knitting     about 6 h 56",
        "Ripped back  once",
        "  Cuff: 22 rounds, 5.1 cm.  [16/16/16/16]",
    ]
    leg = " ".join(" ".join(one).partition("Leg: ")[2].split()).partition("Heel set-up")[0]
    assert leg.startswith("46 rounds, ")
    for said in (
        "Its goal was set to 15.5 cm.", "Measured 12.4 cm at round 30.",
        "A lifeline lies in round 26.", "A pin stands at its end. [16/16/16/16]",
    ):  # fmt: skip
        assert said in leg
    assert "  Heel flap: 32 rows.  [32]" in one
    assert "  Noted at graft row 1: a <b>knot</b>" in one
    assert part(told, "Yarn weighed") == ["- 85 g, 2 March 2026, after leg round 36 of sock one."]


def test_the_socks_are_told_apart_by_signed_numbers(worked: Instep) -> None:
    told = worked.ok("write", "night-ferry")
    assert part(told, "Row by row")[1:5] == [
        "cuff         22 rounds  22 rounds",
        "leg          46 rounds  44 rounds",
        "heel set-up      1 row      1 row",
        "heel flap      32 rows   9 so far",
    ]
    assert part(told, "Row by row")[-1] == (
        "Sock two against sock one: cuff +0, leg -2, heel set-up +0."
    )


def test_what_is_left_follows_as_planned(worked: Instep) -> None:
    """The rest of the flap alone, and the foot by the count of sock one."""
    told = worked.ok("write", "night-ferry")
    left = told.partition("Still to knit\n")[2]
    assert "- Sock two, heel flap: row 9 of 32 is done." in left
    assert part(left, "Heel flap")[0] == "  Row 10 RS: [sl1, k1] 16 times, turn  [32]"
    foot = part(left, "Foot")
    assert "- Sock two ends it at round 44, as sock one did." in foot
    assert "tape" not in " ".join(foot)
    assert "\nLeg (" not in left
    assert "\nCuff (" not in left


def test_a_pair_that_is_finished_has_nothing_left(worked: Instep) -> None:
    for words in ("tick 23", "tick 14", "tick 20", "tick 44", "tick 21"):
        worked.ok(*words.split())
    told = worked.ok("write", "night-ferry")
    assert "Still to knit" not in told
    assert part(told, "As it was worked") == ["Every row as it was made, for the next pair."]
    toes = told.partition("As it was worked\n")[2].partition("\nToe (")[2]
    assert "On both." in toes
    assert "k to last 3, k2tog, k1 | k1, ssk, k to end" in toes
    legs = told.partition("As it was worked\n")[2].split("\nLeg (")[1:]
    assert ["On sock one." in legs[0], "On sock two." in legs[1]] == [True, True]
    assert "Rounds 1 to 46: every needle k" in legs[0]
    assert "Rounds 1 to 44: every needle k" in legs[1]
    assert "the tape says" not in told.partition("As it was worked\n")[2]
    assert "\nssk " in part(told, "In words")[0] or "ssk" in told.partition("In words\n")[2]
    assert part(told, "Sock two")[1] == "Finished     9 March 2026"
    assert "heel flap +0" in " ".join(part(told, "Row by row"))


def test_the_head_has_the_numbers_as_made(pair: Instep) -> None:
    pair.ok("tick", "22")
    assert "- Cuff 22 rounds, leg 46.\n" in pair.ok("write")
    for words in ("tick 44", "end", "tick 47", "changed picked-up 17/16", "tick"):
        pair.ok(*words.split())
    told = pair.ok("write")
    assert "- Cuff 22 rounds, leg 44 (planned 46).\n" in told
    assert "85 (planned 84) after the pick-up." in " ".join(told.split())
    for words in ("tick 19", "tick 40", "end", "tick 21"):
        pair.ok(*words.split())
    told = " ".join(pair.ok("write").split())
    assert "Gusset 19 rounds, foot 59 (planned 63) rounds with it, toe 20 rounds;" in told
    stitches = pair.json("left")["lag"]["stitches"]
    assert f"- {stitches} (planned 10416) stitches a sock." in told
    assert "(planned" not in pair.ok("write", str(SAMPLE))


def test_the_cards_of_a_finished_pair_go_by_what_was_made(pair: Instep) -> None:
    for words in (
        "tick 22", "tick 46", "end", "tick 47", "changed picked-up 17/15", "tick 20", "tick 44", "end",
        "tick 21", "other", "tick 22", "tick 46", "tick 47", "tick 20", "tick 44", "tick 21",
    ):  # fmt: skip
        pair.ok(*words.split())
    told = " ".join(pair.ok("write").split())
    assert "pick up 18 along the first edge" in told
    assert "Then 27 / 16 / 16 / 25 = 84." in told


def test_a_stage_that_is_done_is_told_row_by_row(instep: Instep, staged: str) -> None:
    instep.ok("start", staged)
    for sock in ("1", "2"):
        for words in ("tick 22", "tick 44", "end", "tick"):
            if words != "end" or sock == "1":
                instep.ok(*words.split(), "--sock", sock)
    told = instep.ok("write", "night-ferry", "--stage", "1")
    assert "Rounds 1 to 44: every needle k" in told.partition("As it was worked\n")[2]
    assert "Still to knit" not in told
    assert part(told, "What to reach") == [
        "- After the leg, 44 rounds: 16/16/16/16 = 64 on the needles."
    ]


def test_a_sock_begun_again_says_so(pair: Instep) -> None:
    pair.ok("tick", "5")
    pair.ok("rip", "3")
    pair.now("2026-03-04T20:00:00+01:00")
    pair.ok("restart")
    assert "As made" not in pair.ok("write")
    pair.ok("tick", "2")
    one = part(pair.ok("write"), "Sock one")
    assert one[0] == "Begun        4 March 2026"
    assert "Begun again  once" in one
    assert "Ripped back" not in " ".join(one)


def test_what_was_taken_back_is_not_told(pair: Instep) -> None:
    pair.ok("tick", "30")
    pair.ok("note", "a wrong note")
    pair.ok("undo")
    pair.ok("weigh", "80")
    pair.ok("undo")
    told = pair.ok("write")
    assert "a wrong note" not in told
    assert "80 g" not in told


def test_readings_that_do_not_count_are_left_out(pair: Instep) -> None:
    pair.ok("tick", "22")
    pair.ok("tick", "20")
    pair.ok("measure", "9.9 cm")
    pair.ok("measure", "16 cm")
    told = " ".join(part(pair.ok("write"), "Sock one"))
    assert "Measured 9.9 cm at round 20." in told


def test_both_are_told_apart_where_both_are_left(pair: Instep) -> None:
    pair.ok("tick", "22")
    pair.ok("tick", "4")
    told = pair.ok("write")
    assert part(told, "Cuff")[0] == "- On sock two."
    assert part(told, "Leg")[0] == "- On both."


def test_as_made_in_every_form(worked: Instep, tmp_path: Path) -> None:
    page, marked = tmp_path / "a.html", tmp_path / "a.md"
    for out in (page, marked):
        worked.ok("write", "night-ferry", "-o", str(out))
    html, markdown = (read(out.read_text("utf-8")) for out, read in (
        (page, read_html), (marked, read_markdown)))  # fmt: skip
    for read in (html, markdown):
        assert "a <b>knot</b>" in " ".join(read.texts)
        assert "Sock two against sock one: cuff +0, leg -2, heel set-up +0." in read.texts
    assert "<table >" in html.structure
    assert "table_open" in markdown.structure


# Where it is written, and what goes wrong


def test_nothing_is_written_over(instep: Instep, tmp_path: Path) -> None:
    plan = tmp_path / "plan.txt"
    plan.write_bytes(SAMPLE.read_bytes())
    hers = tmp_path / "hers.md"
    hers.write_text("my own notes", "utf-8")
    assert "there already" in instep.wrong("write", str(SAMPLE), "-o", str(hers))
    assert hers.read_text("utf-8") == "my own notes"
    told = instep.wrong("write", str(plan), "-o", str(plan))
    assert "this is the file it is made from" in told
    assert plan.read_bytes() == SAMPLE.read_bytes()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["hers.md", "plan.txt"]


def test_the_basket_is_not_written_over(pair: Instep, tmp_path: Path) -> None:
    basket = str(tmp_path / "basket.txt")
    pair.ok("start", str(SAMPLE), "--basket", basket)
    assert "made from" in pair.wrong("write", "--basket", basket, "-o", basket)
    assert pair.ok("left", "--basket", basket)


@pytest.mark.parametrize("name", ["page.pdf", "page", "page.htm", ".md", "a.txt.gz"])
def test_a_wrong_ending_names_the_three(pair: Instep, tmp_path: Path, name: str) -> None:
    out = str(tmp_path / name)
    for what in (str(SAMPLE), "night-ferry", "no-such-pair"):
        told = pair.wrong("write", what, "-o", out)
        assert told == f"{out}: this ending is none of those written; end it in .md, .html or .txt"


def test_where_nothing_can_be_written(instep: Instep, tmp_path: Path) -> None:
    for out in (tmp_path / "no" / "a.md", tmp_path / f"{'a' * 300}.html"):
        assert "it cannot be written" in instep.wrong("write", str(SAMPLE), "-o", str(out))
    folder = tmp_path / "folder.md"
    folder.mkdir()
    assert "no plain file" in instep.wrong("write", str(SAMPLE), "-o", str(folder)).replace(
        "not a plain file", "no plain file"
    )


def test_what_is_neither_pair_nor_file(pair: Instep) -> None:
    assert pair.wrong("write", "no-such.toml") == "no-such.toml: there is no such file"
    told = pair.wrong("write", "nigth-ferry")
    assert '"night-ferry"' in told
    assert told.endswith("a file is named with its ending, like nigth-ferry.toml")
    assert pair.usage("write", "night-ferry", "--stage", "one")


def test_no_pair_to_write(instep: Instep) -> None:
    assert instep.wrong("write").startswith("the basket is empty")


def test_a_file_without_an_ending_and_one_that_starts_no_pair(
    instep: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "ferry").write_bytes(SAMPLE.read_bytes())
    assert instep.ok("write", "ferry") == instep.ok("write", str(SAMPLE))
    assert instep.json("basket") == {"pairs": []}


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=junk_files(), word=JUNK)
def test_junk_is_refused_in_a_line_or_written_clean(instep: Instep, data: bytes, word: str) -> None:
    file = instep.basket.with_name("junk.toml")
    file.write_bytes(data)
    out = instep.basket.with_name("out.html")
    for words in (
        ["write", str(file)],
        ["write", str(file), "-o", str(out)],
        ["write", word, "-o", word],
    ):
        code, told, aside = instep.run(*words)
        assert code in (0, 1, 2)
        assert (told + aside).replace("\n", "").isprintable()
    if out.exists():
        read_html(out.read_text("utf-8"))
        out.unlink()


# Several sizes


def test_several_sizes_on_one_sheet(instep: Instep) -> None:
    told = instep.ok("write", str(SAMPLE), "--sizes", "64, 48,56")
    assert "As planned, in sizes 48 (56, 64)\n" in told
    assert "- Cast on 48 (56, 64), loosely.\n" in told
    assert "  Row 1 WS: sl1, p23 (27, 31), turn  [24 (28, 32)]\n" in told
    assert "Knitted      16 (18.7, 21.3) cm around\n" in told
    assert "Left out, for it is of one size: foot.circumference." in " ".join(told.split())


def test_sizes_that_cannot_be(pair: Instep, tmp_path: Path, staged: str) -> None:
    told = pair.wrong("write", str(SAMPLE), "--sizes", "48,199")
    assert "size 199: " in told
    assert "a pair has one size" in pair.wrong("write", "night-ferry", "--sizes", "48,56")
    assert "a pair has one size" in pair.wrong("write", "--sizes", "48,56")
    assert pair.wrong("write", staged, "--sizes", "48", "--stage", "9") == (
        "there is no stage 9; it has stages 1, 2 and 3"
    )
    pattern = tmp_path / "pattern.toml"
    pair.ok("plan", str(SAMPLE), "-o", str(pattern))
    assert "name the plan" in pair.wrong("write", str(pattern), "--sizes", "48,56")
    for odd in ("", "a", "48;56", "0", "48,,56", ",".join(map(str, range(40, 60)))):
        assert "--sizes" in pair.usage("write", str(SAMPLE), "--sizes", odd)


def test_a_stage_in_several_sizes(instep: Instep, staged: str) -> None:
    told = instep.ok("write", staged, "--sizes", "48,56,60,64,72", "--stage", "1")
    assert "Stage 1, as planned, in sizes 48 (56, 60, 64, 72)\n" in told
    assert "Knit by      12 March 2026, on both socks\n" in told
    assert "Knitted      16 (18.7, 20, 21.3, 24) cm around\n" in told
    assert part(told, "What you should have") == ["- Nothing yet: it begins with the cast-on."]
    assert " ".join(part(told, "What to reach")) == (
        "- After the leg, about 46 rounds: 12/12/12/12 (16/16/12/12, 16/16/16/12,   16/16/16/16,"
        " 20/20/16/16) = 48 (56, 60, 64, 72) on the needles."
    )
    assert "\nHeel" not in told
    assert "ssk" not in told
    end = instep.ok("write", staged, "--sizes", "48,72", "--stage", "3")
    assert " ".join(part(end, "What you should have")) == (
        "- After the heel turn, 10 (16) rows: 14 (20) on the needle; 12 (18) rest on   N2; 12 (18) rest on"
        " N3."
    )
    assert end.index("What you should have") < end.index("\nGusset") < end.index("What to reach")
    one = instep.ok("write", staged, "--sizes", "64", "--stage", "2")
    alone = instep.ok("write", staged, "--stage", "2")
    for head in ("What you should have", "Heel flap", "What to reach"):
        assert set(part(alone, head)) <= set(part(one, head))


def test_every_form_has_a_stage_in_sizes(instep: Instep, staged: str, tmp_path: Path) -> None:
    for ending, read in ((".html", read_html), (".md", read_markdown)):
        out = tmp_path / f"page{ending}"
        instep.ok("write", staged, "--sizes", "48,56", "--stage", "2", "-o", str(out))
        assert "What to reach" in " ".join(read(out.read_text("utf-8")).texts)


FOOT = '[foot]\ncircumference = "23.6 cm"\nlength = "24.5 cm"\n\n'
GAUGE = '[gauge]\nstitches = 30\nrows = 42\nper = "10 cm"\n\n'


@pytest.mark.parametrize(
    ("without", "instead_of_it", "line"),
    [
        (
            (FOOT, GAUGE), "",
            "foot and gauge are left open, and a sheet in sizes needs what sizes do not tell; write under"
            ' [foot] length = "24.5 cm" or shoe = "EU 39", and under [gauge] stitches = 30, rows = 42 and'
            ' per = "10 cm"',
        ),
        (
            (GAUGE,), "",
            "gauge is left open, and a sheet in sizes needs what sizes do not tell; write under [gauge]"
            ' stitches = 30, rows = 42 and per = "10 cm"',
        ),
        (
            (FOOT,), "",
            "foot is left open, and a sheet in sizes needs what sizes do not tell; write under [foot]"
            ' length = "24.5 cm" or shoe = "EU 39"',
        ),
        ((FOOT,), '[foot]\nshoe = "EU 39"\n', ""),
    ],
    ids=["both", "gauge", "foot", "neither"],
)  # fmt: skip
def test_a_class_file_in_sizes_is_asked_for_what_sizes_do_not_tell(
    instep: Instep, tmp_path: Path, without: tuple[str, ...], instead_of_it: str, line: str
) -> None:
    text = SAMPLE.read_text("utf-8")
    for gone in without:
        assert gone in text
        text = text.replace(gone, "")
    file = tmp_path / "class.toml"
    file.write_text(text + instead_of_it, "utf-8")
    if line:
        assert instep.wrong("write", str(file), "--sizes", "48,56") == f"{file}: {line}"
        return
    told = instep.ok("write", str(file), "--sizes", "48,56")
    assert "As planned, in sizes 48 (56)\n" in told
    assert "Foot         shoe EU 39\n" in told
    assert "Left out" not in told


def test_what_is_wrong_in_a_class_file_is_told_first(instep: Instep, tmp_path: Path) -> None:
    file = tmp_path / "class.toml"
    text = SAMPLE.read_text("utf-8").replace(FOOT, "").replace('"five"', '"six"')
    file.write_text(text, "utf-8")
    assert "needles.set" in instep.wrong("write", str(file), "--sizes", "48,56")


def test_a_stage_without_the_foot_needs_no_length_of_it(
    instep: Instep, tmp_path: Path, staged: str
) -> None:
    file = tmp_path / "class.toml"
    file.write_text(Path(staged).read_text("utf-8").replace(FOOT, ""), "utf-8")
    for number in ("1", "2"):
        words = ("--sizes", "40,64,72", "--stage", number)
        told = instep.ok("write", str(file), *words)
        whole = instep.ok("write", staged, *words)
        without = ("Foot ", "- Left out")
        lines = [line for line in whole.splitlines() if line and not line.startswith(without)]
        assert [line for line in told.splitlines() if line] == lines
        assert "30 cm" not in told
    for number in ("3", "4"):
        asked = instep.wrong("write", str(file), "--sizes", "40,64", "--stage", number)
        assert 'write under [foot] length = "24.5 cm" or shoe = "EU 39"' in asked
    file.write_text(Path(staged).read_text("utf-8").replace(FOOT, "").replace(GAUGE, ""), "utf-8")
    asked = instep.wrong("write", str(file), "--sizes", "40,64", "--stage", "1")
    assert asked.startswith(f"{file}: gauge is left open, and a sheet")
