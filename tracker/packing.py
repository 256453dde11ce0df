"""Packs and the basket: a whole pair out, and one brought in, or on, or beside what was here."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

from tracker import past_words, words
from tracker.hours import day
from tracker.knitting.course import Course
from tracker.knitting.fold import UnknownAct
from tracker.knitting.pair import summary
from tracker.knitting.past import Past, past
from tracker.knitting.replay import BadHistory, Replay
from tracker.knitting.state import other
from tracker.knitting.worked import day_of
from tracker.looking import NOTHING_TO_SEE
from tracker.pattern.days import calendar_day
from tracker.records import NamedTuple
from tracker.session import Clock, Session, short_name
from tracker.storage import pack as packs
from tracker.storage.basket import Basket, BasketTrouble, NewPair, PairRow, Summary
from tracker.storage.chain import Row, event_of, read_data
from tracker.storage.files import Fault, FileTrouble
from tracker.storage.pack import Damaged, Pack
from tracker.storage.pack_file import read_pack, write_pack
from tracker.storage.pattern_file import open_text
from tracker.taught import taught
from tracker.tellable import Untellable, check_acts, check_places
from tracker.units import shorten
from tracker.vocabulary import sock

How = Literal["new", "known", "further", "parted"]


class Unpacked(NamedTuple):
    """What came of a pack: the pair that holds it, and how.

    "new": nothing of it was here; "known": all of it was; "further": the pair here went on by `added`
    events; "parted": both had gone on after event `common`, at the place `parted`, and this is a second
    pair beside `beside`. `in_hand` is the pair that commands without a name go to, where that is another.
    """

    session: Session
    how: How
    added: int
    common: int = 0
    beside: str = ""
    parted: str = ""
    in_hand: str = ""


# Out


def pack(session: Session, basket: Basket, path: str, *, for_teacher: bool = False) -> bool:
    """Pack an opened pair into a file; True where an older pack of it was replaced. Raises FileTrouble."""
    given = _given(session, basket, for_teacher=for_teacher)
    return write_pack(path, given, _now(session, given), basket=str(basket.path))


def packed(session: Session, basket: Basket, *, for_teacher: bool = False) -> str:
    """The text of the pack of an opened pair."""
    given = _given(session, basket, for_teacher=for_teacher)
    return packs.write(given, _now(session, given))


def _given(session: Session, basket: Basket, *, for_teacher: bool) -> Pack:
    """The pair as it is given out: all of it, or what a teacher gets."""
    pair = session.pair
    whole = Pack(
        pair.uid, pair.short, pair.title, pair.source, pair.count,
        basket.pattern_text(pair), tuple(basket.rows(pair)),
    )  # fmt: skip
    return taught(whole) if for_teacher else whole


def _now(session: Session, given: Pack) -> dict[str, str | int]:
    """Where she is, in words, for whoever reads the file."""
    glance, last = session.glance, given.rows[-1]
    return {
        "where": words.place(glance),
        "other": words.place(session.look(other(glance.in_hand))),
        "pair": "in step" if glance.in_step else "not in step",
        "last_knitted": packs.when(last.at, last.offset)[: 10 if given.for_teacher else 16],
        "events": len(given.rows),
    }


# In


def unpack(basket: Basket, path: str, clock: Clock, *, sound_part: bool = False) -> Unpacked:
    """Bring the pair of a pack into the basket. Raises FileTrouble, and BasketTrouble.

    `sound_part` takes the longest sound part of a damaged one. Nothing that is here is lost: a pair
    that went on otherwise keeps what it has, and the pack becomes a second one.
    """
    try:
        given = read_pack(path)
    except Damaged as damaged:
        if damaged.sound is None or damaged.sound.for_teacher or not sound_part:
            raise
        given = _as_first_told(damaged.sound)
    if given.for_teacher:
        raise FileTrouble(path, [Fault(None, "", _NO_PAIR)])
    course, there = _checked(path, given)
    with basket.alone():
        came = _joined(basket, given, course, there)
        in_hand = _in_hand(basket)
    pair = came.pair
    return Unpacked(
        Session(basket, pair, clock), came.how, came.added, came.common, came.beside, came.parted,
        "" if in_hand == pair.short else in_hand,
    )  # fmt: skip


def _in_hand(basket: Basket) -> str:
    pairs = basket.pairs()
    return pairs[0].short if pairs else ""


_NO_PAIR = (
    "this pack is for a teacher, its times and words are left out: look at it with instep circle, and"
    " to knit on ask for the whole one (instep pack PAIR FILE)"
)


def _as_first_told(sound: Pack) -> Pack:
    """Its title is that of its beginning, for the checksum of an event vouches for that."""
    title = read_data(sound.rows[0].data).get("title")
    return sound._replace(title=title) if isinstance(title, str) else sound


def replayed_on(course: Course, path: str, given: Pack) -> Replay:
    """A pack's events on its pattern. Raises FileTrouble where they come to nothing sensible."""
    try:
        return Replay(course, map(event_of, given.rows))
    except UnknownAct as act:
        raise _contradicts(path, f'it holds "{act}", which this Instep cannot replay') from None
    except BadHistory as bad:
        raise _contradicts(path, str(bad)) from None


def _checked(path: str, given: Pack) -> tuple[Course, Summary]:
    """Its first course and where it is, once all that is shown of it can be shown. Raises FileTrouble."""
    replay = replayed_on(Course(open_text(path, given.pattern_text)), path, given)
    course = replay.course
    try:
        told = past(replay.started, map(event_of, given.rows))
        check_acts(told, course.pattern.unit, course.pattern.of_socks)
        check_places(replay)
    except (UnknownAct, BadHistory, Untellable) as bad:
        raise _contradicts(path, str(bad)) from None
    except NOTHING_TO_SEE:
        raise _contradicts(path, "an event does not hold what is told of it") from None
    return replay.started, Summary(*summary(course, replay.state))


def _contradicts(path: str, why: str) -> FileTrouble:
    return FileTrouble(
        path, [Fault(None, "", f"its history contradicts itself: {shorten(why, 80)}")]
    )


class _Joined(NamedTuple):
    """The pair that holds all of a pack now, how, the events added, and where it parted from which."""

    pair: PairRow
    how: How
    added: int
    common: int
    beside: str = ""
    parted: str = ""


def _joined(basket: Basket, given: Pack, course: Course, there: Summary) -> _Joined:
    best, most, mends = None, 0, False
    for pair in basket.began_with(given.rows[0].uid, given.pattern):
        rows = _sound_rows(basket, pair)
        mends = mends or not rows
        alike = _alike(rows, given.rows)
        if alike == len(given.rows):
            return _Joined(pair, "known", 0, alike)
        if rows and alike == len(rows):
            added = given.rows[alike:]
            return _Joined(basket.bring_on(pair, added, there), "further", len(added), alike)
        if alike > most:
            best, most = pair, alike
    parted, title = "", given.title
    if best is not None:
        parted = parted_at(course, given.rows, most)
        title = parted_title(title, _parted_briefly(course, given.rows, most))
    short = given.short if _SHORT.fullmatch(given.short) else short_name(given.title)
    new = NewPair(short, title, given.pattern_text, given.source, given.count, there)
    pair = basket.bring_in(new, given.uid, given.rows, mends=mends)
    if best is None:
        return _Joined(pair, "new", len(given.rows), most)
    return _Joined(pair, "parted", len(given.rows), most, best.short, parted)


def parted_at(course: Course, rows: Sequence[Row], common: int, *, dated: bool = True) -> str:
    """The place after which two histories parted that share so many events, and its day where that is told.

    `course` is that of their beginning: "after sock one, leg round 10, on 1 March 2026".
    """
    where = shorten(past_words.place(_last(course, rows, common), course.pattern.of_socks), 80)
    on = f", on {_day(rows[common - 1])} {_year(rows[common - 1])}" if dated else ""
    return f"after {where}{on}"


def _parted_briefly(course: Course, rows: Sequence[Row], common: int) -> str:
    """The same for a title, which has little room: "after leg round 10, 1 March"."""
    last, of_socks = _last(course, rows, common), course.pattern.of_socks
    where = shorten(past_words.place_brief(last, of_socks), 40)
    which = f" of {sock(2, of_socks)}" if last.sock == 2 else ""
    return f"after {where}{which}, {_day(rows[common - 1])}"


def _last(course: Course, rows: Sequence[Row], common: int) -> Past:
    """The last of so many events, as it was when it was the last of all."""
    return past(course, map(event_of, rows[:common]))[-1]


def parted_in(course: Course, path: str, given: Pack, common: int, *, dated: bool) -> str:
    """The same in a pack of which more was not looked over. Raises FileTrouble."""
    try:
        return parted_at(course, given.rows, common, dated=dated)
    except (UnknownAct, BadHistory) as bad:
        raise _contradicts(path, str(bad)) from None


def _day(row: Row) -> str:
    """ "1 March", by the clock she had then."""
    return day(day_of(row.at, row.offset))


def _year(row: Row) -> int:
    return calendar_day(day_of(row.at, row.offset)).year


def _sound_rows(basket: Basket, pair: PairRow) -> list[Row]:
    """A pair's events; none where they are damaged: its pack is then what mends that."""
    try:
        return basket.rows(pair)
    except BasketTrouble:
        return []


def _alike(here: Sequence[Row], given: Sequence[Row]) -> int:
    """How many events both begin with."""
    count = 0
    for one, two in zip(here, given, strict=False):
        if one != two:
            break
        count += 1
    return count


_SHORT = re.compile(r"[a-z0-9-]{1,60}")
_PARTED = re.compile(r" \(parted after [^()]*\)$")


def parted_title(title: str, parted: str) -> str:
    """A title that says at which place two histories of one pair parted."""
    return f"{_PARTED.sub('', title)} (parted {parted.translate(_NO_BRACKETS)})"


_NO_BRACKETS = str.maketrans("", "", "()")


def said(unpacked: Unpacked, *, opened: bool = False) -> str:
    """What came of a pack, in a sentence or two; how its pair is opened, where it is not `opened` already."""
    pair = unpacked.session.pair
    told = [_SAID[unpacked.how](unpacked, pair.short)]
    if pair.away:
        told.append(f"It is put away; instep back {pair.short} brings it out.")
    elif unpacked.in_hand and unpacked.how != "known" and not opened:
        told.append(
            f"{unpacked.in_hand} stays the one in hand; instep knit {pair.short} opens this one."
        )
    return " ".join(told)


def _new(unpacked: Unpacked, short: str) -> str:
    return f"{short} is in the basket, with {_acts(unpacked.added)}."


def _known(_: Unpacked, short: str) -> str:
    return f"{short} holds all of it already; nothing was changed."


def _further(unpacked: Unpacked, short: str) -> str:
    return f"{short} goes on by {_acts(unpacked.added)}."


def _parted(unpacked: Unpacked, short: str) -> str:
    return (
        f"Both went on: they parted {unpacked.parted}. {unpacked.beside} stays as it is,"
        f" and the pack is {short}."
    )


def _acts(count: int) -> str:
    return f"{count} event" if count == 1 else f"{count} events"


_SAID = {"new": _new, "known": _known, "further": _further, "parted": _parted}
