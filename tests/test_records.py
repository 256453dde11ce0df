"""Named tuples that are quickly made are those of the standard library."""

from __future__ import annotations

import copy
import pickle
import typing
from pathlib import Path
from typing import Any

import pytest

from tracker import records

ROOT = Path(__file__).parents[1] / "tracker"


class Known(typing.NamedTuple):
    """A stitch marker."""

    row: int
    colour: str = "red"
    needles: tuple[int, ...] = ()

    @property
    def below(self) -> int:
        """The row before."""
        return self.row - 1

    @classmethod
    def first(cls) -> Known:
        """That of the cast-on."""
        return cls(0)


class Quick(records.NamedTuple):
    """A stitch marker."""

    row: int
    colour: str = "red"
    needles: tuple[int, ...] = ()

    @property
    def below(self) -> int:
        """The row before."""
        return self.row - 1

    @classmethod
    def first(cls) -> Quick:
        """That of the cast-on."""
        return cls(0)


def told(kind: Any) -> list[object]:
    one = kind(4, needles=(16, 16))
    return [
        one, tuple(one), one.row, one.below, kind.first(), kind._make((1, "blue", ())), hash(one),
        one._replace(colour="blue"), one._asdict(), one == (4, "red", (16, 16)), sorted([kind(2), kind(1)]),
        repr(one).partition("(")[2], kind._fields, kind._field_defaults, kind.__match_args__, kind.__doc__,
        copy.deepcopy(one), pickle.loads(pickle.dumps(one)), typing.get_type_hints(kind),  # noqa: S301
        hasattr(one, "__dict__"), type(one).__module__,
    ]  # fmt: skip


def test_they_are_those_of_the_standard_library() -> None:
    assert told(Quick) == told(Known)
    match Quick(7):
        case Quick(row, colour):
            assert (row, colour) == (7, "red")


@pytest.mark.parametrize("kind", [Known, Quick])
def test_what_is_no_such_tuple_is_refused(kind: Any) -> None:
    for wrong in (kind, lambda: kind(1, "red", (), 4), lambda: kind(1, knots=2)):
        with pytest.raises(TypeError):
            wrong()
    with pytest.raises(TypeError, match="Expected 3 arguments, got 2"):
        kind._make((1, "red"))
    # Python 3.13 made a TypeError of it.
    with pytest.raises((TypeError, ValueError), match=r"Got unexpected field names: \['knots'\]"):
        kind(1)._replace(knots=2)
    with pytest.raises(AttributeError):
        kind(1).row = 2


@pytest.mark.parametrize("base", [typing.NamedTuple, records.NamedTuple])
@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ("a: int = 1; b: int; c: int = 2", "b cannot follow default field a"),
        ("a: int; b: int = 1; c: int = 2; d: int; e: int", "d cannot follow default fields b, c"),
    ],
)
def test_a_field_without_a_default_after_one_that_has_one_is_refused(
    base: object, fields: str, said: str
) -> None:
    with pytest.raises(TypeError, match=f"^Non-default namedtuple field {said}$"):
        exec(f"class Wrong(Base): {fields}", {"Base": base, "__name__": "wrong"})  # noqa: S102


@pytest.mark.parametrize("base", [typing.NamedTuple, records.NamedTuple])
def test_a_field_is_no_name_of_its_own(base: object) -> None:
    with pytest.raises(ValueError, match=r"cannot start with an underscore: '_b'$"):
        exec("class Wrong(Base): a: int; _b: int", {"Base": base, "__name__": "wrong"})  # noqa: S102


def test_more_fields_than_it_knows_are_refused() -> None:
    fields = "; ".join(f"a{place}: int" for place in range(records.MOST_FIELDS + 1))
    with pytest.raises(TypeError, match="raise MOST_FIELDS"):
        exec(f"class Wide(Base): {fields}", {"Base": records.NamedTuple, "__name__": "wide"})  # noqa: S102


def test_each_has_its_own_names_though_they_share_what_makes_them() -> None:
    class Needle(records.NamedTuple):
        name: str
        stitches: int = 16

    class Stripe(records.NamedTuple):
        colour: str
        rounds: int

    assert (Needle("N1"), Stripe(rounds=9, colour="navy")) == (("N1", 16), ("navy", 9))
    with pytest.raises(TypeError, match=r"Stripe.__new__\(\) missing 1 required .*'rounds'"):
        Stripe("navy")  # type: ignore[call-arg]


def test_nobody_makes_them_the_slow_way() -> None:
    for path in ROOT.rglob("*.py"):
        if path.name != "records.py":
            text = path.read_text(encoding="utf-8")
            needed = {
                "from __future__ import annotations",
                "from tracker.records import NamedTuple",
            }
            assert "NamedTuple" not in text or needed <= {*text.splitlines()}, path
