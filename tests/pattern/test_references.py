"""Every published source that was collected, by its short name: the tests that hold it, or why none does.

A source is named in full beside its checks. This table keeps a source from being dropped in silence:
it fails when a test it names is gone, and when a source has neither a test nor a reason.
"""

from __future__ import annotations

import importlib

import pytest

IN_PRINT = "tests.pattern.test_published_socks"
MORE = "tests.pattern.test_more_in_print"
ERRORS = "tests.pattern.test_errors_in_print"
AUDIT = "tests.pattern.test_audit"
TOES = "tests.pattern.test_toes"
LENGTH = "tests.forecast.test_length_in_print"

HELD: dict[str, list[str]] = {
    "cyc-yarn-weights": [
        f"{IN_PRINT}:test_yarns_from_lace_to_bulky_are_taken",
        f"{IN_PRINT}:test_super_bulky_and_jumbo_counts_are_asked_whether_they_are_per_inch",
    ],
    "cyc-foot-child-supported": [
        f"{MORE}:test_a_childs_foot_of_seven_and_a_half_inches_is_knitted"
    ],
    "cyc-foot-memory": [f"{MORE}:test_feet_of_the_yarn_councils_chart_are_not_asked_about"],
    "abbreviations": [f"{MORE}:test_abbreviations_mean_what_published_lists_say"],
    "iso-9407": [f"{IN_PRINT}:test_a_shoe_is_a_foot"],
    "iso-ts-19407": [f"{IN_PRINT}:test_one_size_up"],
    "shoe-formulas": [
        f"{IN_PRINT}:test_a_shoe_is_a_foot",
        f"{IN_PRINT}:test_anchors_computed_from_the_formulas",
        f"{IN_PRINT}:test_printed_feet_of_shoe_sizes_lie_within_the_tolerance_we_tell",
    ],
    "ryder-1896-no1": [
        f"{IN_PRINT}:test_ryder_1896_turns_a_heel_of_28_as_we_do_row_by_row",
        f"{IN_PRINT}:test_ryder_1896_gusset_counts",
        f"{IN_PRINT}:test_ryder_1896_toe_takes_one_stitch_away_and_works_on_equal_halves",
        f"{AUDIT}:test_ryder_1896_heel_and_gusset_close_the_ring_again",
        f"{TOES}:test_a_graduated_toe_narrows_ever_faster_as_ryders_does",
    ],
    "canada-1939-plain": [
        f"{IN_PRINT}:test_canada_1939_gusset",
        f"{TOES}:test_the_round_toe_of_1939_has_our_decrease_rounds",
        f"{IN_PRINT}:test_canada_1939_gusset_as_it_is_written_is_read_to_its_printed_end",
        f"{MORE}:test_a_published_row_by_hand_is_read_by_check",
    ],
    "us-red-cross-wwi-new": [
        f"{IN_PRINT}:test_the_red_cross_turn_is_ours_with_a_centre_of_three_and_its_first_stitch_worked",
        f"{AUDIT}:test_us_red_cross_is_knitted",
    ],
    "us-red-cross-finished-size": [
        f"{MORE}:test_red_cross_finished_sizes_are_knitted_without_a_question"
    ],
    "petersons-1861": [
        f"{MORE}:test_petersons_heel_of_41_narrows_to_31_and_is_folded",
        f"{MORE}:test_petersons_toe",
    ],
    "rhyme-stocking": [f"{IN_PRINT}:test_the_rhyme_adds_up_and_its_heel_keeps_the_seam_stitch"],
    "dillmont-rules": [
        f"{MORE}:test_dillmonts_heel_is_a_quarter_and_two_on_each_of_two_needles",
        f"{MORE}:test_dillmonts_common_heel_of_24_keeps_its_middle_third",
        f"{MORE}:test_dillmonts_toe_with_two_plain_rounds_then_one",
        f"{MORE}:test_dillmonts_round_toe_has_42_rounds",
    ],
    "cupples-stocking-manual": [
        f"{IN_PRINT}:test_the_reader_finds_cupples_misprints_and_no_others",
        f"{ERRORS}:test_cupples_ankles_and_heels_as_printed",
        f"{ERRORS}:test_cupples_gussets",
        f"{LENGTH}:test_a_part_is_foretold_by_other_receipts",
    ],
    "brightmeadow-56": [
        f"{IN_PRINT}:test_the_gusset_of_a_56_stitch_sock_of_2007",
        f"{IN_PRINT}:test_its_toe_decreases_every_other_round_down_to_half_as_ours_does",
    ],
    "eckman-2015": [
        f"{IN_PRINT}:test_a_plain_sock_is_a_tenth_smaller_and_a_ribbed_one_may_be_a_quarter",
        f"{IN_PRINT}:test_a_whole_inch_less_fits_an_adult",
        "tests.pattern.test_leg_fabric:test_in_two_colours_a_sock_is_a_twentieth_smaller_in_lace_up_to_a_tenth",
    ],
    "wabi-sabi-example": [
        f"{IN_PRINT}:test_a_worked_example_of_ease",
        f"{IN_PRINT}:test_a_foot_is_knitted_shorter_than_it_is",
    ],
    "atherley-knitty": [
        f"{IN_PRINT}:test_round_heel_and_instep",
        f"{IN_PRINT}:test_the_range_of_a_book_of_custom_socks_is_ours",
        f"{IN_PRINT}:test_gauges_of_four_to_nine_to_the_inch_are_socks",
    ],
    "rhyflower-fit": [
        f"{IN_PRINT}:test_our_toes_are_as_long_as_an_adults",
        "tests.pattern.test_calf:test_a_low_calf_is_up_to_a_third_wider_than_the_foot",
    ],
    "heel-turn-rules": [
        "tests.pattern.test_toe_up:test_the_slip_heel_worked_upwards_has_the_published_numbers",
        f"{IN_PRINT}:test_half_plus_two_and_half_plus_one",
        f"{IN_PRINT}:test_both_sides_of_a_turn_wait_alike",
        f"{IN_PRINT}:test_what_remains_of_published_turns",
        f"{IN_PRINT}:test_a_flap_has_as_many_rows_as_stitches",
        f"{IN_PRINT}:test_pick_ups_are_the_loops_of_the_edge_and_the_gap",
        f"{IN_PRINT}:test_weldons_heel_is_half_the_ankle_and_a_seam_stitch",
        f"{MORE}:test_a_turn_of_constant_width_leaves_its_middle",
    ],
    "published-errors": [
        f"{ERRORS}:test_a_printed_error_is_rejected_at_its_row",
        f"{ERRORS}:test_the_correct_form_passes",
    ],
    "eps-socks": [
        f"{MORE}:test_the_key_number_is_stitches_to_the_inch_times_inches",
        f"{MORE}:test_a_heel_is_half",
        "tests.knitting.test_toe_up:test_the_published_length_from_toe_to_gusset",
    ],
    "toe-start": [f"{MORE}:test_our_toes_begin_where_published_ones_do"],
    "stitch-ratio": [f"{IN_PRINT}:test_published_ratios_of_rows_to_stitches_are_not_questioned"],
    "gauge-washing-data": [
        f"{IN_PRINT}:test_published_ratios_of_rows_to_stitches_are_not_questioned"
    ],
    "oiml-r35": [f"{MORE}:test_our_reading_error_is_no_smaller_than_a_tape_may_be_off"],
    "munden-1959": [f"{MORE}:test_relaxed_jersey_is_not_asked_about"],
    "chart-symbols-vogue": [
        "tests.pattern.test_chart:test_symbols_show_the_right_side",
        "tests.pattern.test_chart:test_wrong_side_decreases_have_the_sign_of_their_like",
    ],
    "unicode-glyphs": [
        "tests.ui.test_heel_row:test_what_rests_behind_is_what_the_row_before_left_ahead"
    ],
}

NOT_HELD = {
    "cyc-booklet": "a list of contents: it names the page of the knit chart symbols, not what they are",
    "needle-us-mm": "a needle's size is kept as it was written; nothing is computed from it",
    "yarn-amounts": "yarn is kept and not computed",
    "astm-d8007": "how a laboratory counts wales; its figures were not found",
    "as-2001-2-6": "how a laboratory counts wales; a hand-knitted sock lies below its threshold",
    "iso-5077-3759": "change on washing is not computed, and the standard leaves out what stretches",
}

PARTS_NOT_HELD = {
    "dillmont-rules": "proportions of a knee stocking, which is not computed; its toe, a quarter of the"
                      " foot, is the upper bound of ours",
    "eps-socks": "a toe of a fifth, which is not ours",
    "cupples-stocking-manual": "her check D, rounds to an inch: a length and no count",
    "us-red-cross-finished-size": "a top that stretches to 16 in: how far a rib gives is not measured",
    "shoe-formulas": "children's sizes, which are not read",
}  # fmt: skip


def test_every_source_is_held_or_said_why_not() -> None:
    assert not HELD.keys() & NOT_HELD.keys()
    assert len(HELD) + len(NOT_HELD) == 36
    assert all(NOT_HELD.values())
    assert PARTS_NOT_HELD.keys() <= HELD.keys()


@pytest.mark.parametrize("source", HELD)
def test_the_tests_that_hold_it_are_there(source: str) -> None:
    assert HELD[source]
    for place in HELD[source]:
        module, _, name = place.partition(":")
        assert callable(getattr(importlib.import_module(module), name))
