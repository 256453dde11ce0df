"""`instep left`, answered at once where its answer is known; all else is for the whole program.

An answer is known from the second time on that the same is asked of the same basket (keep_left), until
something changes in it. Nothing is opened but the basket's file, to be summed up, and nothing is loaded
that this needs not: the start of the program is what she would wait for.
"""

from __future__ import annotations

import os
import stat
import sys

from tracker import bare_clock
from tracker.moment import ago, day_of
from tracker.storage import kept_answers

Asked = tuple[bool, bool, "int | None", "str | None"]
"""What a quick check was asked: as JSON, with more of it, of which sock, of which pair."""


def main() -> int:
    """Run the command that was typed and return its exit code."""
    try:
        answer = known(sys.argv[1:])
        if answer is not None and _can_say(answer):
            return _say(answer)
        return _ask_the_whole_program()
    except KeyboardInterrupt:
        return _INTERRUPTED


_INTERRUPTED = 130
"""What a shell expects of a program that ctrl+c ended."""


def _ask_the_whole_program() -> int:
    from tracker.cli import main as whole

    return whole()


def known(given: list[str]) -> str | None:
    """What is to be printed, where these words are a quick check whose answer is known."""
    told = _asked(given)
    if told is None or not kept_answers.CAN_BE_KEPT:
        return None
    basket, asked = told
    try:
        at, offset = bare_clock.told()
        path = _path(basket)
        total = path and _summed_up(path)
        if not path or not total:
            return None
        kept = kept_answers.find(path, kept_answers.key_of(total, asked), at, day_of(at, offset))
        if kept is None:
            return None
        if asked[0]:
            return kept.text
        return dated(kept.text, ago(at - kept.touched))
    except (OSError, ValueError, OverflowError):
        return None  # whatever is wrong is the whole program's to say


def dated(text: str, last: str) -> str:
    """The lines of an answer; the second of them says when it was last knitted."""
    title, place, *others = text.split("\n")
    return "\n".join([title, f"{place} {last}".rstrip(), *others])


def _asked(given: list[str]) -> tuple[str | None, Asked] | None:
    """The basket that was named and what was asked; None where it is not said in the plainest words."""
    found: dict[str, str] = {}
    words = iter(given)
    for word in words:
        name, value = word, ""
        if word in ("--basket", "--pair", "--sock"):
            value = next(words, "")
            if not value or value.startswith("-"):
                return None
        elif word not in ("left", "--json", "--more"):
            return None
        if name in found or (name not in ("--basket", "left") and "left" not in found):
            return None
        found[name] = value
    sock = found.get("--sock")
    if "left" not in found or sock not in (None, "1", "2"):
        return None
    of_sock = None if sock is None else int(sock)
    as_json, more = "--json" in found, "--more" in found
    if more and not as_json:
        return None
    return found.get("--basket"), (as_json, more, of_sock, found.get("--pair"))


def _path(named: str | None) -> str | None:
    """The basket's file itself, where it is a plain one that may be written: else there is more to say."""
    path = named or os.environ.get("INSTEP_BASKET") or _of_the_system()
    if path is None:
        return None
    path = os.path.join(os.getcwd(), path)  # its ".." not folded: behind a link they lead elsewhere
    if os.path.islink(path):
        path = os.path.realpath(path)
    plain = stat.S_ISREG(os.stat(path).st_mode)
    may = os.access(path, os.R_OK | os.W_OK) and os.access(os.path.dirname(path), os.W_OK)
    return path if plain and may else None


def _of_the_system() -> str | None:
    """Where the basket is unless she says otherwise, where that is known without asking platformdirs."""
    if sys.platform != "linux" or "ANDROID_DATA" in os.environ:
        return None
    folder = os.environ.get("XDG_DATA_HOME", "")
    if not folder.strip():
        folder = os.path.expanduser("~/.local/share")
    return os.path.join(folder, "instep", "basket.db")


def _summed_up(path: str) -> str | None:
    """The checksum of a basket that is all in its file."""
    if not kept_answers.is_alone(path):
        return None
    handle = os.open(path, os.O_RDONLY)
    try:
        return kept_answers.sum_of(handle)
    finally:
        os.close(handle)


def _can_say(answer: str) -> bool:
    """Whether the stream takes it as it is; what a terminal lacks is said otherwise, with more code."""
    if sys.stdout is None:
        return False
    return answer.isascii() or (sys.stdout.encoding or "").lower() in ("utf-8", "utf8")


def _say(answer: str) -> int:
    try:
        sys.stdout.write(answer)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe has gone: nothing more to say, and nothing to complain of.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError:
        _take_back()
        return _ask_the_whole_program()  # which can say why it is not written
    return 0


def _take_back() -> None:
    """What waits to be written and cannot be goes nowhere; the stream then leads where it led."""
    stream = sys.stdout.fileno()
    kept = os.dup(stream)
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
    sys.stdout.flush()
    os.dup2(kept, stream)
    os.close(kept)
