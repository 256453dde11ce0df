"""The rooms of the house: imports go one way, the pure rooms touch nothing, packages are empty."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "tracker"
FILES = sorted(ROOT.rglob("*.py"))

# Each room and those it may import from, itself left out.
MAY_IMPORT: dict[str, set[str]] = {
    "units": set(),
    "moment": set(),
    "bare_clock": set(),
    "records": set(),
}
EVERYWHERE = {"records"}
MAY_IMPORT["pattern"] = {"units"}
MAY_IMPORT["knitting"] = MAY_IMPORT["pattern"] | {"pattern", "moment"}
MAY_IMPORT["forecast"] = MAY_IMPORT["knitting"] | {"knitting"}
MAY_IMPORT["keys"] = set()
MAY_IMPORT["glance"] = MAY_IMPORT["forecast"] | {"forecast", "keys"}
MAY_IMPORT["counted"] = MAY_IMPORT["glance"] | {"glance"}
MAY_IMPORT["looking"] = MAY_IMPORT["counted"] | {"counted"}
MAY_IMPORT["vocabulary"] = MAY_IMPORT["glance"] | {"glance"}
MAY_IMPORT["yarn_words"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["change_words"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["toe_up_cards"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["cards"] = MAY_IMPORT["change_words"] | {"change_words", "toe_up_cards"}
MAY_IMPORT["pair_words"] = MAY_IMPORT["change_words"] | {"change_words"}
MAY_IMPORT["ask_words"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["drawing"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["side_by_side"] = MAY_IMPORT["drawing"] | {"drawing"}
MAY_IMPORT["place_words"] = MAY_IMPORT["change_words"] | {"change_words"}
MAY_IMPORT["count_brief"] = MAY_IMPORT["place_words"] | {"place_words"}
MAY_IMPORT["hours"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["rest_words"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["stage_words"] = MAY_IMPORT["hours"] | {"hours"}
MAY_IMPORT["words"] = MAY_IMPORT["cards"] | {
    "stage_words",
    "cards",
    "rest_words",
    "yarn_words",
    "hours",
    "place_words",
    "count_brief",
    "change_words",
    "pair_words",
}
MAY_IMPORT["settings"] = {"keys"}
MAY_IMPORT["settings_report"] = {"vocabulary", "settings", "keys"}
MAY_IMPORT["answers"] = MAY_IMPORT["words"] | {"words"}
MAY_IMPORT["past_words"] = MAY_IMPORT["answers"] | {"answers", "ask_words"}
MAY_IMPORT["tellable"] = MAY_IMPORT["past_words"] | {"past_words", "looking"}
MAY_IMPORT["storage"] = {"units", "pattern", "knitting", "settings", "keys"}
MAY_IMPORT["served"] = set()
MAY_IMPORT["samples"] = {"units"}
MAY_IMPORT["letters"] = set()
MAY_IMPORT["clock"] = {"units", "storage", "bare_clock"}
MAY_IMPORT["side_by_side_words"] = MAY_IMPORT["words"] | {"words", "side_by_side", "drawing"}
MAY_IMPORT["session"] = MAY_IMPORT["answers"] | {
    "answers", "ask_words", "storage", "settings", "drawing", "side_by_side", "tellable", "looking",
}  # fmt: skip
MAY_IMPORT["plain_words"] = MAY_IMPORT["words"] | {"words"}
MAY_IMPORT["pair_card"] = MAY_IMPORT["words"] | {"words", "side_by_side", "drawing"}
MAY_IMPORT["written"] = MAY_IMPORT["words"] | {"words"}
MAY_IMPORT["plot_words"] = MAY_IMPORT["vocabulary"] | {"vocabulary"}
MAY_IMPORT["plots"] = MAY_IMPORT["plot_words"] | {"plot_words"}
MAY_IMPORT["row_by_row"] = MAY_IMPORT["written"] | {"written"}
MAY_IMPORT["printing"] = MAY_IMPORT["answers"] | {"answers", "written", "drawing", "looking"}
MAY_IMPORT["plan_report"] = MAY_IMPORT["written"] | {"written"}
MAY_IMPORT["reports"] = MAY_IMPORT["past_words"] | {"past_words"}
MAY_IMPORT["more_report"] = MAY_IMPORT["reports"] | {"reports"}
MAY_IMPORT["check"] = {"units", "pattern", "knitting", "storage", "looking", "tellable"}
MAY_IMPORT["circle_words"] = MAY_IMPORT["words"] | {"words", "ask_words", "looking"}
MAY_IMPORT["taught"] = {"units", "pattern", "knitting", "storage", "circle_words"}
MAY_IMPORT["packing"] = MAY_IMPORT["session"] | {"session", "past_words", "taught"}
MAY_IMPORT["circle"] = MAY_IMPORT["packing"] | {"packing", "circle_words"}
MAY_IMPORT["ui"] = MAY_IMPORT["packing"] | {
    "packing", "past_words", "clock", "samples", "side_by_side_words", "keys", "pair_card", "letters",
    "plain_words", "row_by_row", "plot_words", "plots", "served", "counted",
}  # fmt: skip
MAY_IMPORT["commands"] = MAY_IMPORT["ui"] | {
    "ui", "reports", "more_report", "plan_report", "check", "printing", "circle", "circle_words",
    "settings_report",
}  # fmt: skip
MAY_IMPORT["quick_check"] = {"bare_clock", "moment", "storage", "cli"}
MAY_IMPORT["keep_left"] = {"looking", "moment", "quick_check", "session", "storage"}
MAY_IMPORT["commands"] |= {"keep_left"}
MAY_IMPORT["cli"] = MAY_IMPORT["commands"] | {"commands"}
MAY_IMPORT["__main__"] = {"quick_check"}
MAY_IMPORT["__init__"] = set()

PURE = {
    "units", "pattern", "knitting", "forecast", "glance", "counted", "looking", "vocabulary", "cards",
    "yarn_words", "hours",
    "moment", "place_words", "rest_words", "past_words", "change_words", "pair_words", "stage_words", "words",
    "answers", "written", "drawing", "side_by_side", "side_by_side_words", "printing", "reports",
    "more_report", "plan_report", "circle_words", "count_brief", "keys", "settings_report", "pair_card",
    "plain_words", "ask_words", "row_by_row", "plot_words", "plots", "tellable", "toe_up_cards",
}  # fmt: skip
OUTSIDE = {
    "os", "io", "sys", "time", "datetime", "random", "secrets", "uuid", "pathlib", "tempfile",
    "shutil", "sqlite3", "tomllib", "tomli_w", "platformdirs", "subprocess", "threading",
    "asyncio", "socket", "textual", "rich", "argparse", "locale",
}  # fmt: skip
THIRD_PARTY = {
    "textual",
    "rich",
    "tomli_w",
    "platformdirs",
    "argcomplete",
    "textual_serve",
    "aiohttp",
    "aiohttp_jinja2",
    "jinja2",
}


def room(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def imports(path: Path, *, inside: bool = True) -> Iterator[str]:
    """Every module a file imports, those inside functions and for types among them."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree) if inside else tree.body:
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import"
            assert node.module is not None
            yield from (f"{node.module}.{name.name}" for name in node.names)


def rooms_of(path: Path) -> set[str]:
    """The rooms a file imports from."""
    parts = [name.split(".") for name in imports(path) if name.split(".")[0] == "tracker"]
    return {name[1] for name in parts if len(name) > 1}


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_go_one_way(path: Path) -> None:
    here = room(path)
    assert here in MAY_IMPORT, f"{here} is a room this test does not know"
    assert rooms_of(path) <= MAY_IMPORT[here] | {here} | EVERYWHERE


def test_files_import_each_other_nowhere_in_a_circle() -> None:
    """The imports that really stand in the files, those inside functions left out."""
    known = {module(path) for path in FILES}
    needs = {
        module(path): {
            name
            for found in imports(path, inside=False)
            for name in parts_of(found)
            if name in known
        }
        for path in FILES
    }
    order = list(TopologicalSorter(needs).static_order())  # raises where there is a circle
    assert len(order) == len(FILES)
    assert order.index("tracker.units") < order.index("tracker.session")


def module(path: Path) -> str:
    dotted = ".".join(("tracker", *path.relative_to(ROOT).with_suffix("").parts))
    return dotted.removesuffix(".__init__")


def parts_of(name: str) -> tuple[str, str]:
    """What is imported may be a module, or a name in one."""
    return name, name.rpartition(".")[0]


def test_storage_and_glance_never_meet() -> None:
    above = {"forecast", "glance", "looking", "words", "session", "ui", "cli", "reports"}
    for path in FILES:
        if room(path) == "storage":
            assert not rooms_of(path) & above, path
        if room(path) in ("glance", "looking", "words"):
            assert "storage" not in rooms_of(path), path


@pytest.mark.parametrize(
    "path",
    [path for path in FILES if room(path) in PURE],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_pure_rooms_touch_nothing_outside(path: Path) -> None:
    assert not {name.partition(".")[0] for name in imports(path)} & OUTSIDE
    tree = ast.parse(path.read_text(encoding="utf-8"))
    called = {
        node.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not called & {"open", "print", "input", "eval", "exec", "__import__"}


def test_the_framework_stays_in_its_room() -> None:
    for path in FILES:
        if room(path) != "ui":
            assert not {name.partition(".")[0] for name in imports(path)} & {"textual", "rich"}, (
                path
            )


def test_nothing_else_is_needed_to_run() -> None:
    """Beside the standard library only the four packages that an installation brings."""
    for path in FILES:
        found = {name.partition(".")[0] for name in imports(path)}
        assert found <= set(sys.stdlib_module_names) | THIRD_PARTY | {"tracker"}, path


def test_packages_are_empty() -> None:
    for path in FILES:
        if path.name == "__init__.py":
            assert path.read_bytes() == b"", path


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_what_is_public_says_what_it_is(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if path.name != "__init__.py":
        assert ast.get_docstring(tree), "the module"
    # The methods of a screen are called by its framework and its keys, and by nobody else.
    named = [(name, node) for name, node in public(tree) if "." not in name or room(path) != "ui"]
    missing = [name for name, node in named if not ast.get_docstring(node)]
    assert missing == []


Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def public(tree: ast.Module | ast.ClassDef, inside: str = "") -> Iterator[tuple[str, Definition]]:
    """Public functions and classes, and the public methods of public classes."""
    for node in tree.body:
        if isinstance(node, Definition) and not node.name.startswith("_"):
            yield inside + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node, f"{node.name}.")


LOADS = [
    ("tracker.units", {"tracker"}),
    ("tracker.pattern.cuff_down", {"tracker"}),
    ("tracker.knitting.replay", {"tracker"}),
    ("tracker.forecast.left", {"tracker"}),
    ("tracker.glance", {"tracker"}),
    ("tracker.words", {"tracker"}),
    ("tracker.printing.forms", {"tracker"}),
]


@pytest.mark.parametrize(("module", "allowed"), LOADS)
def test_pure_rooms_load_nothing_else(module: str, allowed: set[str]) -> None:
    """In a fresh process: no framework, no database, no third party."""
    code = f"import {module}, sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in done.stdout.split()}
    assert not loaded & (THIRD_PARTY | {"sqlite3", "tomllib", "argparse", "asyncio", "random"})
    assert allowed <= loaded


COMPUTE_ROWS = {"tracker.pattern.plan", "tracker.pattern.counts", "tracker.pattern.sections"}
OF_A_CHANGE = {"tracker.knitting.changing", "tracker.knitting.altering", "tracker.knitting.laid"}
OF_A_FILE = {"tracker.written", "tracker.pattern.glossary", "tracker.storage.pack"}


def test_a_quick_check_loads_nothing_that_only_a_plan_a_change_or_a_pack_needs() -> None:
    """Start-up is what she waits for."""
    code = "import tracker.session, tracker.reports, sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert {"tracker.session", "tracker.reports"} <= loaded
    assert not loaded & (COMPUTE_ROWS | OF_A_CHANGE | OF_A_FILE)
