"""A damaged basket mended: what is sound of it and its backups into a new one, the damaged file set aside."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager, suppress
from datetime import UTC, datetime, timedelta
from glob import escape
from pathlib import Path
from typing import Any

from tracker.knitting.course import Course
from tracker.knitting.fold import UnknownAct
from tracker.knitting.pair import summary
from tracker.knitting.replay import BadHistory, Replay
from tracker.records import NamedTuple
from tracker.storage import formats
from tracker.storage.backups import backups_of
from tracker.storage.basket import Basket, NewPair, Summary
from tracker.storage.chain import Row, event_of, read_data
from tracker.storage.copying import LOGS
from tracker.storage.files import FileTrouble
from tracker.storage.folders import sync_folder
from tracker.storage.graft import graft
from tracker.storage.holding import held
from tracker.storage.opening import APPLICATION_ID, link_up, whole_path
from tracker.storage.pair_line import Line
from tracker.storage.pattern_file import open_text
from tracker.storage.salvage import Source, sound_part
from tracker.storage.stamp import Stamp
from tracker.storage.trouble import (
    BUSY,
    UNREADABLE,
    BasketTrouble,
    basket_open,
    in_file,
    in_words,
    result_code,
)
from tracker.units import shorten


class Saved(NamedTuple):
    """What was saved of a pair: so many `events` of the `known` ones; `pattern`: whether that is there."""

    short: str
    events: int
    known: int
    pattern: bool = True


class Mended(NamedTuple):
    """What came of it, the pair last touched first. `aside` is the damaged file, where there was one."""

    pairs: tuple[Saved, ...]
    aside: Path | None


def mend(path: Path, now: Stamp) -> Mended:
    """Put a basket that is whole in the place of a damaged, empty or missing one. Raises BasketTrouble.

    Every event that is in it, or in any of its backups, and that the chain vouches for is in the new one,
    up to the first that is nowhere sound. Until that stands whole, nothing is changed. A link is followed.
    """
    path = whole_path(path)
    # A link in a circle is the second of these.
    with in_words(path, OSError, RuntimeError):
        _refuse_newer(path)
        _fold_in(path)
        with held(path) as it, _workshop(path) as folder, ExitStack() as stack:
            damaged, older = it.read(), backups_of(path)
            found_in = _sources(path, damaged, folder, older)
            sources = [stack.enter_context(closing(one)) for one in found_in]
            found = [(line, _rows(line, sources)) for line in _lines(sources)]
            new = folder / "new.db"
            saved = _laid(new, found, sources)
            if not any(one.events for one in saved):
                raise BasketTrouble(
                    "nothing of a basket is sound here, there is no backup of it, and nothing was changed;"
                    f" name another file, or begin another with --basket{in_file(path)}"
                )
            if not it.has_name(path):
                raise basket_open(path)  # another program made it meanwhile
            it.give_way()
            return Mended(tuple(reversed(saved)), _exchange(path, new, now))


def _is_ours(path: Path) -> bool:
    """Whether its header says that it is a basket: SQLite changes what it opens."""
    header = _header(path)
    ours = APPLICATION_ID.to_bytes(4, "big")
    return header.startswith(b"SQLite format 3\0") and header[68:72] == ours


def _header(path: Path) -> bytes:
    if not path.is_file():
        return b""
    with path.open("rb") as file:
        return file.read(100)


def _form(path: Path) -> int:
    """The form that its header names; 0 where there is none."""
    return int.from_bytes(_header(path)[60:64], "big")


def _refuse_newer(path: Path) -> None:
    if _is_ours(path) and _form(path) > formats.NEWEST:
        raise BasketTrouble(
            f"the basket was written by a newer Instep; update Instep; nothing was changed{in_file(path)}"
        )


def _fold_in(path: Path) -> None:
    """See that nobody has it open, and fold its log in. Raises BasketBusy."""
    if not _is_ours(path):
        return
    with closing(link_up(path)) as connection:
        try:
            connection.execute("PRAGMA locking_mode = EXCLUSIVE")
            connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        except UNREADABLE as error:
            if result_code(error) in BUSY:
                raise basket_open(path) from None


@contextmanager
def _workshop(path: Path) -> Iterator[Path]:
    """A folder beside the basket, for her eyes only, that is gone afterwards.

    Its name is its own, and one that a killed program left stays: another program may be at work there.
    """
    folder = Path(tempfile.mkdtemp(prefix=f"{path.name}-mending-", dir=path.parent))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _sources(path: Path, damaged: bytes, folder: Path, backups: Sequence[Path]) -> Iterator[Source]:
    """The damaged file, as it is and with a new beginning, then backups and what was set aside before."""
    copy, grafted = folder / _COPY, folder / f"grafted-{_COPY}"
    if damaged:
        copy.write_bytes(damaged)
        for end in LOGS[:2]:
            if (log := path.with_name(path.name + end)).is_file():
                shutil.copyfile(log, folder / f"{copy.name}{end}")
        _bring_on(copy)
        yield Source(copy, "mode=rw")
        Basket.open(grafted).close()
        grafted.write_bytes(graft(damaged, grafted))
        yield Source(grafted, _UNTOUCHED)
    before = sorted(path.parent.glob(f"{escape(path.name)}-damaged-*"), reverse=True)
    for number, older in enumerate((*backups, *before)):
        if _is_ours(older):
            yield Source(_in_newest_form(older, folder / f"older-{number}.db"), _UNTOUCHED)


_UNTOUCHED = "mode=ro&immutable=1"


def _in_newest_form(older: Path, copy: Path) -> Path:
    """The file itself, or a copy of it that was brought on: its columns are asked for by today's names."""
    if _form(older) >= formats.NEWEST:
        return older
    shutil.copyfile(older, copy)
    _bring_on(copy)
    return copy


def _bring_on(copy: Path) -> None:
    """Bring a copy to the newest form; where that fails it is as its last whole step left it."""
    with suppress(*UNREADABLE, BasketTrouble), closing(link_up(copy)) as connection:
        if formats.form_of(connection) in formats.STEPS:
            formats.migrate(copy, connection)


_COPY = "damaged.db"


def _lines(sources: Sequence[Source]) -> list[Line]:
    """The pairs there are, the one last touched last: by the first list that is whole, and those before."""
    lines: dict[bytes, Line] = {}
    for source in sources:
        for line in source.lines:
            lines.setdefault(line.uid, line)
        if source.is_whole:
            break
    for source in sources:
        for line in source.doubtful if source.path.name.endswith(_COPY) else ():
            if line.uid not in lines and (told := _told_again(line, source)):
                lines[line.uid] = told
    return sorted(lines.values(), key=lambda line: line.touch)


def _told_again(line: Line, source: Source) -> Line | None:
    """A line that is not what was written, of which its first event vouches for the pair and its pattern."""
    if not (isinstance(line.uid, bytes) and len(line.uid) == 16 and isinstance(line.pattern, str)):
        return None
    rows = sound_part(line, [source.events(line.id)])
    if not rows:
        return None
    title = read_data(rows[0].data).get("title")
    title = title if isinstance(title, str) else "untitled"
    short = line.short if _is_name(line.short) else "saved"
    here = Summary(1, "", 0, True)
    known = line.last if isinstance(line.last, int) and 0 < line.last < 10**7 else len(rows)
    touch = line.touch if isinstance(line.touch, int) else 0
    return line._replace(
        short=short, title=title, source=str(line.source), count="rounds", away=0, last=known,
        touch=touch, sock=here.sock, section=here.section, done=here.done, in_step=1,
    )  # fmt: skip


def _is_name(short: object) -> bool:
    return isinstance(short, str) and short.isprintable() and 0 < len(short) < 100


def _rows(line: Line, sources: Sequence[Source]) -> list[Row]:
    return sound_part(line, [source.events(_number(line, source)) for source in sources])


def _number(line: Line, source: Source) -> int:
    """The number of a pair in a file: none is given twice, so a lost line has that of the others."""
    known = (one.id for one in source.lines if one.uid == line.uid)
    return next(known, line.id)


def _laid(
    new: Path, found: Sequence[tuple[Line, list[Row]]], sources: Sequence[Source]
) -> list[Saved]:
    """A new basket with these histories; what was saved of each."""
    saved = []
    with Basket.open(new) as basket:
        for line, rows in found:
            text = next(
                (one.patterns[line.pattern] for one in sources if line.pattern in one.patterns),
                None,
            )
            known = max([line.last, len(rows), *_ends(line, sources)])
            if text is None or not rows:
                saved.append(Saved(line.short, 0, known, text is not None))
                continue
            here = _summary(line, text, rows)
            wanted = NewPair(line.short, line.title, text, line.source, line.count, here)
            pair = basket.bring_in(wanted, line.uid, rows, mends=True)
            if line.away:
                basket.put_away(pair, True)
            saved.append(Saved(pair.short, len(rows), known))
        if wrong := basket.check():
            raise BasketTrouble(wrong[0])
    return saved


def _ends(line: Line, sources: Sequence[Source]) -> Iterator[int]:
    """How many events other files say that a pair has."""
    for source in sources:
        yield from (one.last for one in source.lines if one.uid == line.uid)


def _summary(line: Line, text: str, rows: Sequence[Row]) -> Summary:
    """Where a pair is after these events."""
    try:
        replay = Replay(Course(open_text(line.short, text)), map(event_of, rows))
        return Summary(*summary(replay.course, replay.state))
    except (FileTrouble, BadHistory, UnknownAct, ValueError):
        return line.row.summary  # a newer one may know how to replay it


def _exchange(path: Path, new: Path, now: Stamp) -> Path | None:
    """Set the damaged file aside with its log, then put the new one in its place."""
    logs = [end for end in LOGS if path.with_name(path.name + end).exists()]
    is_something = path.exists() and path.stat().st_size > 0
    aside = _unused(path, now) if is_something or logs else None
    if aside is not None:
        if is_something:
            _give_name(path, aside)
        # That of a file that is lost as well: it would be read into the new one.
        for end in logs:
            path.with_name(path.name + end).replace(aside.with_name(aside.name + end))
    new.replace(path)
    sync_folder(path.parent)
    return aside


def _give_name(path: Path, aside: Path) -> None:
    try:
        os.link(path, aside)
    except OSError:  # not every file system knows a second name
        shutil.copy2(path, aside)


def _unused(path: Path, now: Stamp) -> Path:
    """ "basket.db-damaged-2026-03-12-201500"."""
    east = timedelta(minutes=now.offset)
    moment = datetime.fromtimestamp(now.at / 1000, UTC) + east
    name = f"{path.name}-damaged-{moment:%Y-%m-%d-%H%M%S}"
    count, aside = 1, path.with_name(name)
    while aside.exists():
        count += 1
        aside = path.with_name(f"{name}-{count}")
    return aside


def as_json(mended: Mended) -> dict[str, Any]:
    """What came of it, for scripts."""
    pairs = [{"pair": one.short, "events": one.events, "known": one.known} for one in mended.pairs]
    return {"pairs": pairs, "aside": None if mended.aside is None else str(mended.aside)}


def said(mended: Mended) -> list[str]:
    """What came of it, in lines: a pair each, then where the damaged file is."""
    lines = [_said(one) for one in mended.pairs]
    if mended.aside is not None:
        lines.append(f"The damaged file is set aside: {shorten(str(mended.aside), 300)}")
    return lines


def _said(one: Saved) -> str:
    name = shorten(one.short)
    if not one.events:
        what = "its first event" if one.pattern else "its pattern"
        return f"{name}: nothing is saved, for {what} is sound neither here nor in a backup."
    if one.events >= one.known:
        return f"{name}: whole, with {one.events} {'event' if one.events == 1 else 'events'}."
    return (
        f"{name}: {one.events} of its {one.known} events; event {one.events + 1} is sound neither here"
        " nor in a backup."
    )
