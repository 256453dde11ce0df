"""The samples, the style sheet and the schema come along: in the wheel, the sdist and a checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "sample_projects"
DATA = [
    path.relative_to(ROOT).as_posix()
    for path in sorted((ROOT / "tracker").rglob("*"))
    if path.is_file() and path.suffix not in (".py", ".pyc")
]
"""What belongs to the program and is no code: the style sheet, the schema, the page of the server."""
SAMPLES = [path.name for kind in ("toml", "pack") for path in sorted(FOLDER.glob(f"*.{kind}"))]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the sdist of this checkout."""
    folder = tmp_path_factory.mktemp("dist")
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder), str(ROOT)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder


def test_wheel_holds_samples_and_data(built: Path) -> None:
    names = zipfile.ZipFile(next(built.glob("*.whl"))).namelist()
    for sample in SAMPLES:
        assert f"tracker/sample_projects/{sample}" in names
    assert {"tracker/py.typed", "tracker/served_page/app_index.html"} <= set(DATA) <= set(names)
    assert not [name for name in names if name.startswith("tests/")]


def test_sdist_holds_samples_and_tests(built: Path) -> None:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        names = archive.getnames()
    base = names[0].partition("/")[0]
    for sample in SAMPLES:
        assert f"{base}/sample_projects/{sample}" in names
    assert {f"{base}/{name}" for name in DATA} <= set(names)
    assert f"{base}/tests/packaging/test_packages.py" in names


def test_installed_wheel_finds_its_samples(built: Path, tmp_path: Path) -> None:
    """Unpacked far from the checkout, the program lists the samples it came with."""
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        wheel.extractall(tmp_path)  # noqa: S202 - our own wheel, built a moment ago
    code = (
        f"import sys; sys.path.insert(0, {str(tmp_path)!r});"
        "from tracker.samples import samples; print(*samples(), sep='\\n')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path
    )
    found = [Path(line) for line in done.stdout.splitlines()]
    assert [path.name for path in found] == SAMPLES
    assert all(path.is_relative_to(tmp_path) for path in found)


def test_the_readmes_first_command_opens_a_sample(built: Path, tmp_path: Path) -> None:
    """Without a terminal its instep prints the quick check; the wheel is run, not the checkout."""
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        wheel.extractall(tmp_path)  # noqa: S202 - our own wheel, built a moment ago
    first = (ROOT / "README.md").read_text().partition("```sh\n")[2].partition("\n")[0]
    program, sample = first.rpartition(" && ")[2].split()
    assert program == ".venv/bin/instep"
    done = subprocess.run(
        [sys.executable, "-m", "tracker", str(ROOT / sample)],
        cwd=tmp_path,
        env=os.environ
        | {"INSTEP_BASKET": str(tmp_path / "basket.db"), "PYTHONPATH": str(tmp_path)},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Sock two, heel turn: row 6 of 14 is done" in done.stdout


def test_checkout_finds_its_samples() -> None:
    """In an editable install the samples are those of the checkout."""
    code = "from tracker.samples import samples; print(*samples(), sep='\\n')"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd="/"
    )
    assert done.stdout.splitlines() == [str(ROOT / "sample_projects" / name) for name in SAMPLES]


def test_ci_calls_the_command_of_the_readme() -> None:
    last = (ROOT / ".ci" / "run").read_text().strip().splitlines()[-1]
    assert "pytest" in last
    assert f"```sh\n{last}\n```" in (ROOT / "README.md").read_text()
