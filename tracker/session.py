"""The one door: opens a pair, takes an act, commits it, and returns the new glance."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, Literal, cast

from tracker import words
from tracker.forecast.by_row import ByRow
from tracker.forecast.left import goal_of, length_of, lengths_after
from tracker.forecast.washing import after_washing
from tracker.glance import Glance, Shown
from tracker.keys import OUT_OF_THE_BOX
from tracker.knitting import step
from tracker.knitting.course import Course
from tracker.knitting.cues import HELD
from tracker.knitting.events import CLUES, Act, Event
from tracker.knitting.fold import UnknownAct
from tracker.knitting.pair import rounds, summary
from tracker.knitting.read_late import ReadLate
from tracker.knitting.refused import Refused
from tracker.knitting.replay import BadHistory, Replay
from tracker.knitting.resumed import Checkpoint, Resumed, checkpoint_of
from tracker.knitting.state import BOTH, Lifeline, Number, Sock, State, other
from tracker.knitting.step import Differs
from tracker.knitting.used_up import is_whole
from tracker.knitting.worked import day_of
from tracker.looking import NOTHING_TO_SEE, look, pause
from tracker.pattern.model import CLOSING
from tracker.settings import rest_is_wanted
from tracker.storage import checkpoints
from tracker.storage.basket import Basket, BasketTrouble, NewPair, PairRow, Stamp, Summary
from tracker.storage.files import FileTrouble
from tracker.storage.pattern_file import Opened, Tables, document_of, open_parsed, open_text
from tracker.storage.trouble import in_file
from tracker.units import (
    MM_PER,
    BadLength,
    BadWeight,
    Unit,
    read_grams,
    read_length,
    shorten,
    write_length,
)
from tracker.vocabulary import section as section_name

if TYPE_CHECKING:
    from tracker.knitting.hanging import Hanging
    from tracker.knitting.past import Past
    from tracker.side_by_side import Pictures, SideBySide

Clock = Callable[[], Stamp]
Counting = Literal["rounds", "needles"]
Answered = Literal["right", "void", "count"]

NEARLY = 2
"""Rounds by which a corrected count may differ from that a reading speaks of, and answers it still;
or half of those it speaks of.
"""
FAR_OFF = 2.0
"""Times the length expected above, or below which, a number may be meant in another unit."""
TOO_FAR_OFF = 5.0
"""The same for one that she gave twice, or wrote with the pair's unit; farther off is no length for this."""
SLACK_MM = 100.0
"""By so much more a reading may be too long before it is taken for a slip: rounds not counted."""


class Doubted(Refused):
    """A length that fits in another unit only. Given again as `sure`, it may be taken as it is.

    `meant` is the same number in the unit in which it fits, as it is typed in hers; `may_stand`
    is false where it is too far off even for that.
    """

    def __init__(self, why: str, meant: str, may_stand: bool) -> None:
        self.meant, self.may_stand = meant, may_stand
        super().__init__(why)


class Answer:
    """What an act led to: the glance after it, and the sentence that says what it did.

    At the needles a tick is seen and not told: its sentence is composed for who asks.
    """

    __slots__ = ("_said", "glance")

    def __init__(self, glance: Glance, said: str | Callable[[], str]) -> None:
        self.glance, self._said = glance, said

    @property
    def said(self) -> str:
        """The sentence."""
        if not isinstance(self._said, str):
            self._said = self._said()
        return self._said

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Answer):
            return NotImplemented
        return (self.glance, self.said) == (other.glance, other.said)

    __hash__ = None  # type: ignore[assignment]


class CannotBeShown(BasketTrouble):
    """The acts of a pair replay, and lead to what nobody can look at."""


class Session:
    """A pair, opened. Every act raises Refused or BasketTrouble and then has changed nothing."""

    def __init__(self, basket: Basket, pair: PairRow, clock: Clock) -> None:
        self._basket, self._clock = basket, clock
        self.pair = pair
        self._kept: Checkpoint | None = None
        """What it was opened from, where not from all of its events."""
        self._replay = self._opened()
        self._looks: dict[Number, tuple[Shown, Glance]] = {}
        """The last look at each sock, which stays true until something is recorded or a pause is over."""
        self._row: tuple[int, ByRow] | None = None
        """What was reckoned for the row in hand, with the event since which it is."""
        self.touched = pair.touched
        self._behind = False
        """Whether others wrote what could not be read yet."""
        self.keys = False
        """Whether its sentences speak of keys, for her at the needles, or of commands."""
        self.shown_keys: Mapping[str, str] = OUT_OF_THE_BOX.shown
        """The key of each act as she has set it, for sentences that speak of keys."""
        self.reminds_to_rest = rest_is_wanted()

    @classmethod
    def start(cls, basket: Basket, opened: Opened, clock: Clock) -> Session:
        """Begin a pair from an opened plan or pattern file."""
        pattern, document = opened.pattern, opened.document
        first = pattern.sections[0]
        new = NewPair(
            short=short_name(pattern.title),
            title=pattern.title,
            pattern_text=pattern.text,
            source=source_of(opened.source.data),
            count=str(document.get("count", "rounds")),
            summary=Summary(1, first.name, 0, True, (0, 0)),
        )
        pair = basket.start(new, Act("started", 0, {"title": pattern.title}), clock())
        return cls(basket, pair, clock)

    @classmethod
    def begin(cls, basket: Basket, opened: Opened, clock: Clock) -> Session:
        """Go on with the pair that was started from the same bytes, or start one."""
        with basket.alone():
            known = basket.started_from(source_of(opened.source.data))
            if known is None:
                return cls.start(basket, opened, clock)
        return cls(basket, known, clock)

    @property
    def counting(self) -> Counting:
        """Whether a tick of hers is a round or a needle."""
        return cast(Counting, self.pair.count)

    @property
    def state(self) -> State:
        """Where both socks are."""
        return self._replay.state

    @property
    def course(self) -> Course:
        """The course in force: of the pattern as far as it has been told, without what is otherwise."""
        return self._replay.course

    @property
    def document(self) -> dict[str, Any]:
        """The tables of that pattern, with title and knitter as the pair was begun."""
        from tracker.pattern.kept import THE_PAIRS_OWN, tables_of

        begun = document_of(self.pair.short, self._started.pattern.text)
        if self.course is self._started:
            return begun
        own = {key: value for key, value in begun.items() if key in THE_PAIRS_OWN}
        return {**own, **tables_of(self.course.pattern.text)}

    @property
    def glance(self) -> Glance:
        """The glance at the sock in hand."""
        return self.look()

    def look(self, sock: Number | None = None) -> Glance:
        """The glance at a sock, that in hand if none is named. Raises CannotBeShown."""
        now = self._clock()
        shown = Shown(
            self.pair.short, self.counting, self._replay.events, pause(max(0, now.at - self.touched)),
            day_of(now.at, now.offset), self.reminds_to_rest, self.shown_keys,
        )  # fmt: skip
        state = self._replay.state
        number = sock or state.hand
        known = self._looks.get(number)
        if known is None or known[0] != shown:
            with self._showing():
                there = look(self.course, state, shown, number, self._by_row)
                known = self._looks[number] = shown, there
        return known[1]

    @property
    def _by_row(self) -> ByRow:
        """What is the same from the first needle of a row to its last."""
        since = self._replay.row_since
        if self._row is None or self._row[0] != since:
            self._row = since, ByRow(self.course, self._replay.state)
        return self._row[1]

    @contextmanager
    def _showing(self) -> Iterator[None]:
        """What leads nowhere is said as such. It may be a fault of ours, which stays to be seen behind it."""
        try:
            yield
        except NOTHING_TO_SEE as fault:
            raise self._cannot_be_shown() from fault

    def _cannot_be_shown(self) -> CannotBeShown:
        what = (
            f"{shorten(self.pair.short)} cannot be shown; instep check says what is wrong with it"
        )
        return CannotBeShown(f"{what}{in_file(self._basket.path)}")

    def now(self) -> Stamp:
        """The time by this session's clock."""
        return self._clock()

    def refresh(self) -> bool:
        """Take in what other programs recorded; True if there was anything."""
        if not (self._basket.changed() or self._behind):
            return False
        self._behind = True
        newer = self._basket.events(self.pair, after=len(self._events))
        self.pair = self._basket.find(self.pair.short)
        for event in newer:
            self._take(event)
        self._behind = False
        return True

    # The acts

    def tick(
        self,
        count: int = 1,
        *,
        needles: bool = False,
        sock: Number | None = None,
        stamp: Stamp | None = None,
    ) -> Answer:
        """`count` rounds or rows are done, or needles; `stamp` is when, if not now.

        Of both socks, where they are worked together and none is named.
        """
        alone = {} if sock is None else {"alone": True}
        data = {"needles" if needles else "rounds": count, **alone}
        return self._act("tick", data, sock, stamp=stamp)

    def ticks(self, stamps: Sequence[Stamp]) -> None:
        """Ticks that waited for each other, a round or a needle each as she counts by: kept all at once.

        Each has the time of its key. Of one that is refused those before it are kept; then it raises Refused.
        """
        refused: list[Refused] = []

        def decided(newer: Sequence[Event]) -> tuple[list[Act], Summary]:
            for event in newer:
                self._take(event)
            acts = list[Act]()
            for stamp in stamps:
                try:
                    acts.append(self._tried(self._tick_wished(), stamp))
                except Refused as why:
                    refused.append(why)
                    break
            if acts:
                self.touched = stamps[len(acts) - 1].at
                self._check_goes_on(acts[-1].sock)
            return acts, self.summary

        self._committed(decided, stamps)
        if refused:
            raise refused[0]

    def _tick_wished(self) -> Act:
        """A tick of the sock in hand by its key alone."""
        by_needle = self.counting == "needles" and self._replay.works_in_rounds
        return Act("tick", self._replay.hand, {"needles" if by_needle else "rounds": 1})

    def end(self, at: int | None = None, *, sock: Number | None = None) -> Answer:
        """The open section is over, now or at an earlier round."""
        alone = {} if sock is None else {"alone": True}
        return self._act("end", alone if at is None else {"at": at, **alone}, sock)

    def at(self, number: int, section: str | None = None, *, sock: Number | None = None) -> Answer:
        """Round `number` is the last one done: the count is corrected, either way."""
        data: dict[str, Any] = {"round": number}
        odd = self._odd_reading(sock) if section is None else None
        if (
            odd
            and odd["number"] is not None
            and _answers(number - odd["number"], odd["rounds_off"])
        ):
            data["of"] = odd["event"]  # it was taken on the rounds that are counted only now
        return self._act("at", data if section is None else data | {"section": section}, sock)

    def rip(self, number: int, section: str | None = None, *, sock: Number | None = None) -> Answer:
        """Back to round `number` of a section, that in hand if none is named: the rest came off."""
        data: dict[str, Any] = {"round": number}
        return self._act("rip", data if section is None else data | {"section": section}, sock)

    def rip_by(self, rounds: int, *, sock: Number | None = None) -> Answer:
        """So many rounds or rows came off; 0: only what is worked of the round in hand."""
        return self._act("rip", {"by": rounds}, sock)

    def tink(self, stitches: int, *, sock: Number | None = None) -> Answer:
        """So many stitches were unknitted one by one, back from the last needle or round that is counted."""
        return self._act("rip", {"stitches": stitches}, sock)

    def rip_to_lifeline(self, *, sock: Number | None = None) -> Answer:
        """Back to the nearest lifeline of a sock below where it is."""
        there = self._sock(sock)
        if not there.lifelines:
            raise Refused("no lifeline lies in it; name the round to go back to")
        line = self._line_below(there)
        if line is None:
            named = [self._line_named(one) for one in there.lifelines]
            raise Refused(
                f"no lifeline lies below where it is, only in {', '.join(named)};"
                " name the round to go back to"
            )
        return self._act("rip", {"round": line.row, "section": line.section}, sock)

    def _line_below(self, there: Sock) -> Lifeline | None:
        """The nearest lifeline below the stitches on the needles; at one, inside the next round, that one."""
        done = self.course.number(there.section, there.rows)
        here = (there.section, done) if there.rows or not there.section else None
        if here is None:
            here = (there.section - 1, there.ended[there.section - 1])
        elif there.finished:
            here = (there.section, there.ended[-1])
        below = [
            line
            for line in there.lifelines
            if line[:2] < here or (there.inside and line[:2] == here)
        ]
        return below[-1] if below else None

    def _line_named(self, line: Lifeline) -> str:
        section = self.course.sections[line.section]
        return f"{section.name} {section.worked[:-1]} {line.row}"

    def above_lifeline(self) -> int | None:
        """Rounds on the sock in hand above its last lifeline; None where none lies in it."""
        state, sock = self._replay.state, self._sock(None)
        line = self._line_below(sock)
        if line is None:
            return None
        return rounds(self.course, state, state.hand) - sum(sock.ended[: line.section]) - line.row

    def lifeline(
        self, number: int | None = None, section: str | None = None, *, sock: Number | None = None
    ) -> Answer:
        """A lifeline lies in a finished round, the last one if none is named."""
        told = {"round": number, "section": section}
        data = {name: value for name, value in told.items() if value is not None}
        return self._act("lifeline", data, sock)

    def restart(self, *, sock: Number | None = None) -> Answer:
        """A sock is begun again; what was is kept in its history."""
        return self._act("restart", {}, sock)

    def changed(
        self,
        kind: str,
        value: str = "",
        *,
        row: int | None = None,
        repeat: bool | None = None,
        late: int | None = None,
        stay: bool = False,
        ball: bool = False,
        sock: Number | None = None,
    ) -> Answer:
        """Something is otherwise than planned, at a row of the section in hand or from it on.

        `repeat` says whether the other sock repeats it; not said, it does. A colour may be so many
        rounds `late`, leave the later stripes to `stay`, or be where the `ball` stood at the cast-on.
        """
        told = {
            "row": row, "copy": repeat, "late": late, "stay": stay or None, "ball": ball or None,
        }  # fmt: skip
        data: dict[str, Any] = {name: given for name, given in told.items() if given is not None}
        return self._act("changed", {"as": kind, "value": value, **data}, sock)

    def coloured(self, text: str, *, sock: Number | None = None) -> Answer:
        """Another colour from the next row on; "ball ...": where the ball stood at the cast-on."""
        ball, _, where = text.strip().partition(" ")
        if ball.casefold() == "ball" and where:
            return self.changed("colour", where, ball=True, sock=sock)
        return self.changed("colour", text, sock=sock)

    def colour_stays(self) -> Answer:
        """The colour told last on the sock in hand leaves the later stripes where they were, after all."""
        sock = self._sock(None)
        told = [one for one in sock.changes if one.kind == "colour" and not one.repeats]
        last = max(told, key=lambda one: one.event, default=None)
        if last is None or last.coloured is None or last.coloured.clock is None or last.at_cast_on:
            raise Refused("no colour was told on this sock that moves the later stripes")
        name, late = last.value.rpartition(",")[0], last.coloured.rounds or None
        row = last.row + (late or 0)
        if last.section != sock.section:
            raise Refused(
                "that colour was told in a section that is over; take it back, or tell another"
            )
        return self.changed(
            "colour", "" if late else name, row=row, repeat=last.repeat, late=late, stay=True
        )

    def copy(self, number: int, repeat: bool, sock: Number | None = None) -> Answer:
        """Whether the other sock repeats a change, named by its number in the history.

        The answer is the place of `sock`.
        """
        return self._act("copy", {"of": number, "copy": repeat}, None, sock)

    def copy_turned(self) -> Answer:
        """The change told last on the sock in hand is repeated on the other, or is not after all."""
        told = [change for change in self._sock(None).changes if not change.repeats]
        if not told:
            raise Refused("nothing was changed on this sock, so there is nothing to repeat")
        last = max(told, key=lambda change: change.event)
        return self.copy(last.event, not last.repeat)

    def note(self, text: str, *, sock: Number | None = None) -> Answer:
        """Words at the round just done; they come again with it."""
        from tracker import ask_words
        from tracker.knitting.asking import questions

        answer = self._act("note", {"text": text}, sock)
        settled = questions(self._replay.state).settled.get(self._replay.events, ())
        if not settled:
            return answer
        settles = ask_words.settles(one.text for one in settled)
        return Answer(answer.glance, f"{answer.said} It {settles}.")

    def rest(self, text: str = "", *, sock: Number | None = None) -> Answer:
        """A sock is laid to rest; `text` says what its stitches hang on."""
        return self._act("rest", {"text": text}, sock)

    def stop(self, stitches: int = 0, *, sock: Number | None = None) -> Answer:
        """She stopped inside the needle in hand, after so many stitches of it; 0: nobody says."""
        return self._act("rest", {"into": stitches}, sock)

    def past(self) -> tuple[Past, ...]:
        """Every event, in order. Raises BasketTrouble where one cannot be read, or told."""
        from tracker.knitting.past import past, with_settled, with_void
        from tracker.tellable import Untellable, check_acts  # no act and no quick check pays for it

        try:
            state = self._replay.state
            told = with_settled(with_void(past(self._started, self._events[:]), state), state)
            check_acts(told, self.course.pattern.unit, self.course.pattern.of_socks)
        except (UnknownAct, BadHistory) as bad:
            raise self._unreadable(bad) from None
        except Untellable:
            raise self._cannot_be_shown() from None
        return told

    def differs(self) -> Differs | None:
        """The first thing in which the socks are not in step."""
        return step.first(self.course, self._replay.state)

    def side_by_side(self) -> SideBySide:
        """The two socks against each other."""
        from tracker.side_by_side import side_by_side  # no act and no quick check pays for it

        return side_by_side(self.course, self._replay.state, self.glance)

    def pictures(self) -> Pictures:
        """Both socks drawn as far as they are knitted; None of what has no drawing. Raises CannotBeShown."""
        from tracker.side_by_side import pictures

        with self._showing():
            return pictures(self.course, self._replay.state)

    def hanging(self) -> tuple[Hanging, ...]:
        """The lifelines, pins and notes in both socks, by their rounds."""
        from tracker.knitting.hanging import hanging

        return hanging(self.course, self._replay.state)

    def count(
        self,
        text: str = "",
        *,
        plain: bool | None = None,
        length: str | None = None,
        colour: str | None = None,
        pin: int | None = None,
        tail: int | None = None,
        chart: int | None = None,
        sock: Number | None = None,
    ) -> Answer:
        """The stitches found on the needles: "21/16/16/21", "74" in all, "ok": all are there.

        Nothing moves. Asked with nothing at all, it says what should be there, and records nothing.
        `plain` says whether the last round done was a plain one. Where the count never changes the
        fabric says more: its `length` from the usual mark, the `colour` of the last round ("navy",
        "navy 5": the fifth of its stripe), the rounds above the `pin`, which row of the repeat it was
        (`chart`), the needles between the `tail` and the yarn. Raises BadLength, too.
        """
        data: dict[str, Any] = {} if plain is None else {"plain": plain}
        data |= self._clue(length, colour, pin, sock)
        told = {"tail": tail, "chart": chart}
        data |= {name: number for name, number in told.items() if number is not None}
        if not text.strip() and not data.keys() - {"plain"}:
            return self._to_count(plain, sock)
        if text.strip().lower() not in ("", "ok"):
            found = [part.strip() for part in text.split("/")]
            if not all(part.isascii() and part.isdigit() and len(part) < 6 for part in found):
                said = shorten(text.strip())
                raise Refused(f'"{said}" is no count of stitches; write 21/16/16/21, or 74 in all')
            data["found"] = [int(part) for part in found]
        return self._act("count", data, sock)

    def _to_count(self, plain: bool | None, sock: Number | None) -> Answer:
        """What should be on the needles, before she has counted; nothing is recorded."""
        from tracker import answers

        self._ruled(Act("count", sock or self._replay.state.hand, {}))
        glance = self.look(sock)
        there = tuple(stitches for _, stitches in glance.on_each)
        if plain is not None:
            how = "plain" if plain else "shaped"
            raise Refused(
                f"count the stitches, too: write instep count {sum(there)} --{how}",
                lambda _: f"count the stitches, too: write {sum(there)} {how}",
            )
        return Answer(glance, answers.to_count(there, glance.sides))

    def _clue(
        self, length: str | None, colour: str | None, pin: int | None, sock: Number | None
    ) -> dict[str, Any]:
        """What she sees of the fabric, as it is recorded."""
        clue: dict[str, Any] = {} if pin is None else {"pin": pin}
        if length is not None:
            mm = read_length(length, self.look(sock).unit).mm
            if mm <= 0:
                raise Refused(f"a length of {length.strip()} cannot be; write one above zero")
            clue["mm"] = mm
        if colour is not None:
            name, _, place = colour.strip().rpartition(" ")
            numbered = bool(name) and place.isascii() and place.isdigit() and len(place) < 4
            clue |= {"colour": name if numbered else colour.strip()}
            clue |= {"position": int(place)} if numbered else {}
        return clue

    def put_there(self, which: int | None = None, *, sock: Number | None = None) -> Answer:
        """The count goes to the likeliest of the places that the stitches counted last leave.

        `which` names another of them: by its round, or by the needles that are done inside one.
        """
        from tracker import place_words

        glance = self.look(sock)
        count = glance.counted
        if count is None or not count.places:
            raise Refused("no count of stitches says where else to be; count them first")
        place = next(iter(place_words.elsewhere(count, glance)), count.places[0])
        if not count.near and not count.by_fabric:
            raise Refused("the only place with so many is far from here; count them once more")
        if which is not None:
            place = place_words.named(count, which)
        if place.any_row:
            raise Refused(f"every round of the {place.kind} has so many; count its rounds")
        data: dict[str, Any] = {"round": place.row, "section": place.at}
        return self._act("at", data | {"needles": place.inside} if place.inside else data, sock)

    def answer(self, how: Answered, by: int | None = None, *, sock: Number | None = None) -> Answer:
        """What she says of a reading that does not fit: it is right, void, or the count was wrong.

        The count was wrong `by` so many rounds; left out, by as many as the reading says. Where none
        waits for an answer, "void" leaves out the last one that was taken.
        """
        odd, taken = self._odd_reading(sock), self._sock(sock).readings
        # The last one alone: what was left out once does not bring an older, good one down.
        last = taken[-1] if taken and not taken[-1].verdict else None
        of = odd["event"] if odd else last.event if last and how == "void" else 0
        data: dict[str, Any] = {"of": of, "as": how}
        if how == "count":
            data["by"] = by if by is not None else odd["rounds_off"] if odd else 0
        return self._act("answer", data, sock)

    def _odd_reading(self, sock: Number | None) -> Mapping[str, Any] | None:
        """What is known of the reading on a sock that waits for an answer."""
        cues = self.look(sock).cues
        return next((cue.data for cue in cues if cue.kind == "reading"), None)

    def _sock(self, number: Number | None) -> Sock:
        return self._replay.state.sock(number or self._replay.state.hand)

    def other(self, to: Number | None = None) -> Answer:
        """Change to the other sock, or to sock `to`."""
        return self._act("other", {} if to is None else {"to": to}, None)

    def order(self, text: str, *, sock: Number | None = None) -> Answer:
        """The order of work: "section by section", "every 10 rounds", "together"."""
        return self._act("order", {"order": text}, None, sock)

    def keep_single(self) -> Answer:
        """Of a run of ticks from a key held down, keep the first; the rest are taken back."""
        from tracker import answers

        ticks = 0

        def all_but_one() -> list[Act]:
            # Counted once no other program can write: what others did since is not taken back.
            nonlocal ticks
            ticks = self._replay.state.run
            if ticks < HELD:
                raise Refused("no key was held down, so there is nothing to take back")
            return [Act("undo", self._replay.state.hand, {})] * (ticks - 1)

        self._record(all_but_one)
        glance = self.glance
        return Answer(glance, answers.kept_single(ticks, glance))

    def move_over(self, ticks: int = 1, to: Number | None = None) -> Answer:
        """The last ticks were made on the wrong sock: one act counts them on the other one, or on `to`."""
        from tracker import answers

        event, _ = self._record(lambda: [Act("tick", to or self._ticked_over(), {"over": ticks})])
        to = cast(Number, event.sock)
        there = self.look(to)
        return Answer(there, answers.moved_over(event, there, self.look(other(to))))

    def _ticked_over(self) -> Number:
        """The sock on which the last ticks belong; where some were moved just now, the same again."""
        last = self._replay.last_tick
        if last is None or "both" in last.data:
            return other(self._replay.state.hand)
        ticked = cast(Number, last.sock)
        return ticked if "over" in last.data else other(ticked)

    def append(self, given: Tables, sock: Number | None = None) -> Answer:
        """The next stage's sections are joined to the pattern; the answer is the place of `sock`.

        Raises FileTrouble, too.
        """
        from tracker.storage.joining import appended  # no other act pays for it

        return self._take_up("append", lambda: appended(self.document, given), sock)

    def replan(self, given: Tables, sock: Number | None = None) -> Answer:
        """A new pattern for what is not knitted yet. Raises FileTrouble, too."""
        from tracker.storage.joining import new_pattern

        return self._take_up("replan", lambda: new_pattern(self.document, given), sock)

    def _take_up(self, kind: str, text: Callable[[], str], sock: Number | None) -> Answer:
        """Its text is made once what others recorded is known: it goes on from the pattern of then."""
        from tracker import answers

        hand = self._replay.state.hand
        event, before = self._record(lambda: [Act(kind, hand, {"pattern": text()})])
        after = self.look(sock)
        done = Act(kind, event.sock, event.data)
        return Answer(after, answers.said(done, before, after, keys=self.keys))

    def undo(self, sock: Number | None = None) -> Answer:
        """Take back the pair's last live act; the answer is the place of `sock`."""
        return self._act("undo", {}, None, sock)

    def redo(self, sock: Number | None = None) -> Answer:
        """Bring back what was taken back last; the answer is the place of `sock`."""
        return self._act("redo", {}, None, sock)

    def measure(
        self,
        text: str,
        *,
        rough: bool = False,
        mark: str | None = None,
        sock: Number | None = None,
        sure: bool = False,
    ) -> Answer:
        """A tape reading, in her unit unless `text` names one. Raises BadLength and Doubted, too."""
        glance = self.look(sock)
        reading = read_length(text, glance.unit)
        if reading.mm <= 0:
            raise Refused(f"a reading of {text.strip()} cannot be; write a length above zero")
        at = self._sock(sock)
        usual = next(iter(self.course.sections[at.section].marks), None)
        if glance.length is not None and glance.length.mm > 0 and mark in (None, usual):
            expected = glance.length.mm, glance.unit
            _ask_for_unit(text, reading.unit, [glance.length.mm], glance.unit, sure=sure)
            if reading.mm > TOO_FAR_OFF * glance.length.mm + SLACK_MM:
                raise Refused(
                    f"{write_length(reading.mm, reading.unit)} is far from the"
                    f" {write_length(*expected)} expected; measure again, or correct the count first"
                )
        data = {"mm": reading.mm, "text": text.strip(), "step": reading.step_mm, "rough": rough}
        return self._act("measure", data if mark is None else data | {"from": mark}, sock)

    def target(
        self,
        text: str,
        section: str | None = None,
        *,
        only: bool = False,
        sock: Number | None = None,
        sure: bool = False,
    ) -> Answer:
        """The goal, from its mark, of the open section, or of one to come, by name.

        It is that of the pair, or with `only` of this sock alone. Raises BadLength and Doubted, too,
        and Follows where the section is over on the other sock.
        """
        glance = self.look(sock)
        goal = read_length(text, glance.unit)
        if goal.mm <= 0:
            raise Refused(f"a goal of {text.strip()} cannot be; write a length above zero")
        planned, toe_mm = self._goal_now(glance, section, sock)
        if goal.mm <= toe_mm:
            toe = write_length(toe_mm, glance.unit)
            what = self._alone(glance)
            raise Refused(f"{what} {toe}; write a goal longer than that")
        if planned is not None:
            goals = [planned, *self._planned_at_first(section, sock)]
            _ask_for_unit(text, goal.unit, goals, glance.unit, sure=sure)
            if not any(_is_near(goal.mm, mm, TOO_FAR_OFF) for mm in goals):
                raise Refused(
                    f"{text.strip()} is far from the {write_length(goals[-1], glance.unit)} planned;"
                    " write a nearer goal"
                )
        data: dict[str, Any] = {"mm": goal.mm, "text": text.strip()}
        if section is not None:
            data["section"] = section
        answer = self._act("target", data | {"only": True} if only else data, sock)
        later = self._no_sooner(section, goal.mm, sock)
        return Answer(answer.glance, lambda: f"{answer.said} {later}") if later else answer

    def _no_sooner(self, section: str | None, mm: float, sock: Number | None) -> str:
        """That a section to come is shaped to a round past its new goal, and where that is; else ""."""
        number = sock or self._replay.state.hand
        there = self._sock(number)
        course = self.course.of(there)
        index = None if section is None else course.find(section, there.section)
        if index is None or index == there.section:
            return ""  # of that in hand its glance tells
        after = lengths_after(course, self._replay.state, number, index)
        shaped_to, gauge = course.shaped_to(index), course.pattern.gauge
        if after is None or not shaped_to:
            return ""
        ends = after_washing(after(shaped_to), gauge.grows if gauge else 0.0)
        from tracker import answers

        last = f"{words.unit(course.sections[index].worked)} {shaped_to}"
        return answers.no_sooner(last, ends, mm, course.pattern.unit)

    def open_ahead(self) -> tuple[str, float] | None:
        """The section in hand, or the next to come, that has a length for its goal, and that (mm)."""
        state = self._replay.state
        at = self._sock(None)
        for index in range(at.section, self.course.last + 1):
            goal = goal_of(self.course, state, state.hand, index)
            if goal is not None and not at.finished:
                return self.course.sections[index].called, goal[0]
        return None

    def _alone(self, glance: Glance) -> str:
        """What of a foot's goal comes after it, as it is said to be as long as that."""
        if not glance.toe_up:
            return "the toe alone is"
        gusset = self.course.find("gusset") is not None
        return "gusset and heel alone are" if gusset else "the heel alone is"

    def _goal_now(
        self, glance: Glance, section: str | None, sock: Number | None
    ) -> tuple[float | None, float]:
        """Where a section ends as it is, and the toe's length where its goal includes that (mm)."""
        if section is None:
            length = glance.length
            if length is None:
                return None, 0.0
            toe_mm = after_washing(length.after_mm, length.grows)
            if length.target_mm is None:
                return None, toe_mm
            return after_washing(length.target_mm, length.grows), toe_mm
        number = sock or self._replay.state.hand
        index = self.course.find(section, self._sock(number).section)
        found = None
        if index is not None:
            found = goal_of(self.course, self._replay.state, number, index)
        return found or (None, 0.0)

    def _planned_at_first(self, section: str | None, sock: Number | None) -> list[float]:
        """The pattern's own goal (mm) of a section, be there another by now: back to it is no slip."""
        here = self._sock(sock).section
        index = here if section is None else self.course.find(section, here)
        goal = None if index is None else self.course.sections[index].goal
        return [] if goal is None else [goal.mm]

    def target_by_yarn(
        self, section: str | None = None, *, only: bool = False, sock: Number | None = None
    ) -> Answer:
        """The goal of the leg, in hand or to come, is as far as the yarn goes.

        On both socks alike, or with `only` on this one alone; what the other still needs is kept. Raises
        Follows, too, where the other sock has ended the leg.
        """
        from tracker.forecast.as_far import NotFar, as_far

        if not is_whole(self.course.pattern):
            why = "how far the yarn goes is known once the whole pattern is there; write a goal"
            raise Refused(f"{why} as a length, like 14.5 cm")
        number = sock or self._replay.state.hand
        state = self._replay.state
        index = self._grows_with_the_yarn(number, section)
        data: dict[str, Any] = {"mm": 1.0, "text": words.AS_FAR, "section": index}
        data |= {"only": True} if only else {}
        there = self.course.sections[index]
        if section is not None or there.kind == "leg" or state.sock(number).finished:
            self._ruled(Act("target", number, data))
        lengths = (length_of(self.course, state, 1), length_of(self.course, state, 2))
        goal = as_far(self.course, state, number, lengths, index, only=only)
        if isinstance(goal, NotFar):
            named = section_name(there.kind, self.course.pattern.of_socks)
            own = shorten(there.name) if there.kind == "other" else named
            raise Refused(words.not_far(goal, own, keys=self.shown_keys if self.keys else None))
        gauge = self.course.pattern.gauge
        # It is told as the tape meets it; goals are washed lengths.
        mm = after_washing(goal.mm, gauge.grows if gauge else 0.0)
        return self._act("target", {**data, "mm": mm}, sock)

    def _grows_with_the_yarn(self, number: Number, section: str | None) -> int:
        """The section asked about: the one named, the leg to come, or that in hand."""
        here, leg = self._sock(number).section, self.course.find("leg")
        if section is None:
            return leg if leg is not None and here < leg else here
        # A name that is none is refused where every goal is decided.
        wish = Act("target", number, {"mm": 1.0, "text": words.AS_FAR, "section": section})
        index = self.course.find(section, here)
        return int(self._ruled(wish).data["section"]) if index is None else index

    def weigh(self, text: str, *, colour: str | None = None, sock: Number | None = None) -> Answer:
        """The yarn that is left for the pair, on the scale; a bare number is grams.

        With a `colour` it is the ball of that colour alone.
        """
        try:
            grams = read_grams(text)
        except BadWeight as bad:
            raise Refused(str(bad)) from None
        data: dict[str, Any] = {"grams": grams, "text": text.strip()}
        return self._act("weigh", data if colour is None else data | {"colour": colour}, sock)

    def count_by(self, counting: Counting) -> Glance:
        """Count by rounds or by needles from now on: a setting, not an act."""
        self._basket.set_count(self.pair, counting)
        self.pair = self.pair._replace(count=counting)
        return self.glance

    def _act(
        self,
        kind: str,
        data: Mapping[str, Any],
        sock: Number | None,
        shown: Number | None = None,
        stamp: Stamp | None = None,
    ) -> Answer:
        """Do it on a sock, that in hand if none is named; the glance is that of `shown`, or the same."""
        from tracker import answers

        def wished() -> list[Act]:
            wish = Act(kind, sock or self._replay.state.hand, data)
            return [self._with_answer(wish) if kind == "count" else wish]

        event, before = self._record(wished, stamp)
        after = self.look(shown or sock)
        target = self._events[event.data["of"] - 1] if kind in ("undo", "redo") else None
        if kind == "undo" and target is not None:
            # It is named by the place it was made at, which is that of its sock again.
            before = self.look(cast(Number, target.sock))
        done, keys = Act(kind, event.sock, event.data), self.keys
        return Answer(after, lambda: answers.said(done, before, after, target, keys=keys))

    def _with_answer(self, wish: Act) -> Act:
        """A look-up by the fabric with what it answers, so that the history can say so for ever."""
        if not CLUES & wish.data.keys():
            return wish
        from tracker import place_words

        act, trial = self._ruled(wish), self._replay.trial()
        number = self._replay.events + 1
        trial.apply(Event(number, self.touched, 0, act.sock, act.kind, act.data, b""))
        shown = Shown(self.pair.short, self.counting, self._replay.events, 0)
        glance = look(trial.course, trial.freeze(), shown, cast(Number, act.sock))
        return wish._replace(data={**wish.data, "answered": place_words.kept(glance)})

    def _record(
        self, wishes: Callable[[], Sequence[Act]], at: Stamp | None = None
    ) -> tuple[Event, Glance]:
        """Commit one act or several, asked for once what others recorded is known, whole or not at all.

        Returns the last event, and the glance at its sock (for redo, at that of the act it brings
        back) just before, what others recorded meanwhile among it.
        """
        stamp = at or self._clock()
        before: list[Glance] = []

        def decided(newer: Sequence[Event]) -> tuple[list[Act], Summary]:
            for event in newer:
                self._take(event)
            wanted = wishes()
            redone = self._replay.redoable if wanted[0].kind == "redo" else None
            before.append(self.look(cast(Number, (redone or wanted[0]).sock)))
            acts = [self._tried(wish, stamp) for wish in wanted]
            self.touched = stamp.at
            if wanted[0].kind in _LAID_ANEW:
                self._check_shown(wanted[0].kind)
            else:
                self._check_goes_on(acts[-1].sock)
            return acts, self.summary

        return self._committed(decided, stamp)[-1], before[-1]

    def _ruled(self, wish: Act) -> Act:
        """The act as the rules have it. Raises Refused."""
        from tracker.knitting.decide import decide  # the first picture needs no rules

        return decide(self._replay, wish)

    def _tried(self, wish: Act, stamp: Stamp) -> Act:
        """The act as it is to be recorded, done on the running state."""
        act = self._ruled(wish)
        following = self._replay.events + 1
        self._replay.apply(Event(following, *stamp, act.sock, act.kind, act.data, b""))
        return act

    def _committed(
        self,
        decided: Callable[[Sequence[Event]], tuple[Sequence[Act], Summary]],
        stamp: Stamp | Sequence[Stamp],
    ) -> list[Event]:
        """Commit what is decided once what others recorded is known; where that fails nothing is so."""
        try:
            _, added = self._recorded(decided, stamp)
        except BaseException:
            if self._replay.events > len(self._events):
                # It was tried on the running state, and was not committed.
                self._replay = self._replayed()
                self._looks.clear()
                self._row = None
                self.touched = self._events[-1].at
            raise
        self._events.extend(added)
        self._replay.keep(added)
        return added

    def _recorded(
        self,
        decided: Callable[[Sequence[Event]], tuple[Sequence[Act], Summary]],
        stamp: Stamp | Sequence[Stamp],
    ) -> tuple[list[Event], list[Event]]:
        """As the basket records it; decided once more where what was kept of the pair proves wrong."""
        try:
            return self._basket.record(self.pair, len(self._events), decided, stamp)
        except BadHistory:
            if self._kept is None:
                raise
        self._drop_checkpoint()
        return self._basket.record(self.pair, len(self._events), decided, stamp)

    def _drop_checkpoint(self) -> None:
        """Acts before the checkpoint are not those that it was made of: all is replayed from here on."""
        checkpoints.drop(self._basket.path, self.pair.uid)
        self._kept, self._replay = None, self._replayed_whole()
        self._looks.clear()
        self._row = None
        self.touched = self._events[-1].at

    def _check_shown(self, kind: str) -> None:
        """Refuse an act of the `kind` with which a sock cannot be shown: once recorded nothing could be."""
        from tracker.knitting.growing import names

        for number, called_so in zip(BOTH, names(self.course), strict=True):
            try:
                self.look(number)
            except CannotBeShown:
                raise Refused(f"with it {called_so} cannot be shown; {_LAID_ANEW[kind]}") from None

    def _check_goes_on(self, sock: int) -> None:
        """Refuse what would leave nothing to look at: once recorded it could not even be taken back."""
        hand = self._replay.state.hand
        try:
            for number in dict.fromkeys((hand, sock or hand)):
                self.look(cast(Number, number))
        except CannotBeShown:
            raise CannotBeShown(
                f"with it {shorten(self.pair.short)} cannot be shown, and nothing was recorded; a newer"
                f" Instep may do it{in_file(self._basket.path)}"
            ) from None

    def _take(self, event: Event) -> None:
        try:
            self._replay.apply(event)
        except (UnknownAct, BadHistory) as bad:
            if self._kept is None or isinstance(bad, UnknownAct):
                raise self._unreadable(bad) from None
            self._drop_checkpoint()
            self._take(event)
            return
        self._events.append(event)
        self.touched = event.at

    def _opened(self) -> Replay:
        """Take in its pattern and events; their replay, on from a checkpoint where there is a right one."""
        basket, pair = self._basket, self.pair
        is_long = pair.last >= checkpoints.EVERY
        running = self._opened_from_checkpoint() if is_long else None
        if running is None:
            self._kept = None
            self._started = Course(open_text(pair.short, basket.pattern_text(pair)))
            self._events = ReadLate(basket.events(pair))
            running = self._replayed()
        number = self._kept.number if self._kept else 0
        if isinstance(running, Resumed) and running.reached_under:
            self._keep_checkpoint(running, 0)  # else the next opening would read all again
        elif is_long and len(self._events) - number >= checkpoints.EVERY:
            self._keep_checkpoint(running, number)
        return running

    def _opened_from_checkpoint(self) -> Replay | None:
        basket, pair = self._basket, self.pair
        kept = checkpoints.find(basket.path, pair.uid)
        events = kept and basket.events_from(pair, kept.summed)
        if not kept or not events:
            return None
        last, *newer = events
        with suppress(*_NO_CHECKPOINT):
            self._kept = kept.of(last)
            self._started = Course(open_parsed(pair.short, basket.pattern_text(pair), kept.tables))
            number = last.number
            self._events = ReadLate(newer, number, lambda: basket.earlier(pair, number))
            return self._replayed_from(self._kept)
        return None

    def _keep_checkpoint(self, replay: Replay, above: int) -> None:
        """Keep the newest that there is, so that nobody replays what is before it again."""
        found, basket, pair = checkpoint_of(replay), self._basket, self.pair
        if found is None or found.number <= above:
            return
        with suppress(BasketTrouble):
            summed = basket.summed(pair, found.number)
            if summed is not None:
                tables = document_of(pair.short, self._started.pattern.text)
                checkpoints.keep(basket.path, pair.uid, summed, found, tables)

    def _replayed(self) -> Replay:
        return self._replayed_from(self._kept) if self._kept else self._replayed_whole()

    def _replayed_whole(self) -> Replay:
        try:
            return Replay(self._started, self._events[:])
        except (UnknownAct, BadHistory) as bad:
            raise self._unreadable(bad) from None

    def _replayed_from(self, kept: Checkpoint) -> Replay:
        number = kept.number
        newer = self._events[number:]
        return Resumed(self._started, kept, newer, lambda: self._events[:number])

    def _unreadable(self, bad: Exception) -> BasketTrouble:
        pair = shorten(self.pair.short)
        if isinstance(bad, UnknownAct):
            return BasketTrouble(
                f'{pair} holds "{shorten(str(bad))}", which this Instep cannot replay; use a newer one'
            )
        return BasketTrouble(f"the history of {pair} contradicts itself: {bad}")

    @property
    def summary(self) -> Summary:
        """Where the pair is, as a list of pairs shows it."""
        return Summary(*summary(self.course, self._replay.state))


_NO_CHECKPOINT = (
    FileTrouble, UnknownAct, BadHistory, ValueError, TypeError, LookupError, AttributeError, ArithmeticError,
)  # fmt: skip
"""What is raised of one that was made of nothing that was knitted, whoever wrote it."""

_IN_THE_PATTERN = "write what was changed on it out in the pattern"
_ON_A_ROW = "name the row and what was done there another way"
_LAID_ANEW = {
    "append": _IN_THE_PATTERN,
    "replan": _IN_THE_PATTERN,
    "changed": _ON_A_ROW,
    "copy": _ON_A_ROW,
}
"""Kinds of act that lay the rows out anew, with what to do where nothing can be shown then."""


def step_of(basket: Basket, pair: PairRow, clock: Clock) -> str:
    """ "in step, sock two 31 rounds behind"; or what differs first, and how far they are apart.

    Of a pair that cannot be opened it says only that it is not in step.
    """
    from tracker import pair_words

    here, of_socks = pair.summary, basket.of_socks(pair)
    if here.in_step:
        return ", ".join(filter(None, (pair_words.IN_STEP, lag_of(here, of_socks))))
    try:
        session = Session(basket, pair, clock)
    except (BasketTrouble, FileTrouble):
        return pair_words.NOT_IN_STEP
    step = pair_words.step(session.differs(), of_socks)
    return "; ".join(filter(None, (step, lag_of(session.summary, of_socks))))


def lag_of(here: Summary, of_socks: bool) -> str:
    """How far the socks are apart, where that is kept; "" where nothing is to be said of it."""
    from tracker import pair_words

    return pair_words.lag(*here.lag, of_socks=of_socks, finished=here.section in CLOSING)


def rests_of(basket: Basket, pair: PairRow, clock: Clock) -> str:
    """Until when that is all, where the sock in hand has come to the end of the pattern so far; else ""."""
    from tracker import stage_words

    try:
        text = basket.pattern_text(pair)
        # Most patterns are all there from the first, so that nothing need be opened to say so.
        if _is_closed(text) or not ("stage" in text or basket.of_socks(pair)):
            return ""
        rests = Session(basket, pair, clock).glance.used_up
    except (BasketTrouble, FileTrouble):
        return ""
    return "" if rests is None else stage_words.until(rests)


_CLOSES = re.compile(r'^\s*kind\s*=\s*"(?:graft|draw up|bind-off)"', re.MULTILINE)


def _is_closed(text: str) -> bool:
    """Whether a pattern file has an end: looked for from the first line that could say so."""
    found = (text.find(f'"{kind}"') for kind in CLOSING)
    at = min((at for at in found if at >= 0), default=-1)
    return at >= 0 and _CLOSES.search(text, text.rfind("\n", 0, at) + 1) is not None


def short_name(title: str) -> str:
    """What a pair is called on the command line: its title in small letters and hyphens."""
    import unicodedata

    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "pair"


def source_of(data: bytes) -> str:
    """The SHA-256 by which a pair knows the file it was started from."""
    import hashlib

    return hashlib.sha256(data).hexdigest()


def _answers(apart: int, rounds_off: int) -> bool:
    """Whether a corrected count, so far from what an odd reading speaks of, explains that reading."""
    return abs(apart) <= max(NEARLY, abs(rounds_off) // 2)


_UNIT = re.compile(r'\s*[A-Za-z"]+\s*$')


def _is_near(mm: float, expected: float, far: float) -> bool:
    return 1 / far <= mm / max(expected, 1.0) <= far


def _ask_for_unit(
    text: str, unit: Unit, expected: Sequence[float], hers: Unit, *, sure: bool
) -> None:
    """Refuse a number that fits only in another unit: it is asked back, never converted.

    `expected` are the lengths (mm) it may be about, `hers` is the unit to say them in.
    """
    number = _UNIT.sub("", text.strip())
    told = read_length(number, unit).mm
    believed = sure or (unit == hers and _UNIT.search(text) is not None)
    if any(_is_near(told, mm, TOO_FAR_OFF if believed else FAR_OFF) for mm in expected):
        return
    for another in MM_PER:
        for mm in expected:
            try:
                fits = read_length(number, cast(Unit, another)).mm / max(mm, 1.0)
            except BadLength:
                continue
            if another != unit and 0.75 <= fits <= 1.33:
                meant = write_length(fits * max(mm, 1.0), hers, with_unit=False)
                raise Doubted(
                    f"{number} {unit} is far from the {write_length(mm, hers)} expected;"
                    f' did you mean "{number} {another}"?',
                    meant.replace(" ", "-"),
                    any(_is_near(told, one, TOO_FAR_OFF) for one in expected),
                )
