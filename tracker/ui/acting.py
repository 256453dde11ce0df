"""The keys at the needles become acts of the session: figures gather, the next key says what they are.

The screen and the plain lines share this; each shows in its own way what was done and what is said.
"""

from __future__ import annotations

import re
from abc import abstractmethod
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from functools import partial
from typing import TYPE_CHECKING

from tracker import words
from tracker.glance import Glance
from tracker.keys import DIGITS, FIGURES, Keys
from tracker.knitting.refused import Counted, Follows, Refused
from tracker.knitting.state import Number
from tracker.pattern.orders import IN_TURN
from tracker.session import Answer, Counting, Doubted, Session
from tracker.storage.basket import BasketBusy, BasketTrouble, Stamp
from tracker.ui.commands import BY_NAME, spoken
from tracker.units import BadLength, shorten

if TYPE_CHECKING:
    from tracker.ui.writing import Writing

TURNED = 3.0
"""Seconds that the stage stays turned over after a round, unless a key comes first."""
SAID = 5.0
"""Seconds that what was just done is said."""
_AFTER_FIGURES = frozenset("-+")
"""Signs that belong to a number only after its first figure."""
_LONGEST_NUMBER = 15
_THE_KEY = "; the key was not counted, press it again"
_THE_KEYS = "; press them again"
"""What is said of one key that came while another program wrote, and of more."""
_COUNTS = re.compile(r"; write (\d+)(?: to (\d+))?$")
"""The end of a refusal that names counts."""
_IN_OTHER_WORDS = "; tell it with other TEXT"
"""How commands tell what has no kind of its own. A note comes on the other sock, too."""
_ROW = re.compile(r"; write --row (\d+)")
"""That of one that names a row."""


class Acting:
    """What a key does to the pair; `_said`, `_not_kept` or an open `_writing` then say what came of it."""

    session: Session
    _typed: str
    _said: str
    _said_brief: str
    _not_kept: str
    _turned: bool
    _changed_socks: bool
    _left: bool
    _command_key: str
    _doubted: str
    """A length that was asked back: typed again with the same key it is taken as it is."""
    _alone: str
    """A goal that the other sock is past: typed again it is that of this sock alone."""
    _begins_again: bool
    """Whether the key that begins a sock again was pressed just before: then it does."""
    _lost: int
    """Keys of the burst at hand that were not kept: no success of one behind them hides that."""
    _trouble: str
    """Why the last of them was not."""
    _pressed_at: Stamp | None
    """When the key of a tick that waited was pressed; None: now."""
    _writing: Writing | None
    """The line that takes words, while it is open."""

    def _take_up(self, session: Session) -> None:
        """Nothing is typed, open or doubted yet; the place is said."""
        self.session = session
        session.keys = True
        self._typed = ""
        self._said, self._said_brief = opening(session)
        self._not_kept = self._command_key = self._doubted = self._alone = ""
        self._turned = self._changed_socks = self._left = self._begins_again = False
        self._writing = self._pressed_at = None
        self._lost, self._trouble = 0, ""

    @property
    @abstractmethod
    def keys(self) -> Keys:
        """The keys in force."""

    @abstractmethod
    def _draw(self) -> None:
        """Show what there is now."""

    @abstractmethod
    def _ticked(self, before: Glance, now: Glance) -> None:
        """A tick was recorded; before anything is said of it."""

    def _told_if_slow(self) -> AbstractContextManager[None]:
        """Around what is recorded, and nothing else: where that takes long she is told why she waits."""
        return nullcontext()

    def _be_quiet_after(self, seconds: float) -> None:
        """What is said, and a stage that is turned over, may go after a while."""

    def press(self, key: str, character: str) -> None:
        """Do what a key does. Any key turns the stage back."""
        if self._left:
            return
        self._turned = False
        if self._writing is not None:
            self._write(self._writing, key, character)
            return
        keys = self.keys
        if keys.nearly_all and key != "escape":
            self._command(spoken(key, character))
        elif character and self._goes_on(character):
            self._type(character)
        elif key == "escape":
            self._typed = ""
            self._draw()
        elif key == "backspace" and self._typed:
            self._typed = self._typed[:-1]
            self._draw()
        else:
            self._command(spoken(key, character))

    def _is_bare_tick(self, key: str, character: str) -> bool:
        """Whether a key is one tick more and nothing else: no figures stand before it, no line is open."""
        if self._left or self._typed or self._writing is not None:
            return False
        keys = self.keys
        if not keys.nearly_all and character and self._goes_on(character):
            return False
        return keys.act(spoken(key, character)) == "tick"

    def _tick_all(self, stamps: Sequence[Stamp]) -> None:
        """Ticks that waited for each other: all but the last are kept at once, and it says what came of all.

        Each has the time of its key. Where another program is in the way they are tried one by one, up to
        the first that is not kept: none behind it is.
        """
        alone = stamps[-1:]
        try:
            if len(stamps) > 1:
                with self._told_if_slow():
                    self.session.ticks(stamps[:-1])
        except Refused:
            pass  # so is the last, and says why
        except BasketBusy:
            alone = stamps
        except BasketTrouble as trouble:
            self._lose(trouble, len(stamps))
            return
        lost = self._lost
        for number, self._pressed_at in enumerate(alone):
            self._command(self.keys.shown["tick"])
            if self._lost > lost:
                self._lose(self._trouble, len(alone) - number - 1)
                break
        self._pressed_at = None

    def _lose(self, trouble: BasketTrouble | str, keys: int = 1) -> None:
        """So many keys more of this burst are not kept; it is said of all of them together."""
        self._lost, self._trouble = self._lost + keys, str(trouble)
        self._not_kept = self._loss()
        self._draw()

    def _loss(self, *, last: bool = True) -> str:
        """What is said of the keys of this burst that are not kept; `last`: none was kept behind them."""
        if not self._lost:
            return ""
        if self._lost == 1 and last:
            return self._trouble
        keys = "1 key was" if self._lost == 1 else f"{self._lost} keys were"
        which = f"the last {keys}" if last else keys
        return f"{which} not counted: {self._trouble.replace(_THE_KEY, _THE_KEYS)}"

    def _goes_on(self, character: str) -> bool:
        """Whether a sign is one of a number: a digit, or another one that no act has, or after a digit."""
        if self._typed:
            return character in FIGURES or character in _AFTER_FIGURES
        return character in DIGITS or (character in FIGURES and self.keys.act(character) is None)

    def _write(self, writing: Writing, key: str, character: str) -> None:
        """A key while a line is open that takes words."""
        if not writing.text and (key == "space" or not character):
            # No line begins with a space, nor with a pedal: where that ticks she knits on, and it counts.
            named = spoken(key, character)
            if key != "enter" and self.keys.is_tick(named):
                self._writing = None
                self._command(named)
                return
        if key == "space" and not writing.text:
            return
        if key == "enter":
            self._writing = self._kept(writing)
        elif key == "escape":
            self._writing = None
        elif key == "backspace":
            self._writing = writing.rubbed_out()
        else:
            self._writing = writing.typed(character)
        self._draw()

    def _kept(self, writing: Writing) -> Writing | None:
        """Record what is written; the line stays open where that cannot be."""
        if writing.wordless:
            return writing._replace(trouble=f"{_WORDLESS[writing.what]}, or esc leaves it")
        acts = {
            "note": self.session.note,
            "rest": self.session.rest,
            "colour": self.session.coloured,
            "seen": self._seen,
        }
        try:
            with self._told_if_slow():
                answer = acts[writing.what](writing.text, sock=writing.sock)
        except Refused as refused:
            return writing._replace(trouble=refused.at_needles(self.keys.shown) or str(refused))
        except BasketTrouble as trouble:
            return writing._replace(trouble=f"not kept, enter tries again: {trouble}")
        self._not_kept = self._loss(last=False)
        self._said_brief = _answered_briefly(writing, answer.glance)
        self._say(answer.said)
        return None

    def _seen(self, text: str, *, sock: Number) -> Answer:
        """Where she may be, by what she sees of the fabric."""
        from tracker.ui.seen import read_seen

        try:
            return self.session.count(**read_seen(text), sock=sock)
        except BadLength:
            why = f'there is no such length in "{shorten(text)}"; write long 11.4'
            raise Refused(why) from None

    def _command(self, key: str) -> None:
        """Do what the key stands for, or say why not: figures never wait for the key after it."""
        number, self._typed = self._typed, ""
        self._said = self._said_brief = ""
        keys = self.keys
        act = keys.act(key)
        if act not in ("measure", "rough", "target"):
            self._doubted = self._alone = ""
        self._begins_again = self._begins_again and act == "restart"
        self._command_key = keys.shown[act] if act else ""
        if act is None:
            told = f"{key} does nothing here; {keys.shown['help']} says what the keys do"
            self._say(f"{number} {key}: {told}" if number else told)
        elif number and not BY_NAME[act].number:
            self._say(f"{number} {self._command_key}: {self._command_key} takes no number")
        else:
            getattr(self, f"do_{act}")(number)

    # What the keys do

    def do_tick(self, number: str) -> None:
        from tracker import answers

        before = self.session.glance
        in_rounds = before.place.worked == "rounds"
        by_needle = in_rounds and self.session.counting == "needles" and not number
        at = self._pressed_at

        def ticked() -> Answer:
            return self.session.tick(_whole(number) if number else 1, needles=by_needle, stamp=at)

        if not self._act(ticked):
            return
        now = self.session.glance
        self._turned = in_rounds and not by_needle and now.place.at_marker
        self._ticked(before, now)
        if number and int(number) > 1:
            self._said = answers.ticked(before, now, int(number))
            self._said_brief = self._said.partition(",")[0]
        if self._changed_socks:
            self._changed_socks = False
            named, back = words.sock(now.place.sock, now.of_socks), self.keys.shown["other"]
            counting = f"counting {named} ({back} goes back)"
            self._said = f"{self._said}. {counting}" if self._said else counting
        self._draw()
        self._be_quiet_after(TURNED if self._turned and not self._said else SAID)

    def do_single(self, number: str) -> None:
        self._act(self.session.keep_single, say=True)

    def do_undo(self, number: str) -> None:
        self._act(self.session.undo, say=True)

    def do_redo(self, number: str) -> None:
        self._act(self.session.redo, say=True)

    def do_other(self, number: str) -> None:
        before = self.session.glance.place.sock

        def changed() -> Answer:
            from tracker import rest_words

            answer = self.session.other()
            self._said_brief = rest_words.rests_now(answer.glance).rstrip()
            return answer

        self._act(changed, say=True)
        self._changed_socks = self.session.glance.place.sock != before

    def do_over(self, number: str) -> None:
        self._act(lambda: self.session.move_over(_whole(number) if number else 1), say=True)

    def do_measure(self, number: str) -> None:
        glance = self.session.glance
        taken = (glance.length or glance.unmeasured) is not None
        self._take(number, self._read, "length", taken, words.example(glance))

    def do_rough(self, number: str) -> None:
        glance = self.session.glance
        taken = (glance.length or glance.unmeasured) is not None
        read = partial(self._read, rough=True)
        self._take(number, read, "length", taken, words.example(glance))

    def _read(self, number: str, *, sure: bool, rough: bool = False) -> Answer:
        """A tape reading; of one that does not fit the ways out are said where there is little room."""
        answer = self.session.measure(number, sure=sure, rough=rough)
        odd = next((cue for cue in answer.glance.cues if cue.kind == "reading"), None)
        self._said_brief = words.cue_brief(odd, answer.glance) if odd else ""
        return answer

    def do_right(self, number: str) -> None:
        self._act(lambda: self.session.answer("right"), say=True)

    def do_void(self, number: str) -> None:
        self._act(lambda: self.session.answer("void"), say=True)

    def do_target(self, number: str) -> None:
        glance = self.session.glance
        aim = glance.length or glance.unmeasured
        goal = aim.target_mm if aim else None
        ahead = self.session.open_ahead()
        example = words.example(glance, goal or (ahead[1] if ahead else None))
        what = f"new goal of the {words.section(ahead[0], glance.of_socks)}" if ahead else ""
        self._take(number, self._new_goal, what, ahead is not None, example)

    def _new_goal(self, number: str, *, sure: bool) -> Answer:
        """Where the section is over on the other sock the same again means: for this one alone."""
        only = self._alone == number
        try:
            try:
                return self.session.target(number, only=only, sure=sure)
            except Counted as counted:
                if counted.ahead is None:
                    raise
                # Where she is there is no length to change: it is that of the section to come.
                return self.session.target(number, counted.ahead, only=only, sure=sure)
        except Follows as follows:
            self._alone = number
            raise Refused(
                f"{follows}; {number} {self._command_key} again: for this sock alone"
            ) from None

    def _take(
        self, number: str, act: Callable[..., Answer], what: str, taken: bool, example: str
    ) -> None:
        """A length in figures; where none is `taken` the session says so, whatever the figures."""
        key = self._command_key
        if not number and taken:
            unit = self.session.glance.unit.replace("in", "inches")
            self._say(f"type the {what} first, in {unit}: {example} {key}")
            return
        number = number or example
        sure, self._doubted = self._doubted == f"{number} {key}", ""

        def recorded() -> Answer:
            try:
                return act(number, sure=sure)
            except Doubted as doubt:
                self._doubted = f"{number} {key}"
                told = f"{str(doubt).partition(';')[0]}; type {doubt.meant} {key} if you meant that"
                again = f", or {number} {key} again" if doubt.may_stand else ""
                raise Refused(told + again) from None
            except BadLength:
                raise self._no_length(number, example) from None

        self._act(recorded, say=True)

    def _no_length(self, number: str, example: str) -> Refused:
        return Refused(f'"{number}" is not a length; type it like {example} {self._command_key}')

    def do_end(self, number: str) -> None:
        self._act(lambda: self.session.end(_whole(number) if number else None), say=True)

    def do_at(self, number: str) -> None:
        if not number:
            self._say(f"type the last round that is done first: 31 {self._command_key}")
            return
        self._act(lambda: self.session.at(_whole(number)), say=True)

    def do_count(self, number: str) -> None:
        from tracker import count_brief

        def counted() -> Answer:
            is_length = any(sign in number for sign in ".,-")
            count = self.session.count
            try:
                answer = count(length=number) if is_length else count(number or "ok")
            except BadLength:
                raise self._no_length(number, words.example(self.session.glance)) from None
            found = answer.glance.counted
            if found and (found.by_fabric or not found.matches or found.places):
                self._said_brief = count_brief.brief(found, answer.glance)
            return answer

        self._act(counted, say=True)

    def do_tail(self, number: str) -> None:
        from tracker import count_brief

        def seen() -> Answer:
            answer = self.session.count(tail=_whole(number) if number else 0)
            found = answer.glance.counted
            if found and not found.matches:
                self._said_brief = count_brief.brief(found, answer.glance)
            return answer

        self._act(seen, say=True)

    def do_seen(self, number: str) -> None:
        from tracker.ui.writing import Writing

        sock = self.session.glance.place.sock
        self._writing = Writing("seen", sock, f"{number} " if number else "")
        self._draw()

    def do_put(self, number: str) -> None:
        def put() -> Answer:
            return self.session.put_there(_whole(number) if number else None)

        self._act(put, say=True)

    def do_skipped(self, number: str) -> None:
        def skipped() -> Answer:
            row = _whole(number) if number else None
            return self.session.changed("skipped-decrease", row=row)

        self._act(skipped, say=True)

    def do_uneven(self, number: str) -> None:
        if not number:
            self._say(f"type the chains along both edges first: 17/15 {self._command_key}")
            return
        self._act(lambda: self.session.changed("picked-up", number), say=True)

    def do_needles(self, number: str) -> None:
        if not number:
            key = self._command_key
            ways = f"2.25 {key} their size, 4 {key} the set, 22/21/21 {key}, 2+ {key} borders"
            self._say(f"type the needles first: {ways}")
            return
        kind, value = _needles_meant(number)
        self._act(lambda: self.session.changed(kind, value), say=True)

    def do_colour(self, number: str) -> None:
        from tracker.ui.writing import Writing

        if not number:
            self._writing = Writing("colour", self.session.glance.place.sock)
            self._draw()
            return

        def told() -> Answer:
            late = _whole(number)
            return (
                self.session.changed("colour", late=late) if late else self.session.colour_stays()
            )

        self._act(told, say=True)

    def do_order(self, number: str) -> None:
        def told() -> Answer:
            if number:
                return self.session.order(f"every {_whole(number)} rounds")
            return self._next_order()

        self._act(told, say=True)

    def _next_order(self) -> Answer:
        """The order of work after the one in force; one that these needles cannot hold is passed over."""
        now = self.session.state.order
        at = IN_TURN.index(now) if now in IN_TURN else -1
        for step in range(1, len(IN_TURN)):
            try:
                return self.session.order(IN_TURN[(at + step) % len(IN_TURN)].told)
            except Refused as refused:
                why = refused
        raise why

    def do_restart(self, number: str) -> None:
        if self._begins_again or not self.session.glance.place.begun:
            self._begins_again = False
            self._act(self.session.restart, say=True)
            return
        self._begins_again = True
        who = words.piece(self.session.glance, self.session.glance.place.sock)
        self._say(f"{self._command_key} again: {who} is begun again, and its past is kept")

    def do_alone(self, number: str) -> None:
        self._act(self.session.copy_turned, say=True)

    def do_rip(self, number: str) -> None:
        if not number:
            above = self.session.above_lifeline()
            key = self._command_key
            line = f", {above} {key} to the lifeline" if above else ""
            self._say(f"type how many rounds came off first: 12 {key}{line}")
            return
        self._act(lambda: self.session.rip_by(_whole(number)), say=True)

    def do_tink(self, number: str) -> None:
        if not number:
            self._say(f"type how many stitches were unknitted first: 20 {self._command_key}")
            return

        def unknitted() -> Answer:
            answer = self.session.tink(_whole(number))
            self._said_brief = words.place_brief(answer.glance)
            return answer

        self._act(unknitted, say=True)

    def do_lifeline(self, number: str) -> None:
        self._act(self.session.lifeline, say=True)

    def do_yarn_goal(self, number: str) -> None:
        self._act(self.session.target_by_yarn, say=True)

    def do_weigh(self, number: str) -> None:
        self._weigh(number, None)

    def do_weigh_colour(self, number: str) -> None:
        colour = self.session.glance.colour
        if colour is None:
            self._say(f"no colour is at hand here; {self.keys.shown['weigh']} weighs all the yarn")
            return
        self._weigh(number, colour.name)

    def _weigh(self, number: str, colour: str | None) -> None:
        if not number:
            key = self._command_key
            what = f" of the {shorten(colour).removeprefix('the ')}" if colour else ""
            self._say(f"type what the scale says{what} first, in grams: 85 {key}")
            return

        def weighed() -> Answer:
            answer = self.session.weigh(number, colour=colour)
            self._said_brief = words.yarn_brief(answer.glance)
            return answer

        self._act(weighed, say=True)

    def do_counting(self, number: str) -> None:
        by: Counting = "rounds" if self.session.counting == "needles" else "needles"
        try:
            self.session.count_by(by)
        except BasketTrouble as trouble:
            self._lose(trouble)
            return
        self._not_kept = self._loss(last=False)
        self._say(f"counting {'needle by needle' if by == 'needles' else 'round by round'}")

    def do_note(self, number: str) -> None:
        from tracker.ui.writing import Writing

        self._writing = Writing("note", self.session.glance.place.sock)
        self._draw()

    def do_rest(self, number: str) -> None:
        from tracker.ui.writing import Writing

        place = self.session.glance.place
        if not place.begun or place.finished:
            self._act(self.session.rest, say=True)  # which says why it cannot be
            return
        self._writing = Writing("rest", place.sock)
        self._draw()

    def do_stop(self, number: str) -> None:
        def stopped() -> Answer:
            answer = self.session.stop(_whole(number) if number else 0)
            self._said_brief = words.place_brief(answer.glance)
            return answer

        self._act(stopped, say=True)

    # Recording, and what is said

    def _act(self, act: Callable[[], Answer], *, say: bool = False) -> bool:
        """Record it; whether that was done."""
        try:
            with self._told_if_slow():
                answer = act()
        except Refused as refused:
            self._say(refused.at_needles(self.keys.shown) or self._at_the_needles(str(refused)))
            return False
        except BasketTrouble as trouble:
            self._lose(trouble)
            return False
        self._not_kept = self._loss(last=False)
        if say:
            self._say(answer.said)
        return True

    def _at_the_needles(self, why: str) -> str:
        """A refusal with its way out as it is typed here: "write 0 to 40" is "type 0 a to 40 a"."""
        key = self._command_key
        why = why.replace(_IN_OTHER_WORDS, f"; make a note of it: {self.keys.shown['note']}")
        if (row := _ROW.search(why)) is not None:
            return f"{why[: row.start()]}; type {row[1]} {key}"
        if (counts := _COUNTS.search(why)) is None:
            return why.replace("; write ", "; type ")
        span = " to ".join(f"{count} {key}" for count in counts.groups() if count)
        return f"{why[: counts.start()]}; type {span}"

    def _type(self, character: str) -> None:
        if len(self._typed) < _LONGEST_NUMBER:
            self._typed += character
        self._draw()

    def _say(self, text: str) -> None:
        self._said = text
        self._draw()
        self._be_quiet_after(SAID)


def opening(session: Session) -> tuple[str, str]:
    """The place, said: what she reads when she comes back, and the same in few words.

    Inside a round the few words come first, whatever the room: where the yarn hangs.
    """
    glance = session.glance
    if not glance.place.begun:
        return "", ""
    ago = words.ago(session.now().at - session.touched)
    whole, brief = words.place(glance), words.place_brief(glance)
    if glance.rests_on is not None:
        from tracker import rest_words

        rests = rest_words.rests_now(glance)
        return f"{rests}{whole} {ago}".rstrip(), rests.rstrip()
    if any(needle.finished for needle in glance.needles):
        whole = brief
    brief = brief.replace(" needles done", " done")
    if theirs := words.other_row(glance):
        # A round for both of which she sees one sock's work alone would be knitted wrongly on the other.
        return f"{whole} {theirs}", theirs
    return f"{whole} {ago}".rstrip(), f"{brief} {ago}".rstrip()


def _whole(number: str) -> int:
    """A typed count. Raises Refused where it is not whole."""
    if not number.isdigit():
        raise Refused(f"{number} is no whole number; type it again, like 31")
    return int(number)


_SETS = {"4": "four", "5": "five"}


def _needles_meant(number: str) -> tuple[str, str]:
    """What figures say of needles: a set by number, the stitches on each, borders moved, else their size."""
    from tracker.knitting.borders import move_told

    if number in _SETS:
        return "set", _SETS[number]
    return ("set" if "/" in number or move_told(number) is not None else "needle"), number


_WORDLESS = {
    "note": "a note has words; type them",
    "colour": "a colour has a name; type it",
    "seen": "a look has words; type them",
}
"""What is said where a line is kept that nothing is written in."""


def _answered_briefly(writing: Writing, glance: Glance) -> str:
    """What a line that was kept is answered where there is little room."""
    if writing.what == "rest":
        from tracker import rest_words

        return rest_words.rests_now(glance).rstrip()
    if writing.what == "seen" and glance.counted is not None:
        from tracker import count_brief

        return count_brief.brief(glance.counted, glance)
    return ""
