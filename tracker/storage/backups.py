"""Backups: a whole copy of the basket, at most one a day, in a folder beside it; the last seven are kept."""

from __future__ import annotations

import re
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.copying import HALF, copy_whole
from tracker.storage.opening import backup_folder, link_up
from tracker.storage.stamp import Stamp
from tracker.storage.trouble import UNREADABLE, in_file, in_words, no_backup

KEPT = 7
"""Backups that are kept."""

_DAY = re.compile(r"\d{4}-\d\d-\d\d\.db")


def backups_of(basket: Path) -> list[Path]:
    """The backups of a basket, the newest first; what was put aside before it was brought on comes last."""
    folder = backup_folder(basket)
    if not folder.is_dir():
        return []
    there = sorted((one for one in folder.iterdir() if one.suffix == ".db"), reverse=True)
    return sorted(there, key=lambda one: _DAY.fullmatch(one.name) is None)


def is_due(basket: Path, now: Stamp) -> bool:
    """Whether there is no backup of this day."""
    return not _of_day(basket, now).exists()


def back_up(basket: Path, now: Stamp) -> None:
    """Copy the basket, look the copy over, and keep the newest seven.

    Nothing that is damaged is kept in the place of what is whole. Raises BasketTrouble, which says why
    there is no backup; nothing else is lost by that.
    """
    target = _of_day(basket, now)
    try:
        with closing(link_up(basket, "mode=ro")) as source:
            wrong = copy_whole(source, target, _wrong_with)
    except (*UNREADABLE, OSError) as error:
        raise no_backup(basket, target.parent, error) from error
    if wrong:
        raise BasketTrouble(
            "the basket is damaged, so that today's is not kept among its backups; instep check says"
            f" what is, and instep mend saves what is sound{in_file(basket)}"
        )
    with in_words(basket, OSError):
        _clear(target)


def _of_day(basket: Path, now: Stamp) -> Path:
    return backup_folder(basket) / f"{_day(now).isoformat()}.db"


def _day(now: Stamp) -> date:
    """The day by her own clock."""
    return date(1970, 1, 1) + timedelta(minutes=now.at // 60_000 + now.offset)


def _wrong_with(copy: Path) -> str:
    try:
        with Basket.open(copy) as basket:
            # One that opening it has made is empty, and would take the place of a whole one.
            return "the copy is gone" if basket.made else "; ".join(basket.check())
    except BasketTrouble as trouble:
        return str(trouble)


def _clear(newest: Path) -> None:
    """Take away all but the newest; of a day that is not yet come first, for its clock was wrong."""
    there = [one for one in newest.parent.iterdir() if _DAY.fullmatch(one.name)]
    there.sort(key=lambda one: (one.name <= newest.name, one.name), reverse=True)
    for old in there[KEPT:]:
        old.unlink(missing_ok=True)
    for left in newest.parent.iterdir():
        if HALF in left.name and not left.name.startswith(newest.name):
            left.unlink(missing_ok=True)  # of a backup that was interrupted
