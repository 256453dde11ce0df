"""Words as patterns print them, put into the notation: what a knitter who types from a page meant.

It only proposes; whoever reads a row says whether the proposal can be read.
"""

from __future__ import annotations

import re

_CHANGES: tuple[tuple[str, str], ...] = tuple(
    (rf"(?i:{pattern})", instead)
    for pattern, instead in (
        # How far, and how often
        (r"\bto (?:the )?end of (?:the )?(?:needle|round|row|rnd)\b", "to end"),
        (r"\bto the end\b", "to end"),
        (r"\bto (?:the )?last\b", "to last"),
        (r"\brep(?:eat)? (?:from )?\* (?:around|across|to (?:the )?end)\b", "rep from * to end"),
        (r"\brepeat from \*", "rep from *"),
        (r";? *\bwyi[fb]\b", ""),
        (r"\bpurlwise\b|\bpwise\b", ""),
        (r" *\b(?:st|sts|stitch|stitches)\b\.?", ""),
        (r"\btwice\b", "2"),
        # Stitches of several words
        (r"\b(?:pick up and knit|pick up & knit|pu & k|pu)\b", "pick up"),
        (r"\bcast on\b", "CO"),
        (r"\b(?:bind off|cast off)\b", "BO"),
        (r"\b(?:yarn over|yarn forward|yfwd|yrn|yon)\b", "yo"),
        (r"\b(?:wrap and turn|w and t|w & t|wt)\b", "w&t"),
        (r"\b(?:through (?:the )?back loops?|through (?:the )?back)\b", "tbl"),
        (r"\bturn work\b", "turn"),
        (r"\bknit\b", "k"),
        (r"\bpurl\b", "p"),
        (r"\b(?:slip|s)(?= *\d)", "sl"),
        (r"\b([kp]) *([23]) *tog\b", r"\1\2tog"),
        (r"\b([kp])(?:nit|url)?(\d+) *b\b", r"\1\2 tbl"),
    )
)
_STITCHES = ("k2tog", "k3tog", "p2tog", "sk2p", "s2kp", "ssk", "ssp", "skp", "kfb", "pfb", "yo",
             "sl", "tbl", "turn", "pick up", "rest", "k", "p", "M1L", "M1R", "M1", "CO", "BO", "DS",
             "RS", "WS")  # fmt: skip
_AS_WRITTEN = {name.lower(): name for name in _STITCHES}
_NAME = re.compile(
    r"(?<![A-Za-z])(?:"
    + "|".join(map(re.escape, sorted(_AS_WRITTEN, key=len, reverse=True)))
    + r")(?![a-z])",
    re.IGNORECASE,
)


def nearest(printed: str) -> str:
    """What was probably meant by `printed`, in the notation as far as that is known; never raises."""
    text = " ".join(printed.replace("×", "x").split())
    for pattern, instead in _CHANGES:
        text = re.sub(pattern, instead, text)
    text = _NAME.sub(lambda found: _AS_WRITTEN[found.group().lower()], text)
    return re.sub(r" +", " ", text).strip(" .")
