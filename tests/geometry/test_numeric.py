"""Small numbers' work that other rooms share, against numpy's own."""

from __future__ import annotations

import numpy as np
import pytest

from geometry.numeric import first_of_each


@pytest.mark.parametrize(
    "values", [[], [2.0], [3.0, -1.0, 3.0, 0.0, -1.0, 7.5], [0, 0, 1, 1, 1, 4], [5, 4, 4, 1]]
)
def test_the_first_of_each_value_is_the_one_that_numpy_names(values: list[float]) -> None:
    numbers = np.array(values)
    expected, places = np.unique(numbers, return_index=True)
    assert first_of_each(numbers).tolist() == places.tolist()
    assert numbers[first_of_each(numbers)].tolist() == expected.tolist()
