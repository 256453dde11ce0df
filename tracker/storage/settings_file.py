"""The settings file: TOML in, Settings out, every fault named; one value written, the rest left as it is."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from functools import partial
from pathlib import Path
from typing import Any

from tracker.keys import BY_NAME, BY_NAME_IN, SAID, SCREENS, BadKey, check_key, keys
from tracker.settings import BY_NAME_OF_CHOICE, Settings
from tracker.storage.files import (
    Fault,
    FileTrouble,
    Lines,
    Source,
    read_source,
    read_toml,
    write_file,
)
from tracker.units import shorten


def settings_path() -> Path:
    """Where the settings are: INSTEP_SETTINGS, else where this machine keeps what is set."""
    if named := os.environ.get("INSTEP_SETTINGS"):
        return Path(named)
    from platformdirs import user_config_path

    return user_config_path("instep", appauthor=False) / "settings.toml"


def read_settings(path: Path | None = None) -> Settings:
    """What she has set; where there is no file, what holds out of the box. Raises FileTrouble."""
    path = path or settings_path()
    return _settings(_source(path)) if _is_there(path) else Settings()


def write_setting(name: str, value: str, path: Path | None = None) -> Settings:
    """Write one setting into the file, whose other lines and remarks stay; what is set then.

    Raises FileTrouble where the file cannot be read or written: then it is as it was.
    """
    from tracker.storage.folders import make_hers

    path = path or settings_path()
    try:
        make_hers(path.parent)
    except OSError as error:
        why = f"it cannot be written: {(error.strerror or 'no folder').lower()}"
        raise FileTrouble(str(path), [Fault(None, "", why)]) from None
    text, wanted = "", Settings().with_value(name, value)
    if _is_there(path):
        source = _source(path)
        text, wanted = source.text, _settings(source).with_value(name, value)
    new = _with(text, name, value)
    _check(Source(str(path), b"", new), wanted, name, value)
    write_file(str(path), new, instead_of="", why_not=lambda _: "")
    return wanted


def _check(new: Source, wanted: Settings, name: str, value: str) -> None:
    """Raises FileTrouble where the new text does not say what is wanted: a value in several lines, say."""
    try:
        if _settings(new) == wanted:
            return
    except FileTrouble:
        pass
    why = f'its line cannot be found; write {name} = "{value}" into the file yourself'
    raise FileTrouble(new.name, [Fault(None, name, why)])


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except OSError as error:
        why = f"it cannot be read: {(error.strerror or 'no such name').lower()}"
        raise FileTrouble(str(path), [Fault(None, "", why)]) from None


def _source(path: Path) -> Source:
    return read_source(str(path), "settings")


def _settings(source: Source) -> Settings:
    return _Reading(source).settings(read_toml(source, 'look = "dark"'))


def _with(text: str, name: str, value: str) -> str:
    """The text with a setting in it, in its own line or before the first table. Line ends stay."""
    import tomllib

    line = f'{name} = "{value}"'
    end = "\r" if text.partition("\n")[0].endswith("\r") else ""
    lines = text.split("\n") if text else []
    there = Lines(text).of(name) if name in tomllib.loads(text) else None
    if there is not None:
        lines[there - 1] = _in_its_line(lines[there - 1], line)
    else:
        first = next((at for at, old in enumerate(lines) if old.lstrip().startswith("[")), None)
        at = len(lines) if first is None else first
        while at and not lines[at - 1].strip():
            at -= 1
        if at and at == len(lines):
            lines[at - 1] += end  # the last line had none
        lines.insert(at, line + end)
    new = "\n".join(lines)
    if new.endswith("\n"):
        end = "\r" if new.endswith("\r\n") else ""
    return new.rstrip("\r\n") + f"{end}\n"


def _in_its_line(old: str, line: str) -> str:
    """A setting in the place of its old line, whose remark and end stay."""
    end = "\r" if old.endswith("\r") else ""
    _, hash_sign, remark = old.removesuffix("\r").partition("#")
    return f"{line}  {hash_sign}{remark}{end}" if hash_sign else f"{line}{end}"


class _Reading:
    def __init__(self, source: Source) -> None:
        self._source = source
        self._lines = Lines(source.text)
        self._faults: list[Fault] = []

    def settings(self, document: Mapping[str, Any]) -> Settings:
        found = {name: self._choice(name, document[name]) for name in document if self._knows(name)}
        hers = self._keys("keys", document.get("keys", {}), BY_NAME, "no act is called so")
        there = {
            screen: self._screen(screen, document[screen])
            for screen in SCREENS
            if screen in document
        }
        if not self._faults:
            self._try("keys", partial(keys, hers))
        if not self._faults:
            for screen, its in there.items():
                self._try(f"{screen}.keys", partial(keys, hers, in_screens={screen: its}))
        if self._faults:
            raise FileTrouble(self._source.name, self._faults, check=False)
        return Settings(own_keys=hers, own_screen_keys=there, **found)

    def _screen(self, screen: str, table: Any) -> dict[str, tuple[str, ...]]:
        """Her keys in a screen that has keys of its own."""
        if not isinstance(table, Mapping) or table.keys() != {"keys"}:
            act = next(iter(BY_NAME_IN[screen]))
            why = f'this is a table of keys; write [{screen}.keys], and below it {act} = "f5"'
            self._fault(screen, why)
            return {}
        unknown = f"nothing {SAID[screen]} is called so"
        return self._keys(f"{screen}.keys", table["keys"], BY_NAME_IN[screen], unknown)

    def _knows(self, name: str) -> bool:
        if name == "keys" or name in SCREENS:
            return False
        if name not in BY_NAME_OF_CHOICE:
            known = [*BY_NAME_OF_CHOICE, "keys", *SCREENS]
            self._fault(shorten(name), f"this is no setting; {_nearest(name, known)}")
        return name in BY_NAME_OF_CHOICE

    def _choice(self, name: str, given: Any) -> str:
        values = BY_NAME_OF_CHOICE[name].values
        if given not in values:
            named = " or ".join(f'"{value}"' for value in values)
            self._fault(name, f"{_shown(given)} is not one of its values; write {named}")
            return values[0]
        return str(given)

    def _keys(
        self, where: str, table: Any, known: Mapping[str, str], unknown: str
    ) -> dict[str, tuple[str, ...]]:
        """Her keys in the table `where`, of whose acts these are `known` by their names."""
        if not isinstance(table, Mapping):
            act = next(iter(known))
            self._fault(
                where, f'this is a table; write [{where}], and below it {act} = "page down"'
            )
            return {}
        hers: dict[str, tuple[str, ...]] = {}
        for name, given in table.items():
            if name not in known:
                self._fault(f"{where}.{shorten(name)}", f"{unknown}; {_nearest(name, list(known))}")
                continue
            wanted = [given] if isinstance(given, str) else given
            if (
                not isinstance(wanted, list)
                or not wanted
                or not all(isinstance(k, str) for k in wanted)
            ):
                why = f'write a key or several, like {name} = ["f5", "page down"]'
                self._fault(f"{where}.{name}", why)
                continue
            for key in wanted:
                leaves = where != "keys"
                self._try(f"{where}.{name}", partial(check_key, key, leaves=leaves))
            hers[known[name]] = tuple(wanted)
        return hers

    def _try(self, place: str, act: Callable[[], object]) -> None:
        try:
            act()
        except BadKey as bad:
            self._fault(place, str(bad))

    def _fault(self, place: str, why: str) -> None:
        self._faults.append(Fault(self._lines.of(place), place, why))


def _nearest(name: str, known: list[str]) -> str:
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    return f"did you mean {near[0]}?" if near else f"known are {', '.join(known)}"


def _shown(given: Any) -> str:
    return shorten(f'"{given}"' if isinstance(given, str) else str(given), 30)
