"""Several histories of one pair: the newest is shown, and where two parted both are."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tracker.storage.chain import Row
from tracker.storage.histories import Newest, alike, newest


def history(letters: str, data: str = "{}") -> list[Row]:
    """Events by their letters: two of one letter are the same, after the same."""
    return [
        Row(number, number, 0, 1, "tick", data, letters[:number].encode().ljust(16), 1)
        for number in range(1, len(letters) + 1)
    ]


def test_a_history_that_goes_on_is_newer() -> None:
    assert newest([history("a"), history("abc"), history("ab")]) == [Newest(1, 2, 0)]
    assert newest([history("ab"), history("ab", '{"told":1}')]) == [Newest(0, 0, 0)], "the same"


def test_where_they_parted_both_are_newest() -> None:
    told = newest([history("abx"), history("a"), history("abyz"), history("ab")])
    assert [one[:1] + one[2:] for one in told] == [(0, 2), (2, 2)]
    assert sum(one.older for one in told) == 2


@given(
    st.lists(
        st.text("ab", min_size=1, max_size=5).map(lambda text: f"x{text}"), min_size=1, max_size=7
    )
)
def test_each_is_shown_or_a_part_of_one_that_is(told: list[str]) -> None:
    found = newest([history(one) for one in told])
    shown = [told[one.place] for one in found]
    assert all(any(one.startswith(text) for one in shown) for text in told)
    for text in shown:
        assert not any(more != text and more.startswith(text) for more in shown)
    assert len(set(shown)) == len(shown)
    assert sum(one.older for one in found) == len([text for text in told if text not in shown])
    for one in found:
        others = [history(more) for more in shown if more != told[one.place]]
        mine = history(told[one.place])
        assert one.common == max((alike(mine, other) for other in others), default=0)
        assert bool(one.common) == (len(found) > 1)
