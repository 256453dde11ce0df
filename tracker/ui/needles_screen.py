"""At the needles: keys become acts of the session, and the glance that comes back is shown."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen
from textual.timer import Timer

from tracker import words
from tracker.glance import Glance
from tracker.keys import Keys
from tracker.knitting.refused import Refused
from tracker.session import CannotBeShown, Session
from tracker.storage.basket import BasketBusy, BasketTrouble, Stamp
from tracker.ui.acting import SAID, Acting
from tracker.ui.commands import footer, writing_footer
from tracker.ui.footer import KeyLine
from tracker.ui.knitting_app import app_of
from tracker.ui.needles_view import NeedlesView
from tracker.ui.painted import Painted
from tracker.ui.slow import WAITS, told_if_slow

if TYPE_CHECKING:
    from tracker.plots import Plots
    from tracker.side_by_side import Pictures

LOOK_FOR_OTHERS = 0.5
"""Seconds between two looks for what other programs wrote: the only timer while nothing is done."""
DRAWN_AFTER = 0.15
"""Seconds after a key at which both socks are drawn anew."""
TOGETHER = 500
"""Ticks at most that are kept together: a tenth of a second for those that write beside."""
TRIES = 8
"""How often ticks are tried to be kept when she leaves while another program writes: two seconds."""
LARGE = "fill the screen"
"""The setting by which the count fills the screen."""


class NeedlesScreen(Acting, Screen[None]):
    """The counting screen. It never changes state: it asks the session, and shows what comes back."""

    AUTO_FOCUS = ""
    """Nothing of it takes the keys from it."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._take_up(session)
        self._minute = ""
        self._pictures: Pictures = (None, None)
        self._soon: Timer | None = None
        self._ticks: list[Stamp] = []
        """The times of ticks that wait for those behind them."""
        self._goes_on_behind = False
        """Whether something waited behind the last key: then the one after it is of the same burst."""
        self._drawn = -1
        """The events that were recorded when both socks were drawn last."""
        self._quiet: Timer | None = None
        self._to_draw = False
        """What is shown is not what is so; it will be drawn when the keys that wait are done."""
        self._at_a_key = False
        """Whether a key is being done: what it leads to is drawn when it is done."""
        self._quiet_after: float | None = None
        """Seconds after which what that key said is taken back."""

    @property
    def keys(self) -> Keys:
        """Those that she has set."""
        return app_of(self).keys

    def compose(self) -> ComposeResult:
        """One view, which shows a glance."""
        self._needles = NeedlesView()
        yield self._needles

    def on_mount(self) -> None:
        """Show where she is, and look from time to time for what others wrote."""
        self._to_draw = True
        self._draw_now()
        self.set_interval(LOOK_FOR_OTHERS, self._look_for_others)
        self.set_timer(DRAWN_AFTER, _make_ready)

    def on_resize(self, event: events.Resize) -> None:
        """Where there is room now both socks are drawn."""
        self._draw_socks_soon()

    def on_screen_resume(self) -> None:
        """What was set meanwhile holds from here on."""
        self.session.reminds_to_rest = app_of(self).settings.reminds_to_rest
        self.session.shown_keys = self.keys.shown
        self._draw()

    def on_key(self, event: events.Key) -> None:
        """Every key counts: figures gather, the next key says what they are."""
        event.stop()
        event.prevent_default()
        with self._drawn_at_once():
            self.press(event.key, event.character or "")

    @contextmanager
    def _drawn_at_once(self) -> Iterator[None]:
        """Show what a key did before anything else is done, where no other key waits behind it."""
        self._at_a_key = True
        try:
            yield
        finally:
            self._at_a_key = False
        if self._to_draw:
            if self.message_queue_size or self.app.message_queue_size:
                self.call_later(self._draw_now)
            else:
                self._draw_now()
        if self._quiet_after is not None:
            self._start_quiet(self._quiet_after)

    def press(self, key: str, character: str) -> None:
        """Do what a key does; a tick that others wait behind waits for them, and they are kept together."""
        self._begin_burst()
        # A bell rings for each round by itself.
        waits = self._is_bare_tick(key, character) and app_of(self).settings.bell == "never"
        if not waits or not (self._ticks or self._keys_wait()):
            self._tick_all_now()
            super().press(key, character)
            return
        self._turned = False
        if not self._ticks:
            self.call_later(self._tick_all_now)
        self._ticks.append(self.session.now())
        if len(self._ticks) >= TOGETHER:
            self._tick_all_now()

    def _begin_burst(self) -> None:
        """What a burst before lost is forgotten, where no key waited behind that."""
        goes_on, self._goes_on_behind = self._goes_on_behind, self._keys_wait()
        if not (goes_on or self._ticks):
            self._lost = 0

    def _keys_wait(self) -> bool:
        """Whether anything waits to be done here; of that nobody knows whether it is a key."""
        return bool(self.message_queue_size or self.app.message_queue_size)

    def _tick_all_now(self) -> None:
        self._goes_on_behind = self._keys_wait()
        stamps, self._ticks = self._ticks, []
        if stamps:
            self._tick_all(stamps)

    def on_unmount(self) -> None:
        """What was ticked before she left is kept, though nothing more is shown; else it is said later."""
        stamps, self._ticks = self._ticks, []
        if stamps and (trouble := self._kept_at_last(stamps)):
            self._lost, self._trouble = self._lost + len(stamps), str(trouble)
        if self._lost:
            app_of(self).not_kept.append(self._loss())

    def _kept_at_last(self, stamps: list[Stamp]) -> BasketTrouble | None:
        """Keep them, with patience; None where it is done, or the pattern is at its end."""
        trouble: BasketTrouble | None = None
        for _ in range(TRIES):
            try:
                self.session.ticks(stamps)
            except BasketBusy as busy:
                trouble = busy
            except Refused:
                return None
            except BasketTrouble as other:
                return other
            else:
                return None
        return trouble

    def on_click(self, event: events.Click) -> None:
        """A tap on the stage counts; one on a key in the last line does what it does."""
        event.stop()
        self._begin_burst()
        self._tick_all_now()
        widget, region = self.get_widget_at(event.screen_x, event.screen_y)
        if isinstance(widget, KeyLine):
            if key := widget.key_at(event.screen_x - region.x):
                named = {"any key": "space", "esc": "escape"}.get(key, key)
                self.press(named, named if len(named) == 1 else "")
        elif isinstance(widget, Painted) and widget.counts_a_tap and self._writing is None:
            self._typed = ""
            self._command(self.keys.shown["tick"])

    def on_paste(self, event: events.Paste) -> None:
        """Words, where a line is open for them; else nothing."""
        event.stop()
        if self._writing is not None and not self._left:
            self._writing = self._writing.pasted(event.text)
            self._draw()

    # What the keys do

    def _told_if_slow(self) -> AbstractContextManager[None]:
        """Until what is recorded is on the disk nothing else is done here: the count stands as it is."""
        app = app_of(self)
        return told_if_slow(lambda: app.tell_over(WAITS), lambda: app.refresh(layout=True))

    def _ticked(self, before: Glance, now: Glance) -> None:
        """Ring the terminal's bell where she asked for it."""
        from tracker.ui.bell import rings

        if rings(app_of(self).settings, before, now):
            self.app.bell()

    def do_digits(self, number: str) -> None:
        app = app_of(self)
        self._said = app.keep("figures", "as they fit" if app.settings.figures == LARGE else LARGE)
        self._draw()
        self._be_quiet_after(SAID)

    def do_settings(self, number: str) -> None:
        from tracker.ui.settings_screen import SettingsScreen

        self._draw()
        self.app.push_screen(SettingsScreen(self.press))

    def do_find(self, number: str) -> None:
        from tracker.ui.find import Find

        self._draw()
        self.app.push_screen(Find(self._found, app_of(self).keys))

    def _found(self, act: str) -> None:
        """Do what was found; where figures are wanted it says which."""
        self._said = self._said_brief = ""
        self._command_key = app_of(self).keys.shown[act]
        getattr(self, f"do_{act}")("")

    def do_basket(self, number: str) -> None:
        from tracker.ui.basket_screen import BasketScreen

        # Keys that wait behind this one are for the basket, not for the pair that is left.
        self._left = True
        self.app.switch_screen(BasketScreen())

    def do_history(self, number: str) -> None:
        from tracker.ui.history_screen import HistoryScreen
        from tracker.ui.history_view import History

        if not self._is_up_to_date():
            return
        try:
            found = self.session.past()
        except BasketTrouble as trouble:
            self._say(str(trouble))
            return
        pattern = self.session.course.pattern
        marks = self.session.hanging()
        history = History(found, pattern.title, pattern.unit, pattern.of_socks, marks)
        self.app.push_screen(HistoryScreen(self.press, history))

    def do_side(self, number: str) -> None:
        from tracker.ui.side_by_side_screen import SideBySideScreen

        if self._is_up_to_date():
            self.app.push_screen(SideBySideScreen(self.press, self.session.side_by_side()))

    def do_pattern(self, number: str) -> None:
        from tracker.row_by_row import RowByRow
        from tracker.ui.pattern_screen import PatternScreen

        if self._is_up_to_date():
            session = self.session
            pattern = RowByRow(session.course, session.state, session.state.hand)
            self.app.push_screen(PatternScreen(self.press, pattern))

    def do_plots(self, number: str) -> None:
        from tracker.ui.plots_screen import PlotsScreen

        if self._is_up_to_date():
            self.app.push_screen(PlotsScreen(self.press, self._plots()))

    def _plots(self) -> Plots:
        from tracker.plots import plots_of

        session = self.session
        example, key = words.example(session.glance), app_of(self).keys.shown["measure"]
        return plots_of(session.course, session.state, example, key)

    def _is_up_to_date(self) -> bool:
        """Take in what others recorded, before a screen shows it; where that fails it is said."""
        try:
            self.session.refresh()
        except BasketTrouble as trouble:
            self._say(str(trouble))
            return False
        self._draw()
        return True

    def do_help(self, number: str) -> None:
        from tracker.ui.help_screen import HelpScreen

        self.app.push_screen(HelpScreen(self.press, self.session.glance, app_of(self).keys))

    def do_leave(self, number: str) -> None:
        self.app.exit()

    # Showing

    def _be_quiet_after(self, seconds: float) -> None:
        self._quiet_after = seconds
        if not self._at_a_key:
            self._start_quiet(seconds)

    def _start_quiet(self, seconds: float) -> None:
        self._quiet_after = None
        if self._quiet is not None:
            self._quiet.stop()
        self._quiet = self.set_timer(seconds, self._be_quiet)

    def _be_quiet(self) -> None:
        self._turned, self._said, self._said_brief = False, "", ""
        self._draw()

    def _look_for_others(self) -> None:
        self._goes_on_behind = self._goes_on_behind and self._keys_wait()
        app_of(self).back_up_if_due()
        before = self.session.course
        try:
            changed = self.session.refresh()
        except BasketTrouble as trouble:
            # Nothing was being kept: the key that tries to will say so.
            if self._said != str(trouble):
                self._say(str(trouble))
            return
        if self.session.course is not before:
            self._said, self._said_brief = "", ""  # "that is all" may not be so any more
        if changed or self._minute != time_of_day(self.session.now()):
            self._draw()

    def _draw(self) -> None:
        """Show what is so now, once the keys that wait are done: a burst of them is drawn once."""
        if not self._to_draw:
            self._to_draw = True
            if not self._at_a_key:
                self.call_later(self._draw_now)

    def _draw_now(self) -> None:
        if not self._to_draw:
            return
        self._to_draw = False
        try:
            glance = self.session.glance
        except CannotBeShown:
            self.app.exit()  # another program's act led nowhere: on leaving it is said
            return
        self._minute = time_of_day(self.session.now())
        said, said_brief = self._to_say()
        self._needles.show(
            glance,
            said=said,
            typed=self._typed,
            not_kept=self._not_kept,
            clock=self._minute,
            keys=footer(glance, app_of(self).keys) if self._writing is None else writing_footer(),
            turned=True if self._turned else None,
            said_brief=said_brief,
            other=self._waiting(glance),
            writing=self._writing and (self._writing, self.session.look(self._writing.sock)),
            large=app_of(self).settings.figures == LARGE,
            pictures=self._pictures,
            plain=app_of(self).in_plain_text,
        )
        if self._drawn != glance.events:
            self._draw_socks_soon()

    def _to_say(self) -> tuple[str, str]:
        """What is said below the stage, and the same in few words."""
        return self._said, self._said_brief

    def _draw_socks_soon(self) -> None:
        """The count is painted first, and keys that come fast wait for no drawing."""
        if self._soon is None:
            self._soon = self.set_timer(DRAWN_AFTER, self._draw_socks)

    def _draw_socks(self) -> None:
        """Draw both socks as far as they are knitted by now, once for all keys that came meanwhile."""
        self._soon = None
        glance = self.session.glance
        if self._drawn == glance.events or not self._needles.draws:
            return
        self._drawn, self._pictures = glance.events, self.session.pictures()
        self._draw()

    def _waiting(self, glance: Glance) -> Glance | None:
        """The other sock, where this one is finished and that one is not."""
        other = glance.socks[2 - glance.place.sock]
        if not glance.place.finished or other.finished:
            return None
        return self.session.look(other.sock)


def _make_ready() -> None:
    """Load what the next key needs."""
    import tracker.ui.next_key  # noqa: F401 - after the first picture


def time_of_day(stamp: Stamp) -> str:
    """ "21:14"."""
    at = datetime.fromtimestamp(stamp.at / 1000, UTC)
    return at.astimezone(timezone(timedelta(minutes=stamp.offset))).strftime("%H:%M")
