"""Limits stop a hand that draws a result: where whole cars, solved one by one, come to them."""

from __future__ import annotations

import re
from math import radians

import numpy as np
import pytest
from scipy.optimize import brentq

from app.document.model import Limit, Setup
from app.gestures.target import with_target
from app.judge.drawn import Drawing
from app.judge.drawn_words import stuck_words
from app.systems.front.system import FRONT
from app.systems.limits import limit_checks
from tests.helpers.sought import saloon
from tests.judge.test_drawn import CENTRE, HEIGHT, NO_LOCKS, ROOMS

pytestmark = pytest.mark.gui

CAMBER_GAIN = "front.camber_gain"


def gain_of(setup: Setup) -> float:
    return float(FRONT.study(setup).proposed.rest.values["camber_gain"][0, 0])


def limited(**limits: Limit) -> Drawing:
    named = {f"front.{key}": limit for key, limit in limits.items()}
    return Drawing(*with_target(saloon(rooms=ROOMS).having(limits=named), None), HEIGHT, NO_LOCKS)


@pytest.fixture(scope="module")
def free() -> Drawing:
    return limited()


@pytest.fixture(scope="module")
def walled(free: Drawing) -> Drawing:
    """The camber gain may go half as far as drawing the roll centre by 20 mm makes it go."""
    ends = [gain_of(free.settled([free.start[0] + by]).setup) for by in (0.0, -20.0)]
    gain = 0.5 * sum(ends)
    limit = (
        Limit(gain, None, "angle per length")
        if ends[1] < ends[0]
        else Limit(None, gain, "angle per length")
    )
    return limited(camber_gain=limit)


def test_a_limit_stops_the_hand_where_whole_cars_come_to_it(free: Drawing, walled: Drawing) -> None:
    """scipy's root of the drawn car's own camber gain, each car a study of its own."""
    limit = walled.setup.limits[CAMBER_GAIN]
    end = limit.maximum if limit.minimum is None else limit.minimum
    assert end is not None
    by = brentq(
        lambda by: gain_of(free.settled([free.start[0] + by]).setup) - end, -20.0, 0.0, xtol=1e-3
    )
    drew = walled.settled([walled.start[0] - 20.0])
    assert drew.stuck
    assert drew.values[0] - walled.start[0] == pytest.approx(by, abs=0.05)
    assert all(check.held for check in limit_checks(FRONT.study(drew.setup)))
    assert not walled.settled([walled.start[0] + by + 0.2]).stuck


def test_a_wall_is_at_one_place_whatever_way_the_hand_took(walled: Drawing) -> None:
    start = walled.start[0]
    again = Drawing(walled.setup, walled.index, HEIGHT, NO_LOCKS)
    first = [again.at([start + by]).moves for by in (-3.0, -9.0, -10.5, -12.0, 5.0, -30.0, 0.0)]
    other = [walled.at([start + by]).moves for by in (-30.0, -12.0, -9.0, -3.0, 0.0)]
    assert np.abs(np.subtract(first[5], other[0])).max() < 1e-6
    assert np.abs(np.subtract(first[5], other[1])).max() < 1e-6
    assert first[0] == other[3]
    assert not any(first[-1])


def test_what_stops_it_is_said_with_what_it_would_take(walled: Drawing) -> None:
    words = stuck_words(walled.results, walled.at([walled.start[0] - 20.0]), "mm", ".")
    assert words.startswith("Roll centre height goes no further: camber gain is at its limit of ")
    # "about" until the whole car has been settled there, as another test may have done
    assert re.search(r", which would have to let it be (about )?0\.", words)
    assert words.endswith("seeks another way.")


def test_a_limit_that_is_broken_as_it_stands_is_no_wall(free: Drawing) -> None:
    past = limited(camber=Limit(radians(5.0), None, "angle"))
    value = [past.start[0] - 20.0]
    assert past.at(value) == free.at(value) or past.at(value).moves == free.at(value).moves
    assert not past.at(value).stuck


def test_two_results_stay_where_a_limit_lets_them(free: Drawing) -> None:
    most = {"front.roll_centre_height": Limit(None, free.start[0] + 2.0, "length")}
    made = Drawing(free.setup.having(limits=most), free.index, CENTRE, NO_LOCKS)
    assert not made.at([made.start[0] + 30.0, made.start[1] + 1.0]).stuck
    drew = made.at([made.start[0], made.start[1] + 200.0])
    assert drew.stuck
    assert [wall.result.key for wall in drew.walls] == ["roll_centre_height"]


def test_far_beyond_a_wall_no_figure_is_made_up(walled: Drawing) -> None:
    words = stuck_words(walled.results, walled.at([walled.start[0] - 200.0]), "mm", ".")
    assert "camber gain is at its limit of " in words
    assert "have to let it be" not in words
