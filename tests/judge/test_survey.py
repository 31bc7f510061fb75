"""How a car's coordinates and tapes agree: rows, doubts, what one more tape would bring."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import dist

import numpy as np
import pytest

from app.document.address import left_of
from app.document.adjusting import adjusted, adjusted_evidence
from app.document.edits import move_points, set_tapes
from app.document.model import Change, Setup, Tape, Vec
from app.document.moves import measured_place, proposed_place
from app.document.plausible import change_questions
from app.judge.survey import gain_of, survey_of
from app.judge.survey_words import adjusted_words, gain_words, hidden_words, survey_sentences
from tests.document.examples import COIL
from tests.helpers.reading import parse

PAIRS = [
    ("front.upper_ball", "front.lower_ball"),
    ("front.upper_front", "front.upper_rear"),
    ("front.upper_front", "front.upper_ball"),
    ("front.upper_rear", "front.upper_ball"),
    ("front.lower_rear", "front.lower_ball"),
    ("front.upper_front", "front.right.upper_front"),
    ("front.lower_ball", "front.right.upper_ball"),
    ("mark.A", "front.upper_ball"),
]
CAR = parse(COIL).having(marks={"A": (500.0, 300.0, 0.0)})


def place(setup: Setup, end: str) -> Vec:
    if end.startswith("mark."):
        return setup.marks[end.removeprefix("mark.")]
    return measured_place(setup, end)


def taped(
    setup: Setup = CAR, pairs: Sequence[tuple[str, str]] = PAIRS, within: float = 0.5
) -> Setup:
    """Return a car with tapes that agree exactly with its points."""
    tapes = [Tape(pair, dist(*(place(setup, end) for end in pair)), within) for pair in pairs]
    return set_tapes(setup, tapes)


def misread(setup: Setup, number: int, by: float) -> Setup:
    """Return the same with one tape, counted from 1, misread."""
    tapes = list(setup.tapes)
    tapes[number - 1] = replace(tapes[number - 1], length=tapes[number - 1].length + by)
    return set_tapes(setup, tapes)


def test_tapes_that_agree_leave_every_point_where_it_was_read() -> None:
    setup = taped()
    assert all(
        value == pytest.approx(setup.readings[key], abs=1e-9)
        for key, value in setup.evidence.items()
        if isinstance(value, tuple)
        if isinstance(value[0], float)
    )
    survey = survey_of(setup)
    assert survey.doubtful == ()
    assert survey.probability == pytest.approx(1.0)
    assert survey.degrees_of_freedom == len(PAIRS)


def test_a_car_is_studied_at_its_adjusted_points_and_saved_as_read() -> None:
    setup = misread(taped(), 1, 2.0)
    assert setup.readings == CAR.readings
    moved = dist(place(setup, "front.upper_ball"), place(setup, "front.lower_ball"))
    assert moved == pytest.approx(adjusted(setup).adjustment.distances.lengths[0], abs=1.0)
    assert place(setup, "front.upper_ball") != CAR.readings["front.upper_ball"]


def test_a_moved_point_is_the_adjusted_one_and_its_move() -> None:
    setup = misread(taped(), 1, 2.0)
    moved = move_points(setup, 0, ("front.upper_ball",), (0.0, 0.0, 5.0))
    before, after = (proposed_place(each, "front.upper_ball") for each in (setup, moved))
    assert after[2] - before[2] == pytest.approx(5.0)
    assert adjusted(moved) is adjusted(setup)  # a drag adjusts nothing anew


def test_a_misread_tape_is_named_with_its_size() -> None:
    setup = misread(taped(), 4, 8.0)
    survey = survey_of(setup)
    assert "tape 4" in survey.doubtful
    assert survey.tapes[3].is_doubtful
    assert all(f"tape {n}" not in survey.doubtful for n in (1, 2, 3, 5, 6, 7, 8))
    off = next(doubt.off for doubt in survey.doubts if doubt.tape == 4)
    assert off == pytest.approx(8.0, abs=0.3)
    words = " ".join(survey_sentences(setup, survey))
    assert "Look again: tape 4 (Upper arm, rear pivot – upper ball joint) reads 8" in words
    assert setup.evidence != setup.readings  # it isn't dropped


def test_what_cant_be_told_apart_is_named_with_the_tape_that_tells() -> None:
    """By trial: that tape, read as it should be, tells the two that were doubtful apart."""
    setup = misread(taped(), 4, 8.0)
    survey = survey_of(setup)
    assert len(survey.doubtful) > 1
    assert survey.telling is not None
    ends = survey.telling.between
    length = dist(*(place(CAR, end) for end in ends))
    told = set_tapes(setup, (*setup.tapes, Tape(ends, length, 0.5)))
    assert survey_of(told).doubtful[0] == "tape 4"
    assert not {*survey_of(told).doubtful[1:]} & {*survey.doubtful}
    assert any("would tell which" in words for words in survey_sentences(setup, survey))


def test_a_slipped_decimal_is_named_and_not_adjusted() -> None:
    setup = misread(taped(), 2, 90.0)
    survey = survey_of(setup)
    assert survey.doubtful == ("tape 2",)
    assert survey.tapes[1].is_far
    assert survey.tapes[1].residual == pytest.approx(-90.0, abs=1e-6)
    assert survey.degrees_of_freedom == len(PAIRS) - 1
    assert "was a digit or the wrong point read?" in survey_sentences(setup, survey)[0]
    assert adjusted_words(setup) == "adjusted with 7 tapes"


def test_questions_about_a_change_are_those_of_the_adjusted_car() -> None:
    """What a change moves isn't adjusted once more to the tapes of the car as found."""
    x, y, z = place(CAR, "front.lower_ball")
    outboard = Change("further out", sets={"front.lower_ball": (x, y + 60.0, z)})
    setup = taped().having(changes=(outboard,))
    bare = setup.having(evidence=setup.evidence, tapes=())
    assert change_questions(setup) == change_questions(bare)
    assert "through the wheel" in change_questions(setup)[0].text


def test_a_mark_that_isnt_exact_is_adjusted_too() -> None:
    setup = misread(taped().having(within={"mark.A": 1.0}), 8, 3.0)
    rows = {row.key: row for row in survey_of(setup).points}
    assert rows["mark.A"].residual != (0.0, 0.0, 0.0)
    assert "mark.A" not in {row.key for row in survey_of(misread(taped(), 8, 3.0)).points}


def test_right_hand_points_mirror_the_adjusted_left() -> None:
    setup = misread(taped(), 7, 3.0)
    left, right = place(setup, "front.upper_ball"), place(setup, "front.right.upper_ball")
    assert right == (left[0], -left[1], left[2])


def test_a_point_that_nothing_says_the_uncertainty_of_leaves_its_tape_out() -> None:
    bare = {key: v for key, v in CAR.readings.items() if key != "sheet.measured_within"}
    setup = set_tapes(CAR.having(evidence=bare, within={}), taped().tapes)
    survey = survey_of(setup)
    assert survey.degrees_of_freedom == 0
    assert {row.adjusted for row in survey.tapes} == {None}
    assert survey.doubtful == ()
    assert adjusted_evidence(setup) == setup.readings


def test_what_one_more_tape_would_bring_is_what_it_brought() -> None:
    setup = taped(pairs=PAIRS[:5])
    gain = gain_of(setup, PAIRS[5], 0.5)
    after = survey_of(taped(pairs=PAIRS[:6]))
    assert gain.hidden == pytest.approx(after.tapes[5].hidden or 0.0, abs=1e-6)
    rows = {row.key: row for row in after.points}
    key, axis, before, surer = gain.points[0]
    assert key == "front.upper_front"
    assert surer < before
    assert surer == pytest.approx((rows[key].within or ())[axis])
    rows_before = {row.key: row for row in survey_of(setup).points}
    assert before == pytest.approx((rows_before[key].within or ())[axis])
    assert "It should read" in gain_words(setup, gain)
    surer_words = f"Surer with it: upper arm, front pivot across ± {surer:.1f} mm (now {before:.1f}"
    assert surer_words in gain_words(setup, gain)  # the tape goes across the car


def test_a_tape_says_what_it_could_hide() -> None:
    setup = taped()
    row = survey_of(setup).tapes[0]
    assert row.hidden is not None
    assert hidden_words(setup, row).startswith("misread by less than ")
    assert hidden_words(setup.having(units="in"), row).endswith(" in: not seen")


def test_adjusted_points_of_cars_lie_within_their_bands_in_95_of_100_cases() -> None:
    """Cars read with random errors of what they say they are within, then adjusted."""
    random, shares = np.random.default_rng(17), []
    true = taped()
    ends = {left_of(end) for pair in PAIRS for end in pair} - {"mark.A"}
    for _ in range(150):
        off = {}
        for key in ends:
            off[key] = tuple(np.array(CAR.readings[key]) + random.normal(0.0, 0.75, 3))
        tapes = [
            replace(tape, length=tape.length + float(random.normal(0.0, 0.25)))
            for tape in true.tapes
        ]
        car = CAR.having(evidence={**CAR.readings, **off}, within=dict.fromkeys(ends, 1.5))
        for row in survey_of(set_tapes(car, tapes)).points:
            if row.key in ends and row.within:
                misses = np.array(row.adjusted) - np.array(CAR.readings[row.key])
                shares.append(np.abs(misses) <= np.array(row.within))
    assert 0.93 < np.mean(shares) < 0.975  # k = 2 is 95.4 %
