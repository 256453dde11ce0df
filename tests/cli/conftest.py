"""The commands in this process: a basket of one's own, a clock that stands where it is put."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.knitting.knitter import SAMPLE
from tracker.cli import main

NOW = "2026-03-01T20:00:00+01:00"


class Instep:
    """Runs commands; `ok`, `wrong` and `usage` say how each must end."""

    def __init__(
        self, capsys: pytest.CaptureFixture[str], patch: pytest.MonkeyPatch, basket: Path
    ) -> None:
        self._capsys, self._patch = capsys, patch
        self.basket = basket
        patch.setenv("INSTEP_BASKET", str(basket))
        self.now(NOW)

    def now(self, moment: str) -> None:
        """Put the clock."""
        self._patch.setenv("INSTEP_NOW", moment)

    def run(self, *words: str) -> tuple[int, str, str]:
        """(exit code, stdout, stderr) of one command."""
        try:
            code = main(words)
        except SystemExit as left:
            code = int(left.code or 0)
        said = self._capsys.readouterr()
        return code, said.out, said.err

    def ok(self, *words: str) -> str:
        """What a command that succeeds prints."""
        code, out, err = self.run(*words)
        assert (code, err) == (0, ""), (words, err)
        return out

    def line(self, *words: str) -> str:
        """The one line a command that succeeds prints."""
        out = self.ok(*words)
        assert out.endswith("\n")
        assert out.count("\n") == 1
        return out[:-1]

    def json(self, *words: str) -> Any:
        """What a command prints with --json."""
        return json.loads(self.line(*words, "--json"))

    def wrong(self, *words: str) -> str:
        """The line on stderr of a command that the knitter got wrong: exit 1, nothing on stdout."""
        code, out, err = self.run(*words)
        assert (code, out) == (1, ""), (words, out)
        assert err.startswith("instep: ")
        assert err.endswith("\n")
        assert err.count("\n") == 1
        return err.removeprefix("instep: ")[:-1]

    def usage(self, *words: str) -> str:
        """What is said of words no command takes: exit 2, nothing on stdout."""
        code, out, err = self.run(*words)
        assert (code, out) == (2, ""), (words, out)
        return err


@pytest.fixture
def instep(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Instep:
    """An empty basket."""
    return Instep(capsys, monkeypatch, tmp_path / "basket.db")


@pytest.fixture
def pair(instep: Instep) -> Instep:
    """A basket with the sample pair, nothing knitted."""
    assert instep.line("start", str(SAMPLE)) == "night-ferry"
    return instep
