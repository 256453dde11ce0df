"""The settings file: what is read, what is said of a wrong one, and what stays when a value is written."""

from __future__ import annotations

import tomllib
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.settings import CHOICES, Settings
from tracker.storage.files import FileTrouble
from tracker.storage.settings_file import read_settings, write_setting

HERS = """# At night I knit in the dark.
look = "light"  # the new lamp

[keys]
tick = ["page down", "space"]
"weigh colour" = "f6"
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "set" / "settings.toml"


def test_without_a_file_all_is_out_of_the_box(file: Path) -> None:
    assert read_settings(file) == Settings()


def test_what_she_wrote(file: Path) -> None:
    file.parent.mkdir()
    file.write_text(HERS)
    found = read_settings(file)
    assert found.look == "light"
    assert found.own_keys == {"tick": ("page down", "space"), "weigh_colour": ("f6",)}
    assert found.keys.act("f6") == "weigh_colour"


def test_keys_of_a_screen(file: Path) -> None:
    file.parent.mkdir()
    file.write_text(
        'look = "light"\n[basket.keys]\nopen = ["page down", "f5"]\n"page down" = "."\n'
        '[pattern.keys]\n"term after" = "b"\nback = "escape"\n'
    )
    found = read_settings(file)
    assert found.own_screen_keys == {
        "pattern": {"term_after": ("b",), "back": ("escape",)},
        "basket": {"open": ("page down", "f5"), "page_down": (".",)},
    }
    assert found.keys.screens["basket"].shown["open"] == "page down"
    assert write_setting("look", "dark", file).own_screen_keys == found.own_screen_keys


def test_a_value_is_written_and_the_rest_stays(file: Path) -> None:
    file.parent.mkdir()
    file.write_text(HERS)
    assert write_setting("look", "high contrast", file).look == "high contrast"
    assert write_setting("bell", "cues", file).bell == "cues"
    assert file.read_text() == HERS.replace('"light"', '"high contrast"').replace(
        "the new lamp\n", 'the new lamp\nbell = "cues"\n'
    )


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("last", ["", "a line's end"])
def test_the_file_keeps_its_line_ends(file: Path, end: str, last: str) -> None:
    file.parent.mkdir()
    text = HERS.replace("\n", end)
    file.write_bytes((text if last else text.removesuffix(end)).encode())
    write_setting("look", "high contrast", file)
    write_setting("bell", "cues", file)
    there = text.replace('"light"', '"high contrast"')
    there = there.replace(f"the new lamp{end}", f'the new lamp{end}bell = "cues"{end}')
    assert file.read_bytes() == there.encode()


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_line_without_a_remark_keeps_its_end_too_and_so_does_a_file_of_one_line(
    file: Path, end: str
) -> None:
    file.parent.mkdir()
    file.write_bytes(f'look = "light"{end}'.encode())
    write_setting("look", "dark", file)
    write_setting("rest", "not reminded", file)
    assert file.read_bytes() == f'look = "dark"{end}rest = "not reminded"{end}'.encode()


def test_a_file_with_both_line_ends_keeps_each_in_its_place(file: Path) -> None:
    file.parent.mkdir()
    file.write_bytes(b'bell = "both"\r\nlook = "light"\n[keys]\r\ntick = "f5"\n')
    write_setting("look", "dark", file)
    write_setting("bell", "never", file)
    assert file.read_bytes() == b'bell = "never"\r\nlook = "dark"\n[keys]\r\ntick = "f5"\n'


ANY = st.sampled_from([(choice.name, value) for choice in CHOICES for value in choice.values])


@given(st.lists(ANY, max_size=6))
def test_the_last_value_of_each_is_what_is_read(
    tmp_path_factory: pytest.TempPathFactory, written: list[tuple[str, str]]
) -> None:
    file = tmp_path_factory.mktemp("set") / "settings.toml"
    for name, value in written:
        write_setting(name, value, file)
    assert read_settings(file) == Settings(**dict(written))  # type: ignore[arg-type]
    if written:
        assert tomllib.loads(file.read_text()) == dict(written)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('look = "drak"', 'line 1: look: "drak" is not one of its values; write "dark" or "light"'),
        ('\nloook = "dark"', "line 2: loook: this is no setting; did you mean look?"),
        ("bell = true", "line 1: bell: True is not one of its values"),
        ("look = [1]", "line 1: look: [1] is not one of its values"),
        ('keys = "space"', "line 1: keys: this is a table; write [keys]"),
        ('[keys]\ntickk = "b"', "line 2: keys.tickk: no act is called so; did you mean tick?"),
        ("[keys]\ntick = 4", 'line 2: keys.tick: write a key or several, like tick = ["f5"'),
        ("[keys]\ntick = []", "line 2: keys.tick: write a key or several"),
        ('[keys]\ntick = ["4"]', 'line 2: keys.tick: "4" belongs to numbers'),
        ('[keys]\ntick = "m"', 'keys: measure has no key, for tick has "m"'),
        (
            "basket = 1",
            "line 1: basket: this is a table of keys; write [basket.keys], and below it open",
        ),
        ("[basket]\nopen = 'f5'", "line 1: basket: this is a table of keys; write [basket.keys]"),
        ("[basket]\nkeys = 1", "basket.keys: this is a table; write [basket.keys]"),
        (
            '[journal.keys]\nkindd = "x"',
            "line 2: journal.keys.kindd: nothing in the journal is called so; did you mean kind?",
        ),
        ('[basket.keys]\nopen = "7"', 'line 2: basket.keys.open: "7" belongs to numbers'),
        (
            '[keys]\ntick = "f5"\n[journal.keys]\nkind = "f5"',
            'line 3: journal.keys: "f5" counts a round in the journal, too; give kind another key',
        ),
        (
            '[basket.keys]\nopen = "n"',
            'line 1: basket.keys: new in the basket has no key, for open has "n"',
        ),
        ("look = ", "a field is written like look = "),
        ("look = 1\nbell = 2", "(and 1 more)"),
        ('"\\u001b[2J" = 1', "?[2J: this is no setting"),
    ],
)
def test_a_wrong_file_is_said_in_one_line_and_never_written_over(
    file: Path, text: str, said: str
) -> None:
    file.parent.mkdir()
    file.write_text(text)
    for act in (partial(read_settings, file), partial(write_setting, "look", "light", file)):
        with pytest.raises(FileTrouble) as caught:
            act()
        line = str(caught.value)
        assert said in line
        assert line.isprintable()
    assert file.read_text() == text


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "there").write_text("")
    with pytest.raises(FileTrouble, match="it cannot be written"):
        write_setting("look", "light", tmp_path / "there" / "settings.toml")


@pytest.mark.parametrize(
    "text", ['look = """\ndark"""\n', "'look' = 'dark'\n", '"lo\\u006fk" = "dark"\n']
)
def test_a_value_whose_line_cannot_be_found_is_left_as_it_is(file: Path, text: str) -> None:
    file.parent.mkdir()
    file.write_text(text)
    with pytest.raises(FileTrouble, match='write look = "light" into the file yourself'):
        write_setting("look", "light", file)
    assert file.read_text() == text


def test_what_is_no_settings_file_is_asked_for_by_its_kind(file: Path) -> None:
    file.mkdir(parents=True)
    with pytest.raises(FileTrouble, match="this is a folder; name a settings file in it"):
        read_settings(file)


def test_a_link_that_leads_to_itself_is_said(file: Path) -> None:
    file.parent.mkdir()
    file.symlink_to(file)
    with pytest.raises(FileTrouble, match="it cannot be written"):
        write_setting("look", "light", file)


def test_a_name_that_no_folder_takes_is_said(tmp_path: Path) -> None:
    for act in (read_settings, partial(write_setting, "look", "light")):
        with pytest.raises(FileTrouble, match="file name too long"):
            act(tmp_path / ("a" * 300))
