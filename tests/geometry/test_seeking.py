"""The search for the least misses, on straight-line conditions that linear algebra solves."""

from __future__ import annotations

import numpy as np
import pytest

from geometry.seeking import Problem, best_of_model, model_at

SLOPES = np.array([[368.98, 13.55], [-55.51, -247.44], [-108.63, -16.95], [-350.71, 0.66]])
VALUES = np.array([95.2032, 0.9278, -75.1558, -0.1986])  # three wants, then a wall


@pytest.mark.parametrize("size", [1.0, 30.0, 1000.0])
def test_wants_that_are_missed_by_much_are_brought_to_the_wall(size: float) -> None:
    """Judge: the least squares on the wall itself, by the multipliers of Lagrange.

    Wants as of a car at 100 times what counts as met, a wall a fifth of that away.
    """
    wants = np.array([1.0, 1.0, 1.0, 0.0]) > 0.0
    slopes, values = SLOPES.copy(), VALUES.copy()
    values[:3] *= size
    wall = np.array([0.0, 0.0, 0.0, 1.0]) > 0.0
    aims = np.where(wall, -np.inf, 0.0)
    problem = Problem(
        np.full(2, -100.0),
        np.full(2, 100.0),
        np.ones(2),
        aims,
        np.zeros(4),
        np.ones(4),
        wall,
        lambda places: values + places @ slopes.T,
    )
    model = model_at(problem, np.zeros(2))
    assert model is not None
    own, edge = slopes[wants], slopes[3]
    system = np.block([[2.0 * own.T @ own, edge[:, None]], [edge[None, :], np.zeros((1, 1))]])
    judged = np.linalg.solve(system, [*(-2.0 * own.T @ values[wants]), -values[3]])
    assert judged[2] > 0.0  # the wall holds it
    assert best_of_model(problem, model) == pytest.approx(judged[:2], abs=2e-5)
