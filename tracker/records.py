"""Named tuples whose annotations are for readers and the type checker: no start waits for them.

They are those of `collections`, made as `typing` makes them. Only that `typing` compiles every annotation by
itself, five sixths of what two hundred such classes cost before the first picture.

A module that makes them needs `from __future__ import annotations`: Python works them out else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import NamedTuple as NamedTuple
else:
    from collections import namedtuple

    class _Maker(type):
        """Makes a class of each whose base is `NamedTuple`."""

        def __new__(meta, name, bases, body):
            if not bases:
                return type.__new__(meta, name, bases, body)
            fields = tuple(body.get("__annotations__", ()))
            with_default = []
            for field in fields:
                if field in body:
                    with_default.append(field)
                elif with_default:
                    raise TypeError(_out_of_order(field, with_default))
            defaults = [body.pop(field) for field in with_default]
            made = namedtuple(name, fields, defaults=defaults, module=body["__module__"])
            for told, value in body.items():
                setattr(made, told, value)
            return made

    def _out_of_order(field, with_default):
        """What `typing` says of a field without a default after some that have one."""
        many = "s" if len(with_default) > 1 else ""
        named = ", ".join(with_default)
        return f"Non-default namedtuple field {field} cannot follow default field{many} {named}"

    class NamedTuple(metaclass=_Maker):
        """The base of each, as it is written."""
