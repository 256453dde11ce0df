"""`instep settings`: what is set and may be, in lines or as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tracker.keys import spoken
from tracker.settings import CHOICES, Settings
from tracker.vocabulary import or_all


def as_json(settings: Settings) -> dict[str, Any]:
    """The settings by name, and every act with its keys."""
    values = {choice.name: settings.value(choice.name) for choice in CHOICES}
    return {"settings": values, "keys": {spoken(act): list(its) for act, its in _by_act(settings)}}


def lines(settings: Settings) -> Iterator[str]:
    """What is set, what else may be, and every act with its keys: lines that may be the file itself."""
    for choice in CHOICES:
        others = or_all([value for value in choice.values if value != settings.value(choice.name)])
        yield f'{choice.name} = "{settings.value(choice.name)}"'
        yield f"# {choice.about}; else {others}"
    yield ""
    yield "[keys]"
    width = max(len(_bare(act)) for act in settings.keys.shown)
    for act, its in _by_act(settings):
        quoted = ", ".join(_quoted(key) for key in its)
        yield f"{_bare(act):<{width}} = {quoted if len(its) == 1 else f'[{quoted}]'}"


def _bare(act: str) -> str:
    """An act's name as a key of the file: of two words it is quoted."""
    return f'"{spoken(act)}"' if " " in spoken(act) else act


def _quoted(key: str) -> str:
    return f"'{key}'" if key in '"\\' else f'"{key}"'


def _by_act(settings: Settings) -> Iterator[tuple[str, tuple[str, ...]]]:
    in_force = settings.keys
    for act in in_force.shown:
        yield act, tuple(key for key, its in in_force.acts.items() if its == act)
