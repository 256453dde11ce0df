"""`instep settings`: what is set and may be, in lines or as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from tracker.keys import InForce, Keys, spoken
from tracker.settings import CHOICES, Settings
from tracker.vocabulary import or_all

_Act = tuple[str, tuple[str, ...]]
"""An act and its keys."""


def as_json(settings: Settings) -> dict[str, Any]:
    """The settings by name, and every act with its keys."""
    values = {choice.name: settings.value(choice.name) for choice in CHOICES}
    in_force = settings.keys
    screens = {screen: _as_json(_by_act(its)) for screen, its in in_force.screens.items()}
    return {"settings": values, "keys": _as_json(_by_act(in_force)), "screens": screens}


def _as_json(by_act: Iterable[_Act]) -> dict[str, list[str]]:
    return {spoken(act): list(its) for act, its in by_act}


def lines(settings: Settings) -> Iterator[str]:
    """What is set, what else may be, and every act with its keys: lines that may be the file itself."""
    for choice in CHOICES:
        others = or_all([value for value in choice.values if value != settings.value(choice.name)])
        yield f'{choice.name} = "{settings.value(choice.name)}"'
        yield f"# {choice.about}; else {others}"
    in_force = settings.keys
    yield from _table("keys", in_force)
    for screen, its in in_force.screens.items():
        yield from _table(f"{screen}.keys", its)


def _table(name: str, in_force: Keys | InForce) -> Iterator[str]:
    yield ""
    yield f"[{name}]"
    width = max(len(_bare(act)) for act in in_force.shown)
    for act, its in _by_act(in_force):
        quoted = ", ".join(_quoted(key) for key in its)
        yield f"{_bare(act):<{width}} = {quoted if len(its) == 1 else f'[{quoted}]'}"


def _bare(act: str) -> str:
    """An act's name as a key of the file: of two words it is quoted."""
    return f'"{spoken(act)}"' if " " in spoken(act) else act


def _quoted(key: str) -> str:
    return f"'{key}'" if key in '"\\' else f'"{key}"'


def _by_act(in_force: Keys | InForce) -> Iterator[_Act]:
    for act in in_force.shown:
        yield act, tuple(key for key, its in in_force.acts.items() if its == act)
