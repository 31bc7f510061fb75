"""Adjusted points against a general solver, worked examples, and what random errors demand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import chi2, kstest

from geometry.survey.adjustment import Adjustment, Distances, adjust, in_reach
from geometry.vectors import Array
from tests.geometry.survey.nets import ENDS, PLACES, SPREAD, tapes

RANDOM = np.random.default_rng(11)


def as_read(random: np.random.Generator) -> tuple[Array, Distances]:
    """Return points and tapes read with random errors of their uncertainties."""
    true = tapes()
    lengths = true.lengths + random.normal(0.0, true.deviations)
    return PLACES + random.normal(0.0, 1.0, PLACES.shape) * SPREAD, tapes(lengths)


def test_points_and_their_covariance_agree_with_a_general_solver() -> None:
    """scipy.optimize.least_squares on coordinates and distances, each by its uncertainty."""
    read, distances = as_read(RANDOM)
    ours = adjust(read, SPREAD, distances)
    free = SPREAD.reshape(-1) > 0.0
    spread = SPREAD.reshape(-1)[free]

    def misses(moves: Array) -> Array:
        at = read.reshape(-1).copy()
        at[free] += moves
        places = at.reshape(-1, 3)
        mirror = np.array([1.0, -1.0, 1.0])
        lengths = [
            np.linalg.norm(
                places[a] * (mirror if left else 1.0) - places[b] * (mirror if right else 1.0)
            )
            for (a, b), (left, right) in zip(ENDS, distances.mirrored, strict=True)
        ]
        return np.concatenate(
            [moves / spread, (np.array(lengths) - distances.lengths) / distances.deviations]
        )

    exact = {"jac": "3-point", "xtol": 1e-14, "ftol": 1e-14, "gtol": 1e-14}
    judge = least_squares(misses, np.zeros(free.sum()), **exact)
    moved = (ours.places - read).reshape(-1)
    assert moved[free] == pytest.approx(judge.x, abs=1e-6)
    assert ours.chi_square == pytest.approx(2.0 * judge.cost, rel=1e-9)
    covariance = np.linalg.inv(judge.jac.T @ judge.jac)
    assert ours.covariance[np.ix_(free, free)] == pytest.approx(covariance, abs=1e-5)
    assert not moved[~free].any()


def test_redundancies_add_up_to_the_distances() -> None:
    """Of any least-squares problem the redundancies add up to the degrees of freedom."""
    read, distances = as_read(RANDOM)
    ours = adjust(read, SPREAD, distances)
    assert ours.redundancies.sum() == pytest.approx(len(ENDS), abs=1e-6)
    assert ours.degrees_of_freedom == len(ENDS)


def test_errors_of_readings_shift_the_points_as_their_covariance_says() -> None:
    """The law of propagation of uncertainty, JCGM 100:2008, 5.2: with the adjustment's own slopes.

    One reading off by a tenth of its uncertainty shifts the points by what `factor` says.
    """
    read, distances = as_read(RANDOM)
    ours = adjust(read, SPREAD, distances)
    assert ours.factor @ ours.factor.T == pytest.approx(ours.covariance, abs=1e-9)
    sizes = np.zeros(len(ENDS))
    sizes[4] = 0.1 * distances.deviations[4]
    off = adjust(read, SPREAD, tapes(distances.lengths + sizes))
    shift = (off.places - ours.places).reshape(-1)
    assert shift == pytest.approx(0.1 * ours.factor[:, read.size + 4], abs=1e-4)


def test_three_distances_along_a_line() -> None:
    """A line measured in two parts and as a whole: AB 211.52, BC 220.10, AC 431.71.

    C. D. Ghilani, "Adjustment Computations", the opening example of the least-squares chapter,
    figures from memory: each distance takes a third of the 0.09 that is missing, AB 211.55 and
    BC 220.13. By hand it is the same.
    """
    places = np.array([[0.0, 0.0, 0.0], [211.0, 0.0, 0.0], [431.0, 0.0, 0.0]])
    spread = np.array([[0.0, 0.0, 0.0], [1e4, 0.0, 0.0], [1e4, 0.0, 0.0]])
    line = Distances(
        np.array([[0, 1], [1, 2], [0, 2]]),
        np.zeros((3, 2), dtype=bool),
        np.array([211.52, 220.10, 431.71]),
        np.ones(3),
    )
    ours = adjust(places, spread, line)
    assert np.diff(ours.places[:, 0]) == pytest.approx([211.55, 220.13], abs=1e-4)
    assert ours.residuals[-3:] == pytest.approx([0.03, 0.03, -0.03], abs=1e-4)
    assert ours.redundancies[-3:] == pytest.approx([1 / 3, 1 / 3, 1 / 3], abs=1e-4)


def test_one_point_from_three_known_ones() -> None:
    """A trilateration in the plane, with the sum of squares that a general solver finds."""
    known = np.array([[865.40, 4527.15], [2432.55, 2047.25], [2865.22, 27.15]])
    lengths = np.array([6049.00, 4736.83, 5446.49])

    def misses(at: Array) -> Array:
        return np.linalg.norm(at - known, axis=1) - lengths

    judge = least_squares(misses, [6860.0, 3725.0], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    places = np.zeros((4, 3))
    places[:3, :2], places[3, :2] = known, (6860.0, 3725.0)
    spread = np.zeros((4, 3))
    spread[3, :2] = 1e6
    three = Distances(
        np.array([[0, 3], [1, 3], [2, 3]]), np.zeros((3, 2), dtype=bool), lengths, np.ones(3)
    )
    ours = adjust(places, spread, three)
    assert ours.places[3, :2] == pytest.approx(judge.x, abs=1e-5)
    assert ours.chi_square == pytest.approx(2.0 * judge.cost, rel=1e-6)


@pytest.fixture(scope="module")
def many() -> list[Adjustment]:
    random = np.random.default_rng(5)
    readings = (as_read(random) for _ in range(300))
    return [adjust(read, SPREAD, distances) for read, distances in readings]


def test_adjusted_points_lie_within_their_uncertainty_in_95_of_100_cases(
    many: list[Adjustment],
) -> None:
    free = SPREAD > 0.0
    shares = [
        np.abs(each.places - PLACES)[free] <= 1.96 * each.adjusted_deviations[free] for each in many
    ]
    assert 0.93 < np.mean(shares) < 0.97


def test_sums_of_squares_are_distributed_as_they_must_be(many: list[Adjustment]) -> None:
    sums = [each.chi_square for each in many]
    assert kstest(sums, chi2(len(ENDS)).cdf).pvalue > 0.01


def test_tapes_never_make_a_point_less_sure(many: list[Adjustment]) -> None:
    assert all((each.adjusted_deviations <= SPREAD + 1e-12).all() for each in many[:20])


def test_a_mirrored_side_moves_with_the_left() -> None:
    """A tape across the car from a point to its own mirror ties its y alone, with a half of it."""
    across = Distances(
        np.array([[0, 0]]), np.array([[False, True]]), np.array([1204.0]), np.array([1e-6])
    )
    ours = adjust(PLACES[:1] - [[0.0, 20.0, 0.0]], np.ones((1, 3)), across)
    assert ours.places[0] == pytest.approx([0.0, 602.0, 560.0], abs=1e-9)
    assert ours.adjusted_deviations[0] == pytest.approx([1.0, 0.0, 1.0], abs=1e-6)


def test_distances_out_of_reach_are_told() -> None:
    true = tapes()
    lengths = true.lengths.copy()
    lengths[1:3] += (19.9, 20.1)
    assert [*np.flatnonzero(~in_reach(PLACES, tapes(lengths)))] == [2]
    nowhere = Distances(np.array([[0, 0]]), np.array([[False, False]]), np.ones(1), np.ones(1))
    assert not in_reach(PLACES, nowhere).any()


@pytest.mark.parametrize("length", [0.5, 2.0, 15.0, 22.0])
def test_points_nearer_together_than_they_are_sure_of_are_adjusted_too(length: float) -> None:
    """The conditions are far from linear there: the rounds must still come to a least sum."""
    near = Distances(
        np.array([[0, 1]]), np.array([[False, False]]), np.array([length]), np.array([0.1])
    )
    read, spread = np.array([[0.0, 0.0, 0.0], [3.0, 1.0, 0.5]]), np.full((2, 3), 2.0)
    ours = adjust(read, spread, near)
    assert np.isfinite(ours.covariance).all()
    gap = np.linalg.norm(read[1]) - length  # both ends and the tape share the gap by variances
    assert ours.chi_square == pytest.approx(gap**2 / (4.0 + 4.0 + 0.01), rel=1e-6)


def test_exact_points_leave_all_of_a_gap_to_the_tape() -> None:
    off = tapes(tapes().lengths + 1.5)
    ours = adjust(PLACES, np.zeros((8, 3)), off)
    assert ours.residuals[24:] == pytest.approx(np.full(len(ENDS), -1.5))
    assert ours.redundancies[24:] == pytest.approx(np.ones(len(ENDS)))
    assert np.isnan(ours.standardised[:24]).all()


def test_one_tape_read_twice_far_better_than_the_points_is_their_mean() -> None:
    """So much better that rounding hides it: nothing singular may come of that."""
    twice = Distances(
        np.array([[0, 1], [0, 1]]),
        np.zeros((2, 2), dtype=bool),
        np.array([345.0, 345.2]),
        np.full(2, 1e-4),
    )
    ours = adjust(PLACES[:2], np.full((2, 3), 1e6), twice)
    assert ours.distances.between(ours.places) == pytest.approx([345.1, 345.1], abs=1e-4)
