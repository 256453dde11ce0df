"""The written pattern on the screen: every row once, the next one always in view, nothing cut; its keys."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.examples import IN_ALL
from tests.knitting.knitter import SAMPLE, Knitter
from tests.ui.driving import app_of, begin, knit, lines, running, shown, until
from tests.ui.reading import text
from tracker.keys import DEFAULT
from tracker.knitting.course import Course
from tracker.pattern.chart import Chart, chart
from tracker.row_by_row import Drawn, Head, RowByRow, Worked, Yarns
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file
from tracker.ui import pattern_view as view
from tracker.ui.canvas import Row, cells
from tracker.ui.chart_view import HERE, pieces
from tracker.ui.commands import PATTERN_COMMANDS, by_key
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.page import list_rows, margin_of
from tracker.ui.pattern_screen import PatternScreen
from tracker.ui.pattern_view import DONE, HEAD, PatternView, page_rows
from tracker.ui.sock_drawing import texture

SIZES = [(120, 36), (80, 24), (60, 20), (40, 12)]
SAMPLES = ["night-ferry", "low-tide", "harbour-pilot", "quay-steps-one", "quay-steps-two"]


def course(sample: str) -> Course:
    return Course(open_file(str(SAMPLE.with_name(f"{sample}.toml"))).pattern)


def of(knitter: Knitter, size: tuple[int, int] = (80, 24)) -> PatternView:
    return _sized(RowByRow(knitter.course, knitter.state, knitter.state.hand), size)


def _sized(pattern: RowByRow, size: tuple[int, int]) -> PatternView:
    return PatternView(pattern, size[0] - 2 * margin_of(size[0]), list_rows(size[1], HEAD))


def told(rows: list[Row]) -> str:
    return " ".join(" ".join(text(tuple(rows))).split())


def places(knitter: Knitter) -> Iterator[None]:
    """Every row of a whole sock, open sections ended where they are planned, and the sock once it is done."""
    yield
    while not knitter.sock().finished:
        here, sock = knitter.course.sections[knitter.sock().section], knitter.sock()
        if here.goal is not None and knitter.course.number(sock.section, sock.rows) >= here.planned:
            knitter.do("end")
        else:
            knitter.tick()
        yield


def at_an_end(knitter: Knitter) -> bool:
    """Whether she is at the first or last rows of a section: inside it the sizes take turns."""
    sock = knitter.sock()
    planned = knitter.course.sections[sock.section].planned
    return sock.finished or sock.rows < 2 or sock.rows + 2 > planned


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_place_is_in_view_at_every_row_of_a_whole_sock(sample: str) -> None:
    knitter = Knitter(course(sample))
    for at, _ in enumerate(places(knitter)):
        found = of(knitter)
        for size in SIZES if IN_ALL or at_an_end(knitter) else (SIZES[at % len(SIZES)],):
            shown_there = _sized(found.pattern, size)
            page = text(page_rows(shown_there, (), *size))
            here = [line for line in page[1:] if line.lstrip().startswith(HERE)]
            if knitter.sock().finished:
                assert not here
                continue
            sock = knitter.sock()
            row = knitter.course.row(sock.section, sock.rows)
            # A chart of the section at work marks its row, too.
            line = here[-1]
            name = f" {row.number} " if row.number else " row " if row.side else " round "
            assert name in f"{line} ", (size, line)
            leaves = "/".join(str(needle.leaves) for needle in row.needles)
            assert f"[{leaves}]" in "".join(page), size


@pytest.mark.parametrize("width", [28, 38, 58, 74, 114, 160])
@pytest.mark.parametrize("sample", SAMPLES)
def test_nothing_is_cut_and_no_line_is_too_long(sample: str, width: int) -> None:
    knitter = Knitter(course(sample))
    knitter.tick(3)
    pattern = RowByRow(knitter.course, knitter.state, 1)
    for at in range(pattern.count):
        entry = pattern.entry(at)
        rows = list(view.entry_lines(entry, width))
        assert {sum(cells(span.text) for span in row) for row in rows} <= {width}
        if isinstance(entry, Worked):
            assert " ".join(entry.work.split()) in told(_work_alone(rows, entry))
            assert entry.name in told(rows)
            assert f"[{entry.leaves}]" in told(rows)
        elif isinstance(entry, Head) and entry.when != "done":
            for remark in entry.remarks:
                # A line may break behind a hyphen.
                assert remark.replace(" ", "") in told(rows).replace(" ", "")


def _work_alone(rows: list[Row], entry: Worked) -> list[Row]:
    """The lines of a row without the counts that stand at their end."""
    leaves = f"[{entry.leaves}]"
    return [
        tuple(span._replace(text=span.text.replace(leaves, "")) for span in row) for row in rows
    ]


def test_done_rows_recede_with_a_sign_and_the_next_is_bold_with_one_of_its_own() -> None:
    knitter = Knitter()
    knitter.to("gusset", 4)
    found = of(knitter, (80, 24))
    lines = found.lines()
    signs = {row[0].text[0]: {span.paint for span in row if span.text.strip()} for row in lines}
    assert {paint.ink for paint in signs[DONE]} == {"quiet"}
    at = next(at for at, row in enumerate(lines) if row[0].text[0] == HERE)
    assert all(span.paint.bold for span in lines[at] if span.text.strip())
    assert not "".join(text((lines[at - 1],))).strip(), "a free line above it"
    beyond = next(n for n, line in enumerate(text(tuple(lines))) if n > at and not line.strip())
    assert "Round 6" in text(tuple(lines))[beyond + 1], "and one below"


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_term_of_the_next_row_is_explained_in_full_in_view(sample: str) -> None:
    knitter, seen = Knitter(course(sample)), set[tuple[tuple[str, str], ...]]()
    for _ in places(knitter):
        pattern = of(knitter).pattern
        if pattern.terms in seen:
            continue
        seen.add(pattern.terms)
        for size in SIZES:
            found = _sized(pattern, size)
            for name, words in pattern.terms:
                found.choose(1)
                assert f"{name}: {words}" in told(found.lines()), size
    assert len(seen) > 1


def test_the_terms_are_gone_through_both_ways_and_round_about() -> None:
    knitter = Knitter()
    knitter.to("gusset", 2)
    found = of(knitter)
    last = len(found.pattern.terms) - 1
    assert last > 2
    seen = []
    for step in (1, 1, -1, -1, -1, 1):
        found.choose(step)
        seen.append(found.chosen)
    assert seen == [0, 1, 0, last, last - 1, last]


@pytest.mark.parametrize("size", SIZES)
def test_line_by_line_every_row_is_seen_once(size: tuple[int, int]) -> None:
    knitter = Knitter()
    knitter.to("leg", 7)
    found = of(knitter, size)
    found.to_beginning()
    seen = [*text(tuple(found.lines()))]
    for _ in range(2_000):
        before = found.top
        found.scroll(1)
        if found.top == before:
            break
        seen.append(text((found.lines()[-1],))[0])
    rounds = [line for line in seen if line[2:].startswith(("Round ", "Row ", "Pick-up", "Set-up"))]
    assert len(rounds) == found.pattern.rows
    assert sum(line.startswith(DONE) for line in rounds) == 22 + 7
    found.to_end()
    assert text((found.lines()[-1],))[0] == seen[-1]


def test_pages_and_sections_go_both_ways_and_end_at_the_ends() -> None:
    found = of(Knitter())
    found.to_beginning()
    heads = []
    for _ in range(12):
        heads.append(found.pattern.section_of(found.top.entry))
        found.to_section(before=False)
    assert list(dict.fromkeys(heads))[:6] == [
        "Cuff",
        "Leg",
        "Heel set-up",
        "Heel flap",
        "Heel turn",
        "Gusset",
    ]
    for _ in range(12):
        found.to_section(before=True)
    assert found.top == (0, 0)


@pytest.mark.parametrize("size", [*SIZES, (20, 4), (10, 2), (4, 1)])
def test_every_size_has_as_many_rows(size: tuple[int, int]) -> None:
    rows = page_rows(of(Knitter(), size), (), *size)
    assert len(rows) == size[1]


# Charts


def charted(width: int, found: Chart) -> list[str]:
    return text(tuple(view.entry_lines(Drawn(found, 2, False), width)))


@pytest.mark.parametrize("width", [28, 38, 58, 74])
def test_all_columns_of_a_chart_stand_there_once_with_their_numbers(width: int) -> None:
    found = chart(course("harbour-pilot").sections[3])
    assert found
    spans = pieces(found.stitches, width)
    assert [first for first, _ in spans] == [1, *(last + 1 for _, last in spans[:-1])]
    assert spans[-1][1] == found.stitches
    page = charted(width, found)
    for number, line in enumerate(found.lines, start=1):
        drawn = [row.strip() for row in page if set(row) & {"V", "|"} and _number(row) == number]
        signs = "".join(part.strip(f"{HERE} {number}") for part in reversed(drawn))
        assert signs == line.signs
    assert sum(row.startswith(HERE) for row in page) == len(spans), "row 2 is next"


def _number(row: str) -> int | None:
    words = row.replace(HERE, " ").split()
    ends = [words[0], words[-1]] if len(words) == 2 else []
    return next((int(word) for word in ends if word.isdigit()), None)


def test_a_chart_is_read_from_below_its_right_side_rows_numbered_at_the_right() -> None:
    found = chart(course("night-ferry").sections[3])
    assert found
    page = charted(74, found)
    above, below = (next(at for at, row in enumerate(page) if _number(row) == n) for n in (2, 1))
    assert above + 1 == below
    assert page[above].rstrip().endswith("| 2") or page[above].rstrip().endswith("V 2")
    assert page[below].split()[0] == "1"
    assert "V sl" in page[-1]


LONG = ("dark heather greyish", "nightingaleblueishes", "navy")


@pytest.mark.parametrize("names", [("slate", "sand", "foam"), LONG])
@pytest.mark.parametrize("width", [28, 34, 38, 58, 74])
def test_beside_each_row_of_a_chart_stands_its_yarn_by_chip_and_name(
    width: int, names: tuple[str, ...]
) -> None:
    found = chart(course("harbour-pilot").sections[3])
    assert found
    yarns = Yarns((0, 2), names, 9, 10)
    rows = tuple(view.entry_lines(Drawn(found, 2, True, yarns), width))
    page = text(rows)
    chips: dict[int, list[tuple[str, str]]] = {}
    assert {cells("".join(span.text for span in row)) for row in rows} == {width}
    for row, line in zip(rows, page, strict=True):
        for span in row:
            if span.paint.ground.startswith("yarn"):
                at = line.index(span.text)
                chips.setdefault(at, []).append((span.text, line[at + len(span.text) :].strip()))
    (beside,) = chips.values()  # all in one column
    names_of = {name for _, name in beside}
    assert {sign for sign, _ in beside} == {texture(0) * 2, texture(2) * 2}
    assert names_of in ({names[0], names[2]}, {"A", "C"})
    assert len(beside) == 2 * (len(beside) // 2) > 0
    told = " ".join(" ".join(page).split())
    assert "Beside each the yarn, as in rounds 9 to 10." in told
    if names_of == {"A", "C"}:
        assert width < 60 or names is LONG
        assert f"A {names[0]} C {names[2]}" in told
    assert names[1] not in told, "no row is worked in it"


# In the app


@pytest.mark.parametrize("size", SIZES)
async def test_it_opens_at_the_next_row_and_goes_back(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press(">")
        await until(pilot, app, f"{HERE} Round 10")
        assert isinstance(app.screen, PatternScreen)
        assert lines(app)[-1].endswith("esc back")
        await pilot.press("escape")
        await until(pilot, app, "of about 46")
        assert isinstance(app.screen, NeedlesScreen)
        await pilot.press(">", ">")
        assert isinstance(app.screen, NeedlesScreen), "the same key goes back, too"
        assert session.glance.events == 3


async def test_each_key_does_its_own(basket: Basket) -> None:
    session = begin(basket)
    knit(session, lambda place: place.kind == "gusset" and place.done == 2)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(">")
        await until(pilot, app, f"{HERE} Round 3")
        for key, seen in (
            ("right", "k: knit"), ("right", "to last: on and on"),
            ("right", "k2tog: knit two together as one (2 become 1)"), ("left", "to last: on and on"),
            ("home", "Cuff"), ("end", "Graft"),
            ("p", "Toe 20 rounds"), ("p", "Foot"), ("n", "Toe 20 rounds"), ("pageup", "Round 40"),
            ("pagedown", "Toe 20 rounds"),
            ("home", "Round 17"), ("down", "Round 18"), ("up", "= Cuff"),
        ):  # fmt: skip
            await pilot.press(key)
            await until(pilot, app, seen)


async def test_other_keys_of_the_needles_are_done_there(basket: Basket, session: Session) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(">", "space")
        await until(pilot, app, "round 11")
        assert session.glance.place.done == 10
        await pilot.press(">")
        await until(pilot, app, f"{HERE} Round 11")
        await pilot.press("j")
        await until(pilot, app, "both socks, every kind")


async def test_a_resize_keeps_the_next_row_in_view(basket: Basket, session: Session) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(">")
        await until(pilot, app, f"{HERE} Round 10")
        for size in reversed(SIZES):
            await pilot.resize_terminal(*size)
            await until(pilot, app, f"{HERE} Round 10")
        assert f"{DONE} Round 9" in running(app)


async def test_sock_two_has_its_own(basket: Basket, session: Session, tmp_path: Path) -> None:
    session.other()
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(">")
        await until(pilot, app, "Night ferry, sock two")
        assert f"{HERE} Round 1 " in shown(app)


def test_every_key_of_its_own_is_known_and_none_ticks() -> None:
    assert not set(by_key("pattern")) & {*DEFAULT["tick"], *DEFAULT["undo"]}
    for command in PATTERN_COMMANDS:
        assert command.name == "back" or hasattr(PatternScreen, f"do_{command.name}")
