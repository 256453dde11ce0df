"""The fuzzer finds what is there to be found, and a little of it runs with the suite."""

from __future__ import annotations

import pytest

from tests.fuzzing.guided import fuzz
from tests.fuzzing.targets import TARGETS, Target
from tracker.storage.files import Fault, FileTrouble
from tracker.units import read_length


@pytest.mark.parametrize("name", TARGETS)
def test_a_few_inputs_of_each_kind_are_taken_or_refused(name: str) -> None:
    *found, (_, told) = fuzz(TARGETS[name], 60, seed=3, most=8)
    assert found == []
    assert told.startswith("8 inputs")


def test_what_is_no_refusal_is_found() -> None:
    def run(data: bytes) -> None:
        if b"-" in data:
            raise ZeroDivisionError
        if b"k" in data:
            raise FileTrouble("x", [Fault(None, "", "a\x1b")])
        read_length(data.decode("latin-1"))

    came = {told for _, told in fuzz(Target(run, lambda: [b"6 cm", b"k2"]), 20, seed=1, most=400)}
    assert any(told.startswith("ZeroDivisionError") for told in came)
    assert any("a sign that is none" in told for told in came)
