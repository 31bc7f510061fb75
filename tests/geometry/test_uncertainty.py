"""Uncertainty carried on from readings, against the guide's own example and general packages."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm, qmc

from geometry.uncertainty import (
    Held,
    drill_within,
    expanded,
    hypercube,
    kept_probability,
    shares_of_variance,
    slopes,
    spread_of,
)

# JCGM 100:2008, annex H.2: voltage [V], current [A] and phase [rad] read at the same time (table
# H.2), and resistance, reactance and impedance [Ω] from them (table H.3)
READ = np.array([4.9990, 19.6610e-3, 1.04446])
DEVIATIONS = np.array([0.0032, 0.0095e-3, 0.00075])
CORRELATED = np.array([[1.0, -0.36, 0.86], [-0.36, 1.0, -0.65], [0.86, -0.65, 1.0]])
VALUES = np.array([127.732, 219.847, 254.260])
UNCERTAIN = np.array([0.071, 0.295, 0.236])


def impedance(read: np.ndarray) -> np.ndarray:
    voltage, current, phase = read
    size = voltage / current
    return np.array([size * np.cos(phase), size * np.sin(phase), size])


def test_the_guides_correlated_example() -> None:
    steps = DEVIATIONS / 4.0
    above, below = (
        np.array([impedance(READ + way * step) for step in np.diag(steps)]) for way in (1.0, -1.0)
    )
    factor = np.linalg.cholesky(CORRELATED) * DEVIATIONS[:, None]
    within = expanded(slopes(above, below, steps), factor)
    assert impedance(READ) == pytest.approx(VALUES, abs=0.0005)
    # the table's figures are of five sets of readings; the printed ones are rounded
    assert within / 2.0 == pytest.approx(UNCERTAIN, abs=0.002)


def test_what_readings_add_to_a_variance_adds_up_to_it() -> None:
    random = np.random.default_rng(3)
    sloping, factor = random.normal(size=(4, 2, 5)), random.normal(size=(4, 6))
    covariance = factor @ factor.T
    u = np.sqrt(np.einsum("pij,pq,qij->ij", sloping, covariance, sloping))
    assert expanded(sloping, factor) == pytest.approx(2.0 * u)
    assert shares_of_variance(sloping, factor).sum(axis=0) == pytest.approx(u**2)


def test_sampled_readings_are_as_even_as_a_general_latin_hypercube() -> None:
    random = np.random.default_rng(1)
    orders = np.array([random.permutation(400) for _ in range(3)]).T
    ours = norm.cdf(hypercube(orders))
    judged = qmc.LatinHypercube(3, scramble=False, rng=2).random(400)
    for column in range(3):
        assert np.sort(ours[:, column]) == pytest.approx(np.sort(judged[:, column]))
    assert qmc.discrepancy(ours) == pytest.approx(qmc.discrepancy(judged), abs=2e-3)


def test_samples_through_infinity_have_no_ends_and_others_have_the_normal_ones() -> None:
    random = np.random.default_rng(1)
    line = hypercube(random.permutation(2000)[:, None])[:, 0]
    plain, through = spread_of(3.0 + line), spread_of(1.0 / (0.5 + line))
    assert plain.low == pytest.approx(norm.ppf(0.025, 3.0), abs=0.01)
    assert plain.within == pytest.approx(1.96, abs=0.01)
    assert np.isnan([through.low, through.high]).all()
    assert np.isfinite(spread_of(0.5 + line).low)  # through zero is no way to infinity


@pytest.mark.parametrize("least", [None, -0.5])
@pytest.mark.parametrize("most", [None, 1.5])
def test_probability_of_a_limit(least: float | None, most: float | None) -> None:
    ends = [-np.inf if least is None else least, np.inf if most is None else most]
    low, high = norm.cdf(ends, 0.2, 0.4)
    assert kept_probability(0.2, 0.8, least, most) == pytest.approx(high - low)
    assert kept_probability(2.0, 0.0, least, most) == float(most is None)


def test_holes_may_be_off_until_a_limit_is_kept_with_95_in_100() -> None:
    results = [Held(1.0, 0.6, None, 2.0, 0.5), Held(1.0, 0.1, -9.0, None, 0.01)]
    drilled = drill_within(results)
    assert drilled is not None
    deviation = np.hypot(0.3, drilled / 2.0 * 0.5)
    assert norm.cdf(2.0, 1.0, deviation) == pytest.approx(0.95, abs=1e-4)
    assert drill_within([Held(1.0, 2.0, None, 2.0, 0.5)]) == 0.0
    assert drill_within([Held(1.0, 0.1, None, 2.0, 0.0)]) is None
    assert drill_within([]) is None
