"""A log read frame by frame: whether acts that were kept stand behind a frame that is not sound.

SQLite reads a log up to the first such frame. Every commit is synced before the next one begins, so that a
loss of power tears the last one at most: where two ended behind the tear, or one behind that of the torn
frame itself, the log was damaged later. A frame's checksum goes on from that of the frame before it, and each
is compared with what stands there, so that those behind the damage still vouch for each other.
Offsets as in "WAL-mode File Format", 4, of SQLite.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator

from tracker.records import NamedTuple

PageOf = Callable[[int, int], bytes]
"""So many bytes from there of the basket's file itself."""

_HEAD, _FRAME_HEAD = 32, 24
_MAGIC = (b"\x37\x7f\x06\x82", b"\x37\x7f\x06\x83")
"""The first four bytes: whether the words of checksums have the lower byte first, or the higher."""

Sums = tuple[int, int]
"""The two words of a checksum."""


class Found(NamedTuple):
    """SQLite reads the first `read` frames of a log; whether more that was kept is `lost`."""

    read: int
    lost: bool


def look_through(log: bytes, page_of: PageOf) -> Found:
    """Read a log (its bytes) that SQLite has not opened yet."""
    frames = _with_header(log)
    if frames is None:
        return Found(0, _lost_with_its_header(log, page_of))
    torn = next((number for number in range(frames.many) if not frames.follows(number)), None)
    read = max((number + 1 for number in range(torn or 0) if frames.ends(number)), default=0)
    if torn is None:
        return Found(max((n + 1 for n in range(frames.many) if frames.ends(n)), default=0), False)
    return Found(read, _lost_behind(frames, torn))


class _Frames:
    """The frames of a log, counted from 0; `seed` are the sums that the first goes on from."""

    def __init__(self, log: bytes, page: int, order: str, salts: bytes, seed: Sums) -> None:
        self._log, self.page, self._salts, self._seed = log, page, salts, seed
        self._each = _FRAME_HEAD + page
        self.many = (len(log) - _HEAD) // self._each
        self._words = struct.Struct(f"{order}{page // 4}I")
        self._two = struct.Struct(f"{order}2I")

    def at(self, number: int) -> int:
        return _HEAD + number * self._each

    def number_of_page(self, number: int) -> int:
        return _whole(self._log, self.at(number))

    def pages(self, number: int) -> int:
        """How many pages the basket has after it; 0 where its commit goes on."""
        return _whole(self._log, self.at(number) + 4)

    def ends(self, number: int) -> bool:
        """Whether a commit ends with it."""
        return self.pages(number) != 0

    def content(self, number: int) -> bytes:
        begins = self.at(number) + _FRAME_HEAD
        return self._log[begins : begins + self.page]

    def is_of_now(self, number: int) -> bool:
        """Whether it was written since the log was last begun anew: those before have other salts."""
        begins = self.at(number) + 8
        return self._log[begins : begins + 8] == self._salts and self.number_of_page(number) != 0

    def written(self, number: int) -> Sums:
        """The sums that stand in it; before the first, those of the header."""
        if number < 0:
            return self._seed
        return _sums_at(self._log, self.at(number) + 16)

    def reckoned(self, number: int, before: Sums, pages: int | None = None) -> Sums:
        """What its sums are after those `before`; with another count of `pages` in it, if one is given."""
        begins = self.at(number)
        size = self._log[begins + 4 : begins + 8] if pages is None else pages.to_bytes(4, "big")
        sums = _added(before, self._two.unpack(self._log[begins : begins + 4] + size))
        return _added(sums, self._words.unpack_from(self._log, begins + _FRAME_HEAD))

    def follows(self, number: int, before: Sums | None = None) -> bool:
        """Whether it is sound if the sums of the one before it are these, or what stands in that."""
        sums = self.written(number - 1) if before is None else before
        return self.is_of_now(number) and self.reckoned(number, sums) == self.written(number)


def _whole(log: bytes, begins: int) -> int:
    return int.from_bytes(log[begins : begins + 4], "big")


def _sums_at(log: bytes, begins: int) -> Sums:
    return _whole(log, begins), _whole(log, begins + 4)


def _added(sums: Sums, words: tuple[int, ...]) -> Sums:
    one, two = sums
    pairs = iter(words)
    for first, second in zip(pairs, pairs, strict=True):
        one = (one + first + two) & 0xFFFFFFFF
        two = (two + second + one) & 0xFFFFFFFF
    return one, two


def _sums_of_header(log: bytes, order: str) -> Sums:
    return _added((0, 0), struct.unpack(f"{order}6I", log[:24]))


_ORDERS = ("<", ">")


def _with_header(log: bytes) -> _Frames | None:
    """The frames of a log whose header is sound."""
    if len(log) < _HEAD or log[:4] not in _MAGIC:
        return None
    order, page = _ORDERS[_MAGIC.index(log[:4])], _whole(log, 8)
    seed = _sums_at(log, 24)
    if not _is_page(page) or _sums_of_header(log, order) != seed:
        return None
    return _Frames(log, page, order, log[16:24], seed)


def _is_page(size: int) -> bool:
    return 512 <= size <= 65_536 and size & (size - 1) == 0


# Behind a frame that is not sound


def _lost_behind(frames: _Frames, torn: int) -> bool:
    """Whether two commits ended one behind the other there; the first may be that of the torn frame."""
    for run in _runs(frames, torn):
        # Nothing vouches for the first of a run: only of the torn one more is known.
        begun = run[0] == torn and _ended(frames, torn)
        if begun + sum(frames.ends(number) for number in run[1:]) > 1:
            return True
    return False


def _runs(frames: _Frames, torn: int) -> Iterator[range]:
    """Frames from the torn one on, as far as each vouches for the one before it."""
    if not any(frames.is_of_now(n) and frames.ends(n) for n in range(torn + 1, frames.many)):
        return
    begins = torn
    for number in range(torn + 1, frames.many):
        if not _vouches(frames, number, torn):
            yield range(begins, number)
            begins = number
    yield range(begins, frames.many)


def _vouches(frames: _Frames, number: int, torn: int) -> bool:
    if frames.follows(number):
        return True
    # The torn one's sums may be what was damaged.
    return number == torn + 1 and frames.follows(number, _reckoned_of(frames, torn))


def _reckoned_of(frames: _Frames, torn: int) -> Sums:
    return frames.reckoned(torn, frames.written(torn - 1))


def _ended(frames: _Frames, torn: int) -> bool:
    """Whether a commit ended with the torn frame, before it was damaged."""
    ends = frames.ends(torn)
    if _reckoned_of(frames, torn) == frames.written(torn):
        return ends
    before = [number for number in range(torn) if frames.ends(number)]
    if ends and (torn == 0 or torn - 1 in before) and _is_split(frames.at(torn)):
        return False
    # A basket never shrinks: what stood there lies between what the commits around it say.
    least = frames.pages(before[-1]) if before else 1
    behind = range(torn + 1, frames.many)
    most = next((frames.pages(number) for number in behind if frames.ends(number)), 0)
    others = (0,) if ends else range(least, min(most, least + _MOST_GROWN) + 1)
    sums = frames.written(torn - 1)
    is_other = any(frames.reckoned(torn, sums, one) == frames.written(torn) for one in others)
    return ends != is_other


_MOST_GROWN = 1_000
"""Pages by which a basket grows with one commit, at most, as far as it is tried."""
_SECTOR = 512
"""Bytes that a disk writes together, at least."""


def _is_split(begins: int) -> bool:
    """Whether the beginning of a frame shares a sector with the one before: it may be an older frame's."""
    return 0 < -begins % _SECTOR <= 16


# Where the header is not sound


def _lost_with_its_header(log: bytes, page_of: PageOf) -> bool:
    """Whether a log of which SQLite reads nothing holds what the basket itself does not.

    The header is synced before any frame is written behind it. One that was torn when the log was begun
    anew has frames behind it whose pages are all in the basket.
    """
    frames, first = _without_header(log, page_of)
    if frames is None:
        return False
    last: dict[int, int] = {}
    since: dict[int, int] = {}
    for number in range(first, frames.many):
        if number > first and not frames.follows(number):
            break
        since[frames.number_of_page(number)] = number
        if frames.ends(number):
            last.update(since)
    return any(
        page_of((page - 1) * frames.page, frames.page) != frames.content(number)
        for page, number in last.items()
    )


def _without_header(log: bytes, page_of: PageOf) -> tuple[_Frames | None, int]:
    """The frames, by what they say themselves, and the first of them that is vouched for."""
    size = int.from_bytes(page_of(16, 2), "big")
    page = 65_536 if size == 1 else size
    many = (len(log) - _HEAD) // (_FRAME_HEAD + page)
    if not _is_page(page) or many < 1:
        return None, 0
    for order in _ORDERS:
        for seed in (_sums_at(log, 24), _sums_of_header(log, order)):
            frames = _frames_like(0, log, page, order, seed)
            if frames.follows(0):
                return frames, 0
    if log[:4] in _MAGIC and _whole(log, 8) == page:
        return None, 0  # torn when the log was begun anew: what begins alike was written over
    for number in range(min(many - 1, _MOST_TRIED)):
        for order in _ORDERS:
            frames = _frames_like(number, log, page, order, (0, 0))
            if frames.follows(number + 1):
                return frames, number
    return None, 0


_MOST_TRIED = 1_000
"""Frames that are tried as the first that is vouched for: as many as SQLite lets gather."""


def _frames_like(number: int, log: bytes, page: int, order: str, seed: Sums) -> _Frames:
    """The frames with the salts of this one."""
    begins = _HEAD + number * (_FRAME_HEAD + page) + 8
    return _Frames(log, page, order, log[begins : begins + 8], seed)
