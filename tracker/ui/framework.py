"""Loads the framework without what no screen here has, a tenth of it: she waits for that at every start.

That is its palette of commands, with the widgets it is made of, and the encryption of connections, which
asyncio brings for those who open some. Whoever asks for either later gets it whole.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType
from typing import Any

_PALETTE, _ENCRYPTION = "textual.command", "ssl"


class _LeftOut(ModuleType):
    """Stands for a module while another imports from it names that it never uses."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return type(name, (), {})


def load() -> None:
    """Import the app's class, and with it nearly all of the framework."""
    if "textual.app" in sys.modules:
        return
    try:
        # asyncio goes without it where Python was built so, and None says that there is none.
        with _instead(_ENCRYPTION, None):
            import asyncio  # noqa: F401
        with _instead(_PALETTE, _LeftOut(_PALETTE)):
            import textual.app
    except Exception:  # another version may need them: then they are loaded as well
        import textual.app  # noqa: F401


@contextmanager
def _instead(name: str, module: ModuleType | None) -> Iterator[None]:
    """While this lasts that stands in place of a module, where it is not loaded yet."""
    if name in sys.modules:
        yield
        return
    sys.modules[name] = module  # type: ignore[assignment]
    try:
        yield
    finally:
        sys.modules.pop(name, None)
