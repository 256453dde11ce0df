"""What a key needs and the first picture does not: loaded once that stands, so that no key waits for it.

Nor is any of it read hours later from a program that was replaced meanwhile.
"""

from __future__ import annotations

from tracker import answers as answers
from tracker import ask_words as ask_words
from tracker import cards as cards
from tracker import change_words as change_words
from tracker import count_brief as count_brief
from tracker import counted as counted
from tracker import rest_words as rest_words
from tracker import stage_words as stage_words
from tracker.forecast import as_far as as_far
from tracker.forecast import rescues as rescues
from tracker.knitting import asking as asking
from tracker.knitting import borders as borders
from tracker.knitting import decide as decide
from tracker.knitting import growing as growing
from tracker.knitting import hanging as hanging
from tracker.knitting import past as past
from tracker.knitting import repair as repair
from tracker.pattern import kept as kept
from tracker.pattern import phase as phase
from tracker.pattern import ribs as ribs
from tracker.ui import bell as bell
from tracker.ui import large_count as large_count
from tracker.ui import three_lines as three_lines
from tracker.ui import writing as writing
