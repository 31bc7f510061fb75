"""Which reading is doubtful, what could be hidden, and what one more tape brings."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chi2, norm

from geometry.survey.adjustment import Distances, adjust
from geometry.survey.doubt import (
    DETECTED,
    DOUBTFUL,
    chance_of_more,
    correlations,
    doubtful,
    hidden_errors,
    one_more,
)
from tests.geometry.survey.nets import ENDS, MIRRORED, PLACES, SPREAD, tapes

FIRST_TAPE = PLACES.size


@pytest.mark.parametrize("count", [1, 2, 3, 7, 8, 30])
@pytest.mark.parametrize("value", [0.0, 0.3, 4.0, 25.0, 90.0, 3000.0])
def test_chance_of_a_sum_of_squares(count: int, value: float) -> None:
    assert chance_of_more(value, count) == pytest.approx(chi2.sf(value, count), abs=1e-13)


def test_bounds_are_those_of_the_normal_distribution() -> None:
    """Baarda's: one sound reading in a thousand is doubted, 80 of 100 wrong ones are noticed."""
    assert pytest.approx(norm.isf(0.0005), abs=0.005) == DOUBTFUL
    assert pytest.approx(norm.isf(0.0005) + norm.ppf(0.8), abs=0.005) == DETECTED


def test_a_misread_tape_is_named_and_nothing_else() -> None:
    wrong = tapes().lengths.copy()
    wrong[7] += 6.0
    adjustment = adjust(PLACES, SPREAD, tapes(wrong))
    assert doubtful(adjustment)[0] == FIRST_TAPE + 7


def test_all_that_agrees_leaves_nothing_to_doubt() -> None:
    assert doubtful(adjust(PLACES, SPREAD, tapes())) == ()


def test_one_tape_alone_cant_tell_itself_from_its_ends() -> None:
    """One condition: every reading in it has the same test."""
    alone = Distances(ENDS[:1], MIRRORED[:1], tapes().lengths[:1] + 12.0, np.array([0.25]))
    adjustment = adjust(PLACES[:2], SPREAD[:2], alone)
    assert set(doubtful(adjustment)) >= {2, 5, 6}
    assert np.abs(correlations(adjustment)[6, [2, 5]]) == pytest.approx([1.0, 1.0])


def test_an_error_of_the_hidden_size_is_noticed_four_times_in_five() -> None:
    """By trial: tape 8 misread by its hidden error, all else read with random errors."""
    hidden = hidden_errors(adjust(PLACES, SPREAD, tapes()))[FIRST_TAPE + 7]
    random, noticed = np.random.default_rng(3), []
    for _ in range(200):
        lengths = tapes().lengths + random.normal(0.0, 0.25, len(ENDS))
        lengths[7] += hidden
        read = PLACES + random.normal(0.0, 1.0, PLACES.shape) * SPREAD
        adjustment = adjust(read, SPREAD, tapes(lengths))
        noticed.append(abs(adjustment.standardised[FIRST_TAPE + 7]) > DOUBTFUL)
    assert 0.74 < np.mean(noticed) < 0.86  # two standard errors of 200 trials


def test_what_one_more_tape_brings_is_what_it_brought() -> None:
    before = tapes().only(np.arange(len(ENDS)) < 9)
    planned = tapes().only(np.arange(len(ENDS)) >= 9)
    told = one_more(adjust(PLACES, SPREAD, before), planned)
    for place in range(2):
        taken = tapes().only(np.isin(np.arange(len(ENDS)), [*range(9), 9 + place]))
        after = adjust(PLACES, SPREAD, taken)
        assert told.deviations[place] == pytest.approx(after.adjusted_deviations, abs=1e-9)
        assert told.redundancies[place] == pytest.approx(after.redundancies[-1], abs=1e-9)
        assert told.hidden[place] == pytest.approx(hidden_errors(after)[-1], abs=1e-6)


def test_what_would_still_go_together_is_what_goes_together_then() -> None:
    before, suspects = tapes().only(np.arange(len(ENDS)) < 2), (24, 2, 5)
    planned = tapes().only(np.array([7]))
    told = one_more(adjust(PLACES, SPREAD, before), planned, suspects)
    after = correlations(adjust(PLACES, SPREAD, tapes().only(np.array([0, 1, 7]))))
    assert told.alike[0] == pytest.approx(np.abs(after[24, [2, 5]]).max(), abs=1e-9)
