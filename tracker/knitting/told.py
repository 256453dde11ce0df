"""A value told as plain JSON and read back, by what its type says: of what does not fit nothing is taken.

A named tuple is the list of its fields, a mapping the list of its pairs. The text may be anybody's: nothing
of it is run, and each part of it must be of the very kind that stands there.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import isfinite
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from tracker.knitting.events import Event


class NotTold(ValueError):
    """What was read is no value of that type."""


def tell(value: object) -> Any:
    """A value as JSON has it. An event is its number: it is kept where events are."""
    if isinstance(value, Event):
        return value.number
    if isinstance(value, tuple):
        return [tell(one) for one in value]
    if isinstance(value, Mapping):
        return [[tell(key), tell(one)] for key, one in value.items()]
    return value


def read(told: object, kind: Any, event: Event) -> Any:
    """The value of a type in what was told; `event` is the one that may stand in it. Raises NotTold."""
    if isinstance(kind, type) and (kind in _PLAIN or issubclass(kind, tuple)):
        return _of_class(told, kind, event)
    origin, inside = get_origin(kind), get_args(kind)
    if origin is Literal:
        return _one_of(told, inside)
    if origin in (Union, UnionType):
        return _of_any(told, inside, event)
    if origin is tuple:
        return _tuple(told, inside, event)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return _mapping(told, inside, event)
    raise NotTold(f"{kind} is never told")


def _of_class(told: object, kind: type, event: Event) -> Any:
    if kind in _PLAIN:
        return _plain(told, kind)
    if kind is Event:
        if type(told) is not int or told != event.number:
            raise NotTold("another event is meant")
        return event
    kinds = fields_of(kind)
    return kind(
        *(read(one, its, event) for one, its in zip(_list(told, len(kinds)), kinds, strict=True))
    )


_PLAIN = (int, float, str, bool, NoneType)


def _plain(told: object, kind: type) -> object:
    if kind is float and type(told) in (int, float) and isfinite(told):  # type: ignore[arg-type]
        return told
    if type(told) is not kind or kind is float:
        raise NotTold(f"{told!r} is no {kind.__name__}")
    return told


def _one_of(told: object, values: tuple[object, ...]) -> object:
    for value in values:
        if type(value) is type(told) and value == told:
            return value
    raise NotTold(f"{told!r} is none of {values}")


def _of_any(told: object, kinds: tuple[Any, ...], event: Event) -> Any:
    if told is None and NoneType in kinds:
        return None
    (kind,) = (one for one in kinds if one is not NoneType)
    return read(told, kind, event)


def _tuple(told: object, kinds: tuple[Any, ...], event: Event) -> tuple[Any, ...]:
    if kinds[-1] is Ellipsis:
        return tuple(read(one, kinds[0], event) for one in _list(told))
    each = zip(_list(told, len(kinds)), kinds, strict=True)
    return tuple(read(one, kind, event) for one, kind in each)


def _mapping(told: object, kinds: tuple[Any, ...], event: Event) -> dict[Any, Any]:
    pairs = [_tuple(pair, kinds, event) for pair in _list(told)]
    found = dict(pairs)
    if len(found) != len(pairs):
        raise NotTold("one is there twice")
    return found


def _list(told: object, length: int | None = None) -> list[object]:
    if not isinstance(told, list) or length not in (None, len(told)):
        raise NotTold("another number of parts is told")
    return told


@cache
def fields_of(kind: type) -> tuple[Any, ...]:
    """The types of a named tuple's fields, in their order."""
    hints = get_type_hints(kind)
    return tuple(hints[name] for name in kind._fields)  # type: ignore[attr-defined]
