"""Which key does what, at the needles and in the screens beside: out of the box, and as she has set it."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from tracker.records import NamedTuple

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

Table = Mapping[str, tuple[str, ...]]
"""What can be done, and with which keys, the first of them shown."""

_BY_LINES: Table = {
    "up": ("up",), "down": ("down",), "page_up": ("page up",), "page_down": ("page down",),
}  # fmt: skip
_ENDS: Table = {"first": ("home",), "last": ("end",)}
_BACK: Table = {"back": ("escape",)}

SCREENS: Mapping[str, Table] = {
    "journal": {
        **_BY_LINES, "oldest": ("home",), "newest": ("end",), "one": ("left",), "two": ("right",),
        "kind": ("k",), "marks": ("l",), **_BACK,
    },
    "side": {**_BY_LINES, **_ENDS, **_BACK},
    "pattern": {
        **_BY_LINES, **_ENDS, "section_before": ("p",), "section_after": ("n",),
        "term_before": ("left",), "term_after": ("right",), **_BACK,
    },
    "plots": {"before": ("left",), "after": ("right",), **_BACK},
    "basket": {
        "open": ("space", "enter"), **_BY_LINES, **_ENDS, "new": ("n",), "put_away": ("a",),
        "bring_out": ("b",), "away": ("p",), "samples": ("s",), "file": ("f",),
        "trial": ("t",), **_BACK, "help": ("?",), "leave": ("q",),
    },
}  # fmt: skip
"""The screens that have keys of their own, by their names in the settings."""

SAID: Mapping[str, str] = {
    "journal": "in the journal", "side": "side by side", "pattern": "in the written pattern",
    "plots": "at the plots", "basket": "in the basket",
}  # fmt: skip
"""Where that is, as it is said."""

ASIDE = frozenset(SCREENS) - {"basket"}
"""Screens that are looked at from the needles: there, too, the keys that tick do so, whatever else is set."""

NAMED = (
    "space", "enter", "backspace", "tab", "delete", "insert", "home", "end", "page up", "page down",
    "up", "down", "left", "right", *(f"f{number}" for number in range(1, 13)),
)  # fmt: skip
"""Keys that type no sign, by their names."""

DIGITS = frozenset("0123456789")
"""What a number begins with: no act has them."""
FIGURES = DIGITS | frozenset(".,/")
"""Signs that gather to a number; those that are no digits only after its first, where an act has them."""

FEW = ("undo", "other", "settings", "help", "leave")
"""What keeps its keys where nearly all keys count."""


class BadKey(ValueError):
    """A key that an act cannot have; says what to write instead."""


class InForce(NamedTuple):
    """The keys of one table: what each of them does, and which is shown for what."""

    acts: Mapping[str, str]
    shown: Mapping[str, str]


class Keys(NamedTuple):
    """The keys in force: what each of them does, and which is shown for an act.

    With `nearly_all` every key ticks but those of the acts in `FEW`. `screens` are those of the screens
    that have keys of their own.
    """

    acts: Mapping[str, str]
    shown: Mapping[str, str]
    nearly_all: bool = False
    screens: Mapping[str, InForce] = {}

    def is_tick(self, key: str) -> bool:
        """Whether a key is one of those that tick, wherever it is pressed; not those of `nearly_all`."""
        return self.acts.get(key.lower() if len(key) == 1 else key) == "tick"

    def act(self, key: str) -> str | None:
        """What a key does; None where it does nothing. Letters are the same in capitals."""
        act = self.acts.get(key.lower() if len(key) == 1 else key)
        if self.nearly_all and act not in FEW and key != "escape":
            return "tick"
        return act


def keys(
    hers: Table | None = None,
    *,
    nearly_all: bool = False,
    in_screens: Mapping[str, Table] | None = None,
) -> Keys:
    """The keys in force where `hers` are set: a key she gives to one act is no longer another's.

    `in_screens` are hers in the screens that have keys of their own, each by itself.
    Raises BadKey where a key cannot be given, is given twice, or an act is left without any.
    """
    at_needles = _in_force(DEFAULT, hers or {}, "")
    ticks = {key for key, act in at_needles.acts.items() if act == "tick"}
    screens = {
        screen: _of_screen(screen, (in_screens or {}).get(screen, {}), ticks) for screen in SCREENS
    }
    return Keys(*at_needles, nearly_all, screens)


def _of_screen(screen: str, hers: Table, ticks: Collection[str]) -> InForce:
    for act, wanted in hers.items():
        for key in wanted:
            if screen in ASIDE and key in ticks:
                raise BadKey(
                    f'"{key}" counts a round {SAID[screen]}, too; give {spoken(act)} another key'
                )
    taken = ticks if screen in ASIDE else ()
    return _in_force(SCREENS[screen], hers, f" {SAID[screen]}", taken)


def _in_force(
    out_of_the_box: Table, hers: Table, where: str, taken: Collection[str] = ()
) -> InForce:
    """The keys of one table; `where` that is follows its acts in what is said, or is empty.

    Those that are `taken` do something else there: an act that has no other is without a key.
    """
    given: dict[str, str] = {}
    for act, wanted in hers.items():
        for key in wanted:
            check_key(key, leaves=bool(where))
            if given.setdefault(key, act) != act:
                raise BadKey(
                    f'"{key}" is given to {spoken(given[key])} and to {spoken(act)}{where}; write it once'
                )
    left = {
        act: hers.get(act) or tuple(key for key in its if key not in given and key not in taken)
        for act, its in out_of_the_box.items()
    }
    for act, its in left.items():
        lost = next((key for key in out_of_the_box[act] if key in given), None)
        if not its and lost is not None:
            raise BadKey(
                f'{spoken(act)}{where} has no key, for {spoken(given[lost])} has "{lost}";'
                " give it another"
            )
    acts = {key: act for act, its in left.items() for key in its}
    return InForce(acts, {act: its[0] for act, its in left.items() if its})


def check_key(key: str, *, leaves: bool = False) -> None:
    """Raises BadKey where no act can have this key; "escape" only where it `leaves` a screen."""
    if key in DIGITS:
        raise BadKey(f'"{key}" belongs to numbers; write another key, like "x" or "f5"')
    if key in NAMED or _is_sign(key) or (leaves and key == "escape"):
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

BY_NAME_IN = {screen: {spoken(act): act for act in table} for screen, table in SCREENS.items()}
"""The same of the screens that have keys of their own."""

OUT_OF_THE_BOX = keys()
