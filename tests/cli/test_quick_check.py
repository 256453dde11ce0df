"""The quick check that is answered from what was kept: word for word the whole program's, or not at all."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import platformdirs
import pytest

from tests.cli.conftest import Instep
from tests.cli.test_formats import newer, to_two
from tests.knitting.knitter import SAMPLE
from tracker import keep_left, quick_check
from tracker.clock import now
from tracker.session import Session
from tracker.storage import kept_answers
from tracker.storage.basket import Basket
from tracker.storage.kept_answers import Kept, beside

WAYS = (
    ("left",), ("left", "--json"), ("left", "--json", "--more"), ("left", "--sock", "2"),
    ("left", "--json", "--sock", "1"), ("left", "--pair", "night-ferry"),
)  # fmt: skip
ACTS = (
    "tick 22", "tick --needle", "undo", "redo", "tick 12", "note in the train", "measure 4.1 cm", "lifeline",
    "tick 3", "rip --by 2", "target 17 cm", "weigh 80", "count ok", "changed other a knot", "rest", "other",
    "order section by section", "tick 2", "tick 2", "other --over 1", "at 3", "other", "end", "restart",
    "undo", "changed needle 2.25", "copy {last} no", "undo",
)  # fmt: skip


def known(*words: str) -> str | None:
    return quick_check.known(list(words))


def in_words(instep: Instep, *words: str) -> str:
    """What the whole program says; the same then is known."""
    said = instep.ok(*words)
    assert known(*words) == said
    return said


def test_after_every_kind_of_act_nothing_is_known_and_then_the_whole_programs_words(
    pair: Instep,
) -> None:
    last = 1
    for number, act in enumerate(ACTS):
        asked = WAYS[number % len(WAYS)]
        in_words(pair, *asked)
        pair.ok(*act.format(last=last).split())
        assert [known(*way) for way in WAYS] == [None] * len(WAYS), act
        last = pair.json("left")["events"]
    for asked in WAYS:
        in_words(pair, *asked)


def test_of_two_pairs_the_one_last_touched_is_meant(pair: Instep) -> None:
    pair.run("start", str(SAMPLE.with_name("low-tide.toml")))
    assert "low-tide" in in_words(pair, "left")
    pair.ok("tick", "--pair", "night-ferry")
    assert known("left") is None
    assert "night-ferry" in in_words(pair, "left")
    assert "low-tide" in in_words(pair, "left", "--pair", "low-tide")
    assert known("left", "--pair", "lowtide") is None
    pair.ok("away", "night-ferry")
    assert known("left") is None
    assert "low-tide" in in_words(pair, "left")
    pair.ok("back", "night-ferry")
    assert "night-ferry" in in_words(pair, "left")


def test_whatever_the_clock_does_what_is_known_is_true(pair: Instep) -> None:
    """By minutes, over a day of hers, over every pause that is told, in other zones, and put back."""
    pair.ok("tick", "30")
    pair.ok("measure", "5.5 cm")
    moments = (
        "2026-03-01T20:00:30+01:00", "2026-03-01T20:14:59+01:00", "2026-03-01T20:15:00+01:00",
        "2026-03-01T20:31:00+01:00", "2026-03-01T23:59:59+01:00", "2026-03-02T00:00:00+01:00",
        "2026-03-02T19:59:59+01:00", "2026-03-02T20:00:00+01:00", "2026-03-02T20:00:01+01:00",
        "2026-03-04T20:00:01+01:00", "2026-03-25T08:00:00+01:00", "2026-05-01T08:00:00+01:00",
        "2026-03-01T20:40:00+05:30", "2026-02-27T08:00:00+01:00",
    )  # fmt: skip
    hits = 0
    for _ in range(2):
        for moment in moments:
            pair.now(moment)
            for asked in (("left",), ("left", "--json")):
                before = known(*asked)
                said = pair.ok(*asked)
                assert before in (None, said), moment
                hits += before is not None
    assert hits > len(moments)
    pair.now("2026-03-01T20:40:00+01:00")
    in_words(pair, "left")
    pair.now("2026-03-01T20:41:00+01:00")
    assert "Last knitted 41 minutes ago." in (known("left") or ""), "the minutes alone go on"


def test_a_clock_that_is_none_is_for_the_whole_program(pair: Instep) -> None:
    in_words(pair, "left")
    pair.now("tomorrow")
    assert known("left") is None
    assert "not a time" in pair.wrong("left")


def test_what_is_set_around_it_makes_another_answer(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    for moment in range(0, 30, 4):
        pair.now(f"2026-03-01T19:{moment:02}:00+01:00")
        pair.ok("tick")
    assert "rest" in in_words(pair, "left")
    monkeypatch.setenv("INSTEP_REST", "off")
    assert known("left") is None
    in_words(pair, "left")
    monkeypatch.setattr(kept_answers, "_program", lambda: [("another version", 0, 0, 0)])
    assert known("left") is None


def test_another_way_to_count_makes_another_answer(pair: Instep) -> None:
    in_words(pair, "left")
    with Basket.open(pair.basket) as basket:
        basket.set_count(basket.find(None), "needles")
    assert known("left") is None


def test_a_brought_on_or_mended_basket_is_asked_anew(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair.ok("tick", "3")
    whole = in_words(pair, "left")
    pair.basket.write_bytes(pair.basket.read_bytes().replace(b'{"rounds":3}', b'{"rounds":4}'))
    assert known("left") is None
    pair.wrong("left")
    pair.ok("mend")
    assert known("left") is None
    assert in_words(pair, "left") != whole, "the act that was damaged is lost"
    whole = in_words(pair, "left")
    newer(monkeypatch, to_two)
    monkeypatch.setattr(kept_answers, "_program", lambda: [("a later version", 0, 0, 0)])
    assert known("left") is None
    assert in_words(pair, "left") == whole


def test_no_damage_of_the_basket_is_passed_over(pair: Instep) -> None:
    pair.ok("tick", "3")
    in_words(pair, "left")
    whole, random = pair.basket.read_bytes(), Random(3)  # noqa: S311
    for at in (0, 18, 60, 68, len(whole) - 1, *random.sample(range(len(whole)), 60)):
        turned = bytearray(whole)
        turned[at] ^= 1 << random.randrange(8)
        pair.basket.write_bytes(turned)
        assert known("left") is None, at
    for size in (0, 100, len(whole) // 2, len(whole) - 1):
        pair.basket.write_bytes(whole[:size])
        assert known("left") is None, size
    pair.basket.write_bytes(whole)
    assert known("left") is not None


def test_no_damage_of_what_is_kept_is_told(pair: Instep) -> None:
    truth = in_words(pair, "left")
    path, random = Path(beside(str(pair.basket))), Random(4)  # noqa: S311
    assert path.stat().st_mode & 0o777 == 0o600
    whole = path.read_bytes()
    for at in (*range(0, 120, 5), *range(120, len(whole), 31)):
        turned = bytearray(whole)
        turned[at] ^= 1 << random.randrange(8)
        path.write_bytes(turned)
        assert known("left") in (None, truth), at
        path.write_bytes(whole[:at])
        assert known("left") is None
    path.write_bytes(b"\n" * 10)
    assert known("left") is None
    path.unlink()
    path.mkdir()
    assert known("left") is None
    assert pair.ok("left") == truth, "where it cannot be kept it is said all the same"


def test_a_log_that_holds_more_than_the_file_is_for_the_whole_program(
    pair: Instep, tmp_path: Path
) -> None:
    """Of another program that is at it, and of one that was killed, its log whole or lost."""
    in_words(pair, "left")
    killed = tmp_path / "killed"
    with Basket.open(pair.basket) as basket:
        session = Session(basket, basket.find(None), now)
        session.tick()
        assert known("left") is None
        killed.mkdir()
        for each in pair.basket.parent.glob("basket.db*"):
            shutil.copy(each, killed)
    there = ("left", "--basket", str(killed / "basket.db"))
    assert (killed / "basket.db-answers").exists()
    assert known(*there) is None
    (killed / "basket.db-wal").write_bytes(b"")
    assert known(*there) is None, "its index tells of acts that are lost"
    (killed / "basket.db-wal").unlink()
    assert known(*there) is None
    (killed / "basket.db-shm").unlink()
    assert known(*there) is not None, "then nobody can know, nor does the whole program"
    assert pair.ok(*there) == known(*there)
    (killed / "basket.db-journal").write_bytes(b"")
    assert known(*there) is None


def test_nothing_is_kept_of_a_basket_that_another_program_writes_meanwhile(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between the replay and the checksum: the answer is of before, the bytes are of after."""
    keep = keep_left.keep_left

    def later(*told: object) -> None:
        code = "from tracker.cli import main; main(['tick'])"
        subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)
        keep(*told)  # type: ignore[arg-type]

    with monkeypatch.context() as patch:
        patch.setattr(keep_left, "keep_left", later)
        before = pair.ok("left")
    assert known("left") is None
    assert in_words(pair, "left") != before


def test_beside_a_program_that_has_it_open_it_is_known_until_the_next_act(pair: Instep) -> None:
    with Basket.open(pair.basket) as basket:
        session = Session(basket, basket.find(None), now)
        session.tick()
        said = subprocess.run(
            [sys.executable, "-m", "tracker", "left"], check=True, capture_output=True, text=True
        )
        handle = os.open(pair.basket, os.O_RDONLY)  # kept, for closing it would let the locks go
        assert kept_answers.is_alone(str(pair.basket))
        basket.changed()
        assert kept_answers.sum_of(handle) == basket.sum_of_file()
        again = subprocess.run(
            [sys.executable, "-X", "importtime", "-m", "tracker", "left"],
            check=True, capture_output=True, text=True,
        )  # fmt: skip
        assert said.stdout == again.stdout
        assert "tracker.cli" not in again.stderr
        session.tick()
        assert not kept_answers.is_alone(str(pair.basket))
    os.close(handle)


@pytest.mark.parametrize(
    "words",
    [
        (), ("--json",), ("left", "--jso"), ("left", "--pair=night-ferry"), ("left", "--sock", "3"),
        ("left", "--sock"), ("left", "--more"), ("left", "--json", "--json"), ("left", "left"),
        ("left", "--pair", "--json"), ("left", "-h"), ("tick",), ("left", "--", "x"), ("--json", "left"),
        ("left", "--pair", ""), ("left", "--basket", ""), ("--version",), ("night-ferry",),
    ],
)  # fmt: skip
def test_only_the_plainest_words_are_answered(pair: Instep, words: tuple[str, ...]) -> None:
    for way in WAYS:
        in_words(pair, *way)
    assert known(*words) is None


def test_a_basket_that_is_named_and_one_behind_a_link_is_the_file_itself(
    pair: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = in_words(pair, "left")
    link = tmp_path / "elsewhere" / "link.db"
    link.parent.mkdir()
    link.symlink_to(pair.basket)
    monkeypatch.delenv("INSTEP_BASKET")
    assert known("--basket", str(link), "left") == said
    assert known("left", "--basket", str(pair.basket)) == said
    assert known("left", "--basket", str(tmp_path)) is None
    assert known("left", "--basket", str(tmp_path / "none.db")) is None


def test_a_step_up_behind_a_link_leads_where_the_link_does(
    pair: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the letters alone `l/../k.db` would be the one beside the link."""
    there = tmp_path / "there" / "inside"
    there.mkdir(parents=True)
    (tmp_path / "l").symlink_to(there)
    pair.ok("left")
    for folder, ticks in ((tmp_path, "1"), (there.parent, "2")):
        shutil.copy(pair.basket, folder / "k.db")
        pair.ok("tick", ticks, "--basket", str(folder / "k.db"))
        pair.ok("left", "--basket", str(folder / "k.db"))
    monkeypatch.chdir(tmp_path)
    said = pair.ok("left", "--basket", "l/../k.db")
    assert said == pair.ok("left", "--basket", str(there.parent / "k.db"))
    assert known("left", "--basket", "l/../k.db") in (None, said)
    assert known("left", "--basket", "k.db") == pair.ok("left", "--basket", "k.db") != said


def test_ctrl_c_ends_it_as_it_ends_the_whole_program(monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(_: object) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr(quick_check, "known", stopped)
    assert quick_check.main() == 130


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere platformdirs is asked")
@pytest.mark.parametrize("folder", [None, "", " ", "/somewhere/of hers"])
def test_without_a_name_it_is_where_the_whole_program_looks(
    folder: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    if folder is not None:
        monkeypatch.setenv("XDG_DATA_HOME", folder)
    there = platformdirs.user_data_path("instep", appauthor=False) / "basket.db"
    assert quick_check._of_the_system() == str(there)


def test_a_basket_that_is_too_large_to_sum_up_is_replayed(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept_answers, "MOST_BYTES", 1000)
    pair.ok("left")
    assert known("left") is None
    assert not Path(beside(str(pair.basket))).exists()


def test_the_newest_answers_are_kept_and_no_more(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(kept_answers.MOST_KEPT + 3):
        monkeypatch.setenv("INSTEP_ELSEWHERE", str(number))
        in_words(pair, "left")
    monkeypatch.setenv("INSTEP_ELSEWHERE", "0")
    assert known("left") is None
    told = kept_answers._entries(kept_answers._read(str(pair.basket)))
    assert len(told) == kept_answers.MOST_KEPT


def test_a_newer_answer_to_the_same_takes_the_place_of_the_older(pair: Instep) -> None:
    for day in range(1, 4):
        pair.now(f"2026-03-{day:02}T21:00:00+01:00")
        in_words(pair, "left")
    assert len(kept_answers._entries(kept_answers._read(str(pair.basket)))) == 1


def test_what_another_could_have_written_is_not_believed(pair: Instep, tmp_path: Path) -> None:
    truth, path = in_words(pair, "left"), Path(beside(str(pair.basket)))
    for mode in (0o620, 0o602):
        path.chmod(mode)
        assert known("left") is None
    path.chmod(0o600)
    assert known("left") == truth
    path.rename(tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")
    assert known("left") is None
    assert pair.ok("left") == truth
    assert not path.is_symlink(), "replaced, and what it led to is as it was"
    assert known("left") == truth


@pytest.mark.parametrize("end", ["-answers", "-shm"])
def test_a_pipe_in_its_place_is_not_waited_for(pair: Instep, end: str) -> None:
    truth = in_words(pair, "left")
    pipe = Path(f"{pair.basket}{end}")
    pipe.unlink(missing_ok=True)
    os.mkfifo(pipe)
    assert known("left") is None
    if end == "-answers":
        assert pair.ok("left") == truth == known("left")
        assert pipe.is_file()


def _forged(pair: Instep, change: Callable[[Kept], None]) -> None:
    """Its checksum is no secret: whoever may write the file can make a right one."""
    ((key, kept),) = kept_answers._entries(kept_answers._read(str(pair.basket)))
    change(kept)
    Path(beside(str(pair.basket))).write_bytes(kept_answers._written(key, kept))


@pytest.mark.parametrize("sign", ["\x1b[31m", "\a", "\r", "\u202e", "\x9b"])
def test_no_sign_that_steers_a_terminal_is_said(pair: Instep, sign: str) -> None:
    in_words(pair, "left")
    _forged(pair, lambda kept: setattr(kept, "text", f"{kept.text[:5]}{sign}{kept.text[5:]}"))
    assert known("left") is None


@pytest.mark.parametrize("text", ["", "one line"])
def test_an_answer_of_another_shape_is_none_and_no_traceback(pair: Instep, text: str) -> None:
    truth = in_words(pair, "left")
    _forged(pair, lambda kept: setattr(kept, "text", text))
    assert known("left") is None
    assert pair.ok("left") == truth == known("left")


def test_what_a_killed_program_left_half_written_is_cleared_away(pair: Instep) -> None:
    path = beside(str(pair.basket))
    old, new, other = (Path(f"{path}-{end}") for end in ("4000001", "4000002", "of-hers"))
    for each in (old, new, other):
        each.write_bytes(b"half")
    for each in (old, other):
        os.utime(each, (1, 1))
    in_words(pair, "left")
    assert [each.exists() for each in (old, new, other)] == [False, True, True]


HOLDS = """
import sys
from pathlib import Path
from tracker.storage.basket import Basket
basket = Basket.open(Path(sys.argv[1]))
basket.pairs()
basket.sum_of_file()
print("summed up", flush=True)
sys.stdin.readline()
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the locks are read where Linux tells them")
def test_summing_up_lets_none_of_the_locks_on_the_index_go(pair: Instep) -> None:
    """Who opens the basket next would take it to be alone, and cut the index that is in use."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLDS, str(pair.basket)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as other:  # fmt: skip
        assert other.stdin is not None
        assert other.stdout is not None
        assert other.stdout.readline() == "summed up\n"
        inode = Path(f"{pair.basket}-shm").stat().st_ino
        locks = Path("/proc/locks").read_text("utf-8")
        other.stdin.close()
    assert f":{inode} " in locks


LOADED = {
    "tracker",
    "tracker.quick_check",
    "tracker.bare_clock",
    "tracker.moment",
    "tracker.storage",
}
LOADED |= {"tracker.storage.kept_answers"}


def test_it_loads_next_to_nothing_and_opens_no_database(pair: Instep) -> None:
    """Start-up is what she waits for: counted in modules, not in seconds."""
    in_words(pair, "left")
    code = (
        "import sys; bare = set(sys.modules); sys.argv = ['instep', 'left'];"
        " from tracker.quick_check import main; main();"
        " print(*sorted(set(sys.modules) - bare), file=sys.stderr)"
    )
    env = {name: value for name, value in os.environ.items() if name != "INSTEP_NOW"}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env)
    if "tracker.cli" in done.stderr:  # by the clock of today it was not asked before
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env)
    loaded = set(done.stderr.split())
    assert {name for name in loaded if name.startswith("tracker")} == LOADED
    assert not loaded & {"sqlite3", "argparse", "typing", "pathlib", "re", "json", "datetime"}
    assert len(loaded) <= 12, loaded


def test_streams_that_are_closed_full_or_lack_letters_are_treated_as_ever(
    instep: Instep, tmp_path: Path
) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(SAMPLE.read_text("utf-8").replace("Night ferry", "Größe"), "utf-8")
    instep.ok("start", str(plan))
    in_words(instep, "left")

    def shell(line: str, **env: str) -> tuple[int, str, str]:
        done = subprocess.run(
            ["sh", "-c", f'"$PYTHON" -m tracker left {line}'], capture_output=True, text=True,
            env={**os.environ, "PYTHON": sys.executable, **env}, encoding="utf-8", check=False,
        )  # fmt: skip
        return done.returncode, done.stdout, done.stderr

    assert shell("")[:2] == (0, instep.ok("left"))
    assert "Grosse" in shell("", PYTHONIOENCODING="ascii")[1]
    assert shell(">&-") == (0, "", "")
    assert shell("| true")[0] == 0
    if os.path.exists("/dev/full"):
        full = shell("> /dev/full")
        assert (full[0], full[1]) == (1, "")
        assert full[2].startswith("instep: the answer could not be written")


def test_the_file_of_the_answers_is_no_part_of_the_basket(pair: Instep) -> None:
    in_words(pair, "left")
    with closing(sqlite3.connect(pair.basket)) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema")}
    assert "answers" not in str(tables)
    assert pair.ok("check") == "Every pair in the basket is sound.\n"


STEPS = 600 if os.environ.get("SWEEP") == "properties" else 24


def test_over_any_history_and_clock_what_is_known_is_what_the_whole_program_says(
    pair: Instep,
) -> None:
    """Acts and pauses as they come, some of them refused; asked in every way, before and after."""
    random, at, hits = Random(int(os.environ.get("SEED", "1"))), 1_772_391_600, 0  # noqa: S311
    for _ in range(STEPS):
        at += random.choice((0, 40, 600, 3_600, 90_000, 400_000, -5_000))
        pair.now(datetime.fromtimestamp(at, UTC).isoformat())
        if random.random() < 0.5:
            pair.run(*random.choice(ACTS).format(last=random.randrange(1, 30)).split())
        for asked in random.sample(WAYS, 2):
            before = known(*asked)
            said = pair.ok(*asked)
            assert before in (None, said), (asked, at)
            assert known(*asked) == said
            hits += before is not None
    assert hits
