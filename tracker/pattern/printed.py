"""Rows as printed pages have them, and how they are written here.

Neither reader reads rows by these rules: what they make of a row is only ever proposed, and only
where the reader that asks for it can read it. The words are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

_WRITTEN = (
    "k2tog", "k3tog", "p2tog", "sk2p", "s2kp", "ssk", "ssp", "skp", "kfb", "pfb", "M1L", "M1R", "M1",
    "yo", "DS", "CO", "BO", "RS", "WS", "rest", "graft", "draw", "pick", "up", "turn", "w&t", "tbl", "times",
    "rep", "from", "to", "end", "last", "all", "sl", "k", "p",
)  # fmt: skip
_SPELT = {word.lower(): word for word in _WRITTEN}
_ANY_CASE = re.compile(
    rf"(?<![a-z&])(?:{'|'.join(map(re.escape, _WRITTEN))})(?![a-z&])", re.IGNORECASE
)
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_ITEM = r"(?:[kp]\d+|sl ?\d+|k[23]tog|p2tog|ssk|ssp|skp|sk2p|s2kp|yo|M1[LR]?|kfb|pfb|to end)"
_NEXT = r"(?:k2tog|k3tog|p2tog|ssk|ssp|skp|sk2p|s2kp|yo|M1[LR]?|kfb|pfb|(?:k|p|sl)(?=[\d ,\]|=]|$))"

_RULES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), instead)
    for pattern, instead in (
        # The number of the row, its side, and the count in brackets behind it.
        (r"^(?:rnd|round|row) ?\d+ ?(?=[:.(])|^next (?:rnd|round|row) ?(?=[:.(])", ""),
        (r"^\W*\b([rw]s)\b(?: row)?\W*?(?=[\w*\[(]|$)", r"\1: "),
        (r"^[:.] ?", ""),
        (r"[\[(] ?(\d+) ?(?:sts?|stitches)(?: left| remain(?:ing)?)?[.]?[\])][.]?$", r"= \1"),
        (r" [-\u2013\u2014:] ?(\d+) ?(?:sts?|stitches)(?: left| remain(?:ing)?)?[.]?$", r" = \1"),
        (r"[.;](?= ?(?:=|$))|,(?= ?=)", ""),
        (r"\. (?=[\w*\[(])|;(?! ?(?:rep|rpt))", ", "),
        # Words that say nothing more, or what is no stitch.
        (r",? ?\b(?:wyi[bf]|with (?:the )?yarn (?:in|at) (?:the )?(?:back|front))\b", ""),
        (r",? ?\b(?:pwise|kwise|purlwise|knitwise|as if to (?:purl|knit))\b", ""),
        (r"\b(?:[psr]m|(?:place|slip|remove) (?:a |the )?marker)\b(?: ?, ?)?", ""),
        (r"\b(?:in|into)(?: the)? next (?:st|stitch)\b", ""),
        (r"\b(?:the )?next (?=\d)", ""),
        (r"\b(?:the )?last (?:st|stitch)\b", "last 1"),
        (r"(?<=\d) ?(?:sts?|stitch(?:es)?)\b", ""),
        # Stitches by their other names.
        (r"\bpick up (?:and|&) k(?:nit)?\b", "pick up"),
        (r"\b([kp]) ?([23]) ?-? ?tog(?:ether)?(?:[ -]?(tbl))?\b", r"\1\2tog \3"),
        (r"\bsl ?1 ?[,-]? ?k2tog ?[,-]? ?psso\b", "sk2p"),
        (r"\bsl ?1 ?[,-]? ?k ?1 ?[,-]? ?psso\b|\bskpo\b", "skp"),
        (r"\bknit\b(?: (?=\d))?", "k"),
        (r"\bpurl\b(?: (?=\d))?", "p"),
        (r"\bslip\b(?: (?=\d))?", "sl"),
        (r"^([kp]) all(?: (?:the )?(?:sts|stitches))?$", r"\1"),
        (r"(?<=\ball) (?:the )?(?:sts|stitches)\b", ""),
        (r"\bcast on\b", "CO"),
        (r"\b(?:bind|cast) off\b", "BO"),
        (r"\bmake (?=1\b)", "M"),
        (r"\by(?:fwd|rn|on|arn over)\b", "yo"),
        (r"\bk1?f ?[&/] ?b\b|\bk1fb\b", "kfb"),
        (r"\b(?:w ?[&+] ?t|wrap (?:and|&) turn)\b", "w&t"),
        (r"\bturn work\b", "turn"),
        (r"\bc(\d{1,3})f\b", r"C\1F"),
        (r"\bc(\d{1,3})b\b", r"C\1B"),
        # How far, and how often.
        (r"\bto (?:the )?end of (?:the )?(?:rnd|round|row|needle)\b|\bto the end\b", "to end"),
        (r"^([kp]) (?:around|across)$", r"\1"),
        (r"(?<=\*) ?(?:around|across)\b", " to end"),
        (r"\b([kp])1 (?=to (?:end|last)\b)", r"\1 "),
        (r"\buntil (\d+) (?:remain|are left|left)\b", r"to last \1"),
        (r"\bto within (\d+) of (?:the )?end\b", r"to last \1"),
        (r"\btwice\b", "2 times"),
        (r"\bonce\b", "1 times"),
        (r"(?<=\d) ?time\b", " times"),
        (r"(?<=[\])]) ?\u00d7 ?(?=\d)", " x "),
        (r"(?<=[\])]) ?(\d+) ?[x\u00d7](?!\w)", r" \1 times"),
        (r"(?<=[\])]) ?(\d+)(?! ?times|\d)", r" \1 times"),
        (r"\b(k[23]tog|p2tog|ssk|ssp|skp|sk2p|s2kp|yo|kfb|pfb) (\d+) times\b", r"\1 \2"),
        # The repeat between its two stars.
        (r"\b(?:repeat|rpt|rep\.?) ?from ?\*", "rep from *"),
        (r"(?<=\w|\]|\)) ?\*[,;]? ?(?:repeat|rpt|rep)\b(?! ?from)", "; rep from *"),
        (r"(?<=[\w\])]) ?[,;]? ?(?=rep from \*)", "; "),
        (r"(?<=rep from \*) ?(\d+) more times\b", r" \1 times"),
        (r"(?<=rep from \*) ?(?=$|[=|])", " to end "),
        # What stands between two stitches.
        (r",? (?:and|then) (?=\w)", ", "),
        (rf"\b({_ITEM}) (?={_NEXT})", r"\1, "),
        (rf"\b({_ITEM}) (?={_NEXT})", r"\1, "),
    )
)  # fmt: skip
_WHY = (
    (re.compile(r"\bwyi[bf]\b|\byarn (?:in|at)\b", re.IGNORECASE), "where the yarn lies can be a note"),
    (re.compile(r"\b[psr]m\b|\bmarker\b", re.IGNORECASE), "a marker is no stitch"),
)  # fmt: skip


@lru_cache(maxsize=512)
def mended(text: str) -> str:
    """A row or an item as it would be written here, as far as its words are known."""
    text = " ".join(text.split())
    if len(text) > LONGEST_MENDED:
        return text
    for number, word in enumerate(_NUMBERS, start=1):
        text = re.sub(rf"\b{word}\b", f"{number}", text, flags=re.IGNORECASE)
    for pattern, instead in _RULES:
        text = pattern.sub(instead, text)
    text = _ANY_CASE.sub(lambda found: _SPELT[found[0].lower()], text)
    text = re.sub(r" ?(?:, ?)+(?=[,;\]|=]|$)", " ", re.sub(r"(^|[:|\[(*]) ?,", r"\1 ", text))
    return re.sub(r" (?=[,;\])])|(?<=[\[(]) |(?<!from \*)(?<=\*) ", "", " ".join(text.split()))


_ONE_PART = re.compile(r"[\w ]*|\[[^|=:]*\] \d+ times")

LONGEST_TOLD = 60
"""Letters of a row that is proposed whole."""
LONGEST_MENDED = 400
"""Letters of a row that is looked at: no printed row has more."""


def instead_of(
    item: str, row: str, reads_item: Callable[[str], bool], reads_row: Callable[[str], bool]
) -> str:
    """What to write for an item of a row that cannot be read; "" where that is not known.

    The item alone if that is all that is wrong with the row, else the row. `reads_item` and
    `reads_row` say whether what would be proposed can be read.
    """
    one, whole = mended(item), mended(row)
    why = "".join([f": {told}" for sign, told in _WHY if sign.search(item)][:1])
    known = one != item and bool(one) and reads_item(one)
    if known and reads_row(row.replace(item, one, 1)):
        return f"write {_quoted(one)}{why}"
    if whole != row and len(whole) <= LONGEST_TOLD and reads_row(whole):
        return f"leave {item} out{why}" if why and not one else f"write {_quoted(whole)}"
    return f"write {_quoted(one)}{why}" if known else ""


def _quoted(text: str) -> str:
    """What has more than one part stands in quotes."""
    return text if _ONE_PART.fullmatch(text) else f'"{text}"'
