"""The sentence of a plan and its blanks: what is typed into them, and the plan's document that follows.

A value, and nothing but: no file, no clock, no terminal. What is typed is handed on as it stands; whether
it is a length or a stitch count is for the reader of plans to say.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Literal

from tracker.pattern.leg_fabric import REPEATED
from tracker.pattern.plan import FIELDS, OF_A_FLAP
from tracker.pattern.tables import LONGEST_TEXT
from tracker.records import NamedTuple
from tracker.session import short_name

Kind = Literal["text", "length", "number", "choice", "file"]


class Blank(NamedTuple):
    """A gap in the sentence: the plan's field it stands for ("foot.length" for the shoe, too).

    `name` is what it is called, `hint` what to write, `wide` the cells of an empty one. One that is not
    `needed` may stay open.
    """

    place: str
    kind: Kind
    name: str
    hint: str
    wide: int = 6
    needed: bool = True

    @property
    def choices(self) -> tuple[str, ...]:
        """The choices of a field that has some."""
        table, _, field = self.place.rpartition(".")
        rule = FIELDS[table][field]
        return rule.made or rule.choices


_BLANKS = (
    Blank("foot.length", "length", "the foot's length",
          "heel to longest toe, like 24.5 cm or 9 1/2 in; or the shoe, like EU 39, UK 6 or US women 8", 8),
    Blank("foot.circumference", "length", "around the foot",
          "around the ball of the foot, like 23.6 cm or 9 1/4 in", 8),
    Blank("gauge.stitches", "number", "the stitches of the swatch",
          "the stitches of your swatch, like 30", 4),
    Blank("gauge.rows", "number", "the rounds of the swatch", "its rounds over the same length, like 42", 4),
    Blank("gauge.per", "length", "the length of the swatch",
          "the length they were counted over, like 10 cm, 4 in or 1 in", 6),
    Blank("gauge.from", "choice", "the swatch", "", 12),
    Blank("needles.set", "choice", "the needles", "", 13),
    Blank("direction", "choice", "where it begins", "", 18),
    Blank("leg.stitches", "number", "the stitches around",
          "your own number of stitches; left open, as many as fit", 4, False),
    Blank("cuff.rib", "choice", "the rib", "", 5),
    Blank("cuff.length", "length", "the cuff's length", "its length, like 5 cm or 2 in; or 22 rounds", 6),
    Blank("leg.fabric", "choice", "the leg", "", 6),
    Blank("leg.length", "length", "the leg's length",
          "from its edge to the heel, the cuff included, like 16 cm; or 46 rounds below the cuff", 6),
    Blank("leg.repeat", "text", "the rows of the leg",
          "its rows, the first round first, a / between: k2, yo, ssk, k4 / k8, in two colours aabb / abab;"
          " long ones go into a plan file, as repeat under [leg]", 12),
    Blank("colours.leg", "text", "the yarns of the leg",
          "the letters of its rows with their yarns, the main one first: a navy / b cream; may stay open",
          12, False),
    Blank("heel.kind", "choice", "the heel", "", 11),
    Blank("heel.flap", "choice", "the flap", "", 7),
    Blank("heel.rows", "number", "the flap's rows",
          "the rows of the flap, an even number; left open, as many as its stitches", 4, False),
    Blank("heel.turn", "choice", "the turn", "", 7),
    Blank("toe.kind", "choice", "the toe", "", 5),
    Blank("toe.feet", "choice", "the feet", "", 14),
    Blank("yarn.fibre", "text", "the yarn's fibre",
          "what it is spun of, like wool and nylon, or cotton; may stay open", 8, False),
    Blank("yarn.grams", "number", "the yarn's grams",
          "all the yarn for the pair, like 100 grams; may stay open", 4, False),
    Blank("yarn.metres", "number", "the yarn's metres",
          "the metres of all of it, like 420; may stay open", 4, False),
    Blank("title", "text", "the name", "what you call the pair, like Night ferry", 12),
    Blank("knitter", "text", "the knitter's name", "who knits it, for your circle; may stay open", 8, False),
    Blank("file", "file", "the file", "where the plan is kept: in this folder, unless you name another", 12),
)  # fmt: skip
BLANKS: Mapping[str, Blank] = {blank.place: blank for blank in _BLANKS}

START = "start"
"""The sentence's last word."""


class Clause(NamedTuple):
    """Words around blanks, and what joins them to the clause before, if there is one."""

    join: str
    words: str


class Part(NamedTuple):
    """A sentence of the sentence: its first words, and clauses that may be left out."""

    lead: str
    clauses: tuple[Clause, ...]


PARTS = (
    Part("A pair for ", (
        Clause("", "a foot {foot.length} long"),
        Clause(" and ", "{foot.circumference} around"),
        Clause(", at ", "{gauge.stitches} stitches and {gauge.rows} rounds to {gauge.per}"),
        Clause(" of ", "a {gauge.from}"),
    )),
    Part("On ", (
        Clause("", "{needles.set}"),
        Clause(", ", "{direction}"),
        Clause(", ", "{leg.stitches} stitches around"),
        Clause(": ", "a {cuff.rib} cuff of {cuff.length}"),
        Clause(", ", "a {leg.fabric} leg of {leg.length}"),
        Clause(" in the rows ", "{leg.repeat}"),
        Clause(", in the yarns ", "{colours.leg}"),
        Clause(", the heel ", "{heel.kind}"),
        Clause(", the flap ", "{heel.flap}"),
        Clause(", ", "{heel.rows} rows"),
        Clause(", its turn ", "{heel.turn}"),
        Clause(", ", "a {toe.kind} toe"),
        Clause(", ", "{toe.feet}"),
    )),
    Part("The yarn: ", (
        Clause("", "{yarn.fibre}"), Clause(", ", "{yarn.grams} grams"), Clause(", ", "{yarn.metres} metres"),
    )),
    Part("Call it ", (
        Clause("", "{title}"), Clause(", knitted by ", "{knitter}"), Clause(", keep it in ", "{file}"),
        Clause(", and ", "{start}"),
    )),
)  # fmt: skip

_SHOWN = {
    ("direction", "cuff-down"): "from the cuff down", ("direction", "toe-up"): "from the toe up",
    ("needles.set", "five"): "a set of five", ("needles.set", "four"): "a set of four",
    ("needles.set", "long circular"): "a long circular",
    ("needles.set", "short circular"): "a short circular", ("leg.fabric", "rib"): "ribbed",
    ("leg.fabric", "repeat"): "patterned", ("leg.fabric", "stranded"): "two-coloured",
    ("heel.kind", "afterthought"): "knitted afterwards",
    ("heel.kind", "flap"): "with a flap", ("heel.kind", "double-stitch"): "with double stitches",
    ("toe.feet", "alike"): "both feet alike", ("toe.feet", "left and right"): "a left and a right foot",
}  # fmt: skip
"""Choices that are said otherwise in a sentence than in a file."""
_OTHER_FIELD = {"foot.length": "shoe", "cuff.length": "rounds", "leg.length": "rounds"}
"""Fields of which one stands in the place of another."""
_USUAL = {
    "needles.set": "five", "cuff.rib": "k2p2", "cuff.length": "5 cm", "leg.length": "16 cm",
    "heel.kind": "flap", "toe.kind": "wedge",
}  # fmt: skip
"""What a new pair begins with where the plan has no default: crew socks."""

_BETWEEN = " / "
"""What stands between rows, and between yarns."""
_ROUNDS = re.compile(r"\s*(\d{1,4})\s*(?:rounds?|rows?)\s*", re.IGNORECASE | re.ASCII)
_NUMBER = re.compile(r"\s*(\d{1,6})(?:[.,](\d{1,4}))?\s*", re.ASCII)


class Repeat(NamedTuple):
    """The rows of a leg that have a name: its plan's title, and which fabric they are of."""

    title: str
    fabric: str
    rows: tuple[str, ...]


class Filling(NamedTuple):
    """The blanks that are open, what is typed into each, and where she is.

    `base` is the document of the plan that is filled in, `text` what its file has; both are empty for a
    new pair. `at` counts the blanks; one past the last is the sentence's last word. `caret` is the letter
    before which she types; None where she has just come: what she types then takes the place of all.
    `taken` are the names of files that are there already, `repeats` the rows that she may call by a name.
    """

    base: Mapping[str, Any]
    text: str
    blanks: tuple[Blank, ...]
    texts: tuple[str, ...]
    taken: frozenset[str] = frozenset()
    repeats: tuple[Repeat, ...] = ()
    at: int = 0
    caret: int | None = None
    sought: str = ""
    """Letters of a choice, as far as they are typed."""

    # Where she is

    @property
    def blank(self) -> Blank | None:
        """The blank at work; None at the last word."""
        return self.blanks[self.at] if self.at < len(self.blanks) else None

    def moved(self, by: int) -> Filling:
        """So many blanks further on, or back; after the last word comes the first blank."""
        at = (self.at + by) % (len(self.blanks) + 1)
        while at < len(self.blanks) and self.is_none(self.blanks[at].place):
            at = (at + by) % (len(self.blanks) + 1)
        return self.to(at)

    def is_none(self, place: str) -> bool:
        """Whether what is chosen has no such field: that of a flap where none is, rows of a plain leg."""
        table, _, field = place.partition(".")
        if place == "leg.repeat":
            return self._fabric not in REPEATED
        if place == "colours.leg":
            return self._fabric != "stranded"
        return table == "heel" and field in OF_A_FLAP and self._heel != "flap"

    @property
    def named_repeats(self) -> tuple[Repeat, ...]:
        """The repeats with a name that are of the leg's fabric."""
        return tuple(repeat for repeat in self.repeats if repeat.fabric == self._fabric)

    @property
    def _heel(self) -> str:
        at = self.at_place("heel.kind")
        told = self.base.get("heel", {}) if at is None else {"kind": self.texts[at]}
        return str(told.get("kind", "flap") if isinstance(told, Mapping) else "flap")

    @property
    def _fabric(self) -> str:
        at = self.at_place("leg.fabric")
        told = self.base.get("leg", {}) if at is None else {"fabric": self.texts[at]}
        return str(told.get("fabric", "plain") if isinstance(told, Mapping) else "plain")

    def to(self, at: int) -> Filling:
        """At that blank."""
        return self._replace(at=at, caret=None, sought="")

    # What is typed

    def typed(self, character: str) -> Filling:
        """With one more letter; one that does not print is none."""
        if self.blank is None or not (character and character.isprintable()):
            return self
        if self.blank.kind == "choice":
            return self._seek(self.blank, character)
        return self._put(character)

    def pasted(self, text: str) -> Filling:
        """With what was pasted, in one line."""
        line = "".join(char for char in " ".join(text.split()) if char.isprintable())
        return self._put(line) if self._takes_letters else self

    def rubbed_out(self) -> Filling:
        """Without the letter before her."""
        caret = self._caret if self._takes_letters else 0
        if not caret:
            return self
        text = self.shown(self.at)
        return self._with(text[: caret - 1] + text[caret:], caret - 1)

    def deleted(self) -> Filling:
        """Without the letter under her."""
        if not self._takes_letters or self.caret is None:
            return self
        text = self.shown(self.at)
        return self._with(text[: self.caret] + text[self.caret + 1 :], self.caret)

    def sideways(self, by: int) -> Filling:
        """The next choice or the one before; else so many letters on, or back."""
        if self.blank is None:
            return self
        if self.blank.kind == "choice":
            choices = self.blank.choices
            at = choices.index(self.texts[self.at]) if self.texts[self.at] in choices else -1
            return self._with(choices[(at + by) % len(choices)], None)
        caret = min(max(self._caret + by, 0), len(self.shown(self.at)))
        return self._replace(caret=caret)

    def to_letter(self, caret: int) -> Filling:
        """Before that letter, or after the last."""
        if not self._takes_letters:
            return self
        return self._replace(caret=min(caret, len(self.shown(self.at))))

    def _put(self, letters: str) -> Filling:
        if self.caret is None:
            text, caret = "", 0
        else:
            text, caret = self.shown(self.at), self.caret
        new = text[:caret] + letters + text[caret:]
        return self if len(new) > LONGEST_TEXT else self._with(new, caret + len(letters))

    def _seek(self, blank: Blank, character: str) -> Filling:
        """The choice with a word that begins with what is typed, or with this letter alone."""
        for sought in dict.fromkeys((self.sought + character.lower(), character.lower())):
            for choice in blank.choices:
                if _begins(shown_as(blank.place, choice), sought):
                    return self._with(choice, None)._replace(sought=sought)
        return self

    def _with(self, text: str, caret: int | None) -> Filling:
        texts = (*self.texts[: self.at], text, *self.texts[self.at + 1 :])
        return self._replace(texts=texts, caret=caret, sought="")

    @property
    def _takes_letters(self) -> bool:
        return self.blank is not None and self.blank.kind != "choice"

    @property
    def _caret(self) -> int:
        return len(self.shown(self.at)) if self.caret is None else self.caret

    # What it says

    def shown(self, at: int) -> str:
        """What stands in a blank."""
        blank, text = self.blanks[at], self.texts[at]
        if blank.kind == "file" and not text:
            return self._usual_file
        return shown_as(blank.place, text)

    @property
    def file(self) -> str:
        """The file the plan is to be kept in; a name without that ending gets it."""
        at = next(at for at, blank in enumerate(self.blanks) if blank.kind == "file")
        name = self.shown(at).strip()
        return name if name.endswith(".toml") else f"{name}.toml"

    @property
    def _usual_file(self) -> str:
        """A name after the title that is free."""
        name = short_name(self.title)
        names = (f"{name}{f'-{number}' if number > 1 else ''}.toml" for number in range(1, 1000))
        return next((free for free in names if free not in self.taken), f"{name}.toml")

    @property
    def title(self) -> str:
        """What the pair is called so far."""
        for blank, text in zip(self.blanks, self.texts, strict=True):
            if blank.place == "title":
                return text
        return str(self.base.get("title", ""))

    def said(self, place: str) -> str:
        """What the plan says of a field that is no blank; "" where it says nothing."""
        told_by_flap = place == "heel.kind" and self._heel == "flap"
        if self.is_none(place) or told_by_flap or place == "leg.repeat":
            return ""
        table, _, field = place.rpartition(".")
        values = self.base.get(table, {}) if table else self.base
        given = values.get(field, FIELDS[table][field].default)
        if isinstance(given, list):
            return ", ".join(map(str, given))
        other = _OTHER_FIELD.get(place)
        if given is None and other is not None and other in values:
            return f"{values[other]} rounds" if other == "rounds" else f"{values[other]}"
        if (place, given) == ("direction", "cuff-down"):
            return ""  # usual, and hers to say nothing of
        return "" if given is None else shown_as(place, str(given))

    def open(self) -> list[int]:
        """The blanks that are needed and empty."""
        return [
            at
            for at, (blank, text) in enumerate(zip(self.blanks, self.texts, strict=True))
            if blank.needed
            and blank.kind != "file"
            and not self.is_none(blank.place)
            and not text.strip()
            and not self._has_instead(blank)
        ]

    def _has_instead(self, blank: Blank) -> bool:
        """Whether another field says it: her own number of stitches stands for the way round the foot."""
        if blank.place != "foot.circumference":
            return False
        at = self.at_place("leg.stitches")
        return at is not None and bool(self.texts[at].strip())

    def at_place(self, place: str) -> int | None:
        """The blank of a field, or of the one in whose place it may stand."""
        table, _, field = place.rpartition(".")
        for at, blank in enumerate(self.blanks):
            if place == blank.place:
                return at
            if blank.place.startswith(f"{table}.") and _OTHER_FIELD.get(blank.place) == field:
                return at
        return None

    def document(self) -> dict[str, Any]:
        """The plan so far, as a file would have it; a blank that is empty is left out."""
        document = {
            name: dict(value) if isinstance(value, Mapping) else value
            for name, value in self.base.items()
        }
        for blank, text in zip(self.blanks, self.texts, strict=True):
            if blank.kind == "file" or not text.strip() or self.is_none(blank.place):
                continue
            place, value = _value(blank, self._by_name(blank, text.strip()))
            table, _, field = place.rpartition(".")
            (document.setdefault(table, {}) if table else document)[field] = value
        return _in_order(document)

    def _by_name(self, blank: Blank, text: str) -> str:
        """The rows that a name stands for; any other text as it is."""
        named = self.named_repeats if blank.place == "leg.repeat" else ()
        rows = (one.rows for one in named if one.title.casefold() == text.casefold())
        return _BETWEEN.join(next(rows, (text,)))


def new_pair(taken: frozenset[str] = frozenset(), repeats: tuple[Repeat, ...] = ()) -> Filling:
    """The whole sentence, its choices as they are usual."""
    chosen = tuple(blank for blank in _BLANKS if blank.kind != "choice" or len(blank.choices) > 1)
    places = {blank.place for blank in chosen}
    base: dict[str, Any] = {}
    for place, usual in _USUAL.items():
        if place not in places:
            table, _, field = place.partition(".")
            base.setdefault(table, {})[field] = usual
    return Filling(base, "", chosen, tuple(_usual(blank) for blank in chosen), taken, repeats)


def class_file(
    document: Mapping[str, Any],
    text: str,
    places: tuple[str, ...],
    taken: frozenset[str] = frozenset(),
    repeats: tuple[Repeat, ...] = (),
) -> Filling:
    """The sentence of a plan with just those blanks that it leaves open."""
    blanks = tuple(blank for blank in _BLANKS if blank.place in (*places, "file"))
    return Filling(document, text, blanks, ("",) * len(blanks), taken, repeats)


def shown_as(place: str, text: str) -> str:
    """A choice as a sentence says it; any other text as it is."""
    return _SHOWN.get((place, text), text)


def _usual(blank: Blank) -> str:
    if blank.kind == "file":
        return ""
    table, _, field = blank.place.rpartition(".")
    return _USUAL.get(blank.place) or FIELDS[table][field].default or ""


def _value(blank: Blank, text: str) -> tuple[str, Any]:
    """The field that is meant, and its value, as a plan file has them."""
    table = blank.place.partition(".")[0]
    other = _OTHER_FIELD.get(blank.place)
    if other == "shoe" and text[0].isalpha():
        return f"{table}.shoe", text
    if other == "rounds" and (found := _ROUNDS.fullmatch(text)):
        return f"{table}.rounds", int(found[1])
    if blank.place in ("leg.repeat", "colours.leg"):
        return blank.place, [part.strip() for part in text.split(_BETWEEN[1]) if part.strip()]
    if blank.kind == "number" and (found := _NUMBER.fullmatch(text)):
        return blank.place, float(f"{found[1]}.{found[2]}") if found[2] else int(found[1])
    return blank.place, text


def _in_order(document: Mapping[str, Any]) -> dict[str, Any]:
    """The tables of a plan in their usual order, what is at the top before them, stages last."""
    top = {name: value for name, value in document.items() if not isinstance(value, Mapping | list)}
    tables = {name: document[name] for name in FIELDS if name and name in document}
    return {**top, **tables, **{name: document[name] for name in document if name not in tables}}


def _begins(shown: str, letters: str) -> bool:
    """Whether the words, or one of them on, begin with letters."""
    low = shown.lower()
    return any(
        low.startswith(letters, at) for at in range(len(low)) if not at or low[at - 1] == " "
    )
