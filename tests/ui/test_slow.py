"""A slow disk is said by one thread that waits for all acts, and by none where it is quick."""

from __future__ import annotations

import threading

import pytest

from tracker.ui import slow
from tracker.ui.slow import told_if_slow


def test_only_what_takes_long_is_told_and_then_shown_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slow, "SLOW", 0.02)
    told, again = threading.Event(), list[str]()
    for _ in range(3):
        with told_if_slow(told.set, lambda: again.append("again")):
            assert told.wait(10)
        told.clear()
    assert again == ["again"] * 3


def test_one_thread_waits_for_all_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    with told_if_slow(lambda: None, lambda: None):
        before = threading.active_count()
    said: list[str] = []
    for _ in range(2_000):
        with told_if_slow(lambda: said.append("slow"), lambda: said.append("again")):
            assert threading.active_count() == before
    assert said == []


def test_it_is_told_though_what_is_kept_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slow, "SLOW", 0.02)
    told, again = threading.Event(), list[str]()

    def keep() -> None:
        with told_if_slow(told.set, lambda: again.append("a")):
            assert told.wait(10)
            raise OSError("full")

    with pytest.raises(OSError, match="full"):
        keep()
    assert again == ["a"]
