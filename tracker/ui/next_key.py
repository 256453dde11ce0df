"""What a key needs and the first picture does not: loaded once that stands, so that no key waits for it."""

from __future__ import annotations

from tracker import answers as answers
from tracker import count_brief as count_brief
from tracker.knitting import decide as decide
from tracker.ui import bell as bell
from tracker.ui import writing as writing
