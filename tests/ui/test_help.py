"""The help at the needles: the keys, and below them the row at hand in words; nothing of it is cut."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.containers import VerticalScroll
from textual.pilot import Pilot

from tests.examples import IN_ALL
from tests.ui.driving import app_of, begin, shown, until
from tracker.storage.basket import Basket
from tracker.ui.commands import COMMANDS
from tracker.ui.help_screen import help_text, laid

SSK = "slip two knitwise one by one, knit them together through the back loops (2 become 1)"


def test_it_says_the_row_at_hand_and_its_terms_each_once(tmp_path: Path) -> None:
    with Basket.open(tmp_path / "basket.db") as basket:
        session = begin(basket)
        session.at(8, "gusset")
        told = help_text(session.glance).plain
        assert "Next, in words: round 9\n" in told
        assert (
            "  N1: Knit until 3 stitches are left; knit two together as one; knit 1.\n"
            "  N2 and N3: Knit to the end of the needle.\n"
        ) in told
        assert told.count(SSK) == 1
        assert told.count("\n  k2tog ") == 1
        assert told.index("take back the last act") < told.index("Next, in words")


def test_a_finished_sock_has_no_row_to_explain(tmp_path: Path) -> None:
    with Basket.open(tmp_path / "basket.db") as basket:
        session = begin(basket)
        session.at(1, "graft")
        assert session.glance.next is None
        told = help_text(session.glance).plain
        assert "in words" not in told
        assert all(command.help in told for command in COMMANDS)


async def at_row(pilot: Pilot[None], scroll: VerticalScroll, y: int) -> None:
    """Wait until it is scrolled there."""
    for _ in range(200):
        await pilot.pause()
        if scroll.scroll_offset.y == y:
            return
        await pilot.pause(0.02)
    raise AssertionError(f"never scrolled to {y}, but to {scroll.scroll_offset.y}")


@pytest.mark.parametrize("size", [(40, 12), (80, 24), (120, 36)])
async def test_all_of_it_is_seen_by_scrolling(tmp_path: Path, size: tuple[int, int]) -> None:
    with Basket.open(tmp_path / "basket.db") as basket:
        session = begin(basket)
        session.at(8, "gusset")
        wanted = help_text(session.glance).plain.split()
        app = app_of(basket, session)
        async with app.run_test(size=size) as pilot:
            await pilot.press("?")
            await until(pilot, app, "At the needles")
            scroll = app.screen.query_one(VerticalScroll)
            seen: list[str] = []
            # By half a page, so that every line is seen and half of them twice; on demand line by line.
            step = 1 if IN_ALL else max(1, scroll.scrollable_content_region.height // 2)
            for y in (*range(0, scroll.max_scroll_y, step), scroll.max_scroll_y):
                scroll.scroll_to(y=y, animate=False)
                await at_row(pilot, scroll, y)
                # A bar's thumb stands beside the text, and may stand within a wrapped sentence.
                lines = [re.sub("[▁-█]", " ", line).strip() for line in shown(app).splitlines()]
                seen += [line for line in lines if line and line not in seen]
            scroll.scroll_to(y=0, animate=False)
            await at_row(pilot, scroll, 0)
            await pilot.press("end")  # as far as a key scrolls
            await at_row(pilot, scroll, scroll.max_scroll_y)
            words = set(" ".join(seen).split())
            assert not [word for word in wanted if word not in words]
            assert SSK in " ".join(seen).replace("  ", " ") or size == (40, 12)
            await pilot.press("escape")
            assert session.glance.events == 2


@pytest.mark.parametrize("width", [30, 40, 72, 116])
def test_what_runs_on_stands_below_what_it_belongs_to(tmp_path: Path, width: int) -> None:
    with Basket.open(tmp_path / "basket.db") as basket:
        session = begin(basket)
        session.at(8, "gusset")
        told = help_text(session.glance)
    lines = laid(told, width).plain.split("\n")
    assert max(map(len, lines)) <= width
    assert " ".join(" ".join(lines).split()) == " ".join(told.plain.split())
    heads = {line for line in told.plain.split("\n") if line and not line.startswith(" ")}
    assert {line for line in lines if line and not line.startswith(" ")} <= heads
    keys = [line for line in lines if re.match(r"  \S+ {2,}\S", line)]
    assert len(keys) > 30
    after = lines[lines.index(next(line for line in keys if line.startswith("  backspace"))) + 1]
    assert after.startswith(" " * min(13, width // 2)) or width == 116
