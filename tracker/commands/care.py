"""What keeps a basket well: the check, the mending, the samples, where things lie, the settings."""

from __future__ import annotations

import argparse
from typing import Any

from tracker.commands.opening import basket_path
from tracker.commands.speaking import Wrong, print_json, print_lines, say, say_aside


def check(options: argparse.Namespace) -> int:
    """`instep check`: knit a plan or a pattern stitch by stitch. Returns the exit code."""
    from tracker.check import check_basket, check_file

    path = options.file
    problems, notes = check_basket(basket_path(options)) if path is None else check_file(path)
    for note in notes:
        say_aside(f"note: {note}")
    if options.json:
        print_json({"ok": not problems, "problems": [problem.as_json() for problem in problems]})
    elif problems:
        for problem in problems:
            say_aside(f"instep: {problem.line_for_people()}")
    else:
        say("Every row comes out." if options.file else _SOUND)
    return 1 if problems else 0


def mend(options: argparse.Namespace) -> int:
    """`instep mend`: save what is sound of a damaged basket. Returns the exit code."""
    from tracker.check import check_basket
    from tracker.clock import now
    from tracker.storage import mending

    path, moment = basket_path(options), now()
    told: dict[str, Any] = {"pairs": [], "aside": None}
    # What is not there would be made by being checked, and then be sound.
    problems = check_basket(path).problems if path.exists() else ()
    if path.exists() and not problems:
        lines = [_SOUND]
    elif problems and not any("instep mend" in one.instead for one in problems):
        wrong = problems[0]
        raise Wrong(f"{wrong.problem}; {wrong.instead}; nothing was changed")
    else:
        mended = mending.mend(path, moment)
        told, lines = mending.as_json(mended), mending.said(mended)
    if options.json:
        print_json(told)
    else:
        print_lines(lines)
    return 0


_SOUND = "Every pair in the basket is sound."


def samples(options: argparse.Namespace) -> int:
    """`instep samples`: the samples that come with it. Returns the exit code."""
    from tracker.samples import samples

    found = samples()
    if options.json:
        print_json({"samples": [str(path) for path in found]})
    else:
        print_lines(map(str, found))
    return 0


def where(options: argparse.Namespace) -> int:
    """`instep where`: where things are kept. Returns the exit code."""
    from tracker.storage.opening import backup_folder, whole_path
    from tracker.storage.settings_file import settings_path

    basket = basket_path(options)
    kept = {
        "basket": str(basket),
        "backups": str(backup_folder(whole_path(basket))),
        "settings": str(settings_path()),
    }
    if options.json:
        print_json(kept)
    else:
        from tracker.storage.files import shown

        print_lines(f"{what}: {shown(path)}" for what, path in kept.items())
    return 0


def settings(options: argparse.Namespace) -> int:
    """`instep settings`: what is set for every pair: looks, bell, keys. Returns the exit code."""
    from tracker import settings_report
    from tracker.storage.settings_file import read_settings, write_setting

    if options.name is None:
        kept = read_settings()
    else:
        kept = write_setting(options.name, _value_of(options.name, options.value))
    if options.json:
        print_json(settings_report.as_json(kept))
    else:
        print_lines(settings_report.lines(kept))
    return 0


def _value_of(name: str, value: str | None) -> str:
    """A value that the setting can have, else what to write."""
    from tracker.settings import BY_NAME_OF_CHOICE
    from tracker.units import shell_word, shorten
    from tracker.vocabulary import or_all

    choice = BY_NAME_OF_CHOICE.get(name)
    if choice is None:
        raise Wrong(
            f'no setting is called "{shorten(name)}"; write {or_all(list(BY_NAME_OF_CHOICE))}'
        )
    if value is None or value not in choice.values:
        said = f'"{shorten(value)}" is no value of {name}' if value else f"{name} needs its value"
        values = or_all([shell_word(one) for one in choice.values])
        raise Wrong(f"{said}; write instep settings {name} and {values}")
    return value
