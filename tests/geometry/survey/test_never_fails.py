"""Whatever is read, the adjustment ends with finite numbers and makes nothing worse."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.survey.adjustment import Distances, adjust, in_reach
from geometry.survey.doubt import chance_of_more, doubtful, hidden_errors, one_more
from geometry.vectors import Array
from tests.helpers.long_cases import examples

COUNT = 5  # points
SIZES = st.sampled_from([0.0, 1e-4, 0.5, 1.5, 30.0, 1e4])  # standard uncertainties [mm]
PLACES = st.sampled_from([-1500.0, -300.0, -0.01, 0.0, 0.01, 12.0, 700.0])


def rows(item: st.SearchStrategy[float], count: int) -> st.SearchStrategy[list[float]]:
    return st.lists(item, min_size=count, max_size=count)


@st.composite
def nets(draw: st.DrawFn) -> tuple[Array, Array, Distances]:
    """Return points, some in one place, and tapes, some twice, misread by up to 25 mm."""
    places = np.array(draw(rows(PLACES, 3 * COUNT))).reshape(COUNT, 3)
    spread = np.array(draw(rows(SIZES, 3 * COUNT))).reshape(COUNT, 3)
    pair = st.lists(st.integers(0, COUNT - 1), min_size=2, max_size=2)
    ends = draw(st.lists(pair, min_size=0, max_size=7))
    count = len(ends)
    sides = draw(st.lists(st.booleans(), min_size=2 * count, max_size=2 * count))
    mirrored = np.array(sides, dtype=bool).reshape(count, 2)
    table = np.array(ends, dtype=int).reshape(count, 2)
    off = np.array(draw(rows(st.floats(-25.0, 25.0), count)), dtype=float)
    deviations = np.array(draw(rows(st.sampled_from([1e-4, 0.25, 5.0]), count)), dtype=float)
    bare = Distances(table, mirrored, np.zeros(count), deviations)
    lengths = np.maximum(bare.between(places) + off, 0.1)
    return places, spread, Distances(table, mirrored, lengths, deviations)


@given(nets())
@settings(max_examples=examples(50, 150), deadline=None)
def test_any_net_is_adjusted(net: tuple[Array, Array, Distances]) -> None:
    places, spread, distances = net
    used = distances.only(in_reach(places, distances))
    adjustment = adjust(places, spread, used)
    assert np.isfinite(adjustment.places).all()
    assert np.isfinite(adjustment.covariance).all()
    assert not (adjustment.places - places)[spread == 0.0].any()
    misses = (used.between(places) - used.lengths) / used.deviations
    assert adjustment.chi_square <= misses @ misses * (1.0 + 1e-9)
    assert (adjustment.adjusted_deviations <= spread * (1.0 + 1e-6) + 1e-9).all()
    assert all(0 <= reading < places.size + len(used.lengths) for reading in doubtful(adjustment))
    assert 0.0 <= chance_of_more(adjustment.chi_square, adjustment.degrees_of_freedom) <= 1.0
    assert (hidden_errors(adjustment) >= 0.0).all()
    told = one_more(adjustment, used, doubtful(adjustment))
    assert np.isfinite(told.deviations).all()
