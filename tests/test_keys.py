"""Which key does what: out of the box, and as she sets it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.keys import (
    ASIDE,
    DEFAULT,
    DIGITS,
    FEW,
    NAMED,
    OUT_OF_THE_BOX,
    SCREENS,
    BadKey,
    InForce,
    Keys,
    Table,
    keys,
)
from tracker.ui.commands import (
    COMMANDS,
    by_key,
    commands,
    commands_of,
    history_footer,
    plots_footer,
)
from tracker.ui.entry import Entry


def test_every_act_has_a_key_of_its_own_out_of_the_box() -> None:
    listed = [key for its in DEFAULT.values() for key in its]
    assert len(listed) == len(set(listed))
    assert all(OUT_OF_THE_BOX.act(key) == act for act, its in DEFAULT.items() for key in its)


def test_every_act_is_a_command_and_every_command_an_act() -> None:
    assert [command.name for command in COMMANDS] == list(DEFAULT)
    assert set(FEW) <= set(DEFAULT)


def test_what_is_given_to_one_act_is_no_longer_another_s() -> None:
    hers = keys({"tick": ("b", "page down"), "redo": ("f5",)})
    assert hers.act("b") == hers.act("page down") == "tick"
    assert hers.act("f5") == "redo"
    assert hers.act("space") is None
    assert hers.shown["tick"] == "b"


def test_an_act_of_two_keys_keeps_the_one_that_is_left() -> None:
    hers = keys({"tick": ("-",)})
    assert hers.act("-") == "tick"
    assert hers.shown["undo"] == "backspace"


@pytest.mark.parametrize(
    ("hers", "why"),
    [
        ({"tick": ("7",)}, '"7" belongs to numbers'),
        ({"tick": ("B",)}, 'write "b"'),
        ({"tick": ("ctrl+b",)}, "no key is called so"),
        ({"tick": ("\n",)}, "no key is called so"),
        ({"tick": ("\u0301",)}, "no key is called so"),
        ({"tick": ("x",), "undo": ("x",)}, '"x" is given to tick and to undo'),
        ({"tick": ("m",)}, 'measure has no key, for tick has "m"; give it another'),
    ],
)
def test_keys_that_do_not_go_together(hers: dict[str, tuple[str, ...]], why: str) -> None:
    with pytest.raises(BadKey, match=why):
        keys(hers)


ANY_KEY = st.sampled_from([*NAMED, *(chr(code) for code in range(33, 127))])
HERS = st.dictionaries(
    st.sampled_from(list(DEFAULT)), st.lists(ANY_KEY, min_size=1, max_size=3).map(tuple), max_size=8
)


@given(HERS)
def test_keys_in_force_reach_every_act_or_are_refused(hers: dict[str, tuple[str, ...]]) -> None:
    """Whatever she writes: each act has a key that does it and nothing else, hers first."""
    try:
        found = keys(hers)
    except BadKey:
        return
    assert set(found.acts.values()) == set(DEFAULT)
    assert not DIGITS & set(found.acts)
    for act, shown in found.shown.items():
        assert found.act(shown) == act
        if act in hers:
            assert shown == hers[act][0]
            assert all(found.act(key) == act for key in hers[act])


@given(HERS, ANY_KEY)
def test_where_nearly_every_key_counts_few_do_not(
    hers: dict[str, tuple[str, ...]], key: str
) -> None:
    try:
        some, most = keys(hers), keys(hers, nearly_all=True)
    except BadKey:
        return
    act = some.act(key)
    assert most.act(key) == (act if act in FEW else "tick")


@pytest.mark.parametrize("screen", SCREENS)
def test_each_screen_has_a_command_for_all_that_its_keys_do(screen: str) -> None:
    table = SCREENS[screen]
    assert sorted(command.name for command in commands_of(screen)) == sorted(table)
    assert {key: one.name for key, one in by_key(screen).items()} == {
        key: name for name, its in table.items() for key in its
    }


def in_basket(hers: Table) -> InForce:
    return keys(in_screens={"basket": hers}).screens["basket"]


def test_keys_of_a_screen_hold_in_that_screen_alone() -> None:
    hers = keys(in_screens={"basket": {"open": ("page down", "f5"), "page_down": (".",)}})
    assert hers.acts == OUT_OF_THE_BOX.acts
    there = hers.screens["basket"]
    assert there.acts["page down"] == there.acts["f5"] == "open"
    assert "space" not in there.acts
    assert there.shown["page_down"] == "."
    assert hers.screens["journal"].acts["page down"] == "page_down"


def test_a_pedal_that_ticks_turns_no_page_and_is_not_said_to() -> None:
    pedal = keys({"tick": ("page down",)})
    assert "page down" not in pedal.screens["journal"].acts
    assert [command.name for command in commands_of("side", pedal)] == [
        "up", "down", "page_up", "first", "last", "back",
    ]  # fmt: skip
    assert history_footer(True, pedal)[0].action == "page up, home, end"
    assert pedal.screens["basket"].acts["page down"] == "page_down"
    turns = keys({"tick": ("page down",)}, in_screens={"journal": {"page_down": ("f6",)}})
    assert turns.screens["journal"].shown["page_down"] == "f6"


def test_what_leaves_a_screen_may_be_on_another_key_or_on_escape() -> None:
    assert in_basket({"back": ("b",), "bring_out": ("escape",)}).acts["escape"] == "bring_out"
    with pytest.raises(BadKey, match="no key is called so"):
        keys({"undo": ("escape",)})


@pytest.mark.parametrize(
    ("hers", "screen", "own", "why"),
    [
        ({}, "basket", {"open": ("7",)}, '"7" belongs to numbers'),
        ({}, "basket", {"open": ("x",), "new": ("x",)},
         '"x" is given to open and to new in the basket; write it once'),
        ({}, "basket", {"open": ("n",)},
         'new in the basket has no key, for open has "n"; give it another'),
        ({}, "journal", {"kind": ("space",)},
         '"space" counts a round in the journal, too; give kind another key'),
        ({"tick": ("page down",)}, "pattern", {"section_after": ("page down",)},
         '"page down" counts a round in the written pattern, too; give section after another key'),
    ],
)  # fmt: skip
def test_keys_of_a_screen_that_do_not_go_together(
    hers: Table, screen: str, own: Table, why: str
) -> None:
    with pytest.raises(BadKey, match=why):
        keys(hers, in_screens={screen: own})


def hers_in(screen: str) -> st.SearchStrategy[dict[str, tuple[str, ...]]]:
    given = st.lists(ANY_KEY, min_size=1, max_size=2).map(tuple)
    return st.dictionaries(st.sampled_from(list(SCREENS[screen])), given, max_size=4)


@given(st.sampled_from(sorted(SCREENS)).flatmap(lambda one: st.tuples(st.just(one), hers_in(one))))
def test_keys_of_a_screen_reach_all_of_it_or_are_refused(
    own: tuple[str, dict[str, tuple[str, ...]]],
) -> None:
    screen, hers = own
    try:
        found: Keys = keys(in_screens={screen: hers})
    except BadKey:
        return
    there = found.screens[screen]
    assert set(there.acts.values()) == set(SCREENS[screen])
    assert all(there.acts[key] == act for act, its in hers.items() for key in its)
    if screen in ASIDE:
        assert not any(found.is_tick(key) for key in there.acts)


def test_the_last_line_names_the_keys_of_a_screen_that_are_in_force() -> None:
    hers = keys(in_screens={"journal": {"up": ("f7",), "page_down": ("f6",)}})
    scroll, *_ = history_footer(True, hers)
    assert scroll == Entry("f7, down", "page up, f6, home, end", "scroll")
    assert history_footer(True)[0].key == "arrows"
    plots = keys(in_screens={"plots": {"after": ("b",)}})
    assert plots_footer(plots)[1].key == "left, b"


def test_what_figures_mean_is_told_with_the_key_in_force() -> None:
    told = {command.name: command for command in commands(keys({"measure": ("f2",)}))}
    assert told["measure"].number == "11.4 f2, 6-3/4 f2"
    assert told["measure"].shown == "f2"
    assert "{" not in "".join(command.number for command in told.values())


def test_the_readme_names_every_key_of_the_needles() -> None:
    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    table = readme.partition("| key | does |")[2].partition("\n\n")[0]
    rows = [row for row in table.splitlines() if row.startswith("| ")]
    named = [key.strip() for row in rows for key in row.strip("|").split("|")[0].split(", ")]
    assert sorted(named) == sorted(key for its in DEFAULT.values() for key in its)
