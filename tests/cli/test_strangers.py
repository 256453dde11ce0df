"""Files of strangers: bounded before any work is done, refused in milliseconds, no sign of theirs obeyed."""

from __future__ import annotations

import json
from pathlib import Path
from time import process_time

import pytest

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE

PLAN = SAMPLE.read_text("utf-8")
HAT = """title = "Hat"

[[section]]
name = "brim"
worked = "rounds"
needles = [20]
repeat = 2
rows = ["k"]
"""
MS = 0.25
"""Seconds of work in which a refusal stands: reading a plan takes some ten milliseconds of it."""


def row(text: str) -> str:
    return HAT.replace('"k"', json.dumps(text))


HUGE = {
    "a repeat of 10^9": row("[k1] 1000000000 times"),
    "a repeat of 10^5000": row(f"[k1] {'9' * 5_000} times"),
    "a star of 10^9": row("*k1; rep from * 1000000000 times"),
    "repeats within repeats": row("[[[[[k1, p1] 999 times] 999 times] 999 times] 999 times] 999 times"),
    "increases within repeats": row("[[[[yo] 9999 times] 9999 times] 9999 times] 9999 times"),
    "brackets a thousand deep": row("[" * 1_000 + "k1" + "] 2 times" * 1_000),
    "a row of a hundred thousand letters": row("k1, " * 30_000),
    "ten thousand needles": row(" | ".join(["k1"] * 10_000)),
    "a section repeated 10^9 times": HAT.replace("repeat = 2", "repeat = 1000000000"),
    "a section repeated 10^4000 times": HAT.replace("repeat = 2", f"repeat = {'9' * 4_000}"),
    "a section repeated 10^5000 times": HAT.replace("repeat = 2", f"repeat = {'9' * 5_000}"),
    "10^9 stitches": HAT.replace("[20]", "[1000000000]"),
    "10^15 stitches on many": HAT.replace("[20]", f"[{', '.join(['1000000'] * 500)}]"),
    "a list a hundred thousand deep": "a = " + "[" * 100_000 + "]" * 100_000,
    "tables a thousand deep": "[" + ".".join(["a"] * 1_000) + "]\n",
    "a key with dots": ".".join(["a"] * 100_000) + " = 1",
    "a number of 100,000 digits": f"a = {'9' * 100_000}",
    "a date that is none": PLAN.replace("title", "opens = 2026-99-99\ntitle", 1),
    "a stage on a day of no calendar": PLAN + "\n[[stage]]\nnumber = 1\nopens = 0000-01-01\n",
    "a shoe of 10^300": PLAN.replace('length = "24.5 cm"', f'shoe = "EU {"9" * 300}"'),
    "a shoe of minus one": PLAN.replace('length = "24.5 cm"', 'shoe = "UK -1"'),
    "a foot of a mile": PLAN.replace('"24.5 cm"', '"160934 cm"'),
    "a gauge that is no number": PLAN.replace("stitches = 30", "stitches = nan"),
    "an endless gauge": PLAN.replace("rows = 42", "rows = inf"),
    "a gauge below nought": PLAN.replace("stitches = 30", "stitches = -30"),
    "a gauge of 10^400": PLAN.replace("stitches = 30", f"stitches = {'9' * 400}"),
    "a title of 100,000 letters": PLAN.replace("Night ferry", "a" * 100_000),
    "colours without end": PLAN + "\n[colours]\nleg = [" + '"navy 9", ' * 5_000 + "]\n",
    "stages without end": PLAN + "\n[[stage]]\nnumber = 1\n" * 4_000,
    "sections without end": 'title = "a"\n' + HAT.partition("\n\n")[2] * 1_100,
    "more than a megabyte": PLAN + "#" * 1_000_001,
    "bytes that are no text": PLAN + "\udcff",
    "nothing": "",
}  # fmt: skip


@pytest.mark.parametrize("what", HUGE)
def test_what_is_too_much_is_refused_before_it_is_done(
    instep: Instep, tmp_path: Path, what: str
) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(HUGE[what].encode("utf-8", "surrogateescape"))
    began = process_time()
    said = instep.wrong("start", str(file))
    took = process_time() - began
    assert said.isprintable()
    assert len(said) <= 1_000
    assert took < MS * max(1.0, len(HUGE[what]) / 100_000), f"{took:.2f} s"
    assert not instep.json("basket")["pairs"]


ODD = {
    "\x1b[2J": "?[2J", "\x1b]0;x\x07": "?]0;x?", "\x9b31m": "?31m", "\u202egnp": "?gnp", "a\u200bb": "a?b",
    "a\u2066b\u2069": "a?b?", "a\u00adb": "a?b", "a\ufeffb": "a?b", "a\u2028b": "a?b", "a\U000e0041b": "a?b",
    "a\x7fb": "a?b", "a\tb": "a?b", "a\u3164b": "a?b", "a\u115fb": "a?b", "a\u2800b": "a?b",
}  # fmt: skip
"""Signs that steer a terminal, turn the direction of what follows, or are not to be seen: each a ?."""


def test_no_sign_that_steers_or_hides_reaches_the_terminal(instep: Instep, tmp_path: Path) -> None:
    """Titles, names of sections and files, notes, colours, and names of pairs."""
    signs = list(ODD)
    for group in (signs[:5], signs[5:10], signs[10:]):
        sign, shown = "".join(group), "".join(ODD[one] for one in group)
        file = tmp_path / "a.toml"
        escaped = "".join(one if one.isprintable() else f"\\U{ord(one):08x}" for one in sign)
        file.write_text(HAT.replace("Hat", f"Ferry {escaped}"), "utf-8")
        pair = instep.ok("start", str(file)).strip()
        for words in (["left"], ["basket"], ["write"], ["history"]):
            out = instep.ok(*words, *(["--pair", pair] if words[0] in ("left", "history") else []))
            assert out.replace("\n", "").isprintable(), (sign, words)
            assert not [one for one in group if one in out]
        assert f"Ferry {shown}" in instep.ok("basket"), sign
        instep.ok("away", pair)
    instep.ok("back", pair)
    for sign, shown in ODD.items():
        said = instep.wrong("plan", f"no such {sign}.toml")
        assert said.isprintable()
        assert shown in said
        instep.ok("note", f"a {sign} note")
    told = instep.ok("history")
    assert all(f"a {shown} note" in told for shown in ODD.values())


def test_nothing_that_a_file_names_is_ever_written(
    instep: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A title is a path, a pair is called like a file outside: still nothing is made but what she named."""
    monkeypatch.chdir(tmp_path)
    for title in (
        "../outside",
        "/etc/outside",
        "C:\\\\outside",
        "..",
        "con",
        "a\\u0000b",
        "~/outside",
        "-o",
    ):
        Path("a.toml").write_text(HAT.replace("Hat", title), "utf-8")
        pair = instep.ok("start", "a.toml").strip()
        assert pair.replace("-", "").isalnum()
        instep.ok("pack", pair, "a.pack")
        instep.ok("unpack", "a.pack")
        Path("a.pack").unlink()
    told = {one.name for one in tmp_path.iterdir()}
    assert told == {"a.toml", "basket.db"}
    assert not (tmp_path.parent / "outside").exists()
