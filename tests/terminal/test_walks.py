"""Walks at the needles in a real terminal: what a person reads step by step, never how long it took."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.terminal.driver import Terminal
from tests.ui.driving import SAMPLES
from tracker.ui.lettering import Letters, enlarged, numerals, word

pytestmark = pytest.mark.terminal

FEW_STITCHES, FIRST_PAIR = str(SAMPLES / "low-tide.toml"), str(SAMPLES / "night-ferry.toml")


def reads(terminal: Terminal, *texts: str, done: int | None = None, says: str = "") -> None:
    """Wait until she reads every text, the count `done` and the word it `says` in their letters.

    A screen may be seen half painted, so all of them are to stand there at once.
    """

    def holds(shown: str) -> bool:
        running = " ".join(shown.replace("\u258c", " ").split())
        return (
            all(text in running for text in texts)
            and (done is None or stands(terminal, numerals(done, 5), numerals(done), *large(done)))
            and (not says or stands(terminal, word(says, 3), word(says), word(says, thick=True)))
        )

    terminal.wait(holds, f"{texts}, done {done}, {says}")


def large(number: int) -> list[Letters]:
    """A count in the sizes that fill a screen."""
    return [enlarged(number, times) for times in (1, 2, 3)]


def stands(terminal: Terminal, *sizes: Letters) -> bool:
    """Whether letters stand on the screen in one of their sizes, nothing beside them."""
    lines = terminal.inked
    return any(_drawn(lines, letters) for letters in sizes)


def _drawn(lines: Sequence[str], letters: Letters) -> bool:
    width = len(letters[0])
    return any(
        all(
            lines[y + down][x : x + width] == row and not lines[y + down][x - 1].strip()
            for down, row in enumerate(letters)
        )
        and not any(line[x + width : x + width + 1].strip() for line in lines[y : y + len(letters)])
        for y in range(len(lines) - len(letters) + 1)
        for x in range(1, len(lines[0]) - width + 1)
    )


def types(terminal: Terminal, keys: str) -> None:
    """Every sign of `keys` as one key."""
    terminal.press(*keys)


def sentence(terminal: Terminal, begins: str, ends: str) -> str:
    """What stands on the screen between two pieces of a sentence."""

    def said(shown: str) -> str:
        running = " ".join(shown.replace("\u258c", " ").split())
        found, end, _ = running.partition(begins)[2].partition(ends)
        return found if end else ""

    return said(terminal.wait(lambda shown: bool(said(shown)), begins))


def dark(terminal: Terminal) -> bool:
    """Whether the ground of the screen is near black."""
    ground = terminal.ground
    return ground != "default" and max(int(ground[at : at + 2], 16) for at in (0, 2, 4)) < 0x30


# A learner: 48 stitches, needle by needle

CAST_ON_48 = (
    "Cast on 48 in slate, loosely; tail 92 cm.",
    "Slide to 12/12/12/12.",
    "Bumps inside all round, not twisted? Join.",
    "Pull 2 snug; the tail marks the start.",
    "Round 1: k2, p2 all round.",
    "Space when N1 is knitted.",
)


def test_a_learner_is_called_away_inside_a_needle_and_finds_her_place(tmp_path: Path) -> None:
    basket = tmp_path / "basket.db"
    with Terminal(basket, FEW_STITCHES, width=80, height=24) as terminal:
        reads(terminal, "Low tide sock one, cuff in step", *CAST_ON_48, "of 16 rounds", done=0)
        types(terminal, "  ")
        reads(terminal, "next round 1 slate", "needle 3 of 4", "N3 *k2, p2* to end", done=0)
        types(terminal, "h")
        reads(terminal, "Needle 3 of 4 in round 1 is begun.")
        types(terminal, "q")
        assert terminal.wait_end() == 0
        assert "Kept: sock one, cuff, 2 of 4 needles and a part of round 1." in terminal.text
    with Terminal(basket, FEW_STITCHES, width=80, height=24) as terminal:
        reads(
            terminal, "sock one, cuff", "next round 1 slate", "needle 3 of 4",
            "Needle 3 of 4 in round 1 is begun.", "then N4 *k2, p2* to end", done=0,
        )  # fmt: skip
        types(terminal, " ")
        reads(terminal, "N4 *k2, p2* to end", "4 of 4 \u25a0 marker next", done=0)
        types(terminal, " ")
        reads(terminal, "next round 2", "next N1 *k2, p2* to end", "all 4 done", done=1)


def test_a_learner_measures_twice_ends_her_leg_and_casts_on_sock_two(tmp_path: Path) -> None:
    """Two readings of one round are one: what she is told is what their mean tells by itself."""
    with Terminal(tmp_path / "basket.db", FEW_STITCHES, width=80, height=24) as terminal:
        reads(terminal, *CAST_ON_48)
        types(terminal, "16 ")
        reads(
            terminal, "sock one, leg", "Count once: 12 / 12 / 12 / 12.", "Round 1 is plain: knit.",
            "In slate, 1st of 5 rounds.", "CUFF DONE: 16 rounds, 4 cm.", done=0,
        )  # fmt: skip
        types(terminal, "22 ")
        reads(
            terminal,
            "next round 23",
            "next N1 k 12",
            "tape now measure for the first time",
            done=22,
        )
        types(terminal, "9.2m")
        first = sentence(terminal, "9.2 cm at leg round 22.", "to 11 cm.")
        types(terminal, "9.6m")
        both = sentence(terminal, "9.6 cm at leg round 22.", "to 11 cm.")
        reads(terminal, "next round 23", done=22)
        assert both != first
        terminal.press("backspace")
        reads(terminal, "Taken back: the 9.6 cm reading")
        terminal.press("backspace")
        reads(terminal, "Taken back: the 9.2 cm reading")
        types(terminal, "9.4m")
        assert sentence(terminal, "9.4 cm at leg round 22.", "to 11 cm.") == both
        types(terminal, "e")
        reads(
            terminal, "sock one, heel set-up", "next row 1 RS sand",
            "Change to sand; cut the others.",
            "Knit N1, then turn.",
            "N4 and N1 become the heel needle: 24; one needle is free. The instep's 24 rest.",
            "LEG DONE: 22 rounds, 9.5 cm.", "The leg ended at round 22. That is 6 rounds before its goal.",
            done=0,
        )  # fmt: skip
        terminal.press("tab")
        reads(
            terminal,
            "sock two, cuff",
            "next round 1 slate",
            *CAST_ON_48,
            "Sock two: cast on 48.",
            done=0,
        )


# A train: one hand, dark, and the pattern in the bag


def test_a_train_the_count_put_right_ripped_weighed_a_new_goal_and_large_figures(
    tmp_path: Path,
) -> None:
    (tmp_path / "settings.toml").write_text('look = "dark"\n', encoding="utf-8")
    with Terminal(tmp_path / "basket.db", FIRST_PAIR, width=80, height=24) as terminal:
        reads(terminal, "Night ferry sock one, cuff", "Cast on 64, loosely; tail 116 cm.", done=0)
        terminal.wait(lambda _: dark(terminal), "a dark ground")
        types(terminal, "22 ")
        reads(terminal, "sock one, leg", "CUFF DONE: 22 rounds, 5 cm.", "of about 46", done=0)
        types(terminal, "31a")
        reads(
            terminal, "Leg round 31 is now the last one done; was 0.", "next round 32",
            "k every needle", "16/16/16/16", done=31,
        )  # fmt: skip
        types(terminal, "12r")
        reads(
            terminal, "Leg round 19 is now the last on the needles; was 31.", "next round 20",
            "k every needle", done=19, says="PLAIN",
        )  # fmt: skip
        types(terminal, "38w")
        reads(
            terminal, "38 g left: sock one takes 34 g in all, give or take 6; "
            "not enough for both, about 23 g short (41 to be safe).", "next round 20", done=19,
        )  # fmt: skip
        types(terminal, "14.5g")
        reads(terminal, "The leg goes to 14.5 cm.", "of about 40", "14.5", "next round 20", done=19)
        types(terminal, "+")
        reads(
            terminal,
            "Night ferry sock one, leg",
            "19 done, of about 40",
            "next 20 plain, k every needle",
        )
        assert stands(terminal, *large(19))
        types(terminal, " ")
        reads(
            terminal, "END OF ROUND", "next 21 plain, k every needle", "pin up: round 20", done=20
        )
        types(terminal, " ")
        reads(terminal, "next 22 plain, k every needle", "yarn: not enough for both", done=21)


# A first pair: every card from the leg's end to sock two

BACK = "Backspace takes it back."
CARDS: dict[str, tuple[str, ...]] = {
    "cast-on": ("Cast on 64, loosely; tail 116 cm.", "Slide to 16/16/16/16.",
                "Bumps inside all round, not twisted? Join.", "Pull 2 snug; the tail marks the start.",
                "Round 1: k2, p2 all round.", "Space when round 1 is knitted."),
    "leg": ("Count once: 16 / 16 / 16 / 16.", "Round 1 is plain: knit.",
            f"CUFF DONE: 22 rounds, 5 cm. {BACK}"),
    "set-up": ("Knit N1, then turn.", "N4 and N1 become the heel needle: 32; one needle is free.",
               "The instep's 32 rest.", f"LEG DONE: 46 rounds, 15.9 cm. {BACK}"),
    "flap": ("The heel flap: 32 rows, wrong side first.", "Slip the first stitch of every row purlwise.",
             "Row 1, wrong side: sl1, p31, turn.", f"HEEL SET-UP DONE: 1 row. {BACK}"),
    "turn": ("Turn the heel in 14 short rows.", "16 chain stitches on each edge.",
             "Row 1, wrong side: sl1, p17, p2tog, p1, turn.", f"HEEL FLAP DONE: 32 rows. {BACK}"),
    "gusset": ("With the heel needle, 18, pick up 17 along the first edge (16 chains, 1 in the gap).",
               "Knit the instep, pick up 17 along the second edge, knit 9: centre back.",
               "Then 26 / 16 / 16 / 26 = 84. Pin the start.", "An edge with fewer chains: 16/15",
               "Half of the sock is done.", f"HEEL TURN DONE: 14 rows. {BACK}"),
    "foot": ("Count once: 16 / 16 / 16 / 16.", "Plain rounds to the toe. Move the pin up.",
             f"GUSSET DONE: 19 rounds, 8.1 cm. {BACK}"),
    "toe": ("Count once: 16 / 16 / 16 / 16.", "The round begins at the centre of the sole; pin up.",
            "Round 1 decreases: N1 and N3 k to last 3, k2tog, k1; N2 and N4 k1, ssk, k to end.",
            f"FOOT DONE: 44 rounds, 18.6 cm. {BACK}"),
    "graft": ("Knit N1 onto the last needle, the instep onto one: 8 + 8.",
              "Cut a tail of about 31 cm, and graft.", "Once: front purlwise, back knitwise; leave.",
              "Front: knitwise, off; purlwise, leave.", "Back: purlwise, off; knitwise, leave.",
              "At the end without the leaving.", f"TOE DONE: 20 rounds. {BACK}"),
}  # fmt: skip
"""What stands on the card that begins a section."""

IN_FEWER_WORDS: dict[str, tuple[str, ...]] = {
    "gusset": ("Pick up 17, first edge; knit the instep;", "pick up 17, second edge; knit 9.",
               "Then 26/16/16/26 = 84.", "Pin the start. Uneven: 16/15", "HEEL TURN DONE: 14 rows"),
    "graft": ("N1 onto the last needle, the instep onto one: 8 + 8.", "Tail about 31 cm; graft.",
              "TOE DONE: 20 rounds"),
}  # fmt: skip
"""The same where there is little room."""

ON_A_TABLE = {
    "cast-on": ("Cast on 64, loosely.", "Tail about 116 cm.", "Slide to 16 / 16 / 16 / 16.",
                "Lay the ring on the table: all bumps on the inside, nothing wound round a needle.",
                "Join; pull the first two stitches snug. The tail hangs where the round begins.",
                "Round 1: k2, p2 all round.", "Space when round 1 is knitted."),
}  # fmt: skip
"""The same where there is much room, beside the picture of the needles."""

COLUMN = {80: slice(26, None), 40: slice(None), 120: slice(38, 83)}
"""Where the card stands, by the width of the screen; beside it are the count and the needles."""


def card(terminal: Terminal, where: str, name: str, said: str = "") -> None:
    """Wait until she reads a whole card under its title, in one of its wordings, and what is `said`."""
    wordings = [told[name] for told in (CARDS, IN_FEWER_WORDS, ON_A_TABLE) if name in told]

    def holds(shown: str) -> bool:
        beside = COLUMN[terminal.screen.columns]
        written = " ".join(" ".join(row[beside] for row in shown.splitlines()).split())
        running = " ".join(shown.replace("\u258c", " ").split())
        whole = any(all(line in written for line in lines) for lines in wordings)
        return where in running and said in running and whole

    terminal.wait(holds, f"{where}: {wordings}, {said}")


@pytest.mark.parametrize(("width", "height"), [(80, 24), (40, 12), (120, 36)])
def test_a_first_pair_reads_every_card_of_heel_gusset_and_toe(
    tmp_path: Path, width: int, height: int
) -> None:
    with Terminal(tmp_path / "basket.db", FIRST_PAIR, width=width, height=height) as terminal:
        card(terminal, "sock one, cuff in step", "cast-on")
        types(terminal, "22 ")
        card(terminal, "sock one, leg", "leg")
        types(terminal, "46 ")
        reads(terminal, "sock one, leg", "next round 47", "k every needle", "of about 46", done=46)
        types(terminal, "e")
        card(terminal, "sock one, heel set-up", "set-up")
        types(terminal, " ")
        card(terminal, "sock one, heel flap", "flap")
        types(terminal, " ")
        reads(terminal, "next row 2", "of 32 rows", done=1, says="KNIT")
        types(terminal, "31 ")
        card(terminal, "sock one, heel turn", "turn")
        types(terminal, "14 ")
        card(terminal, "sock one, gusset", "gusset", "14 rows, backspace takes them back")
        types(terminal, " ")
        reads(
            terminal, "next round 1", "N1 k to last 3", "N4 k1, ssk, k to end", "of 19 rounds", done=0,
            says="DEC",
        )  # fmt: skip
        types(terminal, "19 ")
        card(terminal, "sock one, foot", "foot")
        types(terminal, "44 ")
        reads(terminal, "sock one, foot", "next round 45", "k every needle", done=44)
        types(terminal, "e")
        card(terminal, "sock one, toe", "toe")
        types(terminal, " ")
        reads(terminal, "sock one, toe", "next round 2", "of 20 rounds", done=1, says="PLAIN")
        types(terminal, "19 ")
        card(terminal, "sock one, graft", "graft")
        types(terminal, " ")
        roomy = "cast on 64, loosely", "weave the ends in", "sock two 199 rounds behind"
        told = roomy if width > 40 else ("tab: cast on sock two now", "finished two 199 behind")
        reads(terminal, "sock one, finished", "next tab: sock two", *told, says="CAST")
        assert "..." not in terminal.text
        terminal.press("tab")
        card(terminal, "sock two, cuff", "cast-on")
        types(terminal, " ")
        reads(terminal, "sock two, cuff", "next round 2", "of 22 rounds", done=1, says="RIB")
