"""Pairs in files: packed, unpacked, and many of them read."""

from __future__ import annotations

import argparse
import sys

from tracker.commands.opening import opened_basket, session_of
from tracker.commands.speaking import Wrong, print_json, print_lines, print_text, say, say_aside


def pack(options: argparse.Namespace) -> int:
    """`instep pack`: a whole pair into a file. Returns the exit code."""
    from tracker import packing
    from tracker.storage.files import shown

    with opened_basket(options) as basket:
        session = session_of(basket, options.what)
        if options.file == "-":
            print_text(packing.packed(session, basket, for_teacher=options.for_teacher))
            return 0
        replaced = packing.pack(session, basket, options.file, for_teacher=options.for_teacher)
    how = " for a teacher, without times, pace and words of your own but questions"
    instead = " (in place of its older pack)" if replaced else ""
    told = f"is packed{how if options.for_teacher else ''}: {shown(options.file)}{instead}"
    say(f"{session.pair.short} {told}")
    return 0


def unpack(options: argparse.Namespace) -> int:
    """`instep unpack`: the pair of a pack into the basket. Returns the exit code."""
    from tracker import packing, reports, words
    from tracker.clock import now

    with opened_basket(options) as basket:
        unpacked = packing.unpack(basket, options.file, now, sound_part=options.sound_part)
        glance = unpacked.session.glance
        if options.json:
            print_json(reports.left_json(glance))
        else:
            say(f"{packing.said(unpacked)} {words.place(glance)}")
    return 0


def circle(options: argparse.Namespace) -> int:
    """`instep circle`: packs of many knitters, one line each. Returns the exit code."""
    from tracker import circle_words
    from tracker.circle import read_circle
    from tracker.clock import now
    from tracker.knitting.worked import day_of
    from tracker.storage.files import FileTrouble

    if options.files.count("-") > 1:
        raise Wrong("one pack is piped in; write - once")
    as_they_come = not (options.by or options.json)
    waiting, broken = [], 0
    for found in read_circle(options.files, day_of(*now())):
        if isinstance(found, FileTrouble):
            broken += 1
            say_aside(f"instep: {found}")
        elif as_they_come and found.reason == circle_words.FIRST:
            # Who stands first in any case need not wait for the others to be read.
            say(circle_words.line(found))
            sys.stdout.flush()
        else:
            waiting.append(found)
    ordered = circle_words.by_name(waiting) if options.by else circle_words.in_order(waiting)
    if options.json:
        print_json({"knitters": [circle_words.as_json(one) for one in ordered]})
    else:
        print_lines(map(circle_words.line, ordered))
    return 1 if broken else 0
