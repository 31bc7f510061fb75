"""What is said of a proposal: true to the figures, in the user's units, never that it is safe."""

import re
from dataclasses import replace
from math import degrees, radians

import pytest

from app.document.edits import add_change, set_limit, switch_change
from app.document.files import read_setup
from app.document.model import Change, Limit
from app.document.samples import sample_paths
from app.systems.cautions import cautions_of
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.systems.sentences import by_weight, weighed_sentences
from geometry.catalogue.front import BY_KEY
from tests.helpers.setup_edits import set_evidence
from tests.helpers.telling import sentences
from tests.systems.test_samples import of_sizes, proposals

SETUPS = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}
SALOON = SETUPS["small_saloon"]
HELD = SALOON.having(heights={"front": "as measured"})
every_sample = pytest.mark.parametrize("name", SETUPS)


def said(setup, key, decimal="."):
    """Return what is said of one result."""
    return [s.text for s in sentences(FRONT.study(setup), decimal) if s.result_key == key]


def only(setup, *changes):
    """Return the setup with these changes alone."""
    return setup.having(changes=changes)


def numbers(text):
    return [float(word.replace("−", "-")) for word in re.findall(r"[−+]?\d+\.?\d*", text)]


@of_sizes
@every_sample
def test_sentences_are_whole_and_pressing_ones_come_first(name, sizes):
    order = {"wrong": 0, "watch": 1, "plain": 2}
    for setup in proposals(SETUPS[name], sizes):
        told = sentences(FRONT.study(setup))
        ranks = [order[sentence.severity] for sentence in told]
        assert ranks == sorted(ranks)
        for sentence in told:
            assert re.fullmatch(r"[A-Z0-9].*\.", sentence.text), sentence.text
            assert not re.search(r"None|nan|inf\b|  |-\d", sentence.text), sentence.text
            assert sentence.result_key in {*BY_KEY, ""}


@of_sizes
@every_sample
def test_nothing_says_that_a_car_is_safe(name, sizes):
    for setup in proposals(SETUPS[name], sizes):
        answers = FRONT.study(setup)
        words = " ".join([*cautions_of([answers]), *(s.text for s in sentences(answers))])
        assert not re.search(r"\bsafe\b|\bsafely\b|roadworthy", words)


def test_camber_gain_is_told_over_an_inch_of_bump_with_what_it_does():
    (text,) = said(SALOON, "camber_gain")
    answers = FRONT.study(SALOON)
    gains = [
        degrees(float(car.rest.values["camber_gain"][0, 0])) * 25.0
        for car in (answers.measured, answers.proposed)
    ]
    assert text.startswith("Camber gain goes from −0.07° to −0.67° per 25 mm of bump")
    assert numbers(text)[:2] == pytest.approx(gains, abs=0.005)
    assert "more upright" in text


def test_raising_the_pivots_instead_makes_the_tyre_lean_more_in_roll():
    higher = Change(
        "higher", moves={"front.upper_front": (0, 0, 12.0), "front.upper_rear": (0, 0, 12.0)}
    )
    (text,) = said(only(SALOON, higher), "camber_gain")
    assert "leans out more in roll" in text


def test_the_height_it_settles_to_names_the_reason():
    (text,) = said(SALOON, "settled_travel")
    settled = FRONT.study(SALOON).stands
    assert text.startswith(
        "With the same springs the car sits 24 mm lower at the front: the spring stands on the "
        "upper arm."
    )
    assert settled == pytest.approx(24.0, abs=0.5)
    assert "51 mm of bump" in text  # 75 mm to the stop less what it settles


def test_on_the_lower_arm_the_same_job_hardly_lowers_it():
    (text,) = said(SETUPS["inch_sedan"], "settled_travel")
    assert "little, since the spring stands on the lower arm" in text


def test_another_spring_is_not_called_the_same_spring():
    longer = Change("Longer", sets={"front.spring.free_length": 331.0})
    (text,) = said(only(SALOON, longer), "settled_travel")
    assert text.startswith("With the springs proposed the car sits")
    assert "higher" in text


def heights_told(system, setup):
    """Return what is said of the height, with how pressing it is."""
    told = sentences(system.study(setup))
    return [(s.severity, s.text) for s in told if s.result_key == "settled_travel"]


def test_little_bump_left_is_worth_a_look():
    soft = Change("Soft", sets={"front.spring.rate": 45.0})
    ((severity, text),) = heights_told(FRONT, only(SALOON, soft))
    assert (severity, text[-55:]) == (
        "watch",
        " That leaves only 6.0 mm of bump to the stop, of 75 mm.",
    )
    block = Change("Block", sets={"rear.block": 70.0})
    ((severity, text),) = heights_told(REAR, only(SALOON, block))
    assert severity == "watch"
    assert "That leaves only " in text


def test_a_third_of_the_bump_left_is_plain():
    block = Change("Block", sets={"rear.block": 25.0})
    ((severity, text),) = heights_told(REAR, only(SALOON, block))
    assert severity == "plain"
    assert "That leaves " in text
    assert "only" not in text


def test_little_rebound_left_is_worth_a_look():
    longer = Change("Longer", sets={"front.spring.free_length": 347.0})
    told = heights_told(FRONT, only(SALOON, longer))
    assert [severity for severity, _ in told] == ["watch"]
    assert "of rebound to the stop, of " in told[0][1]


def test_a_held_height_says_what_travel_it_leaves():
    lowest = SALOON.having(heights={"front": SALOON.evidence["front.arch_height"] - 60.0})
    told = dict(heights_told(FRONT, lowest))
    assert " That leaves only 15 mm of bump to the stop, of 75 mm." in told["watch"]


def test_bump_steer_past_its_limit_is_wrong():
    told = [s for s in sentences(FRONT.study(HELD)) if s.result_key == "bump_steer_range"]
    assert [s.severity for s in told] == ["wrong"]
    assert told[0].text == (
        "Bump steer over ±50 mm grows from 0.15° to 0.32°, past its limit of 0.25°."
    )


def test_bump_steer_inside_its_limit_is_plain():
    wider = set_limit(HELD, "front.bump_steer_range", Limit(maximum=radians(1.0), kind="angle"))
    told = [s for s in sentences(FRONT.study(wider)) if s.result_key == "bump_steer_range"]
    assert [s.severity for s in told] == ["plain"]
    assert "inside its limit of 1.00°" in told[0].text


def test_a_joint_near_its_limit_is_told_with_where():
    (text,) = said(SALOON, "upper_ball_swing")
    assert "of bump" in text
    assert "from its limit of 24.0°" in text


def test_a_joint_past_its_limit_binds():
    tight = set_limit(SALOON, "front.upper_ball_swing", Limit(maximum=radians(20.0), kind="angle"))
    told = [s for s in sentences(FRONT.study(tight)) if s.result_key == "upper_ball_swing"]
    assert [s.severity for s in told] == ["wrong"]
    assert "binds" in told[0].text


def test_a_joint_without_a_limit_that_swings_further_is_to_be_tried():
    free = set_limit(SALOON, "front.upper_ball_swing", None)
    lower = Change(
        "x", moves={"front.upper_front": (0, 0, -35.0), "front.upper_rear": (0, 0, -35.0)}
    )
    (text,) = said(only(free, lower), "upper_ball_swing")
    assert "try it on the bench" in text


def test_any_other_limit_that_is_passed_is_named():
    tight = set_limit(SALOON, "front.camber", Limit(radians(-1.0), radians(0.0), "angle"))
    told = [
        s
        for s in sentences(FRONT.study(tight))
        if s.severity == "wrong" and s.result_key == "camber"
    ]
    assert len(told) == 1
    assert "past its limits of −1.00 to 0.00°" in told[0].text


def test_toe_that_is_left_is_to_be_set():
    lower = SALOON.changes[0]
    left = only(SALOON, replace(lower, toe="left", moves={"front.tie_inner": (0.0, 4.0, 0.0)}))
    told = [s for s in sentences(FRONT.study(left)) if s.result_key == "toe"]
    assert [s.severity for s in told] == ["watch"]
    assert "Set it before the car is driven" in told[0].text


def test_toe_that_is_reset_says_by_how_much_the_rods_are_turned():
    moved = only(SALOON, Change("x", moves={"front.tie_inner": (0.0, 4.0, 0.0)}))
    (text,) = said(moved, "toe")
    # the rod's length along Y, all but: 4 mm further out at the inner end, 4 mm shorter
    assert text == "To bring the toe back, each tie rod is made 4.0 mm shorter."


def test_pivots_spread_further_than_the_arm_was_made_for_are_told():
    spread = only(SALOON, Change("x", moves={"front.upper_front": (3.0, 0.0, 0.0)}))
    texts = [s.text for s in sentences(FRONT.study(spread))]
    assert any("upper arm's pivots come 3.0 mm further apart" in text for text in texts)


def test_a_one_piece_arm_cannot_be_stretched():
    # statics by hand: a welded arm is rigid, so its two pivots stay as far apart as it was made
    stretched = only(SALOON, Change("x", moves={"front.upper_rear": (-20.0, 0.0, 0.0)}))
    told = [s for s in sentences(FRONT.study(stretched)) if "of no real part" in s.text]
    assert [s.severity for s in told] == ["wrong"]
    assert "upper arm's pivots come 20 mm further apart" in told[0].text
    assert "of no real part" in FRONT.unreal(FRONT.study(stretched), ".")
    made = only(SALOON, Change("x", parts="made to fit", moves=stretched.changes[0].moves))
    assert FRONT.unreal(FRONT.study(made), ".") == ""


def test_a_link_and_its_strut_rod_are_two_parts():
    moved = only(SALOON, Change("x", moves={"front.lower_front": (20.0, 0.0, 0.0)}))
    assert FRONT.unreal(FRONT.study(moved), ".") == ""
    welded = set_evidence(moved, "front.lower_arm", "one piece")
    assert FRONT.unreal(FRONT.study(welded), ".").startswith("The lower arm's pivots come ")


def test_a_damper_too_short_after_the_change_is_told():
    (text,) = said(HELD, "damper_droop_travel")
    assert text.startswith("The damper is at its full length at 59 mm of rebound, 16 mm before")
    # the same place in the body: 24 mm more of rebound from where the car then stands
    (text,) = said(SALOON, "damper_droop_travel")
    assert text.startswith("The damper is at its full length at 83 mm of rebound, 16 mm before")


def test_a_coil_that_binds_before_the_stop_is_wrong():
    stubby = set_evidence(SALOON, "front.spring.solid_length", 205.0)
    told = [s for s in sentences(FRONT.study(only(stubby))) if s.result_key == "coil_bind_travel"]
    assert [s.severity for s in told] == ["wrong"]


def test_travel_out_of_reach_says_which_points():
    far = set_evidence(SALOON, "front.travel.rebound", 220.0)
    told = [s for s in sentences(FRONT.study(only(far))) if s.result_key == "wheel_travel"]
    assert [s.severity for s in told] == ["wrong"]
    assert re.search(r"are \d+\.\d mm too far apart at −220\.0 mm", told[0].text)


def test_a_centre_outboard_is_to_be_watched_on_the_measured_car_too():
    special = SETUPS["hillclimb_special"]
    bare = only(special)
    assert "meet outboard of the wheel" in said(bare, "swing_arm_length")[0]
    assert "still meet outboard" in said(special, "swing_arm_length")[0]


def test_unlike_sides_are_told_apart():
    (text,) = said(SETUPS["hillclimb_special"], "camber_gain")
    assert "on the left" in text
    assert "on the right" in text


def test_the_car_as_found_is_told_as_a_specialist_would_what_is_near_a_limit_first():
    told = sentences(FRONT.study(only(SALOON)))
    assert told[0].result_key == "upper_ball_swing"
    words = " ".join(s.text for s in told)
    for figure in ("leans in by 0.07° per 25 mm of bump", "0.15°", "80 mm above", "1.10 Hz"):
        assert figure in words
    assert "goes from" not in words
    inches = " ".join(s.text for s in sentences(FRONT.study(only(SETUPS["inch_sedan"])), ","))
    assert not re.search(r"\d\.\d|\bmm\b", inches)
    assert cautions_of([FRONT.study(only(SALOON))]) == []


def test_inches_are_never_mixed_with_mm():
    for setup in (SETUPS["inch_sedan"], SALOON.having(units="in")):
        words = " ".join(s.text for s in sentences(FRONT.study(setup)))
        assert not re.search(r"\bmm\b|N/mm", words)
        assert re.search(r"\bin\b", words)


def test_the_decimal_sign_is_the_users():
    words = " ".join(s.text for s in sentences(FRONT.study(SALOON), ","))
    assert "−0,67°" in words
    assert not re.search(r"\d\.\d", words)


def test_a_spring_that_does_not_fit_the_weight_is_doubted():
    off = set_evidence(SALOON, "front.spring.free_length", 330.0)
    told = [s for s in sentences(FRONT.study(only(off))) if s.result_key == "spring_force"]
    assert [s.severity for s in told] == ["watch"]
    assert "330.0 mm" in told[0].text


def caution_words(setup):
    return " ".join(cautions_of([FRONT.study(setup)]))


def test_cautions_belong_to_the_jobs_that_are_on():
    drilled = caution_words(SALOON)
    assert "Springs store energy" in drilled
    assert "Drilled panels" in drilled
    assert "Torque rubber-bushed bolts" in drilled
    assert "licensed engineer or inspector" in drilled
    shims = caution_words(_just(SALOON, 1))
    assert "Springs store energy" in shims
    assert "Drilled" not in shims
    ends = caution_words(_just(SALOON, 2))
    assert "Steering is a safety part" in ends
    assert "crack-tested" in ends
    springs = caution_words(_just(SALOON, 3))
    assert "Other springs change ride height" in springs
    assert "hoses" not in springs
    rack = caution_words(SETUPS["torsion_coupe"])
    assert "Torsion bars store energy" not in rack
    bars = caution_words(_just(SETUPS["torsion_coupe"], 1))
    assert "Torsion bars store energy" in bars


def _just(setup, index):
    for place in range(len(setup.changes)):
        setup = switch_change(setup, place, place == index)
    return setup


def test_a_change_that_does_nothing_needs_no_caution():
    assert cautions_of([FRONT.study(add_change(only(SALOON), Change("Nothing yet")))]) == []


@every_sample
def test_no_sentence_goes_from_a_figure_to_the_same(name):
    whole = SETUPS[name]
    for change in whole.changes:
        one = only(whole, replace(change, on=True))
        for system in (FRONT, REAR):
            for sentence in sentences(system.study(one)):
                pair = re.search(r"from (\S+) to (\S+?)[,.;:°]*( |$)", sentence.text)
                assert pair is None or pair[1].strip("°") != pair[2].strip("°"), sentence.text


def test_a_front_that_settles_unseen_is_told_without_units_of_another_system():
    upper = Change("x", moves={"front.upper_front": (0.0, 0.0, 0.05)})
    for units in ("mm", "in"):
        (text,) = said(replace(only(SALOON, upper), units=units), "settled_travel")
        assert text.startswith("With the same springs the front sits where it did")
        assert "millimetre" not in text


def test_what_makes_every_figure_unreal_stands_before_what_they_say():
    stretched = only(SALOON, Change("x", moves={"front.upper_front": (20.0, 0.0, 30.0)}))
    said_in_order = weighed_sentences(FRONT.study(stretched))
    assert "of no real part" in by_weight(said_in_order)[0].text
    assert len([each for each, _ in said_in_order if each.severity == "wrong"]) > 1


def test_a_limit_that_one_wheel_passes_names_the_wheel():
    uneven = set_evidence(only(SALOON), "front.camber_right", radians(1.9))
    (text,) = said(set_limit(uneven, "front.camber", Limit(maximum=radians(1.0))), "camber")
    assert " on the right, past" in text
