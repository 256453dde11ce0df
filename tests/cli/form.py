"""Writes a basket, a pack, a pattern and a plan of today's form, and what they tell, to be kept for ever.

`python -m tests.cli.form` does it anew, for a form that was not released yet. Those of a released form
are never written again: later versions must tell the same of them.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from shutil import copyfile, rmtree
from tempfile import TemporaryDirectory
from typing import Any

from tests.knitting.knitter import SAMPLE
from tests.storage.damaging import knit, run
from tracker.storage import backups, formats

DATA = Path(__file__).parent / "data"
LOOKS = (
    ("left",), ("left", "--pair", "low-tide"), ("left", "--pair", "night-ferry", "--sock", "2"), ("basket",),
    ("history",), ("history", "--pair", "low-tide"), ("count",),
)  # fmt: skip
"""What is told of the basket."""
RECKONED = {
    "cues", "length_mm", "length_sd_mm", "rounds_to_go", "minutes_to_go", "measure_at", "minutes", "text",
    "places",
}  # fmt: skip
"""What a later version may reckon, or say, otherwise; the rest are facts."""


def facts(told: Any) -> Any:
    """What was told, without what is reckoned."""
    if isinstance(told, dict):
        return {name: facts(value) for name, value in told.items() if name not in RECKONED}
    return [facts(value) for value in told] if isinstance(told, list) else told


def told(*words: str) -> Any:
    """The facts that a command tells as JSON."""
    done = run(*words, "--json")
    assert done.code == 0, done
    return facts(json.loads(done.out))


def main() -> None:
    """Write them into the folder of the newest form."""
    folder = DATA / f"form_{formats.NEWEST}"
    rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    backups.is_due = lambda *_: False
    os.environ["TZ"] = "UTC"
    with TemporaryDirectory() as scratch:
        basket = knit(Path(scratch))
        wanted = {
            "now": os.environ["INSTEP_NOW"],
            "basket": [[words, told(*words)] for words in LOOKS],
        }
        assert run("pack", "night-ferry", str(folder / "pair.pack")).code == 0
        wanted["pack"] = told("left", "--pair", "night-ferry")
        copyfile(basket, folder / "basket.db")
    copyfile(SAMPLE, folder / "plan.toml")
    assert run("plan", str(SAMPLE), "-o", str(folder / "pattern.toml")).code == 0
    wanted["numbers"] = told("plan", str(SAMPLE))["numbers"]
    text = json.dumps(wanted, indent=1, ensure_ascii=False)
    (folder / "told.json").write_text(f"{text}\n", "utf-8")


if __name__ == "__main__":
    main()
