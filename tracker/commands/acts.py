"""What she did at the needles, told from the command line: each command is one act on the pair."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from tracker.commands.left import asks_for_more, left_object
from tracker.commands.opening import opened_basket, session_of
from tracker.commands.speaking import Wrong, print_json, say
from tracker.commands.words import whole

if TYPE_CHECKING:
    from tracker.glance import Glance
    from tracker.session import Answer, Session


def tick(options: argparse.Namespace) -> int:
    """`instep tick`: rounds or needles done. Returns the exit code."""
    return _acts(
        options, lambda pair: pair.tick(options.count, needles=options.needle, sock=options.sock)
    )


def end_section(options: argparse.Namespace) -> int:
    """`instep end`: the open section ends. Returns the exit code."""
    return _acts(options, lambda pair: pair.end(options.at, sock=options.sock))


def target(options: argparse.Namespace) -> int:
    """`instep target`: the goal of the open section, or of one to come. Returns the exit code."""
    from tracker.knitting.decide import Counted, Follows
    from tracker.units import shell_word

    goal, alone = " ".join(options.length).strip(), options.only
    by_yarn = goal.lower() == "yarn"

    def set_goal(pair: Session) -> Answer:
        if by_yarn:
            return pair.target_by_yarn(options.section, only=alone, sock=options.sock)
        return pair.target(goal, options.section, only=alone, sock=options.sock)

    try:
        return _acts(options, set_goal)
    except Follows as follows:
        raise Wrong(f"{follows}; write --only after it for a goal of this sock alone") from None
    except Counted as counted:
        if counted.ahead is None or by_yarn:
            raise
        ahead = shell_word(counted.ahead)
        raise Wrong(f"{counted}; write --section {ahead} after it for that one") from None


def measure(options: argparse.Namespace) -> int:
    """`instep measure`: a tape reading. Returns the exit code."""
    return _acts(
        options,
        lambda pair: pair.measure(
            " ".join(options.length), rough=options.rough, mark=options.mark, sock=options.sock
        ),
        left_object(more=asks_for_more(options)),
    )


def count_stitches(options: argparse.Namespace) -> int:
    """`instep count`: stitches found: checks them, or says where she may be. Returns the exit code."""
    from tracker import reports

    plain = True if options.plain else False if options.shaped else None
    clues = (options.length, options.colour, options.pin, options.tail, options.chart)
    bare = not options.stitches.strip() and all(clue is None for clue in clues)
    if options.plain and options.shaped:
        raise Wrong("the last round was plain or it was not; write one of --plain and --shaped")
    return _acts(
        options,
        lambda pair: pair.count(
            options.stitches,
            plain=plain,
            length=options.length,
            colour=options.colour,
            pin=options.pin,
            tail=options.tail,
            chart=options.chart,
            sock=options.sock,
        ),
        reports.to_count_json if bare else reports.count_json,
    )


def changed(options: argparse.Namespace) -> int:
    """`instep changed`: something is otherwise than planned. Returns the exit code."""
    repeat = None if options.copy is None else options.copy == "yes"
    return _acts(
        options,
        lambda pair: pair.changed(
            options.kind,
            " ".join(options.value),
            row=options.row,
            repeat=repeat,
            late=options.late,
            stay=options.stay,
            ball=options.ball,
            sock=options.sock,
        ),
    )


def copy_change(options: argparse.Namespace) -> int:
    """`instep copy`: whether the other sock repeats a change. Returns the exit code."""
    return _acts(
        options, lambda pair: pair.copy(options.number, options.repeat == "yes", options.sock)
    )


def note(options: argparse.Namespace) -> int:
    """`instep note`: words at the round just done. Returns the exit code."""
    return _acts(options, lambda pair: pair.note(" ".join(options.text), sock=options.sock))


def rest(options: argparse.Namespace) -> int:
    """`instep rest`: a sock is laid to rest. Returns the exit code."""
    if options.inside is not None:
        return _acts(options, lambda pair: pair.stop(options.inside, sock=options.sock))
    return _acts(options, lambda pair: pair.rest(" ".join(options.text), sock=options.sock))


def rip(options: argparse.Namespace) -> int:
    """`instep rip`: ripped back: ROUND is the last on the needles. Returns the exit code."""
    from tracker.units import shell_word

    to, by, named, stitches = options.round, options.by, options.section, options.stitches
    if named and to is None and by is None and stitches is None:
        to = "0"  # to the beginning of that section
    if sum(far is not None for far in (to, by, stitches)) != 1:
        raise Wrong(
            "say how far back: instep rip 40, instep rip --by 12, instep rip --stitches 20,"
            " or instep rip lifeline"
        )
    if named and (to is None or to == "lifeline"):
        raise Wrong(
            f"--section goes with a round; write instep rip 40 --section {shell_word(named)}"
        )
    if stitches is not None:
        return _acts(options, lambda pair: pair.tink(stitches, sock=options.sock))
    if by is not None:
        return _acts(options, lambda pair: pair.rip_by(by, sock=options.sock))
    if to == "lifeline":
        return _acts(options, lambda pair: pair.rip_to_lifeline(sock=options.sock))
    return _acts(options, lambda pair: pair.rip(_row_of(pair, to), named, sock=options.sock))


def _row_of(pair: Session, text: str) -> int:
    """The round to go back to; a section's name says no round."""
    from tracker.units import shell_word, shorten

    if pair.course.find(text) is not None:
        named = shell_word(text)
        raise Wrong(
            f"to go back in the {shorten(text)} write instep rip 10 --section {named},"
            f" or to its beginning instep rip --section {named}"
        )
    return _round(text)


def _round(text: str) -> int:
    try:
        return whole(text)
    except argparse.ArgumentTypeError as bad:
        raise Wrong(str(bad)) from None


def lifeline(options: argparse.Namespace) -> int:
    """`instep lifeline`: a lifeline lies in the last round, or in ROUND. Returns the exit code."""
    return _acts(
        options, lambda pair: pair.lifeline(options.round, options.section, sock=options.sock)
    )


def restart(options: argparse.Namespace) -> int:
    """`instep restart`: the sock is begun again. Returns the exit code."""
    return _acts(options, lambda pair: pair.restart(sock=options.sock))


def answer(options: argparse.Namespace) -> int:
    """`instep answer`: what to do with a reading that does not fit. Returns the exit code."""
    if options.by is not None and options.how != "count":
        raise Wrong(f"--by belongs to a count; write instep answer count --by {options.by}")
    return _acts(options, lambda pair: pair.answer(options.how, options.by, sock=options.sock))


def weigh(options: argparse.Namespace) -> int:
    """`instep weigh`: the yarn that is left, on the scale. Returns the exit code."""
    weight, colour = " ".join(options.grams), options.colour
    return _acts(
        options,
        lambda pair: pair.weigh(weight, colour=colour, sock=options.sock),
        left_object(more=asks_for_more(options)),
    )


def at_round(options: argparse.Namespace) -> int:
    """`instep at`: ROUND is the last one done. Returns the exit code."""
    return _acts(options, lambda pair: pair.at(options.round, options.section, sock=options.sock))


def other(options: argparse.Namespace) -> int:
    """`instep other`: change to the other sock. Returns the exit code."""
    if options.over is not None:
        return _acts(options, lambda pair: pair.move_over(options.over, options.sock))
    return _acts(options, lambda pair: pair.other(options.sock))


def order_of_work(options: argparse.Namespace) -> int:
    """`instep order`: the order in which both socks are worked. Returns the exit code."""
    return _acts(options, lambda pair: pair.order(" ".join(options.order), sock=options.sock))


def undo(options: argparse.Namespace) -> int:
    """`instep undo`: take the last act back. Returns the exit code."""
    return _acts(options, lambda pair: pair.undo(options.sock))


def redo(options: argparse.Namespace) -> int:
    """`instep redo`: bring it back. Returns the exit code."""
    return _acts(options, lambda pair: pair.redo(options.sock))


def append(options: argparse.Namespace) -> int:
    """`instep append`: the next stage's sections are joined to the pair. Returns the exit code."""
    from tracker.storage.pattern_file import open_tables

    given = open_tables(options.file)
    return _acts(options, lambda pair: pair.append(given, options.sock))


def replan(options: argparse.Namespace) -> int:
    """`instep replan`: a new pattern for what is not knitted yet. Returns the exit code."""
    from tracker.storage.pattern_file import open_tables

    given = open_tables(options.file)
    return _acts(options, lambda pair: pair.replan(given, options.sock))


def _acts(
    options: argparse.Namespace,
    act: Callable[[Session], Answer],
    as_json: Callable[[Glance], dict[str, Any]] | None = None,
) -> int:
    """Do an act and say what it answers; as JSON the `left` object, or what `as_json` makes of it."""
    from tracker import reports

    with opened_basket(options) as basket:
        answer = act(session_of(basket, options.pair))
        if options.json:
            print_json((as_json or reports.left_json)(answer.glance))
        else:
            say(answer.said)
    return 0
