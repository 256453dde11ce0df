"""A pair from the toe up at the needles: its cards and cues, the tape from the tip, the yarn, the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.pieces import in_repeat, toe_up
from tests.pattern.making import computed, sock
from tracker import answers, words, written
from tracker.drawing import draw, picture
from tracker.forecast.as_far import AsFar, as_far
from tracker.forecast.left import length_of
from tracker.knitting import step
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import Act
from tracker.knitting.stripes import Threads
from tracker.pattern import floats
from tracker.pattern.reading import read_pattern
from tracker.ui.heel_row import HeelRow, heel_row
from tracker.ui.ring import RingSight
from tracker.ui.sights import Scene, stage_sight
from tracker.vocabulary import ToeHalves, toe_halves

ORDER = ["toe", "foot", "gusset", "heel set-up", "turn", "flap", "leg", "cuff", "bind-off"]
HEIGHT = 100 / 42
"""Millimetres to a round of the swatch."""


def to(knitter: Knitter, kind: str, rows: int = 0) -> Knitter:
    """Knit on to a section, open ones to the number planned, and so many rows of it."""
    while knitter.look().place.kind != kind:
        place = knitter.look().place
        section = knitter.course.sections[knitter.sock().section]
        knitter.tick(place.planned - place.done + (section.first == 0 and not knitter.sock().rows))
        if knitter.look().place.kind == place.kind:
            knitter.do("end")
    if rows:
        knitter.tick(rows)
    return knitter


def card(knitter: Knitter) -> str:
    return " ".join(words.card(knitter.look()))


def test_a_cuff_on_another_count_says_its_rib_behind_the_round_that_leads_to_it() -> None:
    made = sock({"direction": "toe-up", "leg.stitches": 64, "cuff.rib": "k2p1"})
    told = card(to(Knitter(Course(made)), "cuff"))
    assert (
        "Set-up round decreases: N1, N3 and N4 k; N2 k8, k2tog, k6. Then k2, p1 all round." in told
    )


def test_on_one_short_circular_the_heel_lies_around_the_marker_however_it_came_there() -> None:
    begun = to(Knitter(toe_up("short circular")), "foot")
    assert card(begun).startswith("Change to the short circular: all 64 on it, a marker where")
    laid = to(Knitter(toe_up("five")), "foot", 2)
    laid.do("changed", None, **{"as": "set", "value": "short circular"})
    for knitter in (begun, laid):
        told = card(to(knitter, "heel set-up"))
        assert "It is 52, as many on each side of the marker" in told
        assert "the instep's 32 rest on the same needle" in told


@pytest.mark.parametrize(
    ("set_", "labels", "middle"),
    [
        ("five", ["N1 26", "N2 16", "N3 16", "N4 26"], "N4 + N1 = heel 52"),
        ("four", ["N1 26", "N2 32", "N3 26"], "N3 + N1 = heel 52"),
        ("two circulars", ["A 32", "B 52"], "32 sts"),
        ("short circular", ["sole 1 26", "instep 32", "sole 2 26"], "heel 52"),
    ],
)
def test_the_ring_of_a_set_up_shows_what_rests_and_which_needles_become_one(
    set_: str, labels: list[str], middle: str
) -> None:
    knitter = to(Knitter(toe_up(set_)), "heel set-up")
    stage = stage_sight(Scene(knitter.look()))
    assert isinstance(stage.needles.picture, RingSight)
    assert [needle.label for needle in stage.needles.picture.needles] == labels
    assert stage.needles.picture.total == middle


@pytest.mark.parametrize(
    ("heel", "told"),
    [
        ("flap", {"turn": "Change to rust; cut the main colour.", "leg": "Join the main colour; cut rust."}),
        ("wrapped", {"heel set-up": "Change to rust; cut the main colour."}),
        ("wrapped", {"leg": "Join the main colour; cut rust."}),
        ("double-stitch", {"heel rounds": "Join the main colour; rust waits."}),
        ("double-stitch", {"heel second half": "Change to rust. "}),
        ("double-stitch", {"leg": "Change to the main colour; cut rust."}),
    ],
)  # fmt: skip
def test_at_a_heel_of_its_own_colour_the_card_says_which_yarn_is_cut_and_which_joined(
    heel: str, told: dict[str, str]
) -> None:
    """Where a yarn hangs follows from the row that it was left in (common practice, no source)."""
    made = sock({"direction": "toe-up", "heel.kind": heel, "colours.heel": "rust"})
    for kind, line in told.items():
        knitter = to(Knitter(Course(made)), kind)
        assert card(knitter).startswith(line)
        assert line[:20] in words.card_brief(knitter.look())[0] + " "


@pytest.mark.parametrize(
    ("needles", "told"),
    [
        ("five", "Knit 4/4/4/4, the instep first: there round 1 begins, with N1."),
        ("four", "Knit 8/4/4, the instep first: there round 1 begins, with N1."),
        ("two circulars", "Knit 8/8, the instep first: there round 1 begins, with A."),
    ],
)
def test_the_brief_card_of_a_toe_for_one_foot_says_how_its_loops_lie(
    needles: str, told: str
) -> None:
    made = sock({"direction": "toe-up", "needles.set": needles, "toe.feet": "left and right"})
    assert told in words.card_brief(Knitter(Course(made)).look())


def test_the_parts_come_the_other_way() -> None:
    knitter, seen = Knitter(toe_up("five")), ["toe"]
    while not knitter.sock().finished:
        knitter.tick()
        place = knitter.look().place
        if place.planned_by == "goal" and place.done >= place.planned:
            knitter.do("end")
        kind = knitter.look().place.kind
        seen += [kind] if kind != seen[-1] else []
    assert seen == ORDER
    assert words.place(knitter.look()) == "Sock one is finished: it is bound off."
    assert "16 stitches, just the first round" in " ".join(
        words.cue_text(cue, knitter.look())[0] for cue in knitter.look().cues
    )


@pytest.mark.parametrize(
    ("needles", "kind", "told"),
    [
        ("five", "toe", "Cast on 16, closed, over two needles: 8 + 8."),
        ("five", "toe", "then 4 of the sole on N4; its last 4 lie on N1, where round 1 begins"),
        ("two circulars", "toe", "Knit 8 on A, the instep, and 8 on B."),
        ("five", "foot", "The tape goes from the tip of the toe."),
        ("five", "gusset", "grows by 2 every other round, 10 times: to 84 stitches"),
        ("five", "heel set-up", "Work N1, N2 and N3 once more"),
        (
            "five",
            "heel set-up",
            "N4 and N1 become the heel needle: 52; one needle is free. The instep's 32 rest.",
        ),
        ("two circulars", "heel set-up", "Work A, the instep, once more; then it rests."),
        ("five", "turn", "14 short rows over the middle 32; 10 of the gusset wait on each side"),
        ("five", "flap", "rows 1 to 20 take one gusset stitch each with their last"),
        ("five", "flap", "lift every wrap"),
        ("five", "leg", "on to the centre back, not counted"),
        ("five", "leg", "The heel needle is parted: its first 16 on N4, its last 16 on N1."),
        ("four", "leg", "The heel needle is parted: its first 16 on N3, its last 16 on N1."),
        ("two circulars", "leg", "The round begins at the side again"),
        ("five", "cuff", "Round 1: k2, p2 all round."),
        ("five", "bind-off", "Bind off all 64, elastic"),
        ("five", "bind-off", "knit them together through the back"),
    ],
)
def test_what_the_cards_tell(needles: str, kind: str, told: str) -> None:
    assert told in card(to(Knitter(toe_up(needles)), kind))


@pytest.mark.parametrize(("instep", "sole"), [(10, 9), (9, 10), (8, 8), (5, 4), (4, 5)])
def test_a_closed_cast_on_can_be_wound_as_it_is_told(instep: int, sole: int) -> None:
    """Loop after loop, in turn; what is wound last has the yarn: the other half is knitted first."""
    halves = ToeHalves(instep, sole)
    begins = "instep" if halves.wound.startswith("the instep") else "sole"
    order = [begins, "sole" if begins == "instep" else "instep"] * max(instep, sole)
    wound = order[: instep + sole]
    assert (wound.count("instep"), wound.count("sole")) == (instep, sole)
    assert ("last" in halves.wound) == (wound[-1] == begins)
    assert ("sole" if halves.sole_first else "instep") != wound[-1]


@pytest.mark.parametrize("needles", ["two circulars", "long circular", "four", "five"])
@pytest.mark.parametrize("stitches", [62, 63, 64, 65, 66])
def test_the_card_and_the_paper_tell_the_halves_and_which_is_knitted_first(
    needles: str, stitches: int
) -> None:
    knitter = Knitter(toe_up(needles, **{"leg.stitches": stitches, "cuff.rib": "k1p1"}))
    pattern = knitter.course.pattern
    toe = pattern.sections[0]
    halves = toe_halves(toe.starts, at_side=pattern.begins_at_side(toe))
    told = (card(knitter), " ".join(words.card_brief(knitter.look())))
    paper = written.begins(toe, None, pattern)[0]
    for page in told:
        assert f"{halves.instep} + {halves.sole}." in page
        assert ("Knit the sole's" in page) == halves.sole_first
    for page in (*told, paper):
        assert f"{halves.wound}." in page or f"{halves.wound};" in page
    assert ("Knit the sole once, then" in paper) == halves.sole_first


def test_nothing_is_said_of_a_pick_up_or_a_graft() -> None:
    knitter = Knitter(toe_up("five"))
    for kind in ORDER:
        glance = to(knitter, kind).look()
        told = f"{card(knitter)} {words.place(glance)} {words.facts(glance)}".lower()
        assert not any(word in told for word in ("graft", "pick up", "pick-up", "chain")), told


def test_the_count_tells_the_round_of_a_gusset_that_grows() -> None:
    knitter = to(Knitter(toe_up("five")), "gusset", 10)
    knitter.do("count", found=[20, 16, 16, 20])
    count = knitter.look().counted
    assert count is not None
    assert {(place.kind, place.row) for place in count.places[:2]} == {("gusset", 7), ("gusset", 8)}


def test_the_heel_needle_is_counted_before_the_cup() -> None:
    glance = to(Knitter(toe_up("five")), "turn").look()
    (cue,) = [cue for cue in glance.cues if cue.kind == "count"]
    assert cue.data["expected"] == (52,)


def test_a_pin_stays_where_the_leg_begins_and_nowhere_else() -> None:
    knitter = Knitter(toe_up("five"))
    pins = [
        kind
        for kind in ORDER
        for cue in to(knitter, kind).look().cues
        if (cue.kind, cue.about) == ("pin", "left standing")
    ]
    assert pins == ["leg"]


# Other toes, heels and legs

CABLES = ["p1, C4F, p1, k2", "p1, k4, p1, k2", "p1, k4, p1, k2"]
CHART = ["aaaabbbb", "abbbbaaa", "aaaaaaab"]


@pytest.mark.parametrize(
    ("given", "kind", "told"),
    [
        ({"toe__kind": "star"}, "toe", "Cast on 8, in a ring that is drawn together."),
        ({"toe__kind": "round"}, "toe", "round 1 begins at the centre of the sole, with N1"),
        ({"toe__kind": "graduated"}, "toe", "Cast on 8, closed, over two needles: 4 + 4."),
        ({"toe__feet": "left and right"}, "toe", "Knit 4 on N1 and 4 on N2, the instep, then 4 on N3"),
        ({"toe__feet": "left and right"}, "toe", "right foot: the big toe lies where the instep begins"),
        ({"toe__feet": "left and right"}, "foot", "First on over the instep, a round not counted."),
        ({"toe__feet": "left and right"}, "foot", "N4 and N1 are the sole's, N2 and N3 the instep's"),
        ({"heel__kind": "wrapped"}, "heel set-up", "N4 and N1 become the heel needle: 32; one"),
        ({"heel__kind": "wrapped"}, "leg", "is parted: its first 16 on N4, its last 16 on N1. First"),
        ({"heel__kind": "double-stitch"}, "leg", "is parted: its first 16 on N4, its last 16 on N1."),
        ({"heel__kind": "wrapped"}, "leg", "Lift the strand at each corner"),
        ({"heel__kind": "wrapped"}, "leg", "Closing round: N1 rests"),
        ({"heel__kind": "double-stitch"}, "leg", "both legs of the last double stitches as one"),
        ({"heel__kind": "afterthought"}, "leg", "The tape goes from the waste yarn"),
        ({"heel__kind": "afterthought"}, "heel", "Join the yarn at the corner where the foot side"),
        ({"heel__kind": "afterthought"}, "graft", "The half below onto one needle"),
    ],
)  # fmt: skip
def test_what_the_cards_tell_of_other_toes_and_heels(
    given: dict[str, Any], kind: str, told: str
) -> None:
    assert told in card(to(Knitter(toe_up("five", **given)), kind))


@pytest.mark.parametrize("kind", ["wrapped", "double-stitch", "afterthought"])
def test_nothing_is_said_of_a_gusset_or_a_flap_where_there_is_none(kind: str) -> None:
    knitter = Knitter(toe_up("five", heel__kind=kind))
    for section in knitter.course.sections:
        glance = to(knitter, section.kind).look()
        told = f"{card(knitter)} {words.place(glance)} {words.facts(glance)}".lower()
        assert not any(word in told for word in ("gusset", "flap", "heel turn")), told


def test_after_a_late_heel_the_sock_is_finished_by_its_graft() -> None:
    knitter = to(Knitter(toe_up("five", heel__kind="afterthought")), "graft", 1)
    assert words.place(knitter.look()) == "Sock one is finished: the heel is grafted."


def test_a_foot_without_gusset_leaves_room_for_the_heel_alone() -> None:
    length = to(Knitter(toe_up("five", heel__kind="wrapped")), "foot").look().length
    assert length is not None
    assert length.target_mm == pytest.approx(233 - 22 * HEIGHT)


@pytest.mark.parametrize("ended", [44, 46, 47])
@pytest.mark.parametrize("heel", ["flap", "double-stitch", "afterthought"])
def test_wherever_she_ends_the_foot_the_leg_goes_on_with_the_next_row(
    ended: int, heel: str
) -> None:
    knitter = Knitter(in_repeat("repeat", CABLES, direction="toe-up", heel__kind=heel))
    for _ in range(2):
        to(knitter, "foot")
        knitter.tick(ended)
        if knitter.look().place.kind == "foot":
            knitter.do("end")
        for done, works in enumerate(up_to_the_leg(knitter), start=ended):
            assert set(works) == {f"*{CABLES[done % 3]}; rep from * to end"}, knitter.look().place
            assert knitter.look().chart_row == done % 3 + 1, knitter.look().place
        to(knitter, "graft" if heel == "afterthought" else "bind-off", 1)
        knitter.do("other")
    assert knitter.look().in_step


def up_to_the_leg(knitter: Knitter) -> Iterator[list[str]]:
    """What the instep's needles do in each round on them after the foot, up to leg round 4."""
    while (glance := knitter.look()).place.kind != "leg" or glance.place.done < 4:
        works = [needle.work for needle in glance.needles]
        if glance.place.kind == "heel rounds":
            yield works[:-1]
        elif glance.place.worked == "rounds" or (glance.place.kind == "heel set-up" and works[1:]):
            yield works[1:-1] if len(works) == 4 else works[1:]
        knitter.tick()


def test_the_floats_beside_a_gusset_that_grows_are_caught_where_the_foot_s_would_be() -> None:
    course = in_repeat("stranded", CHART, direction="toe-up")
    gusset, foot = (
        next(part for part in course.sections if part.kind == kind) for kind in ("gusset", "foot")
    )
    assert floats.foot_beside(course.pattern, gusset) is foot
    told = list(floats.told_beside(gusset, foot, at_side=False))
    assert told
    number = int(told[0].split(":")[0].split()[1].rstrip(","))
    # As many rounds on as the foot has before it, in a chart of three that is caught in its third.
    assert (foot.planned + number) % 3 == 0


# The tape


def test_the_foot_is_measured_from_the_tip_and_leaves_room_for_gusset_and_heel() -> None:
    """233 mm less 19 rounds of gusset and a heel of 15 rows, by the swatch; the toe lies before it."""
    length = to(Knitter(toe_up("five")), "foot").look().length
    assert length is not None
    assert (length.mark, round(length.mm, 1)) == ("cast-on", round(20 * HEIGHT, 1))
    assert length.target_mm == pytest.approx(233 - (19 + 15) * HEIGHT)
    assert length.likely == 44


def test_what_the_tape_teaches_moves_gusset_and_heel_with_the_foot() -> None:
    knitter = to(Knitter(toe_up("five")), "foot", 24)
    before = knitter.look().length
    knitter.do("measure", mm=110.0, text="11", step=0.0, rough=False)
    after = knitter.look().length
    assert before is not None
    assert after is not None
    assert after.mm > before.mm
    assert (after.target_mm or 0) < (before.target_mm or 0)


def test_the_published_length_from_toe_to_gusset() -> None:
    """Total less the rows of gusset and heel: 6.25 in, 23 rows at 6 to the inch, leave 2.4167 in.

    Source: a calculation after M. Morgan-Oakes, on a page that prints 2.3167. Here 14 rounds of gusset,
    8 short rows and the round before them.
    """
    course = toe_up(
        "five", leg__stitches=40, foot__length="7 in", gauge__stitches=4.5, gauge__rows=6,
        gauge__per="1 in", heel__rows=14, heel__gusset="plain first",
    )  # fmt: skip
    assert (course.pattern.numbers.gusset_rounds, course.pattern.numbers.turn_rows) == (14, 8)
    knitter = to(Knitter(course), "foot")
    knitter.do("target", mm=6.25 * 25.4, text="6.25 in")
    length = knitter.look().length
    assert length is not None
    assert (length.target_mm or 0) / 25.4 == pytest.approx(2.4167, abs=5e-5)


def test_the_leg_is_measured_from_the_heel_to_where_the_cuff_begins() -> None:
    """16 cm with a cuff of 22 rounds: 11 cm and 46 rounds are left for the leg."""
    knitter = to(Knitter(toe_up("five")), "leg", 31)
    length = knitter.look().length
    assert length is not None
    assert (length.mark, length.target_mm) == ("section", 110)
    assert length.mm == pytest.approx(30 * HEIGHT)
    knitter.do("measure", mm=72.0, text="7.2", step=0.0, rough=False)
    assert 71 < (knitter.look().length or length).mm < 73


# The other sock, the yarn


def test_sock_two_is_a_true_copy() -> None:
    knitter = to(Knitter(toe_up("five")), "leg", 41)
    knitter.do("end")
    to(knitter, "bind-off", 1)
    knitter.do("other")
    for kind, rows in (("foot", 44), ("leg", 40)):
        place = to(knitter, kind).look().place
        assert (place.planned, place.planned_by) == (rows, "other sock")
    to(knitter, "bind-off", 1)
    glance = knitter.look()
    assert glance.in_step
    assert glance.socks[0].finished
    assert glance.socks[1].finished


def test_a_leg_that_goes_until_the_yarn_ends_keeps_back_the_cuff_and_sock_two() -> None:
    course = toe_up("five", leg__length=None, yarn__grams=80, yarn__metres=340)
    knitter = to(Knitter(course), "leg")
    knitter.do("weigh", grams=62.0, text="62")
    state, leg = knitter.state, course.find("leg") or 0
    lengths = (length_of(course, state, 1), length_of(course, state, 2))
    far = as_far(course, state, 1, lengths, leg)
    assert isinstance(far, AsFar)
    knitter.do("target", mm=far.mm, text=words.AS_FAR, section="leg")
    yarn = knitter.look().yarn
    assert yarn is not None
    assert (knitter.look().rows_to_go[1], yarn.verdict) == (far.rounds, "enough")
    assert 0 <= -yarn.lacks_g < 1.5  # a round more on both legs would not be safe
    # All but the legs of both socks takes more than half of what is left.
    around = sum(row.worked for row in course.sections[leg].rows[1:2])
    share = around / course.stitches
    assert yarn.left_g > 2 * far.rounds * share * yarn.sock_g


# The colours


def colours(course: Course, kind: str) -> list[str]:
    planned = [section.planned for section in course.sections]
    at = course.find(kind) or 0
    rows = course.sections[at].rows_to(planned[at])
    return [run.name for run in Threads(course, planned).runs(at, 0, rows)]


def in_colours(**colours: Any) -> Course:
    stripes = '["navy 9", "cream 3"]'
    told = "".join(f'{name} = "{one}"\n' for name, one in colours.items())
    return toe_up("five", text=f"\n[colours]\nleg = {stripes}\n{told}")


def test_stripes_begin_with_the_foot_where_the_toe_has_its_own_colour() -> None:
    course = in_colours(toe="rust", heel="rust", cuff="rust")
    assert colours(course, "toe") == ["rust"]
    assert colours(course, "foot")[:2] == ["navy", "cream"]
    assert colours(course, "turn") == colours(course, "flap") == ["rust"]
    assert colours(course, "cuff") == colours(course, "bind-off") == ["rust"]
    planned = [section.planned for section in course.sections]
    threads = Threads(course, planned)
    # 44 rounds of foot, 19 of gusset and the set-up row over the instep are behind the leg, else nothing
    # of the heel.
    assert threads.rounds_before(course.find("leg") or 0) == 44 + 19 + 1


def test_stripes_begin_with_the_toe_where_it_has_none_and_the_cuff_goes_on_in_the_last() -> None:
    course = in_colours()
    assert colours(course, "toe")[:2] == ["navy", "cream"]
    assert colours(course, "cuff") == colours(course, "bind-off") == colours(course, "leg")[-1:]


def test_after_a_chart_written_into_it_cuff_and_bind_off_are_in_the_main_colour() -> None:
    document = computed({"direction": "toe-up"}).document
    chart = "*k2 b, k2 a; rep from * to end"
    (leg,) = [table for table in document["section"] if table["kind"] == "leg"]
    leg["rows"] = [f"{' | '.join([chart] * 4)} = 16/16/16/16"]
    document["colours"] = {"leg": ["a navy", "b cream"]}
    course = Course(read_pattern(document, ""))
    assert colours(course, "leg")[-1] == "navy (a), cream (b)"
    for kind in ("toe", "foot", "turn", "cuff", "bind-off"):
        assert colours(course, kind) == ["navy"], kind


# The drawing, and the heel row


def test_the_drawing_fills_from_the_tip_to_the_cuff() -> None:
    course = Course(sock({"direction": "toe-up"}))
    counts = [section.planned for section in course.sections]
    made = draw(course, counts)
    assert made is not None
    tip = max(x for part in made.parts for x, _ in part.corners)

    def needle(kind: str, rows: int) -> list[float]:
        found = picture(course, counts, (course.find(kind) or 0, rows))
        assert found is not None
        assert found.needle is not None
        return [value for point in found.needle for value in point]

    assert min(needle("toe", 1)[::2]) > min(needle("toe", 20)[::2])
    assert max(needle("toe", 1)[::2]) < tip
    # From the heel on the work climbs: y runs down from the cuff's edge.
    highest = [min(needle(kind, 1)[1::2]) for kind in ("flap", "leg", "cuff")]
    assert highest == sorted(highest, reverse=True)
    assert needle("bind-off", 0)[1::2] == [0, 0]


@pytest.mark.parametrize(
    "given",
    [
        {"heel.kind": "wrapped", "toe.kind": "round"},
        {"heel.kind": "double-stitch", "foot.ankle": "28 cm", "leg.length": "28 cm"},
        {"heel.kind": "afterthought", "toe.feet": "left and right"},
    ],
)
def test_knitted_from_either_end_it_is_drawn_alike(given: dict[str, Any]) -> None:
    """The outline of the toe, the leg and the foot; a half of a heel is where the other is from the cuff."""
    drawn = []
    for way in ("toe-up", "cuff-down"):
        course = Course(sock({"direction": way, **given}))
        made = draw(course, [section.planned for section in course.sections])
        assert made is not None
        drawn.append({part.part: part.corners for part in made.parts})
    up, down = drawn
    assert up.keys() == down.keys()
    for kind in ("cuff", "toe"):
        points = [sorted({(round(x), round(y)) for x, y in parts[kind]}) for parts in drawn]
        assert len(points[0]) == pytest.approx(len(points[1]), abs=2)
    swapped = {"heel first half": "heel second half", "heel second half": "heel first half"}
    for kind in up:
        for at in (0, 1):
            ends = [
                (min(point[at] for point in corners), max(point[at] for point in corners))
                for corners in (up[kind], down[swapped.get(kind, kind)])
            ]
            assert ends[0] == pytest.approx(ends[1], abs=3), kind


@pytest.mark.parametrize(
    ("work", "stitches", "number", "row"),
    [
        ("k24, ssk, turn", 52, 1, HeelRow(17, 25, "\\", 1, 9)),
        ("sl1, p30, p2tog, turn", 51, 2, HeelRow(9, 32, "/", 1, 9)),
        ("[sl1, k1] 15 times, sl1, ssk, turn", 50, 3, HeelRow(9, 32, "\\", 1, 8)),
        ("sl1, p30, p2tog, turn", 33, 20, HeelRow(0, 32, "/", 1, 0)),
        ("sl1, k31", 32, 21, HeelRow(0, 32, "", 0, 0)),
    ],
)
def test_the_gusset_waits_on_both_sides_of_the_flap(
    work: str, stitches: int, number: int, row: HeelRow
) -> None:
    assert heel_row(work, stitches, number, "flap", taken_in=20) == row


@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
@pytest.mark.parametrize("feet", ["alike", "left and right"])
def test_before_any_reading_the_foot_goes_as_far_as_the_paper_says(needles: str, feet: str) -> None:
    """The round from a toe for one foot to the centre of the sole is long, though it has no number."""
    knitter = to(Knitter(toe_up(needles, toe__feet=feet)), "foot", 5)
    foot = knitter.course.sections[knitter.sock().section]
    assert (foot.first == 0) == (feet != "alike" and needles != "two circulars")
    length = knitter.look().length
    assert length is not None
    assert length.goal_row == foot.planned


def test_a_leg_that_is_shaped_ends_no_sooner_than_that_whatever_its_goal() -> None:
    calf = {"foot__ankle": "31 cm", "leg__length": "32 cm"}
    knitter = to(Knitter(toe_up("five", **calf)), "leg", 31)
    before = knitter.look()
    shaped = knitter.course.sections[knitter.sock().section].shaped_to
    assert before.place.done < shaped < before.place.planned
    knitter.do("target", mm=200.0, text="20 cm")
    after = knitter.look()
    assert (after.length and after.length.goal_row, after.rows_to_go[1]) == (shaped, shaped - 30)
    told = answers.said(Act("target", 1, knitter.events[-1].data), before, after)
    assert f"It is shaped to round {shaped}, at about 25 cm, and ends no sooner." in told
    knitter.do("target", mm=310.0, text="31 cm")
    again = answers.said(Act("target", 1, knitter.events[-1].data), after, knitter.look())
    assert "no sooner" not in again
    knitter.tick(shaped - 31)
    with pytest.raises(Refused, match=f"shaped to round {shaped}"):
        knitter.do("end")
    knitter.tick()
    knitter.do("end")


@pytest.mark.parametrize("kind", ["skipped-decrease", "extra-decrease"])
def test_an_increase_that_was_left_out_has_its_way(kind: str) -> None:
    """Where a gusset grows nothing is to be left out of; a count finds what is, and puts it right."""
    knitter = to(Knitter(toe_up("five")), "gusset", 9)
    with pytest.raises(
        Refused, match=r"^the gusset increases: one that was left out is made in the next plain"
    ):
        knitter.do("changed", None, **{"as": kind, "value": ""})
    knitter.do("changed", None, **{"as": "other", "value": "no increase in round 9, made in 10"})
    assert step.in_step(knitter.state)
    knitter.do("other")
    glance = to(knitter, "gusset", 8).look()
    told = [words.cue_text(cue, glance)[0] for cue in glance.cues]
    assert any("no increase in round 9, made in 10" in text for text in told), told
