"""Every heel, toe and note of the plan's and the cues' own tables has its work, its card and its words.

What is added there without them fails here, or as soon as it is said; it never says another's.
"""

from __future__ import annotations

import ast
from functools import cache
from itertools import product
from pathlib import Path

import pytest

from tests.pattern.choices import HEELS, TOES, made
from tests.pattern.making import plan_of, sock
from tracker import cards, toe_up_cards, words, written
from tracker.pattern.glossary import terms
from tracker.pattern.model import HEEL_FLAT, Pattern, Section
from tracker.pattern.plan import FIELDS, WillNotWork
from tracker.pattern.toes import least_of, toe_over

ROOM = Path(words.__file__).parent
EITHER_WAY = [*product(made("direction"), HEELS, TOES)]
ONE_ANOTHER = "what is chosen is made, and nothing else in its place"


@cache
def knitted(direction: str, heel: str, toe: str) -> Pattern | None:
    """The sock of such a plan; None where it is refused."""
    try:
        return sock(
            {"direction": direction, "heel.kind": heel, "toe.kind": toe, "foot.length": "30 cm"}
        )
    except WillNotWork:
        return None


def all_sections() -> list[tuple[Pattern, Section]]:
    """Each kind of section that any of them has, once for either direction."""
    found: dict[tuple[str, str, str], tuple[Pattern, Section]] = {}
    for one in EITHER_WAY:
        pattern = knitted(*one)
        if pattern is not None:
            for part in pattern.sections:
                found.setdefault((one[0], part.kind, part.name), (pattern, part))
    return [*found.values()]


def test_a_heel_that_nobody_wrote_fails_and_is_not_knitted_as_another(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kind = FIELDS["heel"]["kind"]
    told = (*HEELS, "sideways")
    monkeypatch.setitem(FIELDS["heel"], "kind", kind._replace(choices=told, made=told))
    with pytest.raises(KeyError, match="sideways"):
        sock({"heel.kind": "sideways"})


def test_each_heel_of_the_plan_is_one_of_its_own() -> None:
    rows = {}
    for heel in HEELS:
        (*_, pattern) = [
            one for toe in TOES if (one := knitted("cuff-down", heel, toe)) is not None
        ]
        parts = [
            part for part in pattern.sections if part.kind not in ("cuff", "leg", "foot", "toe")
        ]
        rows[heel] = tuple(row.needles for part in parts for row in part.rows)
        assert plan_of({"heel.kind": heel}).of("heel.kind") == heel
    assert len(set(rows.values())) == len(HEELS), ONE_ANOTHER


def test_each_toe_of_the_plan_is_one_of_its_own() -> None:
    shapes = [tuple(_decreases(kind)) for kind in TOES]
    assert len(set(shapes)) == len(TOES), ONE_ANOTHER
    assert all(least_of(kind) for kind in TOES)


def _decreases(kind: str) -> list[bool]:
    toe = toe_over(kind, 64)
    return [toe.decreases(number) for number in range(1, toe.rounds + 1)]


def test_each_choice_is_knitted_in_some_sock_from_the_cuff_down() -> None:
    assert all(knitted("cuff-down", heel, toe) for heel, toe in product(HEELS, TOES))


def test_each_section_has_a_card_of_its_own() -> None:
    for pattern, part in all_sections():
        if part is pattern.sections[0]:
            continue  # it has the card of the cast-on
        own = toe_up_cards.which(part.kind) if pattern.toe_up else part.kind
        assert own in cards._CARDS or _kind(part) in cards._CARDS, (part.kind, part.name)


def test_each_section_is_announced_and_written_in_words_of_its_own() -> None:
    for pattern, part in all_sections():
        assert _kind(part) in words._NEXT_SECTION, part.kind
        assert words.section(part.kind, of_socks=True)
        assert written.head(part, pattern)
        assert terms(" | ".join(needle.work for needle in row.needles) for row in part.rows)


def test_each_section_worked_flat_in_a_heel_is_known_to_be_one() -> None:
    beside = {"graft", "draw up", "bind-off", "other"}
    for _, part in all_sections():
        assert part.worked == "rounds" or part.kind in HEEL_FLAT | beside, part.kind


def _kind(part: Section) -> str:
    """Its kind, by which it has its words; of one that is no usual part of a sock its name."""
    return part.name if part.kind == "other" else part.kind


def test_each_written_pattern_has_every_section() -> None:
    for one in EITHER_WAY:
        pattern = knitted(*one)
        if pattern is not None:
            told = written.sections(pattern)
            assert len(told) == len(pattern.sections)
            assert all(page.lines for page in told)


def test_each_note_has_words_of_its_own() -> None:
    """A note that is yielded anywhere stands in the table of what notes say, and nothing else does."""
    texts = [
        text for file in ROOM.rglob("*.py") if 'Cue("note"' in (text := file.read_text("utf-8"))
    ]
    told = {about for text in texts for one in ast.walk(ast.parse(text)) for about in _notes(one)}
    assert told == set(words._NOTES)
    assert "through the back" in told


def _notes(tree: ast.AST) -> set[str]:
    """What the notes that a function yields are about."""
    if not isinstance(tree, ast.FunctionDef):
        return set()
    assigned: dict[str, set[str]] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            assigned.setdefault(node.targets[0].id, set()).update(_texts(node.value))
    found: set[str] = set()
    for node in ast.walk(tree):
        called = (
            isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Cue"
        )
        if called and isinstance(node, ast.Call) and _texts(node.args[0]) == {"note"}:
            about = node.args[3]
            found |= assigned[about.id] if isinstance(about, ast.Name) else _texts(about)
    return found


def _texts(node: ast.AST) -> set[str]:
    """The texts an expression may come to."""
    if isinstance(node, ast.IfExp):
        return _texts(node.body) | _texts(node.orelse)
    return {node.value} if isinstance(node, ast.Constant) and isinstance(node.value, str) else set()
