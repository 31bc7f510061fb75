"""Gauges' readings worked into angles and places, against hand figures, a library, properties."""

from __future__ import annotations

from math import degrees, radians

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from geometry.readings import angle_at_wall, angle_over, level_by, spread, toe_between

RANDOM = np.random.default_rng(11)


def test_toe_between_by_hand() -> None:
    """2 mm of total toe over 600 mm: by sines 0.09549 degrees a wheel (by hand calculator)."""
    assert degrees(toe_between(1372.0, 1374.0, 600.0)) == pytest.approx(0.0954929, abs=2e-6)
    assert toe_between(1374.0, 1372.0, 600.0) == -toe_between(1372.0, 1374.0, 600.0)


def test_toe_between_reads_back_two_turned_wheels() -> None:
    """Marks on two discs turned by a library, their widths taken between them."""
    toe, over, half = radians(0.8), 620.0, 690.0
    marks = np.array([[over / 2, 0.0, 0.0], [-over / 2, 0.0, 0.0]])
    left = Rotation.from_euler("z", -toe).apply(marks) + np.array([0.0, half, 0.0])
    widths = 2.0 * left[:, 1]
    assert toe_between(widths[0], widths[1], over) == pytest.approx(toe, abs=1e-12)


def test_angles_of_a_rod_and_of_a_beam() -> None:
    """A rod's end stands off by its sine, a beam's spot by its tangent."""
    angle = radians(1.25)
    assert angle_over(600.0 * np.sin(angle), 600.0) == pytest.approx(angle, abs=1e-12)
    direction = Rotation.from_euler("z", angle).apply([1.0, 0.0, 0.0])
    spot = direction * (4000.0 / direction[0])
    assert angle_at_wall(spot[1], 4000.0) == pytest.approx(angle, abs=1e-12)


def test_spread_is_that_of_many_drawn_readings() -> None:
    """A drawing of 200,000 sets of readings as judge, for a figure that isn't linear."""
    read, within = np.array([1372.0, 1376.0, 610.0]), np.array([1.0, 1.0, 2.0])

    def work(r: np.ndarray) -> np.ndarray:
        return np.array([toe_between(r[0], r[1], r[2])])

    drawn = read + RANDOM.normal(size=(200_000, 3)) * within / 2.0
    toes = np.arcsin((drawn[:, 1] - drawn[:, 0]) / (2.0 * drawn[:, 2]))
    assert spread(work, read, within)[0] == pytest.approx(2.0 * toes.std(), rel=0.01)
    assert spread(work, read, np.zeros(3))[0] == 0.0


@pytest.mark.parametrize("turn", [(1.5, -2.0), (0.0, 0.0), (-4.0, 3.0)])
def test_a_tilted_car_is_laid_back_onto_its_floor(turn: tuple[float, float]) -> None:
    """A library tilts points and pads; three pads alone lay all of them back."""
    tilt = Rotation.from_euler("xy", turn, degrees=True)
    pads = np.array([[600.0, 620.0, 0.0], [500.0, -700.0, 0.0], [-2500.0, 30.0, 0.0]])
    points = RANDOM.uniform([-300, -700, 100], [400, 700, 700], (9, 3))
    lift = np.array([0.0, 0.0, 37.0])
    laid = level_by(tilt.inv().apply(pads) - lift, np.zeros(3))
    assert laid is not None
    back = laid.places(tilt.inv().apply(points) - lift)
    assert back[:, 2] == pytest.approx(points[:, 2], abs=1e-9)
    before, after = (np.linalg.norm(p[:, None] - p[None], axis=2) for p in (points, back))
    assert after == pytest.approx(before, abs=1e-9)  # a turn, nothing stretched


def test_a_raked_frame_gives_heights_over_the_floor() -> None:
    """A frame 2 degrees nose down: three places on its datum, 250 mm and so on over the floor."""
    rake = Rotation.from_euler("y", 2.0, degrees=True)
    own = np.array([[300.0, 350.0, 0.0], [300.0, -350.0, 0.0], [-1900.0, 350.0, 0.0]])
    over_floor = rake.apply(own) + np.array([0.0, 0.0, 260.0])
    point = np.array([[-110.0, 380.0, 320.0]])
    laid = level_by(own, over_floor[:, 2])
    assert laid is not None
    place = laid.places(point)[0]
    assert place == pytest.approx(rake.apply(point)[0] + [0.0, 0.0, 260.0], abs=1e-9)
    assert laid.slopes[0] == pytest.approx(np.sin(np.radians(2.0)), abs=1e-12)


def test_the_kept_point_keeps_its_place_along_and_across() -> None:
    pads = np.array([[0.0, 600.0, 10.0], [0.0, -600.0, -4.0], [-2500.0, 0.0, 30.0]])
    wheel = np.array([0.0, 680.0, 305.0])
    laid = level_by(pads, np.zeros(3))
    assert laid is not None
    assert laid.places([wheel], kept=wheel)[0][:2] == pytest.approx(wheel[:2], abs=1e-9)
    assert laid.places(pads, kept=wheel)[:, 2] == pytest.approx(0.0, abs=1e-9)


def test_pads_in_a_line_or_on_a_slope_are_no_floor() -> None:
    line = np.array([[0.0, 0.0, 0.0], [500.0, 500.0, 0.0], [1000.0, 1000.0, 1.0]])
    assert level_by(line, np.zeros(3)) is None
    steep = np.array([[0.0, 600.0, 0.0], [0.0, -600.0, 0.0], [-1000.0, 0.0, 900.0]])
    assert level_by(steep, np.zeros(3)) is None
    impossible = np.array([[0.0, 600.0, 0.0], [0.0, -600.0, 0.0], [-1000.0, 0.0, 0.0]])
    assert level_by(impossible, np.array([0.0, 0.0, 1200.0])) is None
