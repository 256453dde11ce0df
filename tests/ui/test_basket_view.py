"""The basket's cards as rows of cells: each as wide as the screen, no word cut, the one chosen told twice."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ui.driving import begin, knit
from tests.ui.glances import leg
from tracker import pair_card
from tracker.glance import Glance
from tracker.knitting.step import Differs
from tracker.pair_card import Card, ago
from tracker.storage.basket import Basket
from tracker.ui.basket_view import Item, Sight, fit, layout_for, page_rows
from tracker.ui.canvas import Rows, cells
from tracker.ui.commands import basket_footer
from tracker.ui.palette import Paint

SIZES = ((120, 36), (80, 24), (60, 20), (40, 12), (30, 3))
KEYS = tuple(basket_footer(("open", "new", "put_away", "samples")))


def differing() -> Glance:
    """Sock two's leg, which has two rounds more than sock one's."""
    differs = Differs("leg", "rounds", 2, None, None)
    return leg()._replace(differs=differs, in_step=False)


def sight(*cards: Card, chosen: int = 0, said: str = "") -> Sight:
    items = tuple(Item(card, "9 days ago") for card in cards)
    return Sight("basket", ("4 pairs",), items, chosen, said, "21:14", KEYS)


def text(rows: Rows) -> str:
    return "\n".join("".join(span.text for span in row) for row in rows)


def knitted(basket: Basket) -> Card:
    """A pair at sock two's leg, with both socks drawn."""
    session = begin(basket)
    knit(session, lambda place: place.finished)
    session.other()
    session.tick(30)
    return pair_card.card("Night ferry", session.glance, session.pictures())


@pytest.mark.parametrize(
    ("minutes", "told"),
    [(0, "just now"), (-50, "just now"), (2, "2 minutes ago"), (119, "119 minutes ago"),
     (120, "2 hours ago"), (36 * 60, "1 day ago"), (20 * 1440, "20 days ago"), (21 * 1440, "3 weeks ago"),
     (100 * 1440, "3 months ago"), (730 * 1440, "2 years ago"), (9000 * 1440, "24 years ago")],
)  # fmt: skip
def test_how_long_ago(minutes: int, told: str) -> None:
    assert ago(minutes * 60_000) == told


@pytest.mark.parametrize("size", SIZES)
def test_a_card_says_where_and_whether_in_step_at_every_size(
    basket: Basket, size: tuple[int, int]
) -> None:
    shown = text(page_rows(sight(knitted(basket)), *size))
    assert "Night ferry" in shown
    assert "ock two, leg, 8 of " in shown
    assert "in step" in shown or size == (30, 3)
    assert "\u25ba" in shown


def test_at_full_size_a_card_has_all_its_parts(basket: Basket) -> None:
    rows = page_rows(sight(knitted(basket)), 120, 36)
    lines = text(rows).splitlines()
    assert lines[3].rstrip().endswith("9 days ago")
    assert "Sock two, leg, 8 of " in lines[4]
    assert "Next: round 9, plain." in lines[4]
    assert " to go" in lines[5]
    assert " to the end of both." in lines[5]
    assert re.search(r"in step, sock two \d+ rounds behind$", lines[8].rstrip())
    done = [span for span in rows[7] if span.paint == Paint("on-tape", "tape")]
    assert len(done[0].text) == 20, "sock one is finished"
    assert 0 < len(done[1].text) < 20


@pytest.mark.parametrize("size", SIZES[:4])
def test_how_far_apart_they_are_is_said_where_there_is_room(
    basket: Basket, size: tuple[int, int]
) -> None:
    """As in the list of the pairs; on a narrow card no part of it is left standing."""
    shown = text(page_rows(sight(knitted(basket)), *size))
    session = begin(basket)
    session.tick(22)
    session.other()
    session.tick(7)
    level = text(page_rows(sight(pair_card.card("a", session.glance, (None, None))), *size))
    lag = "in step, sock two 15 rounds behind"
    assert (lag in level) == ("behind" in level) == (size[0] >= 52)
    assert ("rounds behind" in shown) == (size[0] >= 52)
    assert "in step" in level


def test_what_is_known_of_a_pair_without_its_history_says_the_same_of_the_two() -> None:
    told = pair_card.by_summary(
        "Night ferry", 1, "leg", 9, in_step=True, of_socks=True, lag="sock two 31 rounds behind"
    )
    assert told.step == ("in step, sock two 31 rounds behind", "in step")


def test_the_socks_are_as_many_as_there_is_room_for(basket: Basket) -> None:
    card = knitted(basket)
    todo = Paint("text", "todo")
    for (width, height), columns in (((120, 36), (6, 22)), ((80, 24), (4, 19)), ((60, 20), (3,))):
        rows = page_rows(sight(card), width, height)
        found = set()
        for row in rows:
            x = 0
            for span in row:
                if span.paint.ground in ("quiet", "todo") and span.text.strip("\u2502 ") == "":
                    found |= {start for start in columns if start <= x < start + 13}
                x += cells(span.text)
        assert found == set(columns)
    assert not any(
        span.paint.ground == "quiet" for row in page_rows(sight(card), 40, 12) for span in row
    )
    assert any(span.paint == todo for row in page_rows(sight(card), 40, 12) for span in row)


def test_the_one_chosen_has_the_stage_and_a_sign() -> None:
    card = pair_card.card("Night ferry", leg(), (None, None))
    for size in SIZES[:4]:
        at = layout_for(*size)
        rows = page_rows(sight(card, card, chosen=1), *size)
        grounds = [{span.paint.ground for span in row} for row in rows]
        second = at.top + at.rows
        assert all("stage" not in ground for ground in grounds[at.top : second])
        assert all("stage" in ground for ground in grounds[second : second + at.rows])
        lines = text(rows).splitlines()
        assert [y for y, line in enumerate(lines) if "\u25ba" in line] == [second + at.title]


@pytest.mark.parametrize("size", SIZES[:4])
def test_nothing_of_a_card_that_is_not_chosen_is_on_the_stage(
    basket: Basket, size: tuple[int, int]
) -> None:
    """Half a cell of a sock shows the ground it lies on, too."""
    card, at = knitted(basket), layout_for(*size)
    rows = page_rows(sight(card, card, chosen=1), *size)
    paints = {span.paint for row in rows[at.top : at.top + at.rows] for span in row}
    assert not any("stage" in role for paint in paints for role in (paint.ink, paint.ground))


def test_what_differs_is_said_and_loud() -> None:
    card = pair_card.card("Night ferry", differing(), (None, None))
    for size, told in zip(SIZES, ("not in step: leg +2", "not in step: leg +2", "not in step: leg +2",
                                  "leg +2", "leg +2"), strict=True):  # fmt: skip
        rows = page_rows(sight(card), *size)
        assert told in text(rows)
        loud = [span for row in rows for span in row if told in span.text]
        assert all(span.paint.ink == "accent" and span.paint.bold for span in loud)


def test_a_damaged_pair_says_why_and_the_next_one_stands_below() -> None:
    broken = pair_card.damaged(
        "Low tide", "event 7 of low-tide is damaged, and nothing was changed"
    )
    whole = pair_card.card("Night ferry", leg(), (None, None))
    for size in SIZES[:4]:
        shown = " ".join(text(page_rows(sight(broken, whole), *size)).split())
        assert "event 7 of low-tide is damaged" in shown
        assert "Night ferry" in shown


def hostile() -> Iterator[str]:
    yield "\x1b[31mred\x1b[0m [bold]not bold[/bold]"
    yield "\u8d70\u308b\u7f8a \u8d70\u308b\u7f8a" * 8
    yield "x" * 500


@pytest.mark.parametrize("title", hostile())
def test_a_strangers_title_stays_in_its_place(title: str) -> None:
    card = pair_card.card(title, leg(), (None, None))
    for size in SIZES:
        rows = page_rows(sight(card), *size)
        assert [sum(cells(span.text) for span in row) for row in rows] == [size[0]] * size[1]
        assert text(rows).replace("\n", "").isprintable()


WORDS = frozenset(
    word
    for glance in (leg(), differing(), leg(finished=0, counting="rounds"))
    for card in [pair_card.card("Night ferry", glance, (None, None))]
    for told in (card.title, *card.place, *card.left, *card.step, "9 days ago", "one two basket 4 pairs")
    for word in re.findall(r"[\w+/.:,();>-]+", told)
)  # fmt: skip


@given(st.integers(2, 180), st.integers(1, 60), st.sampled_from(["leg", "differs", "rounds"]))
def test_no_word_is_cut_and_every_row_is_as_wide_as_the_screen(
    width: int, height: int, which: str
) -> None:
    glance = {"leg": leg(), "differs": differing(), "rounds": leg(finished=0, counting="rounds")}
    card = pair_card.card("Night ferry", glance[which], (None, None))
    shown = sight(card, card, card, card)
    rows = page_rows(shown, width, height)
    assert len(rows) == height
    assert all(sum(cells(span.text) for span in row) == width for row in rows)
    if width < 24:
        return
    last = -1 if layout_for(width, height).top else len(rows)
    said = text(rows[:last]).replace("\u25ba", " ").replace("21:14", " ")
    for word in said.replace(" ...", " ").split():
        assert word in WORDS or word.rstrip(".,;:") in WORDS, f"{word} at {width} x {height}"


@given(
    st.lists(st.sampled_from(["one", "three", "eleven,", "rounds"]), min_size=1), st.integers(0, 60)
)
def test_what_fits_has_room_and_only_whole_words(words: list[str], room: int) -> None:
    found = fit((" ".join(words),), room)
    assert cells(found) <= room
    if found.endswith(" ..."):
        kept = found.removesuffix(" ...").split()
        assert [word.rstrip(",") for word in kept] == [w.rstrip(",") for w in words[: len(kept)]]
