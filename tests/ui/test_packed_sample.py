"""The packed sample is chosen like any other, and opens where it was left."""

from __future__ import annotations

from pathlib import Path

from tests.ui.driving import Clock, until
from tracker.storage.basket import Basket
from tracker.ui.knitting_app import KnittingApp


async def test_a_packed_sample_opens_at_its_place(tmp_path: Path) -> None:
    with Basket.open(tmp_path / "basket.db") as basket:
        app = KnittingApp(basket, None, Clock())
        async with app.run_test(size=(80, 24)) as pilot:
            await until(pilot, app, "A round to try")
            await pilot.press("end")
            await until(pilot, app, "a sample, half-way through sock two")
            await pilot.press("space")
            await until(pilot, app, "sock two, heel turn")
        assert [pair.short for pair in basket.pairs()] == ["second-watch"]
