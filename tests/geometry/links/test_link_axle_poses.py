"""Poses of an axle on links: least energy, exact four links, symmetry, reach, derivatives."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import root
from scipy.spatial.transform import Rotation

from geometry.errors import AxleUnreachable, LinksLoose, NoUpperLink
from geometry.links.axle import Link, LinkAxle
from geometry.links.motion import axle_motions, telescopes
from geometry.links.poses import LINK_KEYS, AxlePoses, check_reachable, solve_poses
from tests.helpers.invented_axles import (
    AXLE_X,
    four_links,
    invented_axle,
    mirror_image,
    parallel_axle,
    plain_axle,
)
from tests.helpers.long_cases import typical_of

TRAVEL = np.array([-70.0, -30.0, 0.0, 20.0, 60.0, 0.0, 30.0])
ROLL = np.array([0.0, 0.05, 0.0, -0.08, 0.0, 0.09, 0.02])


def lengths(axle: LinkAxle, coordinates: np.ndarray, travel: float, roll: float) -> np.ndarray:
    """Link lengths by an independent rotation: intrinsic yaw, roll, pitch of scipy."""
    x, y, yaw, pitch = coordinates
    turn = Rotation.from_euler("ZXY", [yaw, -roll, pitch])
    origin = 0.5 * (np.array(axle.wheel_left) + np.array(axle.wheel_right))
    ends = np.array([link.axle for link in axle.links.values()]) - origin
    bodies = np.array([link.body for link in axle.links.values()])
    return np.linalg.norm(turn.apply(ends) + origin + [x, y, travel] - bodies, axis=1)


def energy(axle: LinkAxle, coordinates: np.ndarray, travel: float, roll: float) -> float:
    rates = np.array([link.rate for link in axle.links.values()])
    free = lengths(axle, np.zeros(4), 0.0, 0.0)
    return float(0.5 * rates @ (lengths(axle, coordinates, travel, roll) - free) ** 2)


def coordinates(poses: AxlePoses, index: int) -> np.ndarray:
    x, y, _ = poses.centre[index] - poses.axle.centre
    return np.array([x, y, poses.steer[index], poses.pitch[index]])


def slopes(axle: LinkAxle, at: np.ndarray, travel: float, roll: float, step: float) -> np.ndarray:
    moves = step * np.diag([1.0, 1.0, 2e-3, 2e-3])
    return np.array(
        [energy(axle, at + m, travel, roll) - energy(axle, at - m, travel, roll) for m in moves]
    ) / (2.0 * step)


@pytest.mark.parametrize("seed", typical_of(range(6), range(3)))
def test_no_small_move_lowers_the_energy(seed: int) -> None:
    # virtual work: the slope vanishes, here against the slope 0.1 mm away
    axle = invented_axle(seed, alike=False)
    poses = solve_poses(axle, TRAVEL, ROLL)
    aside = np.array([0.1, 0.1, 2e-4, 2e-4])
    for index, (travel, roll) in enumerate(zip(TRAVEL, ROLL, strict=True)):
        at = coordinates(poses, index)
        scale = np.abs(slopes(axle, at + aside, travel, roll, 1e-2)).max()
        # central differences leave the energy's third derivative, step² = 1e-4 of it
        assert np.abs(slopes(axle, at, travel, roll, 1e-2)).max() < 1e-4 * scale


@pytest.mark.parametrize("seed", typical_of(range(8), range(3)))
def test_four_links_agree_with_a_root_finder_and_store_nothing(seed: int) -> None:
    axle = four_links(invented_axle(seed))
    poses = solve_poses(axle, TRAVEL, ROLL)
    assert poses.reachable.all()
    free = lengths(axle, np.zeros(4), 0.0, 0.0)
    for index, (travel, roll) in enumerate(zip(TRAVEL, ROLL, strict=True)):
        found = root(
            lambda at, h, p: lengths(axle, at, h, p) - free,
            np.zeros(4),
            args=(travel, roll),
            tol=1e-10,
        )
        assert found.success
        np.testing.assert_allclose(coordinates(poses, index), found.x, atol=1e-9)
        assert np.abs(poses.stretch[index]).max() < 1e-9


def test_stiffer_links_all_alike_leave_the_pose() -> None:
    axle = invented_axle(3)
    stiffer = replace(
        axle,
        **{
            name.replace(" link", "").replace(" ", "_"): replace(link, rate=7.0 * link.rate)
            for name, link in axle.links.items()
        },
    )
    first, second = solve_poses(axle, TRAVEL, ROLL), solve_poses(stiffer, TRAVEL, ROLL)
    np.testing.assert_allclose(first.centre, second.centre, atol=1e-9)


@pytest.mark.parametrize("seed", [1, 4])
@pytest.mark.parametrize("upper_right", ["kept", "left out"])
def test_the_mirror_image_moves_as_the_mirror_image(seed: int, upper_right: str) -> None:
    axle = invented_axle(seed, alike=False)
    axle = axle if upper_right == "kept" else four_links(axle)
    poses = solve_poses(axle, TRAVEL, ROLL)
    image = solve_poses(mirror_image(axle), TRAVEL, -ROLL)
    np.testing.assert_allclose(image.centre, poses.centre * [1.0, -1.0, 1.0], atol=1e-9)
    np.testing.assert_allclose(image.steer, -poses.steer, atol=1e-12)
    np.testing.assert_allclose(image.pitch, poses.pitch, atol=1e-12)


def test_a_batch_is_its_poses_one_by_one() -> None:
    axle = invented_axle(5)
    batch = solve_poses(axle, TRAVEL, ROLL)
    for index in range(len(TRAVEL)):
        alone = solve_poses(axle, TRAVEL[index], ROLL[index])
        np.testing.assert_allclose(alone.centre[0], batch.centre[index], atol=1e-9)
        np.testing.assert_allclose(alone.rotation[0], batch.rotation[index], atol=1e-12)


def test_a_kept_link_on_a_moved_hole_shifts_the_axle_at_its_measured_height() -> None:
    axle = parallel_axle()
    body = axle.lateral.body
    moved = replace(axle, lateral=replace(axle.lateral, body=(body[0], body[1] + 7.0, body[2])))
    made = solve_poses(moved, 0.0, 0.0)
    kept = solve_poses(replace(moved, lateral=replace(moved.lateral, length=950.0)), 0.0, 0.0)
    assert made.centre[0, 1] == pytest.approx(0.0, abs=1e-9)
    # the parallel links swing 7 mm sideways on their arcs, which leaves 7 mm less next to nothing
    assert kept.centre[0, 1] == pytest.approx(7.0, abs=1e-2)


@pytest.mark.parametrize("seed", typical_of(range(10), range(3)))
def test_the_reach_of_four_links_has_no_islands(seed: int) -> None:
    # a pose past the end of reach that is found again belongs to another assembly
    travel = np.linspace(-500.0, 500.0, 101)
    reachable = solve_poses(four_links(invented_axle(seed)), travel, 0.0).reachable
    inside = np.flatnonzero(reachable)
    assert reachable[50]
    assert 0 < inside[0] < inside[-1] < 100
    assert len(inside) == inside[-1] - inside[0] + 1


def test_four_links_end_where_they_stand_on_end() -> None:
    # level links 300 mm long, above one another: they stand upright after 300 mm of travel
    links = {
        "lower_left": Link((-2260.0, 480.0, 240.0), (-2560.0, 480.0, 240.0)),
        "lower_right": Link((-2260.0, -480.0, 240.0), (-2560.0, -480.0, 240.0)),
        "upper_left": Link((-2260.0, 300.0, 440.0), (-2560.0, 300.0, 440.0)),
        "upper_right": None,
        "lateral": Link((AXLE_X, -4800.0, 300.0), (AXLE_X, 470.0, 300.0)),
    }
    poses = solve_poses(replace(parallel_axle(), **links), np.array([0.0, 290.0, 310.0]), 0.0)
    np.testing.assert_array_equal(poses.reachable, [True, True, False])
    assert np.isfinite(poses.centre[:2]).all()
    assert np.isnan(poses.centre[2]).all()
    # the lateral link pulls the axle along with it: arcs of 300 mm fore and aft, near enough
    assert poses.centre[1, 0] - AXLE_X == pytest.approx(300.0 - np.sqrt(300**2 - 290**2), abs=2.0)


def test_a_pose_out_of_reach_names_the_link_and_its_lengths() -> None:
    poses = solve_poses(plain_axle(), np.array([0.0, 400.0]), np.array([0.0, 0.6]))
    with pytest.raises(AxleUnreachable, match=r"travel=400\.0, roll=0\.6") as caught:
        check_reachable(poses)
    first, second = caught.value.keys
    assert first.removesuffix("_body") == second.removesuffix("_axle")
    link = plain_axle().links[{key: name for name, key in LINK_KEYS.items()}[first[5:-5]]]
    assert caught.value.wanted == pytest.approx(math.dist(link.body, link.axle))
    check_reachable(solve_poses(plain_axle(), TRAVEL, ROLL))


def test_links_that_leave_a_motion_free_are_refused() -> None:
    axle = parallel_axle()
    along = Link((-2100.0, 0.0, 300.0), (-2560.0, 0.0, 300.0))
    with pytest.raises(LinksLoose, match="SIDEWAYS"):
        solve_poses(replace(axle, lateral=along), 0.0, 0.0)
    level = {"upper_left": axle.lower_left, "upper_right": axle.lower_right}
    with pytest.raises(LinksLoose, match="PINION_ANGLE"):
        solve_poses(replace(axle, **level), 0.0, 0.0)


def test_an_axle_needs_an_upper_link() -> None:
    with pytest.raises(NoUpperLink, match="NoUpperLink"):
        replace(plain_axle(), upper_left=None, upper_right=None)


@pytest.mark.parametrize("seed", [0, 2])
@pytest.mark.parametrize("which", [0, 1])
def test_derivatives_are_the_differences_of_poses(seed: int, which: int) -> None:
    axle = invented_axle(seed, alike=False)
    step = (0.1, 2e-4)[which]
    rise, lean = (step, 0.0) if which == 0 else (0.0, step)
    here = solve_poses(axle, TRAVEL, ROLL)
    low = solve_poses(axle, TRAVEL - rise, ROLL - lean)
    high = solve_poses(axle, TRAVEL + rise, ROLL + lean)
    motion = axle_motions(here)[which]
    unit = (1.0, 500.0)[which]  # a radian moves what a mm of travel moves some 500 times over

    def close(found: np.ndarray, wanted: np.ndarray, tolerance: float) -> None:
        np.testing.assert_allclose(found, wanted, atol=tolerance * unit)

    close(motion.centre, (high.centre - low.centre) / (2.0 * step), 1e-6)
    close(motion.steer, (high.steer - low.steer) / (2.0 * step), 1e-8)
    close(motion.pitch, (high.pitch - low.pitch) / (2.0 * step), 1e-8)
    close(motion.rotation, (high.rotation - low.rotation) / (2.0 * step), 1e-8)
    bend = (high.centre - 2.0 * here.centre + low.centre) / step**2
    close(motion.centre_second, bend, 1e-6 * unit)
    bend = (high.rotation - 2.0 * here.rotation + low.rotation) / step**2
    close(motion.rotation_second, bend, 1e-8 * unit)


def test_telescopes_differentiate_lengths() -> None:
    axle, step = invented_axle(7), 0.5
    parts = [axle.coil_left, axle.damper_right, axle.lateral]

    def of(travel: np.ndarray) -> np.ndarray:
        poses = solve_poses(axle, travel, ROLL)
        return telescopes(poses, axle_motions(poses), parts)[0].length

    poses = solve_poses(axle, TRAVEL, ROLL)
    found, _ = telescopes(poses, axle_motions(poses), parts)
    low, high = of(TRAVEL - step), of(TRAVEL + step)
    np.testing.assert_allclose(found.rate, (high - low) / (2 * step), atol=1e-6)
    np.testing.assert_allclose(found.second, (high - 2 * found.length + low) / step**2, atol=1e-7)
