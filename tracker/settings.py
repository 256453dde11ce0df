"""What she has set for every pair: values and their names. Where they are kept: storage.settings_file."""

from __future__ import annotations

import os
from collections.abc import Mapping

from tracker.keys import Keys, keys
from tracker.records import NamedTuple


class Choice(NamedTuple):
    """A setting with its values, the first of them out of the box, and what it is about."""

    name: str
    values: tuple[str, ...]
    about: str


CHOICES = (
    Choice("look", ("dark", "light", "high contrast"), "the colours of the screen"),
    Choice("figures", ("as they fit", "fill the screen"), "how large the count of rounds is"),
    Choice("counting", ("one key", "nearly every key"), "which keys count a round"),
    Choice("bell", ("never", "end of round", "cues", "both"), "when the terminal rings"),
    Choice("rest", ("reminded", "not reminded"), "whether a quiet line says when to rest your hands"),
    Choice("glyphs", ("as the terminal can", "drawn", "plain"), "blocks and lines, or plain signs"),
)  # fmt: skip

BY_NAME_OF_CHOICE = {choice.name: choice for choice in CHOICES}


class Settings(NamedTuple):
    """What she has set; every field has the value it has out of the box.

    `own_keys` holds only hers, and `own_screen_keys` hers in the screens that have keys of their own.
    """

    look: str = "dark"
    figures: str = "as they fit"
    counting: str = "one key"
    bell: str = "never"
    rest: str = "reminded"
    glyphs: str = "as the terminal can"
    own_keys: Mapping[str, tuple[str, ...]] = {}
    own_screen_keys: Mapping[str, Mapping[str, tuple[str, ...]]] = {}

    @property
    def keys(self) -> Keys:
        """The keys in force. Raises BadKey where hers do not go together."""
        nearly_all = self.counting == "nearly every key"
        return keys(self.own_keys, nearly_all=nearly_all, in_screens=self.own_screen_keys)

    @property
    def rings_at_end_of_round(self) -> bool:
        """Whether the terminal rings when a round is done."""
        return self.bell in ("end of round", "both")

    @property
    def rings_at_cues(self) -> bool:
        """Whether the terminal rings when something is due in the next round."""
        return self.bell in ("cues", "both")

    @property
    def reminds_to_rest(self) -> bool:
        """Whether she is to be reminded to rest her hands."""
        return self.rest == "reminded" and rest_is_wanted()

    def in_plain_text(self, *, draws: bool) -> bool:
        """Whether the screen is of plain text; `draws` says whether the terminal can draw blocks and lines.

        What the environment says (INSTEP_GLYPHS) is of this terminal, and comes first.
        """
        told = os.environ.get("INSTEP_GLYPHS", "").strip().lower()
        wanted = told if told in ("drawn", "plain") else self.glyphs
        return wanted == "plain" or (wanted != "drawn" and not draws)

    def value(self, name: str) -> str:
        """The value of a setting by its name."""
        return str(getattr(self, name))

    def with_value(self, name: str, value: str) -> Settings:
        """The same with another value of one setting."""
        return Settings(**{**self._asdict(), name: value})


def rest_is_wanted() -> bool:
    """Whether she is to be reminded to rest her hands: not where INSTEP_REST is off, no or 0."""
    return os.environ.get("INSTEP_REST", "").strip().lower() not in ("off", "no", "0")
