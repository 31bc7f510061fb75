"""A limit that is nearer than its figure's band is open, though no probability is known yet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from app.document.model import Limit
from app.systems.answers import value_at_rest
from app.systems.banded import CARS_OF, CarBands, StudyBands
from app.systems.front.system import FRONT
from app.systems.front.words.telling import Telling
from geometry.catalogue.result import by_key
from tests.helpers.front_setups import front_setup


@pytest.mark.parametrize(("margin", "is_open"), [(0.5, True), (2.0, False)])
def test_a_limit_within_the_band_is_open_before_its_chance_is_known(
    margin: float, is_open: bool
) -> None:
    study = FRONT.study(front_setup())
    height = value_at_rest(study.proposed, by_key(study.results)["roll_centre_height"])
    assert height is not None
    limits = {"front.roll_centre_height": Limit(maximum=height + margin)}
    study = replace(study, setup=study.setup.having(limits=limits))
    rest = {"roll_centre_height": np.array([1.0])}
    waiting = replace(study, bands=StudyBands({car: CarBands(rest) for car in CARS_OF}))
    assert Telling(waiting).limit_is_open("roll_centre_height") is is_open
