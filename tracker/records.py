"""Named tuples that cost a start little: those of `typing`, but no class of them is compiled by itself.

`typing` compiles every annotation of a class, and `collections` a `__new__` for each. Of the hundred and
seventy classes that a first picture needs, that was a quarter of what all our modules take before it. Here
annotations stay as they are written, and classes of as many fields share one `__new__`, in which only the
names of the fields differ. `tests/test_records.py` holds them against those of the standard library.

A module that makes them needs `from __future__ import annotations`: Python works them out else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

MOST_FIELDS = 64
"""No value has more of them."""

if TYPE_CHECKING:
    from typing import NamedTuple as NamedTuple
else:
    from collections import namedtuple
    from functools import cache
    from types import FunctionType

    _LIKE = namedtuple("_LIKE", [f"field_{place}" for place in range(MOST_FIELDS)])
    _FIELD = tuple(vars(_LIKE)[name] for name in _LIKE._fields)
    """What reads each field of a named tuple, by its place: the standard library's own."""

    class _Record(tuple):
        """What all of them can do; word for word what those of `collections` can."""

        __slots__ = ()

        @classmethod
        def _make(cls, iterable):
            result = tuple.__new__(cls, iterable)
            if len(result) != len(cls._fields):
                raise TypeError(f"Expected {len(cls._fields)} arguments, got {len(result)}")
            return result

        def _replace(self, /, **kwds):
            result = self._make(map(kwds.pop, self._fields, self))
            if kwds:
                raise ValueError(f"Got unexpected field names: {list(kwds)!r}")
            return result

        def _asdict(self):
            return dict(zip(self._fields, self, strict=True))

        def __getnewargs__(self):
            return tuple(self)

        def __repr__(self):
            told = ", ".join(f"{name}={value!r}" for name, value in self._asdict().items())
            return f"{type(self).__name__}({told})"

    @cache
    def _new_of(many):
        """The `__new__` of a class with so many fields, whatever they are called."""
        taken = "".join(f"field_{place}, " for place in range(many))
        made = f"lambda _cls, {taken}: make(_cls, ({taken}))"
        return eval(made, {"make": tuple.__new__, "__builtins__": {}})  # noqa: S307 - all of it is ours

    class _Maker(type):
        """Makes a class of each whose base is `NamedTuple`."""

        def __new__(meta, name, bases, body):
            if not bases:
                return type.__new__(meta, name, bases, body)
            fields = tuple(body.get("__annotations__", ()))
            defaults = {}
            for field in fields:
                if field.startswith("_"):
                    raise ValueError(f"Field names cannot start with an underscore: {field!r}")
                if field in body:
                    defaults[field] = body.pop(field)
                elif defaults:
                    raise TypeError(_out_of_order(field, defaults))
            if len(fields) > MOST_FIELDS:
                raise TypeError(f"{name} has more than {MOST_FIELDS} fields; raise MOST_FIELDS")
            body |= zip(fields, _FIELD, strict=False)
            body |= {
                "__slots__": (), "__match_args__": fields, "_fields": fields, "_field_defaults": defaults,
                "__new__": _new(name, fields, tuple(defaults.values())),
            }  # fmt: skip
            body.setdefault("__doc__", f"{name}({', '.join(fields)})")
            return type(name, (_Record,), body)

    def _new(name, fields, defaults):
        alike = _new_of(len(fields))
        code = alike.__code__.replace(
            co_name="__new__", co_qualname=f"{name}.__new__", co_varnames=("_cls", *fields)
        )
        return FunctionType(code, alike.__globals__, "__new__", defaults)

    def _out_of_order(field, with_default):
        """What `typing` says of a field without a default after some that have one."""
        many = "s" if len(with_default) > 1 else ""
        named = ", ".join(with_default)
        return f"Non-default namedtuple field {field} cannot follow default field{many} {named}"

    class NamedTuple(metaclass=_Maker):
        """The base of each, as it is written."""
