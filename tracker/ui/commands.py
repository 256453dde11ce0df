"""The commands of the needles screen and of those beside it, as data: key, name and help in one place.

The footer, the help and the handling of keys all derive from these tables.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from tracker import words
from tracker.glance import Glance
from tracker.keys import DEFAULT, FEW, OUT_OF_THE_BOX, SCREENS, Keys
from tracker.knitting.cues import Cue
from tracker.records import NamedTuple
from tracker.ui.entry import Entry
from tracker.vocabulary import CLOSINGS, called


class Command(NamedTuple):
    """One thing she can do. `keys` are those that do it, the first of them shown.

    `number` says what figures typed before the key mean, or is empty where none are taken; in a table
    its key stands there as {}.
    """

    name: str
    keys: tuple[str, ...]
    shown: str
    label: str
    help: str
    number: str = ""


def _act(name: str, label: str, help: str, number: str = "") -> Command:
    return Command(name, DEFAULT[name], DEFAULT[name][0], label, help, number)


COMMANDS = (
    _act("tick", "done", "the round, row or needle is done",
            "3 {}: three rounds done"),
    _act("undo", "take back",
            "take back the last act, whatever it was; while figures stand there, a figure"),
    _act("other", "other sock", "go to the other sock and back"),
    _act("over", "move over", "the last tick belongs to the other sock",
            "3 {}: the last three do"),
    _act("measure", "measure", "enter a tape reading", "11.4 {}, 6-3/4 {}"),
    _act("rough", "about", "enter a quick reading: trust it half as far", "11.4 {}"),
    _act("right", "it is right", "a reading that does not fit is right all the same"),
    _act("void", "leave it out", "leave the last reading out"),
    _act("end", "end", "end an open section (leg, foot)", "46 {}: it ended at 46"),
    _act("counting", "by needles", "count needle by needle, or round by round"),
    _act("at", "I am at", "correct the count", "31 {}: round 31 is the last one done"),
    _act("count", "count", "the stitches are as expected, or those found",
            "{}: they are; 21/16/16/21 {}, 74 {}: so many; 11.4 {}: so long is it"),
    _act("tail", "the tail", "the tail hangs where the two working needles meet",
            "2 {}: two needles lie between it and the yarn"),
    _act("seen", "how it looks", "where am I? write what you see of the fabric",
         "74 {}: with so many stitches; then plain, pin 3, stripe cream 2, chart 1, long 11.4"),
    _act("put", "put it there", "put the count where the stitches say",
            "2 {}: to another of the places they leave, by its round, or inside one by its needle"),
    _act("skipped", "skipped", "no decrease in the round just done",
            "9 {}: none in round 9"),
    _act("uneven", "edges", "picked up unevenly along the edges, by their chains", "17/15 {}"),
    _act("needles", "needles", "other needles from the next round on",
            "2.25 {} their size; 4 {} or 5 {} the set; 22/21/21 {} the stitches on each; 2+ {} or 2- {} all "
            "borders on or back by two"),
    _act("colour", "colour", "another colour from the next round on, by name",
            "3 {}: the change of stripe came 3 rounds late; 0 {}: the later stripes stay"),
    _act("alone", "this one alone", "the last change is for this sock alone, or for both"),
    _act("rip", "rip back", "rounds came off",
            "12 {}: twelve rounds were ripped; 0 {}: only this round, to its start"),
    _act("tink", "unknit", "stitches were unknitted one by one",
            "20 {}: twenty stitches"),
    _act("lifeline", "lifeline", "a lifeline lies in the round just done"),
    _act("target", "goal", "a new goal for the open section, or the next", "14.5 {}"),
    _act("yarn_goal", "as far as", "the leg goes as far as the yarn, on both socks"),
    _act("weigh", "weigh", "weigh the yarn that is left", "85 {}: 85 grams for the pair"),
    _act("weigh_colour", "weigh", "weigh the ball of the colour at hand",
            "45 {}: 45 grams of that colour"),
    _act("single", "keep a single one", "after a key was held down: keep a single tick"),
    _act("redo", "bring back", "bring back what was taken back last"),
    _act("history", "journal", "what happened, act by act"),
    _act("side", "side by side", "the two socks side by side, and what differs"),
    _act("pattern", "pattern", "the written pattern, row by row, with the next row in view"),
    _act("plots", "plots", "length, pace and tension, drawn"),
    _act("note", "note", "write a note (text) at the round just done"),
    _act("rest", "rest", "lay the sock to rest (asleep), and say what its stitches hang on"),
    _act("stop", "stopped", "you stop inside this needle: it is begun when you come back",
         "7 {}: seven of its stitches are worked"),
    _act("order", "order", "the next order of work: one sock first, section by section, both together",
         "10 {}: ten rounds on each in turn"),
    _act("restart", "begin again", "twice: the sock is begun again; its past is kept"),
    _act("digits", "large figures", "the count fills the screen, or as much as it needs"),
    _act("find", "find", "find what can be done by a word of it"),
    _act("settings", "settings", "looks, bell, and which keys count"),
    _act("basket", "basket", "the other pairs"),
    _act("help", "help", "what the keys do"),
    _act("leave", "leave", "leave; everything is kept"),
)  # fmt: skip

"""What can be done at the needles, with the keys out of the box."""

BY_NAME = {command.name: command for command in COMMANDS}


def commands(keys: Keys) -> list[Command]:
    """What can be done at the needles, with the keys in force."""
    its: dict[str, list[str]] = {}
    for key, act in keys.acts.items():
        its.setdefault(act, []).append(key)
    return [
        command._replace(
            keys=tuple(its[command.name]),
            shown=keys.shown[command.name],
            number=command.number.replace("{}", keys.shown[command.name]),
        )
        for command in COMMANDS
    ]


def _own(screen: str, name: str, label: str, help: str) -> Command:
    keys = SCREENS[screen][name]
    return Command(name, keys, _as_shown(keys[0]), label, help)


def _as_shown(key: str) -> str:
    return "esc" if key == "escape" else key


def _by_lines(screen: str) -> tuple[Command, ...]:
    """The keys of every screen that scrolls line by line."""
    told = {
        "up": "a line up",
        "down": "a line down",
        "page_up": "a page up",
        "page_down": "a page down",
    }
    return tuple(_own(screen, name, "", what) for name, what in told.items())


def _back_from(screen: str) -> Command:
    return _own(screen, "back", "back", "back to the needles; so does the key that opened it")


HISTORY_COMMANDS = (
    *_by_lines("journal"),
    _own("journal", "oldest", "", "the first act"),
    _own("journal", "newest", "", "the last act"),
    _own("journal", "one", "sock one", "sock one alone; once more: both"),
    _own("journal", "two", "sock two", "sock two alone; once more: both"),
    _own("journal", "kind", "next kind", "one kind of act after the other, then all again"),
    _own(
        "journal", "marks", "lifelines, pins, notes", "lifelines, pins and notes, by their rounds"
    ),
    _back_from("journal"),
)
"""The keys of the history; any other closes it, and does what it does at the needles."""

SIDE_COMMANDS = (
    *_by_lines("side"),
    _own("side", "first", "", "the beginning"),
    _own("side", "last", "", "the end"),
    _back_from("side"),
)
"""The keys of the two socks side by side; any other closes them, and does what it does at the needles."""

PATTERN_COMMANDS = (
    *_by_lines("pattern"),
    _own("pattern", "first", "", "the first row"),
    _own("pattern", "last", "", "the last row"),
    _own("pattern", "section_before", "", "the section before"),
    _own("pattern", "section_after", "", "the next section"),
    _own("pattern", "term_before", "", "explains the term before, in the next row"),
    _own("pattern", "term_after", "", "explains the next term of the next row"),
    _back_from("pattern"),
)
"""The keys of the written pattern; any other closes it, and does what it does at the needles."""

PLOT_COMMANDS = (
    _own("plots", "before", "", "the plot before"),
    _own("plots", "after", "", "the next plot"),
    _back_from("plots"),
)
"""The keys of the plots; any other closes them, and does what it does at the needles."""

SETTINGS_COMMANDS = (
    Command("up", ("up",), "up", "", "the setting above"),
    Command("down", ("down",), "down", "", "the setting below"),
    Command("before", ("left",), "left", "", "the value before"),
    Command("after", ("right",), "right", "", "the next value"),
    Command("back", ("escape",), "esc", "back", "back to the needles; so does the key that opened it"),
)  # fmt: skip
"""The keys of the settings; any other closes them, and does what it does at the needles."""

SETTINGS_BY_KEY = {key: command for command in SETTINGS_COMMANDS for key in command.keys}


def settings_footer() -> list[Entry]:
    """The keys of the settings."""
    choose = [Entry("up, down", "choose", "", True), Entry("left, right", "change", "", True)]
    back = [Entry(command.shown, command.label) for command in SETTINGS_COMMANDS if command.label]
    return [*choose, Entry("any other", "is done at the needles", "at the needles"), *back]


PLAN_COMMANDS = (
    Command("next", ("tab", "down", "enter"), "tab", "next blank", "to the next blank"),
    Command("previous", ("shift+tab", "up"), "up", "blank before", "to the blank before"),
    Command("left", ("left",), "left", "", "the choice before, or a letter back"),
    Command("right", ("right",), "right", "", "the next choice, or a letter on"),
    Command("begin", ("home",), "home", "", "before the first letter"),
    Command("finish", ("end",), "end", "", "after the last letter"),
    Command("rub_out", ("backspace",), "backspace", "", "the letter before goes"),
    Command("delete", ("delete",), "delete", "", "the letter here goes"),
    Command("page_up", ("pageup",), "page up", "", "a page up"),
    Command("page_down", ("pagedown",), "page down", "", "a page down"),
    Command("back", ("escape",), "esc", "back", "leave it; what is typed is not kept"),
)  # fmt: skip
"""The keys of the plan screen; any other is a letter of the blank at work."""

PLAN_BY_KEY = {key: command for command in PLAN_COMMANDS for key in command.keys}


def plan_footer(*, chooses: bool, starts: bool, scrolls: bool) -> list[Entry]:
    """The keys of the plan screen at a blank; `chooses`: it has choices, `starts`: it is the last word."""
    told = [
        Entry("enter", "start the pair", "start", True) if starts else None,
        Entry("left, right", "choose", "choose", True) if chooses else None,
        Entry("page down", "more", "more", True) if scrolls else None,
        *(Entry(command.shown, command.label, command.name, command.name != "previous")
          for command in PLAN_COMMANDS if command.label),
    ]  # fmt: skip
    return [entry for entry in told if entry]


BASKET_COMMANDS = (
    _own("basket", "open", "at the needles", "open the pair that is chosen"),
    _own("basket", "up", "", "the pair above"),
    _own("basket", "down", "", "the pair below"),
    _own("basket", "page_up", "", "a page up"),
    _own("basket", "page_down", "", "a page down"),
    _own("basket", "first", "", "the first of them"),
    _own("basket", "last", "", "the last of them"),
    _own("basket", "new", "new pair", "plan a new pair"),
    _own("basket", "put_away", "put away", "put the pair away"),
    _own("basket", "bring_out", "bring out", "bring it out again"),
    _own("basket", "away", "those put away", "the pairs that are put away, and back"),
    _own("basket", "samples", "samples", "samples to begin with, and back"),
    _own("basket", "file", "open a file", "open a plan, a pattern or a pack by its name"),
    _own("basket", "trial", "try it", "a round to try, two minutes; nothing of it is kept"),
    _own("basket", "back", "back", "back to the pair you come from"),
    _own("basket", "help", "help", "what the keys do here"),
    _own("basket", "leave", "leave", "leave; everything is kept"),
)
"""The keys of the basket."""

_OF_SCREEN = {
    "journal": HISTORY_COMMANDS, "side": SIDE_COMMANDS, "pattern": PATTERN_COMMANDS,
    "plots": PLOT_COMMANDS, "basket": BASKET_COMMANDS,
}  # fmt: skip


def commands_of(screen: str, keys: Keys = OUT_OF_THE_BOX) -> list[Command]:
    """What can be done in a screen that has keys of its own, with the keys in force.

    What has no key there, because hers that tick have it, is left out.
    """
    its: dict[str, list[str]] = {}
    for key, name in keys.screens[screen].acts.items():
        its.setdefault(name, []).append(key)
    return [
        command._replace(keys=tuple(its[command.name]), shown=_as_shown(its[command.name][0]))
        for command in _OF_SCREEN[screen]
        if command.name in its
    ]


def by_key(screen: str, keys: Keys = OUT_OF_THE_BOX) -> dict[str, Command]:
    """The same by each of its keys."""
    return {key: command for command in commands_of(screen, keys) for key in command.keys}


_BASKET_SHORT = {"open": "open", "new": "new", "away": "those away", "file": "file", "trial": "try"}


def basket_footer(matters: Collection[str], keys: Keys = OUT_OF_THE_BOX) -> list[Entry]:
    """The keys of the basket that matter now, by name; help and leave last."""
    return [
        Entry(command.shown, command.label, _BASKET_SHORT.get(command.name, command.label),
              command.name in ("open", "new", "bring_out"))
        for command in commands_of("basket", keys)
        if command.label and command.name in (*matters, "help", "leave")
    ]  # fmt: skip


WRITING_COMMANDS = (
    Command("keep", ("enter",), "enter", "keep it", "keep what is written"),
    Command("leave_it", ("escape",), "esc", "leave it", "close the line, and keep nothing"),
)
"""The keys of a line that takes words; all others that print are letters of it."""


def writing_footer() -> list[Entry]:
    """The keys while a line is open that takes words."""
    return [Entry(command.shown, command.label, "", True) for command in WRITING_COMMANDS]


def spoken(key: str, character: str = "") -> str:
    """A key as a person says it, from the terminal's name for it: the sign it types, or "page up"."""
    if len(character) == 1 and character.isprintable() and not character.isspace():
        return character.lower()
    return {"pageup": "page up", "pagedown": "page down"}.get(key, key.replace("_", " "))


_IN_FOOTER = (
    "tick", "single", "undo", "other", "measure", "weigh", "weigh_colour", "end", "counting", "help", "leave",
)  # fmt: skip
_NEEDED = frozenset({"tick", "single", "end", "other", "help", "leave"})
"""What the footer keeps longest where there is little room."""
_SHORT = {
    "tick": "done", "single": "keep one", "other": "sock", "measure": "tape", "end": "end",
    "counting": "needles",
}  # fmt: skip


def footer(glance: Glance, keys: Keys = OUT_OF_THE_BOX) -> list[Entry]:
    """The keys that matter here, with what they do here; help and leave last."""
    if keys.nearly_all:
        few = (_entry(BY_NAME[name], glance, keys) for name in _IN_FOOTER if name in FEW)
        return [Entry("any key", "done", "done", True), *few]
    names = [name for name in _IN_FOOTER if _matters(name, glance)]
    return [_entry(BY_NAME[name], glance, keys) for name in names]


def history_footer(of_socks: bool, keys: Keys = OUT_OF_THE_BOX) -> list[Entry]:
    """The keys of the history: what scrolls in one entry, then what filters, and the way back."""
    own = commands_of("journal", keys)
    filters = [_in_history(command, of_socks) for command in own if command.label]
    return [*_scroll("journal", keys), *filters]


def side_footer(keys: Keys = OUT_OF_THE_BOX) -> list[Entry]:
    """The keys of the two socks side by side."""
    return [*_scroll("side", keys), _ANY_OTHER, *_back("side", keys)]


def pattern_footer(keys: Keys = OUT_OF_THE_BOX) -> list[Entry]:
    """The keys of the written pattern."""
    return [
        *_entry_of("pattern", ("term_after",), keys, "a term in words", "a term", needed=True),
        *_scroll("pattern", keys),
        _ANY_OTHER,
        *_entry_of(
            "pattern", ("section_before", "section_after"), keys, "section before, next", "section"
        ),
        *_back("pattern", keys),
    ]


def plots_footer(keys: Keys = OUT_OF_THE_BOX) -> list[Entry]:
    """The keys of the plots."""
    another = _entry_of("plots", ("before", "after"), keys, "another plot")
    return [_ANY_OTHER, *another, *_back("plots", keys)]


_ANY_OTHER = Entry("any other", "is done at the needles", "at the needles")


def _entry_of(
    screen: str,
    names: Sequence[str],
    keys: Keys,
    told: str,
    short: str = "",
    *,
    needed: bool = False,
) -> list[Entry]:
    """What several acts of a screen do in one entry, or none where none of them has a key."""
    shown = _shown_in(screen, names, keys)
    return [Entry(", ".join(shown), told, short, needed)] if shown else []


def _shown_in(screen: str, names: Sequence[str], keys: Keys) -> list[str]:
    in_force = keys.screens[screen].shown
    return [_as_shown(in_force[name]) for name in names if name in in_force]


def _back(screen: str, keys: Keys) -> list[Entry]:
    return _entry_of(screen, ("back",), keys, "back")


def _scroll(screen: str, keys: Keys) -> list[Entry]:
    """What scrolls a screen line by line, page by page and to both its ends: its first six acts."""
    up, down, *pages = SCREENS[screen]
    lines = ", ".join(_shown_in(screen, (up, down), keys))
    further = ", ".join(_shown_in(screen, pages[:4], keys))
    arrows = "arrows" if lines == "up, down" else lines
    return [Entry(arrows or further, further, "scroll")] if further else []


def _in_history(command: Command, of_socks: bool) -> Entry:
    if command.name in ("one", "two"):
        number = 1 if command.name == "one" else 2
        return Entry(command.shown, words.sock(number, of_socks), command.name, True)
    short = {"kind": "kind", "marks": "list"}.get(command.name, command.label)
    return Entry(command.shown, command.label, short, True)


def _entry(command: Command, glance: Glance, keys: Keys) -> Entry:
    label, shown = _label(command, glance), keys.shown[command.name]
    if command.name == "other" and not glance.of_socks:
        return Entry(shown, label, "other", True)
    short = "rounds" if label == "by rounds" else _SHORT.get(command.name, label)
    return Entry(shown, label, short, command.name in _NEEDED)


def _matters(name: str, glance: Glance) -> bool:
    place = glance.place
    if name == "tick":
        return not place.finished
    if name == "single":
        return any(cue.kind == "held" for cue in glance.cues)
    if name in ("weigh", "weigh_colour"):
        return any(_asks_for(name, cue) for cue in glance.cues)
    if name == "end":
        return place.planned_by != "pattern" and not place.finished
    if name == "measure":
        measured = (glance.length or glance.unmeasured) is not None
        return measured and place.begun and not place.finished
    return name != "counting" or (place.worked == "rounds" and not place.finished)


def _asks_for(name: str, cue: Cue) -> bool:
    """Whether a cue asks to weigh all the yarn, or one colour of it."""
    if cue.kind != "yarn" or not (cue.about == "weigh" or cue.data.get("weigh")):
        return False
    return (cue.data["ball"].colour is not None) == (name == "weigh_colour")


def _label(command: Command, glance: Glance) -> str:
    if command.name == "tick" and glance.place.kind in CLOSINGS:
        return CLOSINGS[glance.place.kind].done
    if command.name == "tick" and glance.place.worked == "rows":
        return "row done"
    if command.name == "other" and glance.place.finished:
        return words.sock(3 - glance.place.sock, glance.of_socks)
    if command.name == "end":
        return f"end {called(glance.place, glance.of_socks)}"
    if command.name == "other" and not glance.of_socks:
        return "the other"
    if command.name == "counting" and glance.counting == "needles":
        return "by rounds"
    return command.label
