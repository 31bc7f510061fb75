"""Distances of envelopes: judged by a collision library, a minimiser, and by hand."""

from __future__ import annotations

from itertools import combinations_with_replacement

import numpy as np
import pytest

from geometry.clearance.nearest import nearest
from geometry.clearance.shapes import box, box_halves, capsule, cylinder, inner
from tests.geometry.clearance.judges import (
    KINDS,
    any_turn,
    invented,
    library_distance,
    minimised_distance,
    random_shapes,
    turned,
)

PAIRS = list(combinations_with_replacement(KINDS, 2))


def rows(*points: tuple[float, float, float]) -> np.ndarray:
    return np.array(points, dtype=float)


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_distances_are_those_of_a_collision_library(one: str, other: str) -> None:
    """Its own search stops at about a millionth of the size; where it says overlap, so do we."""
    first, second = random_shapes(one, 60, 1), random_shapes(other, 60, 2)
    found = nearest(first, second)
    judged = np.array([library_distance(first, second, pose) for pose in range(60)])
    is_apart = judged > 0.0
    assert 10 < is_apart.sum() < 60  # both are tried
    assert found.gap[is_apart] == pytest.approx(judged[is_apart], abs=2e-3)
    assert (found.gap[~is_apart] < 2e-3).all()


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_distances_are_the_least_that_a_minimiser_finds(one: str, other: str) -> None:
    first, second = random_shapes(one, 6, 5), random_shapes(other, 6, 6)
    found = nearest(first, second)
    for pose in np.flatnonzero(found.gap > 0.0):
        assert found.gap[pose] == pytest.approx(
            minimised_distance(first, second, int(pose)), abs=1e-3
        )


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_a_rigid_motion_alters_no_distance(one: str, other: str) -> None:
    first, second = random_shapes(one, 40, 7), random_shapes(other, 40, 8)
    rotation, shift = any_turn(4), np.array([900.0, -300.0, 120.0])
    before = nearest(first, second)
    moved = nearest(turned(first, rotation, shift), turned(second, rotation, shift))
    assert moved.gap == pytest.approx(before.gap, abs=1e-4)
    assert nearest(second, first).gap == pytest.approx(before.gap, abs=1e-4)


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_the_nearest_points_are_as_far_apart_as_the_gap_and_lie_on_the_shapes(
    one: str, other: str
) -> None:
    first, second = random_shapes(one, 60, 9), random_shapes(other, 60, 10)
    found = nearest(first, second)
    apart = found.on_second - found.on_first
    assert np.sqrt(inner(apart, apart)) == pytest.approx(found.gap, abs=1e-6)
    for shape, points in ((first, found.on_first), (second, found.on_second)):
        dot = capsule(points, points, 0.0)  # a point
        assert nearest(dot, shape).gap == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize(
    ("first", "second", "gap"),
    [
        # parallel, end to end, crossing, through each other, without length
        (((0, 0, 0), (100, 0, 0)), ((20, 50, 0), (80, 50, 0)), 50.0),
        (((0, 0, 0), (100, 0, 0)), ((150, 0, 0), (250, 0, 0)), 50.0),
        (((0, 0, 0), (100, 0, 0)), ((50, -50, 30), (50, 50, 30)), 30.0),
        (((0, 0, 0), (100, 0, 0)), ((50, -50, 0), (50, 50, 0)), 0.0),
        (((0, 0, 0), (0, 0, 0)), ((3, 4, 0), (3, 4, 0)), 5.0),
        (((0, 0, 0), (0, 0, 0)), ((-10, 5, 0), (10, 5, 0)), 5.0),
        (((0, 0, 0), (100, 0, 0)), ((0, 0, 0), (100, 0, 0)), 0.0),
    ],
)
def test_lines_that_are_parallel_crossing_or_points(first, second, gap) -> None:  # type: ignore[no-untyped-def]
    lines = [capsule(*(rows(end) for end in ends), 0.0) for ends in (first, second)]
    assert nearest(*lines).gap[0] == pytest.approx(gap, abs=1e-9)
    rods = [capsule(line.start, line.end, 2.0) for line in lines]
    assert nearest(*rods).gap[0] == pytest.approx(max(gap - 4.0, 0.0), abs=1e-6)


def test_a_wheel_beside_a_panel_by_hand() -> None:
    """A disc of 300 mm radius and 150 mm width, its flat side 40 mm from a panel 2 mm thick."""
    wheel = cylinder(rows((0, 600, 300)), rows((0, 750, 300)), 300.0)
    ends = rows((-400, 559, 300)), rows((400, 559, 300))
    panel = box(*ends, *box_halves(*ends, 2.0, 500.0))
    assert nearest(wheel, panel).gap[0] == pytest.approx(40.0, abs=1e-4)
    # turned by 5° about the upright its edge comes nearer: 75 - 75 cos 5° - 300 sin 5°
    turn = np.radians(5.0)
    axis = 75.0 * np.array([np.sin(turn), np.cos(turn), 0.0])
    middle = np.array([0.0, 675.0, 300.0])
    wheel = cylinder((middle - axis)[None], (middle + axis)[None], 300.0)
    wanted = 675.0 - 560.0 - 75.0 * np.cos(turn) - 300.0 * np.sin(turn)
    assert nearest(wheel, panel).gap[0] == pytest.approx(wanted, abs=1e-4)


def test_a_rim_that_pokes_through_a_thin_panel_touches_it() -> None:
    wheel = cylinder(rows((0, 600, 300)), rows((0, 750, 300)), 300.0)
    ends = rows((-400, 675, 590)), rows((400, 675, 590))
    panel = box(*ends, *box_halves(*ends, 500.0, 1.0))
    assert nearest(wheel, panel).gap[0] == 0.0


@pytest.mark.parametrize("kind", ["cylinder", "box"])
def test_one_inside_the_other_touches(kind: str) -> None:
    outer = invented(kind, np.array([[[0, -300, 0]], [[0, 300, 0]]], dtype=float), (300.0, 300.0))
    rod = capsule(rows((-10, -20, 5)), rows((10, 20, 5)), 3.0)
    assert nearest(outer, rod).gap[0] == 0.0


def test_the_least_of_a_run_is_found_though_others_are_given_up() -> None:
    first, second = random_shapes("cylinder", 80, 21), random_shapes("box", 80, 22)
    runs = np.arange(80) % 2
    every, least = nearest(first, second), nearest(first, second, runs)
    assert (least.gap >= every.gap - 1e-4).all()
    for run in (0, 1):
        assert least.gap[runs == run].min() == pytest.approx(every.gap[runs == run].min(), abs=1e-4)


@pytest.mark.parametrize(
    ("end", "across", "over"),
    [
        ((100.0, 0.0, 0.0), (0.0, 15.0, 0.0), (0.0, 0.0, 30.0)),
        ((0.0, 100.0, 0.0), (-15.0, 0.0, 0.0), (0.0, 0.0, 30.0)),
        ((0.0, 0.0, 100.0), (0.0, 15.0, 0.0), (-30.0, 0.0, 0.0)),
    ],
)
def test_the_width_of_a_box_lies_level(end, across, over) -> None:  # type: ignore[no-untyped-def]
    halves = box_halves(np.zeros((1, 3)), rows(end), 30.0, 60.0)
    for half, wanted in zip(halves, (across, over), strict=True):
        assert half[0] == pytest.approx(np.array(wanted), abs=1e-9)
