"""Which key does what: out of the box, and as she sets it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.keys import DEFAULT, FEW, FIGURES, NAMED, OUT_OF_THE_BOX, BadKey, keys
from tracker.ui.commands import COMMANDS, commands


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
    assert not FIGURES & set(found.acts)
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
