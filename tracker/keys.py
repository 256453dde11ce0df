"""Which key does what at the needles: out of the box, and as she has set it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

DEFAULT: Mapping[str, tuple[str, ...]] = {
    "tick": ("space", "enter"),
    "undo": ("backspace", "-"),
    "other": ("tab",),
    "over": ("v",),
    "measure": ("m",),
    "rough": ("~",),
    "right": ("i",),
    "void": ("x",),
    "end": ("e",),
    "counting": ("n",),
    "at": ("a",),
    "count": ("c",),
    "tail": ("'",),
    "seen": ("@",),
    "put": ("p",),
    "skipped": ("s",),
    "uneven": ("u",),
    "needles": ("=",),
    "colour": ("#",),
    "alone": ("d",),
    "rip": ("r",),
    "tink": ("<",),
    "lifeline": ("l",),
    "target": ("g",),
    "yarn_goal": ("f",),
    "weigh": ("w",),
    "weigh_colour": ("y",),
    "single": ("k",),
    "redo": ("b",),
    "history": ("j",),
    "side": (";",),
    "pattern": (">",),
    "plots": ("%",),
    "note": ("t",),
    "rest": ("z",),
    "stop": ("h",),
    "order": ("&",),
    "restart": ("!",),
    "digits": ("+",),
    "find": (":",),
    "settings": ("*",),
    "basket": ("o",),
    "help": ("?",),
    "leave": ("q",),
}
"""Each act and its keys, the first of them shown. A key is the sign it types, or its name."""

NAMED = (
    "space", "enter", "backspace", "tab", "delete", "insert", "home", "end", "page up", "page down",
    "up", "down", "left", "right", *(f"f{number}" for number in range(1, 13)),
)  # fmt: skip
"""Keys that type no sign, by their names."""

FIGURES = frozenset("0123456789.,/")
"""Signs that gather to a number: no act has them."""

FEW = ("undo", "other", "settings", "help", "leave")
"""What keeps its keys where nearly all keys count."""


class BadKey(ValueError):
    """A key that an act cannot have; says what to write instead."""


class Keys(NamedTuple):
    """The keys in force: what each of them does, and which is shown for an act.

    With `nearly_all` every key ticks but those of the acts in `FEW`.
    """

    acts: Mapping[str, str]
    shown: Mapping[str, str]
    nearly_all: bool = False

    def is_tick(self, key: str) -> bool:
        """Whether a key is one of those that tick, wherever it is pressed; not those of `nearly_all`."""
        return self.acts.get(key.lower() if len(key) == 1 else key) == "tick"

    def act(self, key: str) -> str | None:
        """What a key does; None where it does nothing. Letters are the same in capitals."""
        act = self.acts.get(key.lower() if len(key) == 1 else key)
        if self.nearly_all and act not in FEW and key != "escape":
            return "tick"
        return act


def keys(hers: Mapping[str, tuple[str, ...]] | None = None, *, nearly_all: bool = False) -> Keys:
    """The keys in force where `hers` are set: a key she gives to one act is no longer another's.

    Raises BadKey where a key cannot be given, is given twice, or an act is left without any.
    """
    hers = hers or {}
    given: dict[str, str] = {}
    for act, wanted in hers.items():
        for key in wanted:
            check_key(key)
            if given.setdefault(key, act) != act:
                raise BadKey(
                    f'"{key}" is given to {spoken(given[key])} and to {spoken(act)}; write it once'
                )
    left = {
        act: hers.get(act) or tuple(key for key in out_of_the_box if key not in given)
        for act, out_of_the_box in DEFAULT.items()
    }
    for act, its in left.items():
        if not its:
            taken = DEFAULT[act][0]
            raise BadKey(
                f'{spoken(act)} has no key, for {spoken(given[taken])} has "{taken}"; give it another'
            )
    acts = {key: act for act, its in left.items() for key in its}
    return Keys(acts, {act: its[0] for act, its in left.items()}, nearly_all)


def check_key(key: str) -> None:
    """Raises BadKey where no act can have this key."""
    if key in FIGURES:
        raise BadKey(f'"{key}" belongs to numbers; write another key, like "x" or "f5"')
    if key in NAMED or _is_sign(key):
        if key != key.lower():
            raise BadKey(f'capitals are no keys of their own; write "{key.lower()}"')
        return
    raise BadKey(f'no key is called so; write the sign it types, or a name like "{NAMED[9]}"')


def _is_sign(key: str) -> bool:
    """Whether it is one sign that is seen by itself: an accent stands over another."""
    from unicodedata import combining  # only keys of her own are looked at

    return len(key) == 1 and key.isprintable() and not key.isspace() and not combining(key)


def spoken(act: str) -> str:
    """An act as it is written in the settings: "weigh colour"."""
    return act.replace("_", " ")


BY_NAME = {spoken(act): act for act in DEFAULT}
"""The acts by their names in the settings."""

OUT_OF_THE_BOX = keys()
