"""Results of an axle on links: published values, constructions by hand, energy, symmetry."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import constants
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from geometry.errors import AxleUnreachable, CoilsNeverCarry
from geometry.links.axle import Link, LinkAxle
from geometry.links.lines import axle_lines
from geometry.links.poses import solve_poses
from geometry.links.results import LinkAxleResults, link_axle_results, nose_to_ground
from geometry.links.ride import (
    anti_lift,
    anti_squat,
    ride_frequency,
    settled_travel,
)
from tests.helpers.invented_axles import (
    AXLE_X,
    four_links,
    invented_axle,
    mirror_image,
    parallel_axle,
    plain_axle,
    symmetric_link_axle,
)

INCH = constants.inch / constants.milli
TRAVEL = np.array([-70.0, -30.0, 0.0, 20.0, 60.0, 0.0, 30.0])
ROLL = np.array([0.0, 0.05, 0.0, -0.08, 0.0, 0.09, 0.02])


def at(axle: LinkAxle, travel: object = 0.0, roll: object = 0.0) -> LinkAxleResults:
    return link_axle_results(solve_poses(axle, travel, roll))


# A lateral link 33.5 in long whose body end is 1.5 in high: lowered 1.5 in it shifts the axle
# 0.0336 in, lowered 3.0 in not at all (an owners' reference page; exact geometry).
LENGTH, RISE = 33.5 * INCH, -1.5 * INCH  # the axle end is below the body end


def test_the_axle_shifts_as_the_published_lateral_link() -> None:
    span = np.sqrt(LENGTH**2 - RISE**2)
    lateral = Link((AXLE_X, -400.0, 300.0 - RISE), (AXLE_X, span - 400.0, 300.0))
    # links along the car 20 m long, so that their own arcs take none of the lateral link's length
    long = {
        f"{part}_{side}": Link((AXLE_X + 2e4, y, z), (AXLE_X, y, z))
        for part, z in (("lower", 240.0), ("upper", 440.0))
        for side, y in (("left", 480.0), ("right", -480.0))
    }
    path = at(replace(parallel_axle(lateral), **long), np.array([1.5, 3.0]) * INCH).path
    np.testing.assert_allclose(path.lateral_shift / INCH, [0.0336, 0.0], atol=5e-5)


@pytest.mark.parametrize(
    ("lower", "upper"), [(0.0, 0.0), (-25.0, 0.0), (30.0, -12.0), (15.0, 40.0)]
)
def test_roll_steer_of_parallel_links_is_the_formulas(lower: float, upper: float) -> None:
    # Σk·y²·cos²γ·tanγ / Σk·y²·cos²γ, worked here by hand; γ + down to the front
    roll = at(parallel_axle(lower=lower, upper=upper)).roll
    weights = [
        480.0**2 * 475.0**2 / (475.0**2 + lower**2),
        300.0**2 * 280.0**2 / (280.0**2 + upper**2),
    ]
    by_hand = (weights[0] * lower / 475.0 + weights[1] * upper / 280.0) / sum(weights)
    assert roll.roll_steer[0] == pytest.approx(by_hand, abs=1e-12)
    assert roll.roll_steer_by_slope[0] == pytest.approx(by_hand, abs=1e-12)
    assert np.tan(roll.roll_axis_slope[0]) == pytest.approx(-by_hand, abs=1e-12)


def test_roll_steer_is_the_slope_of_steer_over_a_small_roll() -> None:
    axle = parallel_axle(lower=30.0, upper=10.0)
    small = np.array([-1e-4, 1e-4])
    path, middle = at(axle, 0.0, small).path, at(axle).roll
    slope = (path.steer[1] - path.steer[0]) / 2e-4
    assert middle.roll_steer[0] == pytest.approx(slope, abs=1e-8)
    # links that slope down to the front steer the axle into the turn: understeer
    assert middle.roll_steer[0] > 0.0


def test_the_slope_formula_holds_for_links_nearly_parallel_in_plan() -> None:
    axle = parallel_axle(lower=30.0, upper=10.0)
    moved = {}
    for side, name in ((1.0, "left"), (-1.0, "right")):
        link = getattr(axle, f"lower_{name}")
        moved[f"lower_{name}"] = replace(link, body=(link.body[0], side * 476.0, link.body[2]))
    roll = at(replace(axle, **moved)).roll
    assert roll.roll_steer[0] == pytest.approx(roll.roll_steer_by_slope[0], rel=0.05)


def test_roll_centre_of_a_level_lateral_link_at_the_axle_is_its_height() -> None:
    roll = at(parallel_axle()).roll
    assert roll.roll_centre_height[0] == pytest.approx(300.0, abs=1e-9)
    assert roll.roll_centre_height_by_force[0] == pytest.approx(300.0, abs=1e-9)


@pytest.mark.parametrize("lower", [0.0, 30.0])
def test_roll_centre_is_the_lateral_link_carried_along_the_roll_axis(lower: float) -> None:
    # a link 120 mm behind the axle, from 330 to 270 mm: 300 + 60·(10/960) on the centreline
    lateral = Link((AXLE_X - 120.0, -470.0, 330.0), (AXLE_X - 120.0, 490.0, 270.0))
    roll = at(parallel_axle(lateral, lower=lower, upper=0.0)).roll
    crossing = 330.0 - 60.0 * 470.0 / 960.0
    np.testing.assert_allclose(roll.crossing[0], [AXLE_X - 120.0, 0.0, crossing], atol=1e-9)
    by_hand = crossing - 120.0 * roll.roll_steer[0]
    assert roll.roll_centre_height[0] == pytest.approx(by_hand, abs=1e-9)
    assert roll.roll_centre_height_by_force[0] == pytest.approx(by_hand, abs=1e-9)


def side_view_lines(axle: LinkAxle) -> tuple[float, float]:
    """Crossing of the left links' side-view lines by two linear equations."""
    rows, right = [], []
    for link in (axle.lower_left, axle.upper_left):
        (xb, _, zb), (xa, _, za) = link.body, link.axle
        rows.append([zb - za, xa - xb])
        right.append((zb - za) * xa + (xa - xb) * za)
    x, z = np.linalg.solve(rows, right)
    return float(x), float(z)


@pytest.mark.parametrize("seed", range(8))
def test_the_side_view_centre_is_where_the_links_meet(seed: int) -> None:
    # alike sides; a lateral link parallel to the axle, which does not turn it in bounce
    lateral = Link((AXLE_X, -480.0, 300.0), (AXLE_X, 470.0, 300.0))
    axle = replace(invented_axle(seed), lateral=lateral)
    side, (x, z) = at(axle).side, side_view_lines(axle)
    np.testing.assert_allclose(side.centre[0], [x, z], rtol=1e-9)
    assert side.support[0] == pytest.approx(z / (x - AXLE_X), rel=1e-9)


def test_full_anti_squat_on_the_line_to_the_height_over_the_front_wheels() -> None:
    # links aimed at a point on the line from the contact point that reaches h over the front axle
    wheelbase, height, ahead = 2560.0, 540.0, 1400.0
    x, z = AXLE_X + ahead, ahead * height / wheelbase

    def aimed(end: tuple[float, float, float], length: float) -> Link:
        share = length / ahead
        body = (end[0] + (x - end[0]) * share, end[1], end[2] + (z - end[2]) * share)
        return Link(body, end)

    plain = plain_axle()
    axle = symmetric_link_axle(
        lower=aimed((-2575.0, 480.0, 240.0), 480.0),
        upper=aimed((-2530.0, 300.0, 440.0), 300.0),
        lateral=Link((AXLE_X, -480.0, 300.0), (AXLE_X, 470.0, 300.0)),
        wheel=plain.wheel_left,
        tyre_radius=305.0,
        coil=plain.coil_left,
        damper=plain.damper_left,
    )
    support = at(axle).side.support
    assert anti_squat(support, wheelbase, height)[0] == pytest.approx(100.0, abs=1e-9)
    assert anti_lift(support, wheelbase, height, 0.36)[0] == pytest.approx(36.0, abs=1e-9)


def test_support_is_the_path_of_the_contact_point_with_the_wheels_locked() -> None:
    axle, step = invented_axle(4, alike=False), 0.05

    def contact(travel: float) -> np.ndarray:
        poses = solve_poses(axle, travel, 0.0)
        return poses.centre[0] + poses.rotation[0] @ [0.0, 0.0, -axle.tyre_radius]

    moved = contact(step) - contact(-step)
    assert at(axle).side.support[0] == pytest.approx(-moved[0] / moved[2], abs=1e-7)


def test_parallel_links_of_one_length_have_their_centre_at_infinity() -> None:
    axle = parallel_axle()
    uppers = {
        name: Link((-2055.0, y, 440.0), (-2530.0, y, 440.0))
        for name, y in (("upper_left", 300.0), ("upper_right", -300.0))
    }
    results = at(replace(axle, **uppers))
    assert np.isnan(results.side.centre).all()
    assert results.side.support[0] == pytest.approx(0.0, abs=1e-12)
    lines = axle_lines(results, 0, 2560.0)
    assert lines.side_centre is None
    np.testing.assert_allclose(lines.lower_line[1] - lines.lower_line[0], [2560.0, 0.0, 0.0])


def test_pinion_points_up_when_the_uppers_are_the_shorter_arcs_in_bump() -> None:
    # level links: each axle end comes forward by travel²/2·length, the shorter upper one further,
    # so the axle's top goes forward and the nose down
    path = at(parallel_axle(), np.array([-60.0, 60.0])).path
    by_hand = -(60.0**2 / 2.0) * (1.0 / 280.0 - 1.0 / 475.0) / 200.0
    np.testing.assert_allclose(path.pinion_angle, by_hand, rtol=0.15)
    assert (path.wheelbase_change < 0.0).all()


def test_motion_ratios_of_upright_coils_are_levers() -> None:
    axle = parallel_axle()
    coils = {
        f"coil_{name}": replace(axle.coil_left, body=(AXLE_X, y, 600.0), axle=(AXLE_X, y, 300.0))
        for name, y in (("left", 470.0), ("right", -470.0))
    }
    results = at(replace(axle, **coils))
    np.testing.assert_allclose(results.coils.bounce_ratio[0], 1.0, atol=1e-9)
    np.testing.assert_allclose(results.coils.roll_ratio[0], 470.0 / 690.0, atol=1e-9)
    stiffness = results.rates.roll_stiffness.by_coil[0]
    assert stiffness == pytest.approx(2.0 * 30.0 * 470.0**2, rel=1e-9)
    np.testing.assert_allclose(results.rates.link_force, 0.0, atol=1e-9)


def stored(axle: LinkAxle, travel: float, roll: float) -> float:
    """Energy in coils and links from poses alone."""
    poses = solve_poses(axle, travel, roll)
    total = sum(
        0.5 * link.rate * poses.stretch[0, index] ** 2
        for index, link in enumerate(axle.links.values())
    )
    for coil in (axle.coil_left, axle.coil_right):
        end = poses.centre[0] + poses.rotation[0] @ (np.array(coil.axle) - axle.centre)
        total += 0.5 * coil.rate * (np.linalg.norm(end - coil.body) - coil.free_length) ** 2
    return float(total)


@pytest.mark.parametrize("index", range(len(TRAVEL)))
def test_rates_are_the_second_differences_of_the_stored_energy(index: int) -> None:
    axle = invented_axle(6, alike=False)
    travel, roll = TRAVEL[index], ROLL[index]
    rates = at(axle, travel, roll).rates
    here = stored(axle, travel, roll)
    step = 0.5
    bounce = stored(axle, travel - step, roll) - 2.0 * here + stored(axle, travel + step, roll)
    assert 2.0 * rates.wheel_rate.total[0] == pytest.approx(bounce / step**2, rel=1e-4)
    step = 1e-3
    lean = stored(axle, travel, roll - step) - 2.0 * here + stored(axle, travel, roll + step)
    assert rates.roll_stiffness.total[0] == pytest.approx(lean / step**2, rel=1e-4)


def test_link_force_per_roll_is_the_slope_of_link_force() -> None:
    axle, step = invented_axle(2), 1e-4
    rates = at(axle, 20.0, np.array([0.03 - step, 0.03, 0.03 + step])).rates
    slope = (rates.link_force[2] - rates.link_force[0]) / (2.0 * step)
    np.testing.assert_allclose(rates.link_force_per_roll[1], slope, rtol=1e-5)


def test_ride_frequencies_are_gillespies() -> None:
    # Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 example (from memory): tyre 1198 lb/in,
    # wheel rates 143 and 100 lb/in, 957 and 730 lb: 1.14 and 1.11 Hz
    pound_per_inch = constants.lbf / INCH
    for rate, weight, wanted in ((143.0, 957.0, 1.14), (100.0, 730.0, 1.11)):
        mass = weight * constants.lb
        found = ride_frequency(rate * pound_per_inch, mass, 1198.0 * pound_per_inch)
        assert found == pytest.approx(wanted, abs=5e-3)


def test_a_rigid_tyre_and_a_falling_rate() -> None:
    # sqrt(30 N/mm / 300 kg) = 10 rad/s
    assert ride_frequency(30.0, 300.0, None) == pytest.approx(10.0 / (2.0 * np.pi))
    assert np.isnan(ride_frequency(-1.0, 300.0, None))


def test_softer_coils_settle_where_they_carry_the_same_load() -> None:
    axle = plain_axle()
    load = at(axle).rates.wheel_force.sum()
    softer = replace(
        axle,
        coil_left=replace(axle.coil_left, rate=27.0),
        coil_right=replace(axle.coil_right, rate=27.0),
    )
    travel = settled_travel(softer, load)
    assert travel == pytest.approx(load / 2.0 / 27.0 - load / 2.0 / 30.0, rel=0.05)
    assert at(softer, travel).rates.wheel_force.sum() == pytest.approx(load, rel=1e-9)
    assert settled_travel(axle, load) == pytest.approx(0.0, abs=1e-9)


def test_a_load_beyond_the_coils_is_refused() -> None:
    with pytest.raises((AxleUnreachable, CoilsNeverCarry), match=r"travel=|load=1000000"):
        settled_travel(plain_axle(), 1e6)


@pytest.mark.parametrize("links", ["five", "four"])
def test_the_mirror_image_has_mirrored_results(links: str) -> None:
    axle = invented_axle(9, alike=False)
    axle = axle if links == "five" else four_links(axle)
    own, image = at(axle, TRAVEL, ROLL), at(mirror_image(axle), TRAVEL, -ROLL)
    np.testing.assert_allclose(image.path.lateral_shift, -own.path.lateral_shift, atol=1e-9)
    np.testing.assert_allclose(image.path.steer, -own.path.steer, atol=1e-12)
    np.testing.assert_allclose(image.roll.roll_steer, own.roll.roll_steer, atol=1e-9)
    for name in ("roll_centre_height", "roll_centre_height_by_force"):
        np.testing.assert_allclose(getattr(image.roll, name), getattr(own.roll, name), atol=1e-6)
    np.testing.assert_allclose(image.side.support, own.side.support, atol=1e-9)
    np.testing.assert_allclose(image.coils.roll_ratio, own.coils.roll_ratio[:, ::-1], atol=1e-9)
    np.testing.assert_allclose(image.rates.wheel_force, own.rates.wheel_force[:, ::-1], rtol=1e-9)


def test_moving_the_whole_car_changes_nothing() -> None:
    axle = invented_axle(1)
    shift = np.array([300.0, 0.0, 40.0])

    def moved(part: object) -> object:
        if not hasattr(part, "body"):
            return tuple(np.array(part) + shift)
        return replace(part, body=tuple(part.body + shift), axle=tuple(part.axle + shift))

    names = [*(f"{a}_{b}" for a in ("lower", "upper", "coil", "damper", "wheel")
               for b in ("left", "right")), "lateral"]  # fmt: skip
    other = replace(axle, **{name: moved(getattr(axle, name)) for name in names})
    own, far = at(axle, TRAVEL, ROLL), at(other, TRAVEL, ROLL)
    np.testing.assert_allclose(far.path.steer, own.path.steer, atol=1e-12)
    np.testing.assert_allclose(far.side.support, own.side.support, atol=1e-9)
    np.testing.assert_allclose(far.roll.roll_centre_height, own.roll.roll_centre_height, atol=1e-7)


def test_lines_meet_at_their_centres() -> None:
    lateral = Link((AXLE_X - 90.0, -480.0, 300.0), (AXLE_X - 90.0, 470.0, 300.0))
    axle = replace(invented_axle(3), lateral=lateral)
    results = at(axle)
    lines = axle_lines(results, 0, 2560.0)
    assert lines.side_centre is not None
    for name in ("lower", "upper"):
        link = getattr(axle, f"{name}_left")
        start, end = getattr(lines, f"{name}_line")
        np.testing.assert_allclose(end, lines.side_centre)
        # the link's own body end lies on its line in side view
        body = np.array(link.body)[[0, 2]] - start[[0, 2]]
        way = (end - start)[[0, 2]]
        assert body[0] * way[1] - body[1] * way[0] == pytest.approx(0.0, abs=1e-4)
    np.testing.assert_allclose(lines.support_line, [[AXLE_X, 0.0, 0.0], lines.side_centre])
    way = lines.roll_axis[1] - lines.roll_axis[0]
    np.testing.assert_allclose(
        lines.crossing, lines.roll_centre + way * (-90.0 / way[0]), atol=1e-9
    )


def test_results_of_poses_out_of_reach_are_nan_beside_sound_ones() -> None:
    results = at(plain_axle(), np.array([0.0, 400.0]), np.array([0.0, 0.6]))
    for part in (results.path, results.roll, results.side, results.coils):
        for name, values in vars(part).items():
            assert np.isfinite(values[0]).all(), name
            assert np.isnan(values[1]).all(), name


@pytest.mark.parametrize("pinion", [0.0, 0.05])
def test_the_pinion_in_roll_is_read_on_the_road_under_a_body_that_does_not_pitch(
    pinion: float,
) -> None:
    """By scipy: the body is rolled about its own forward axis until the axle's line is level."""
    poses = solve_poses(invented_axle(3), TRAVEL, ROLL)
    told = nose_to_ground(poses, pinion)
    nose = np.array([np.cos(pinion), 0.0, np.sin(pinion)])
    for place, axes in enumerate(poses.rotation):

        def height(roll: float, axes: np.ndarray = axes) -> float:
            return float((Rotation.from_euler("x", roll).as_matrix() @ axes)[2, 1])

        roll = brentq(height, -0.5, 0.5, xtol=1e-14)
        on_road = Rotation.from_euler("x", roll).as_matrix() @ axes @ nose
        assert told[place] == pytest.approx(np.arcsin(on_road[2]), abs=1e-12)
    turned = told - pinion + poses.pitch
    np.testing.assert_allclose(turned, poses.roll * poses.steer, atol=3e-5)
    assert np.abs(turned).max() > 1e-4
