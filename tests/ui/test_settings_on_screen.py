"""Her settings at the needles: keys of her own, the bell, large figures, and the screen that sets them."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.ui.driving import Clock, begin, lines, shown, until
from tracker.keys import DEFAULT
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket
from tracker.ui.grid import grid_for, with_large_count
from tracker.ui.help_screen import help_text
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.large_count import LargeSight, large_rows
from tracker.ui.needles_screen import NeedlesScreen


def app_with(basket: Basket, session: Session, **values: Any) -> KnittingApp:
    return KnittingApp(basket, session, Clock(), settings=Settings(**values))


def kept(tmp_path: Path) -> str:
    return (tmp_path / "settings.toml").read_text()


async def test_keys_of_her_own_do_what_she_set(basket: Basket, session: Session) -> None:
    app = app_with(
        basket, session, own_keys={"tick": ("page down",), "end": ("f5",), "help": ("f1",)}
    )
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "page down done")
        await until(pilot, app, "f5 end")
        await pilot.press("pagedown", "pagedown")
        await until(pilot, app, "round 12")
        await pilot.press("space")
        await until(pilot, app, "space does nothing here; f1 says what the keys do")
        await pilot.press("f1")
        await until(pilot, app, "46 f5: it ended at 46")


def told_of_keys(app: KnittingApp) -> str:
    """What the last line says."""
    return lines(app)[-1]


async def test_in_the_journal_her_keys_filter_and_are_named(
    basket: Basket, session: Session
) -> None:
    """A clicker with page down and page up, of which one turns the kinds and the other leaves."""
    own = {
        "journal": {
            "kind": ("page down",),
            "page_down": ("f6",),
            "back": ("page up",),
            "page_up": ("f7",),
        }
    }
    app = app_with(basket, session, own_screen_keys=own)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("j")
        await until(pilot, app, "both socks, every kind")
        assert "page down kind" in told_of_keys(app)
        assert "page up back" in told_of_keys(app)
        await pilot.press("pagedown")
        await until(pilot, app, "both socks, the beginning only")
        await pilot.press("pageup")
        await until(pilot, app, "round 10")
    told = help_text(session.glance, app.keys).plain
    assert "page down  one kind of act after the other" in told
    assert "f6         a page down" in told


async def test_a_key_that_was_given_away_is_one_of_the_needles_again(
    basket: Basket, session: Session
) -> None:
    app = app_with(basket, session, own_screen_keys={"journal": {"kind": ("f5",)}})
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("j", "k")
        await until(pilot, app, "round 10")
        assert isinstance(app.screen, NeedlesScreen)


async def test_in_the_written_pattern_her_keys_explain_and_go_on(
    basket: Basket, session: Session
) -> None:
    own = {"pattern": {"term_after": ("b",), "section_after": ("page down",), "page_down": (".",)}}
    app = app_with(basket, session, own_screen_keys=own)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(">")
        await until(pilot, app, "Pattern")
        assert "b a term" in told_of_keys(app)
        assert "p, page down" in told_of_keys(app)
        await pilot.press("b")
        await until(pilot, app, "k: knit")
        await pilot.press("pagedown")
        await until(pilot, app, "Heel set-up")


async def test_a_clickers_full_stop_may_count_and_still_belongs_to_numbers(
    basket: Basket, session: Session
) -> None:
    app = app_with(basket, session, own_keys={"tick": (".", "space")})
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(".", ".")
        await until(pilot, app, "round 12")
        await pilot.press("7", ".", "1", "m")
        await until(pilot, app, "7.1")
        assert session.glance.place.done == 11
        assert session.glance.length is not None
        assert session.glance.length.readings


async def test_in_the_basket_her_keys_open_and_messages_name_them(
    basket: Basket, session: Session
) -> None:
    own = {
        "basket": {
            "open": ("page down",),
            "page_down": ("f6",),
            "bring_out": ("f9",),
            "help": ("f1",),
        }
    }
    app = app_with(basket, session, own_screen_keys=own)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("o")
        await until(pilot, app, "page down at the needles")
        assert "f1 help" in told_of_keys(app)
        await pilot.press("space")
        await until(pilot, app, "Space does nothing here; f1 says what the keys do")
        await pilot.press("a")
        await until(pilot, app, "is put away; f9 brings it out again, p shows all that are")
        await pilot.press("f9")
        await until(pilot, app, "is in the basket")
        await pilot.press("s", "f1")
        await until(pilot, app, "page down open the pair that is chosen")
        await pilot.press("f1")
        await until(pilot, app, "1 pair")
        await pilot.press("pagedown")
        await until(pilot, app, "round 10")


async def test_nearly_every_key_counts(basket: Basket, session: Session) -> None:
    """Letters and figures, too; but what takes back, changes socks, helps, sets and leaves does so."""
    app = app_with(basket, session, counting="nearly every key")
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "any key done")
        await pilot.press("m", "7", "x", "full_stop", "f3")
        await until(pilot, app, "round 15")
        assert session.glance.place.done == 14
        await pilot.press("backspace")
        await until(pilot, app, "aken back")
        assert session.glance.place.done == 13
        await pilot.press("asterisk", "down", "down", "left", "escape", "9", "a")
        await until(pilot, app, "Leg round 9 is now the last one done")


async def test_a_setting_is_kept_at_once_and_seen_at_once(
    basket: Basket, session: Session, tmp_path: Path
) -> None:
    app = app_with(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("asterisk")
        await until(pilot, app, "the colours of the screen")
        await pilot.press("right")
        await until(pilot, app, "look light")
        assert app.theme == "instep-light"
        assert kept(tmp_path) == 'look = "light"\n'
        await pilot.press("left", "down", "right", "escape")
        await until(pilot, app, "9 done, of about 46")
        assert kept(tmp_path) == 'look = "dark"\nfigures = "fill the screen"\n'


async def test_a_setting_that_cannot_be_kept_holds_for_now(
    basket: Basket, session: Session, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "there").write_text("")
    monkeypatch.setenv("INSTEP_SETTINGS", str(tmp_path / "there" / "settings.toml"))
    app = app_with(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("asterisk", "right")
        await until(pilot, app, "for now;")
        assert app.theme == "instep-light"
        await pilot.press("space")
        await until(pilot, app, "round 11")


async def test_the_count_fills_the_screen_and_gives_it_back(
    basket: Basket, session: Session
) -> None:
    app = app_with(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("plus")
        await until(pilot, app, "9 done, of about 46")
        assert "next 10 plain" in shown(app)
        await pilot.press("space")
        await until(pilot, app, "END OF ROUND")
        await pilot.press("plus")
        await until(pilot, app, "done next round 11")


async def test_an_act_is_found_by_a_word_of_it(basket: Basket, session: Session) -> None:
    app = app_with(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("colon", *"lifeline")
        await until(pilot, app, "a lifeline lies in the round just done")
        await pilot.press("enter")
        await until(pilot, app, "lifeline lies in leg round 9")


@pytest.mark.parametrize(
    ("bell", "rings"),
    [("never", 0), ("end of round", 3), ("cues", 2), ("both", 3)],
)
async def test_the_bell_rings_only_where_she_asked(
    basket: Basket, bell: str, rings: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three rounds end; the pin is moved up after the first, and the last leads into the leg."""
    session = begin(basket)
    session.tick(19)
    app = app_with(basket, session, bell=bell)
    heard: list[int] = []
    monkeypatch.setattr(app, "bell", lambda: heard.append(1))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "space", "space")
        await until(pilot, app, "sock one, leg")
    assert len(heard) == rings


@pytest.mark.parametrize(
    ("size", "rows"), [((120, 36), 28), ((80, 24), 14), ((60, 20), 14), ((40, 12), 7)]
)
def test_large_figures_are_as_large_as_there_is_room_for(size: tuple[int, int], rows: int) -> None:
    box = with_large_count(grid_for(*size), *size).places["large"]
    drawn = large_rows(LargeSight(23, ("23 done",), ("next 24",), False), box.width, box.height)
    ink = [
        any((span.paint.ink == "text" and span.paint.ground in ("text", "stage") and span.text.strip(" "))
            or span.paint.ground == "text" for span in row)
        for row in drawn[:-2]
    ]  # fmt: skip
    assert sum(ink) == rows
    assert all(sum(len(span.text) for span in row) == box.width for row in drawn)


def test_parts_of_the_large_count_never_overlap() -> None:
    for width in range(36, 160, 7):
        for height in range(10, 60, 3):
            places = with_large_count(grid_for(width, height), width, height).places
            spans = sorted((box.y, box.y + box.height) for box in places.values())
            assert all(end <= start for (_, end), (start, _) in pairwise(spans))
            assert spans[-1][1] <= height
            assert all(box.x >= 0 and box.x + box.width <= width for box in places.values())


async def test_called_away_inside_a_needle(basket: Basket, session: Session) -> None:
    app = app_with(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n", "space", "space", "7", "h")
        await until(pilot, app, "N3, 7 of 16 worked")
    again = app_with(basket, Session(basket, basket.pairs()[0], Clock()))
    async with again.run_test(size=(80, 24)) as pilot:
        await until(pilot, again, "N3, 7 of 16 worked")
        await pilot.press("space")
        await until(pilot, again, "4 of 4")


STRANGE = [chr(code) for code in range(0x3B1, 0x3B1 + 60) if chr(code).islower()]
"""Keys that are nobody's out of the box."""


async def test_sentences_name_the_keys_in_force(basket: Basket, session: Session) -> None:
    """With every key given anew, none of those out of the box is named anywhere on the way."""
    hers = {act: (key,) for act, key in zip(DEFAULT, STRANGE, strict=False)}
    key = {act: its[0] for act, its in hers.items()}
    app = app_with(basket, session, own_keys=hers)
    async with app.run_test(size=(120, 36)) as pilot:

        async def do(act: str, *figures: str, says: str) -> None:
            await pilot.press(*figures)
            app.screen.press(key[act], key[act])  # type: ignore[attr-defined]
            await until(pilot, app, says)

        await until(pilot, app, f"{key['tick']} done")
        await do("measure", says=f"7.1 {key['measure']}")
        await do("rip", says=f"12 {key['rip']}")
        await do("at", says=f"31 {key['at']}")
        await do("needles", says=f"4 {key['needles']} the set")
        await do("tink", says=f"20 {key['tink']}")
        await do("count", "6", "3", says=f"21/16/16/21 {key['count']}")
        await do("tick", "3", says=f"{key['undo']} takes them back")
        await do("other", says="Sock two: cast on 64")
        await do("tick", says=f"({key['other']} goes back)")
        await do("other", says="Sock one")
        await do("tick", "3", "4", says=f"{key['end']} end leg")


async def test_the_key_that_opens_a_screen_closes_it_whatever_it_is(
    basket: Basket, session: Session
) -> None:
    app = app_with(basket, session, own_keys={"history": ("f3",), "end": ("j",)})
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f3")
        await until(pilot, app, "both socks, every kind")
        await pilot.press("f3")
        await until(pilot, app, "next round 10")
        assert app.screen_stack == [app.screen]


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (60, 20), (40, 12), (30, 3)])
async def test_a_tap_on_the_band_counts(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    app = app_with(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.click(offset=(size[0] // 2, size[1] // 3))
        await until(pilot, app, "11")
        assert session.glance.place.done == 10


async def test_a_tap_on_a_key_does_what_it_does(basket: Basket, session: Session) -> None:
    app = app_with(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        line = shown(app).splitlines()[-1]
        await pilot.click(offset=(line.index("tab") + 1, 23))
        await until(pilot, app, "sock two")
        await pilot.click(offset=(line.index("backspace") + 12, 23))
        await until(pilot, app, "aken back: the change of socks")
        await pilot.click(offset=(line.index("backspace") - 1, 23))
        await pilot.click(offset=(40, 17))
        assert session.glance.place.done == 9, "between the keys, and beside the band"
