"""A wheel's curve is that wheel's: on a car of which the sides differ, left and right differ."""

from __future__ import annotations

from math import degrees

import numpy as np
import pytest

from app.systems.curves import curve_of
from geometry.catalogue.front import BY_KEY
from tests.shop.setups import solved

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("side", [0, 1])
@pytest.mark.parametrize("car", ["measured", "proposed"])
def test_a_curve_is_of_the_wheel_asked_for(side: int, car: str) -> None:
    study = solved("one side")["front"]
    sweep = getattr(study, car).travel
    curve = curve_of(getattr(study, car), "travel", BY_KEY["camber"], "mm", side)
    assert curve is not None
    shown = np.isfinite(curve.values)
    assert curve.values[shown] == pytest.approx(degrees(1.0) * sweep.values["camber"][side][shown])


def test_the_sides_of_that_car_differ() -> None:
    left, right = (
        curve_of(solved("one side")["front"].proposed, "travel", BY_KEY["camber"], "mm", side)
        for side in (0, 1)
    )
    assert left is not None
    assert right is not None
    assert float(np.nanmax(np.abs(left.values - right.values))) > 0.05
