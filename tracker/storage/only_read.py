"""A basket that is looked into and left as it is, byte for byte: for a shell that asks what may stand here.

Opened as ever it would be brought to the newest form, its log folded in, and what is said once of a damaged
log would be said to a shell, which has no ear for it.
"""

from __future__ import annotations

import stat
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from tracker.storage import formats
from tracker.storage.basket import Basket
from tracker.storage.kept_answers import is_alone
from tracker.storage.opening import APPLICATION_ID, link_up, pragma, whole_path
from tracker.storage.trouble import in_words


@contextmanager
def looked_into(path: Path) -> Iterator[Basket | None]:
    """The basket for as long as the block lasts, for reading alone; None where its file is not all of it.

    That is: there is none, a log holds more, or it is of another form. Nothing is locked and no file is made.
    Raises BasketTrouble.
    """
    path = whole_path(path)
    with in_words(path, OSError, ValueError):
        if not path.exists() or not stat.S_ISREG(path.stat().st_mode) or not is_alone(str(path)):
            yield None
            return
        with closing(link_up(path, "mode=ro&immutable=1")) as connection:
            newest = (APPLICATION_ID, formats.NEWEST)
            if (pragma(connection, "application_id"), formats.form_of(connection)) != newest:
                yield None
                return
            about = path.stat()
            yield Basket(path, connection, False, (about.st_dev, about.st_ino))
