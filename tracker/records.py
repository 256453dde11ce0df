"""Named tuples that are quickly made: two hundred of them stand in what is loaded before the first picture.

They are those of `typing` to whoever reads, makes or checks one. Only that making such a class there compiles
its constructor and every annotation by itself, four fifths of which no program that runs ever asks for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import NamedTuple as NamedTuple
else:
    from collections import _tuplegetter as _field

    class _Record(tuple):
        """What all of them are: see collections.namedtuple, whose methods these are."""

        __slots__ = ()
        _fields = ()

        def __new__(cls, *values, **named):
            """Make the first one of a class, and its constructor, by which all others are made."""
            owner = next(base for base in cls.__mro__ if "_fields" in base.__dict__)
            owner.__new__ = _constructor(owner)
            return owner.__new__(cls, *values, **named)

        @classmethod
        def _make(cls, values):
            made = tuple.__new__(cls, values)
            if len(made) != len(cls._fields):
                raise TypeError(f"Expected {len(cls._fields)} arguments, got {len(made)}")
            return made

        def _replace(self, /, **named):
            made = self._make(map(named.pop, self._fields, self))
            if named:
                raise ValueError(f"Got unexpected field names: {list(named)!r}")
            return made

        def _asdict(self):
            return dict(zip(self._fields, self, strict=True))

        def __repr__(self):
            told = (f"{name}={value!r}" for name, value in self._asdict().items())
            return f"{type(self).__name__}({', '.join(told)})"

        def __getnewargs__(self):
            return tuple(self)

    def _constructor(owner):
        """The constructor of a class, with its names and defaults, as one expression of these alone."""
        names = "".join(f"{name}, " for name in owner._fields)
        code = f"lambda _cls, {names}: _new(_cls, ({names}))"
        made = eval(code, {"_new": tuple.__new__, "__name__": owner.__module__})  # noqa: S307
        made.__name__, made.__qualname__ = "__new__", f"{owner.__qualname__}.__new__"
        made.__defaults__ = tuple(owner._field_defaults.values())
        return made

    class _Maker(type):
        """Makes a class of each whose base is `NamedTuple`."""

        def __new__(meta, name, bases, body):
            if not bases:
                return type.__new__(meta, name, bases, body)
            fields = tuple(body.get("__annotations__", ()))
            defaults = {field: body[field] for field in fields if field in body}
            body |= {field: _field(at, field) for at, field in enumerate(fields)}
            body |= {"__slots__": (), "__match_args__": fields}
            body |= {"_fields": fields, "_field_defaults": defaults}
            return type(name, (_Record,), body)

    class NamedTuple(metaclass=_Maker):
        """The base of each, as it is written."""
