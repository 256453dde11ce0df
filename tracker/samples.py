"""The samples, plans and a packed pair: beside the package in a checkout, inside it once installed."""

from __future__ import annotations

from pathlib import Path

from tracker.units import shorten

_HERE = Path(__file__).parent
_PLACES = (_HERE / "sample_projects", _HERE.parent / "sample_projects")


def samples() -> list[Path]:
    """The sample files, plans by name and then what is packed; empty if they were taken away."""
    for place in _PLACES:
        found = [*sorted(place.glob("*.toml")), *sorted(place.glob("*.pack"))]
        if found:
            return found
    return []


def about(path: Path) -> str:
    """What a sample says of itself in its first line, a remark; "" where it says nothing."""
    try:
        with path.open(encoding="utf-8") as file:
            line = file.readline(_LONGEST)
    except (OSError, ValueError):
        return ""
    return shorten(line[1:].strip().removesuffix("."), _LONGEST) if line.startswith("#") else ""


_LONGEST = 200
