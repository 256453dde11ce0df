"""Regular expressions that are compiled when they are first asked: most of them no start needs."""

from __future__ import annotations

import re
from typing import Any, AnyStr, cast


class _Later:
    """Stands for an expression; each of its methods is that of the compiled one from the first time on."""

    def __init__(self, *told: Any) -> None:
        self._told = told

    def __getattr__(self, name: str) -> Any:
        found = getattr(re.compile(*self._told), name)
        setattr(self, name, found)
        return found


def later(pattern: AnyStr, flags: int = 0) -> re.Pattern[AnyStr]:
    """As re.compile, which may raise re.error only where it is first used."""
    return cast("re.Pattern[AnyStr]", _Later(pattern, flags))
