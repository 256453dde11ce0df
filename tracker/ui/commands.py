"""The commands of the needles screen and of the history, as data: key, name and help in one place.

The footer, the help and the handling of keys all derive from these tables.
"""

from __future__ import annotations

from typing import NamedTuple

from tracker import words
from tracker.glance import Glance
from tracker.knitting.cues import Cue
from tracker.ui.footer import Entry
from tracker.vocabulary import called


class Command(NamedTuple):
    """One thing she can do. `keys` are the terminal's names of keys, the first of them shown.

    `number` says what figures typed before the key mean, or is empty where none are taken.
    """

    name: str
    keys: tuple[str, ...]
    shown: str
    label: str
    help: str
    number: str = ""


COMMANDS = (
    Command("tick", ("space", "enter"), "space", "done", "the round, row or needle is done",
            "3 space: three rounds done"),
    Command("undo", ("backspace", "minus"), "backspace", "take back",
            "take back the last act, whatever it was; while figures stand there, a figure"),
    Command("other", ("tab",), "tab", "other sock", "go to the other sock and back"),
    Command("over", ("v",), "v", "move over", "the last tick belongs to the other sock",
            "3 v: the last three do"),
    Command("measure", ("m",), "m", "measure", "enter a tape reading", "11.4 m, 6-3/4 m"),
    Command("rough", ("tilde",), "~", "about", "enter a quick reading: trust it half as far", "11.4 ~"),
    Command("right", ("i",), "i", "it is right", "a reading that does not fit is right all the same"),
    Command("void", ("x",), "x", "leave it out", "leave the last reading out"),
    Command("end", ("e",), "e", "end", "end an open section (leg, foot)", "46 e: it ended at 46"),
    Command("counting", ("n",), "n", "by needles", "count needle by needle, or round by round"),
    Command("at", ("a",), "a", "I am at", "correct the count", "31 a: round 31 is the last one done"),
    Command("count", ("c",), "c", "count", "the stitches are as expected, or those found",
            "c: they are; 21/16/16/21 c, 74 c: so many; 11.4 c: so long is it"),
    Command("tail", ("apostrophe",), "'", "the tail", "the tail hangs where the two working needles meet",
            "2 ': two needles lie between it and the yarn"),
    Command("seen", ("h",), "h", "how it looks", "where am I? write what you see of the fabric",
            "74 h: with so many stitches; then plain, pin 3, stripe cream 2, chart 1, long 11.4"),
    Command("put", ("p",), "p", "put it there", "put the count where the stitches say",
            "2 p: to another of the places they leave, by its round, or inside one by its needle"),
    Command("skipped", ("s",), "s", "skipped", "no decrease in the round just done",
            "9 s: none in round 9"),
    Command("uneven", ("u",), "u", "edges", "picked up unevenly along the edges", "17/15 u"),
    Command("needles", ("equals_sign",), "=", "needles", "other needles from the next round on",
            "2.25 = their size; 4 = or 5 = the set; 22/21/21 = the stitches on each; 2+ = or 2- = all "
            "borders on or back by two"),
    Command("colour", ("number_sign",), "#", "colour", "another colour from the next round on, by name",
            "3 #: the change of stripe came 3 rounds late; 0 #: the later stripes stay"),
    Command("alone", ("d",), "d", "this one alone", "the last change is for this sock alone, or for both"),
    Command("rip", ("r",), "r", "rip back", "rounds came off",
            "12 r: twelve rounds were ripped; 0 r: only this round, to its start"),
    Command("tink", ("less_than_sign",), "<", "unknit", "stitches were unknitted one by one",
            "20 <: twenty stitches"),
    Command("lifeline", ("l",), "l", "lifeline", "a lifeline lies in the round just done"),
    Command("target", ("g",), "g", "goal", "a new goal for the open section, or the next", "14.5 g"),
    Command("yarn_goal", ("f",), "f", "as far as", "the leg goes as far as the yarn, on both socks"),
    Command("weigh", ("w",), "w", "weigh", "weigh the yarn that is left", "85 w: 85 grams for the pair"),
    Command("weigh_colour", ("y",), "y", "weigh", "weigh the ball of the colour at hand",
            "45 y: 45 grams of that colour"),
    Command("single", ("k",), "k", "keep a single one", "after a key was held down: keep a single tick"),
    Command("redo", ("b",), "b", "bring back", "bring back what was taken back last"),
    Command("history", ("j",), "j", "journal", "what happened, act by act"),
    Command("side", ("semicolon",), ";", "side by side", "the two socks side by side, and what differs"),
    Command("note", ("t",), "t", "note", "write a note (text) at the round just done"),
    Command("rest", ("z",), "z", "rest", "lay the sock to rest (asleep), and say what its stitches hang on"),
    Command("basket", ("o",), "o", "basket", "the other pairs"),
    Command("help", ("question_mark",), "?", "help", "what the keys do"),
    Command("leave", ("q",), "q", "leave", "leave; everything is kept"),
)  # fmt: skip

BY_KEY = {key: command for command in COMMANDS for key in command.keys}

HISTORY_COMMANDS = (
    Command("up", ("up",), "up", "", "a line up"),
    Command("down", ("down",), "down", "", "a line down"),
    Command("page_up", ("pageup",), "page up", "", "a page up"),
    Command("page_down", ("pagedown",), "page down", "", "a page down"),
    Command("oldest", ("home",), "home", "", "the first act"),
    Command("newest", ("end",), "end", "", "the last act"),
    Command("one", ("left",), "left", "sock one", "sock one alone; once more: both"),
    Command("two", ("right",), "right", "sock two", "sock two alone; once more: both"),
    Command("kind", ("k",), "k", "next kind", "one kind of act after the other, then all again"),
    Command("marks", ("l",), "l", "lifelines, pins, notes", "lifelines, pins and notes, by their rounds"),
    Command("back", ("escape", "j"), "esc", "back", "back to the needles"),
)  # fmt: skip
"""The keys of the history; any other closes it, and does what it does at the needles."""

HISTORY_BY_KEY = {key: command for command in HISTORY_COMMANDS for key in command.keys}

SIDE_COMMANDS = (
    Command("up", ("up",), "up", "", "a line up"),
    Command("down", ("down",), "down", "", "a line down"),
    Command("page_up", ("pageup",), "page up", "", "a page up"),
    Command("page_down", ("pagedown",), "page down", "", "a page down"),
    Command("first", ("home",), "home", "", "the beginning"),
    Command("last", ("end",), "end", "", "the end"),
    Command("back", ("escape", "semicolon"), "esc", "back", "back to the needles"),
)  # fmt: skip
"""The keys of the two socks side by side; any other closes them, and does what it does at the needles."""

SIDE_BY_KEY = {key: command for command in SIDE_COMMANDS for key in command.keys}

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


WRITING_COMMANDS = (
    Command("keep", ("enter",), "enter", "keep it", "keep what is written"),
    Command("leave_it", ("escape",), "esc", "leave it", "close the line, and keep nothing"),
)
"""The keys of a line that takes words; all others that print are letters of it."""


def writing_footer() -> list[Entry]:
    """The keys while a line is open that takes words."""
    return [Entry(command.shown, command.label, "", True) for command in WRITING_COMMANDS]


def spoken(key: str) -> str:
    """The terminal's name of a key as a person says it: "page up" for "page_up"."""
    return key.replace("_", " ")


_IN_FOOTER = (
    "tick", "single", "undo", "other", "measure", "weigh", "weigh_colour", "end", "counting", "help", "leave",
)  # fmt: skip
_NEEDED = frozenset({"tick", "single", "end", "other", "help", "leave"})
"""What the footer keeps longest where there is little room."""
_SHORT = {
    "tick": "done", "single": "keep one", "other": "sock", "measure": "tape", "end": "end",
    "counting": "needles",
}  # fmt: skip


def footer(glance: Glance) -> list[Entry]:
    """The keys that matter here, with what they do here; help and leave last."""
    by_name = {command.name: command for command in COMMANDS}
    names = [name for name in _IN_FOOTER if _matters(name, glance)]
    return [_entry(by_name[name], glance) for name in names]


def history_footer(of_socks: bool) -> list[Entry]:
    """The keys of the history: what scrolls in one entry, then what filters, and the way back."""
    told = [_in_history(command, of_socks) for command in HISTORY_COMMANDS if command.label]
    return [_SCROLL, *told]


def side_footer() -> list[Entry]:
    """The keys of the two socks side by side."""
    back = [Entry(command.shown, command.label) for command in SIDE_COMMANDS if command.label]
    return [_SCROLL, Entry("any other", "is done at the needles", "at the needles"), *back]


_SCROLL = Entry("arrows", "page up, page down, home, end", "scroll")


def _in_history(command: Command, of_socks: bool) -> Entry:
    if command.name in ("one", "two"):
        number = 1 if command.name == "one" else 2
        return Entry(command.shown, words.sock(number, of_socks), command.name, True)
    short = {"kind": "kind", "marks": "list"}.get(command.name, command.label)
    return Entry(command.shown, command.label, short, True)


def _entry(command: Command, glance: Glance) -> Entry:
    label = _label(command, glance)
    if command.name == "other" and not glance.of_socks:
        return Entry(command.shown, label, "other", True)
    short = "rounds" if label == "by rounds" else _SHORT.get(command.name, label)
    return Entry(command.shown, label, short, command.name in _NEEDED)


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
    if command.name == "tick" and glance.place.kind == "graft":
        return "grafted"
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
