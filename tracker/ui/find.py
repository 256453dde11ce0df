"""Finding what can be done at the needles by a word of it: the framework's own palette, our commands."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from textual.command import CommandPalette, DiscoveryHit, Hit, Hits, Provider

from tracker.keys import Keys
from tracker.ui.commands import Command, commands
from tracker.vocabulary import capital

Press = Callable[[str], None]


class Find(CommandPalette):
    """A line to type a word in, and below it what goes with it; enter does the one chosen."""

    # The framework's sign of a lens is two cells wide in some fonts, and missing in others.
    DEFAULT_CSS = "Find SearchIcon { display: none; }"

    def __init__(self, do: Press, keys: Keys) -> None:
        super().__init__([_found_in(commands(keys), do)], placeholder="what do you want to do?")


def _found_in(known: list[Command], do: Press) -> type[Provider]:
    """What looks a word up among the commands."""

    class Acts(Provider):
        async def discover(self) -> Hits:
            for command in known:
                yield DiscoveryHit(_named(command), partial(do, command.name), help=_key(command))

        async def search(self, query: str) -> Hits:
            matcher = self.matcher(query)
            for command in known:
                named = _named(command)
                if score := matcher.match(f"{named} {command.name}"):
                    yield Hit(
                        score,
                        matcher.highlight(named),
                        partial(do, command.name),
                        help=_key(command),
                    )

    return Acts


def _named(command: Command) -> str:
    return f"{capital(command.label)}: {command.help}"


def _key(command: Command) -> str:
    return f"{command.shown}   {command.number}".rstrip()
