"""At the needles: keys become acts of the session, and the glance that comes back is shown."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen
from textual.timer import Timer

from tracker import words
from tracker.knitting.decide import Refused
from tracker.session import Answer, Counting, Session
from tracker.storage.basket import BasketTrouble, Stamp
from tracker.ui.commands import BY_KEY, footer
from tracker.ui.help_screen import HelpScreen
from tracker.ui.needles_view import NeedlesView
from tracker.units import BadLength

LOOK_FOR_OTHERS = 0.5
"""Seconds between two looks for what other programs wrote: the only timer while nothing is done."""
TURNED = 3.0
"""Seconds that the stage stays turned over after a round, unless a key comes first."""
SAID = 5.0
"""Seconds that what was just done is said."""

_IN_NUMBERS = frozenset("0123456789.,/")
_LONGEST_NUMBER = 9


class NeedlesScreen(Screen[None]):
    """The counting screen. It never changes state: it asks the session, and shows what comes back."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        session.keys = True
        self._typed = ""
        self._said = _opening(session)
        self._not_kept = ""
        self._turned = False
        self._changed_socks = False
        self._left = False
        self._minute = ""
        self._quiet: Timer | None = None

    def compose(self) -> ComposeResult:
        """One view, which shows a glance."""
        yield NeedlesView()

    def on_mount(self) -> None:
        """Show where she is, and look from time to time for what others wrote."""
        self._draw()
        self.set_interval(LOOK_FOR_OTHERS, self._look_for_others)

    def on_key(self, event: events.Key) -> None:
        """Every key counts: figures gather, the next key says what they are."""
        event.stop()
        event.prevent_default()
        self.press(event.key, event.character or "")

    def press(self, key: str, character: str) -> None:
        """Do what a key does. Any key turns the stage back."""
        if self._left:
            return
        self._turned = False
        if (character in _IN_NUMBERS and character) or (character == "-" and self._typed):
            self._type(character)
            return
        if key == "escape":
            self._typed = ""
            self._draw()
            return
        command = BY_KEY.get(key)
        if command is None:
            return
        if key == "backspace" and self._typed:
            self._typed = self._typed[:-1]
            self._draw()
            return
        number, self._typed = self._typed, ""
        self._said = ""
        getattr(self, f"do_{command.name}")(number)

    # What the keys do

    def do_tick(self, number: str) -> None:
        glance = self.session.glance
        in_rounds = glance.place.worked == "rounds"
        by_needle = in_rounds and self.session.counting == "needles" and not number
        self._act(lambda: self.session.tick(_whole(number) if number else 1, needles=by_needle))
        if self._not_kept or self._said:
            return
        now = self.session.glance
        self._turned = in_rounds and not by_needle and now.place.at_marker
        if self._changed_socks:
            self._changed_socks = False
            self._said = f"counting {words.sock(now.place.sock)} (tab goes back)"
        self._draw()
        self._be_quiet_after(TURNED if self._turned and not self._said else SAID)

    def do_undo(self, number: str) -> None:
        self._act(self.session.undo, say=True)

    def do_redo(self, number: str) -> None:
        self._act(self.session.redo, say=True)

    def do_other(self, number: str) -> None:
        self._act(self.session.other, say=True)
        self._changed_socks = True

    def do_measure(self, number: str) -> None:
        if not number:
            unit = self.session.glance.unit
            example = "6-3/4 m" if unit == "in" else "114 m" if unit == "mm" else "11.4 m"
            self._say(f"type the length first, in {unit}: {example}")
            return
        self._act(lambda: self.session.measure(number), say=True)

    def do_target(self, number: str) -> None:
        if not number:
            self._say("type the new goal first: 14.5 g")
            return
        self._act(lambda: self.session.target(number), say=True)

    def do_end(self, number: str) -> None:
        self._act(lambda: self.session.end(_whole(number) if number else None), say=True)

    def do_at(self, number: str) -> None:
        if not number:
            self._say("type the last round that is done first: 31 a")
            return
        self._act(lambda: self.session.at(_whole(number)), say=True)

    def do_counting(self, number: str) -> None:
        by: Counting = "rounds" if self.session.counting == "needles" else "needles"
        try:
            self.session.count_by(by)
        except BasketTrouble as trouble:
            self._not_kept = str(trouble)
        self._say(f"counting {'needle by needle' if by == 'needles' else 'round by round'}")

    def do_basket(self, number: str) -> None:
        from tracker.ui.basket_screen import BasketScreen

        # Keys that wait behind this one are for the basket, not for the pair that is left.
        self._left = True
        self.app.switch_screen(BasketScreen())

    def do_help(self, number: str) -> None:
        self.app.push_screen(HelpScreen(self.press))

    def do_leave(self, number: str) -> None:
        self.app.exit()

    # Showing

    def _act(self, act: Callable[[], Answer], *, say: bool = False) -> None:
        try:
            answer = act()
        except (Refused, BadLength) as refused:
            self._say(str(refused))
            return
        except BasketTrouble as trouble:
            self._not_kept = str(trouble)
            self._draw()
            return
        self._not_kept = ""
        if say:
            self._say(answer.said)

    def _type(self, character: str) -> None:
        if len(self._typed) < _LONGEST_NUMBER:
            self._typed += character
        self._draw()

    def _say(self, text: str) -> None:
        self._said = text
        self._draw()
        self._be_quiet_after(SAID)

    def _be_quiet_after(self, seconds: float) -> None:
        if self._quiet is not None:
            self._quiet.stop()
        self._quiet = self.set_timer(seconds, self._be_quiet)

    def _be_quiet(self) -> None:
        self._turned, self._said = False, ""
        self._draw()

    def _look_for_others(self) -> None:
        try:
            changed = self.session.refresh()
        except BasketTrouble as trouble:
            self._not_kept = str(trouble)
            changed = True
        if changed or self._minute != _time_of_day(self.session.now()):
            self._draw()

    def _draw(self) -> None:
        glance = self.session.glance
        self._minute = _time_of_day(self.session.now())
        turned = True if self._turned else None
        self.query_one(NeedlesView).show(
            glance, self._said, self._typed, self._not_kept, self._minute, footer(glance), turned
        )


def _opening(session: Session) -> str:
    """The place, said: what she reads when she comes back."""
    glance = session.glance
    if not glance.place.begun:
        return ""
    return f"{words.place(glance)} {words.ago(session.now().at - session.touched)}".rstrip()


def _time_of_day(stamp: Stamp) -> str:
    at = datetime.fromtimestamp(stamp.at / 1000, UTC)
    return at.astimezone(timezone(timedelta(minutes=stamp.offset))).strftime("%H:%M")


def _whole(number: str) -> int:
    """A typed count. Raises Refused where it is not whole."""
    if not number.isdigit():
        raise Refused(f"{number} is not a whole number of rounds; type it again, like 31")
    return int(number)
