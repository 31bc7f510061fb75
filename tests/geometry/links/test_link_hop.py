"""Hop, tramp and wind-up on links: a multibody engine's linearisation, textbook limits, symmetry.

Every axle here is invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from geometry.leaf.car import AxleMass
from geometry.links.axle import Coil, Link, LinkAxle, Strut
from geometry.links.car import LinkCar
from geometry.links.hop import held_by_links, link_hop
from geometry.links.motion import axle_motions
from geometry.links.poses import solve_poses
from geometry.links.results import LinkAxleResults, link_axle_results
from geometry.modes.hop import HOP_RESULTS, Hop, hop_results
from geometry.modes.modes import FORE_AFT, HOP, MODE_NAMES, SIDEWAYS, TRAMP, WIND_UP, YAW
from tests.helpers.invented_axles import (
    AXLE_X,
    four_links,
    invented_axle,
    mirror_image,
    other_side,
    parallel_axle,
    plain_axle,
)
from tests.helpers.link_axle_engine import engine_modes
from tests.helpers.long_cases import typical_of

MASS = AxleMass(mass=96.0, pitch_inertia=2.1e6, roll_inertia=21e6)
TYRE, DAMPER = 180.0, 1.5


def car_of(axle: LinkAxle, **more: object) -> LinkCar:
    known = {"has_bush_rates": True, "has_lateral_rate": True}
    car = LinkCar(axle, tyre_rate=TYRE, axle_mass=MASS, damper_rate=DAMPER)
    return replace(car, **{**known, **more})


def results_of(axle: LinkAxle, travel: float = 0.0) -> LinkAxleResults:
    return link_axle_results(solve_poses(axle, travel, 0.0))


def modes_of(axle: LinkAxle, travel: float = 0.0, **more: object) -> Hop:
    hop = link_hop(car_of(axle, **more), results_of(axle, travel))
    assert hop is not None
    return hop


def loaded(axle: LinkAxle, force: float = 1500.0) -> LinkAxle:
    """The axle with coils so long that each pushes with a force as measured [N]."""
    free = np.linalg.norm(np.subtract(axle.coil_left.body, axle.coil_left.axle))
    coils = (axle.coil_left, axle.coil_right)
    left, right = (replace(each, free_length=float(free) + force / each.rate) for each in coils)
    return replace(axle, coil_left=left, coil_right=right)


def with_rate(axle: LinkAxle, rate: float) -> LinkAxle:
    """The axle with every link of one rate [N/mm]."""
    named = {name.replace(" link", "").replace(" ", "_"): link for name, link in axle.links.items()}
    return replace(axle, **{name: replace(link, rate=rate) for name, link in named.items()})


@pytest.mark.parametrize("seed", typical_of(range(10), range(4)))
def test_frequencies_and_damping_are_the_engines(seed: int) -> None:
    """Exudyn's own linearisation; what remains is that its axle settles in the bushes first."""
    axle = loaded(invented_axle(seed, alike=seed % 2 == 0))
    axle = four_links(axle) if seed % 5 == 0 else axle
    assert_as_engine(axle, 0.0, 2e-4)


@pytest.mark.parametrize(("seed", "travel"), [(1, 30.0), (4, -35.0), (10, 45.0)])
def test_modes_are_the_engines_where_the_car_stands_elsewhere(seed: int, travel: float) -> None:
    """The axle's inertias are taken along the car though it has turned a little: under 0.5 %."""
    assert_as_engine(loaded(invented_axle(seed)), travel, 5e-3)


def assert_as_engine(axle: LinkAxle, travel: float, within: float) -> None:
    carried = float(results_of(axle, travel).rates.wheel_force[0].sum())
    engine = engine_modes(
        axle,
        inertia=(MASS.mass, MASS.roll_inertia, MASS.pitch_inertia, MASS.roll_inertia),
        tyre_rate=TYRE,
        damper_rate=DAMPER,
        wheel_load=carried / 2.0 + TYRE * travel,
    )
    own = modes_of(axle, travel).own
    order = np.argsort(own.frequency)
    assert engine.settled == pytest.approx(travel, abs=0.01 + 0.02 * abs(travel))
    np.testing.assert_allclose(own.frequency[order], engine.frequency, rtol=within)
    np.testing.assert_allclose(own.damping[order], engine.damping, rtol=within, atol=5e-5)


# --- limits of textbooks -------------------------------------------------------------------------


def upright(lateral: float = 305.0, **more: object) -> LinkAxle:
    """Level links, the lateral one at a height, coils and dampers upright above the axle."""
    across = Link((AXLE_X, -480.0, lateral), (AXLE_X, 470.0, lateral))
    axle = parallel_axle(across)
    left = Coil((AXLE_X, 430.0, 605.0), (AXLE_X, 430.0, 305.0), 30.0, 300.0)
    right = replace(left, body=other_side(left.body), axle=other_side(left.axle))
    dampers = [Strut((AXLE_X, y, 605.0), (AXLE_X, y, 305.0)) for y in (380.0, -380.0)]
    parts = {"coil_left": left, "coil_right": right}
    return replace(axle, **parts, damper_left=dampers[0], damper_right=dampers[1], **more)


def test_hop_and_tramp_of_an_upright_axle_are_a_textbooks() -> None:
    """One mass on springs: sqrt((2·k_s + 2·k_t)/m), and the same with the squares of their arms."""
    named = modes_of(upright()).own.named
    mass, inertia, half = MASS.mass, MASS.roll_inertia / 1e6, 0.69
    hop = 2e3 * (30.0 + TYRE)
    tramp = 2e3 * (30.0 * 0.43**2 + TYRE * half**2)
    assert named.frequency[HOP] == pytest.approx(sqrt(hop / mass) / (2 * pi), rel=1e-6)
    assert named.frequency[TRAMP] == pytest.approx(sqrt(tramp / inertia) / (2 * pi), rel=1e-6)
    damped = 2e3 * DAMPER
    assert named.damping[HOP] == pytest.approx(damped / (2 * sqrt(hop * mass)), rel=1e-6)
    damped *= 0.38**2
    assert named.damping[TRAMP] == pytest.approx(damped / (2 * sqrt(tramp * inertia)), rel=1e-6)


def test_wind_up_between_level_links_is_a_textbooks() -> None:
    """Two springs above and two below a mass: fore-aft and wind-up, coupled by their heights."""
    axle = upright()
    heights = np.array([240.0, 240.0, 440.0, 440.0]) / 1e3 - 0.305
    rate = 2e6
    stiffness = rate * np.array(
        [[4.0, -heights.sum()], [-heights.sum(), float((heights**2).sum())]]
    )
    mass = np.array([MASS.mass, MASS.pitch_inertia / 1e6])
    expected = np.sqrt(np.linalg.eigvals(stiffness / mass[:, None])) / (2 * pi)
    own = modes_of(axle).own
    found = own.frequency[[FORE_AFT, WIND_UP]]
    np.testing.assert_allclose(np.sort(found), np.sort(expected), rtol=1e-9)


def test_the_lateral_links_height_mixes_tramp_with_going_sideways() -> None:
    """An axle led to swing about a point below its middle: its mass goes along, tramp is slower."""
    level, below = (modes_of(with_rate(upright(height), 1e6)).own for height in (305.0, 205.0))
    motions = [modes.motion(TRAMP) for modes in (level, below)]
    sideways = [abs(motion[SIDEWAYS] / motion[TRAMP]) for motion in motions]
    assert sideways[0] < 1e-6
    assert sideways[1] == pytest.approx(0.1, rel=0.05)
    heavier = MASS.roll_inertia / 1e6 + MASS.mass * 0.1**2
    slower = sqrt(MASS.roll_inertia / 1e6 / heavier)
    assert below.frequency[TRAMP] / level.frequency[TRAMP] == pytest.approx(slower, rel=0.01)


def test_rigid_links_leave_hop_and_tramp_on_the_ways_they_lead() -> None:
    """Four rigid links: two freedoms, whose masses and rates the axle's motions and rates give."""
    axle = with_rate(four_links(loaded(plain_axle())), 1e8)
    results = results_of(axle)
    own, rates = modes_of(axle).own, results.rates
    held = 2e3 * rates.wheel_rate.total[0], rates.roll_stiffness.total[0] / 1e3  # N/m, N·m/rad
    tensor = np.array([MASS.roll_inertia, MASS.pitch_inertia, MASS.roll_inertia]) / 1e6
    wheels = [np.subtract(at, axle.centre) / 1e3 for at in (axle.wheel_left, axle.wheel_right)]
    frequencies = []
    for motion, rate, per in zip(axle_motions(results.poses), held, (1e3, 1.0), strict=True):
        spin = motion.rotation[0] @ results.poses.rotation[0].T * per  # per m, per rad
        turn = np.array([spin[2, 1], spin[0, 2], spin[1, 0]])
        go = motion.centre[0] * per / 1e3
        mass = MASS.mass * float(go @ go) + float(tensor @ turn**2)
        rises = [float((go + np.cross(turn, at))[2]) for at in wheels]
        tyres = 1e3 * TYRE * sum(rise**2 for rise in rises)
        frequencies.append(sqrt((rate + tyres) / mass) / (2 * pi))
    assert own.frequency[HOP] == pytest.approx(frequencies[0], rel=2e-3)
    assert own.frequency[TRAMP] == pytest.approx(frequencies[1], rel=2e-3)
    assert own.frequency[[FORE_AFT, WIND_UP, SIDEWAYS, YAW]].min() > 1e3


# --- properties ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("seed", "travel"), [(1, 0.0), (3, 25.0), (4, -30.0)])
def test_condensed_stiffness_is_the_wheel_rates(seed: int, travel: float) -> None:
    """Two ways to one rate: K with the links' freedoms let go, and the energy along the path."""
    axle = with_rate(four_links(loaded(invented_axle(seed))), 2e5)
    results = results_of(axle, travel)
    held = held_by_links(car_of(axle, tyre_rate=1e-9), results)
    assert held is not None
    led, free = [1, 2], [0, 3, 4, 5]
    inner = np.linalg.solve(held.stiffness[np.ix_(free, free)], held.stiffness[np.ix_(free, led)])
    condensed = held.stiffness[np.ix_(led, led)] - held.stiffness[np.ix_(led, free)] @ inner
    rates = results.rates
    assert condensed[0, 0] == pytest.approx(2e3 * rates.wheel_rate.total[0], rel=1e-3)
    assert condensed[1, 1] == pytest.approx(rates.roll_stiffness.total[0] / 1e3, rel=1e-3)


@pytest.mark.parametrize("seed", [2, 5])
def test_a_mirrored_axle_swings_as_fast(seed: int) -> None:
    axle = loaded(invented_axle(seed, alike=False))
    here, there = (modes_of(each).own for each in (axle, mirror_image(axle)))
    np.testing.assert_allclose(here.frequency, there.frequency, rtol=1e-9)
    np.testing.assert_allclose(here.damping, there.damping, rtol=1e-7, atol=1e-12)
    np.testing.assert_allclose(here.node_left[TRAMP], -there.node_left[TRAMP], atol=1e-5)


def test_names_are_those_of_the_motion() -> None:
    own = modes_of(loaded(plain_axle())).own
    assert own.shares.argmax(axis=1).tolist() == list(range(len(MODE_NAMES)))
    assert abs(own.motion(HOP)[1]) == pytest.approx(1.0)
    assert abs(own.motion(TRAMP)[TRAMP]) == pytest.approx(1.0 / 0.69)
    np.testing.assert_allclose(own.shares.sum(axis=1), 1.0)


def test_a_damper_moved_outwards_takes_hold_of_tramp() -> None:
    """By the square of its arm, where it stands upright."""
    near, far = upright(), upright()
    dampers = [Strut((AXLE_X, y, 605.0), (AXLE_X, y, 305.0)) for y in (570.0, -570.0)]
    far = replace(far, damper_left=dampers[0], damper_right=dampers[1])
    damping = [modes_of(axle).own.named.damping for axle in (near, far)]
    assert damping[1][TRAMP] / damping[0][TRAMP] == pytest.approx((570.0 / 380.0) ** 2, rel=1e-6)
    assert damping[1][HOP] == pytest.approx(damping[0][HOP], rel=1e-9)


def test_bushes_that_nobody_gave_leave_out_what_hangs_on_them() -> None:
    axle = loaded(plain_axle())
    assert modes_of(axle).known == frozenset(range(6))
    assert modes_of(axle, has_bush_rates=False, has_lateral_rate=False).known == {HOP, TRAMP}
    soft, hard = (modes_of(with_rate(axle, rate)).own.named.frequency for rate in (2000.0, 8000.0))
    assert hard[HOP] == pytest.approx(soft[HOP], rel=0.01)
    assert hard[TRAMP] == pytest.approx(soft[TRAMP], rel=0.05)
    assert hard[WIND_UP] > 1.5 * soft[WIND_UP]


@pytest.mark.parametrize(
    "lacking",
    [
        {"tyre_rate": None},
        {"axle_mass": None},
        {"damper_rate": None},
        {"has_coils": False},
        {"has_dampers": False},
    ],
)
def test_what_lacks_leaves_no_modes(lacking: dict[str, object]) -> None:
    axle = loaded(plain_axle())
    assert link_hop(car_of(axle, **lacking), results_of(axle)) is None


@pytest.mark.parametrize("odd", [1e-300, 1e-30, 1e150, 1e300, float("inf")])
def test_absurd_masses_leave_no_modes_and_no_error(odd: float) -> None:
    axle = loaded(plain_axle())
    for part in ("mass", "pitch_inertia", "roll_inertia"):
        hop = link_hop(car_of(axle, axle_mass=replace(MASS, **{part: odd})), results_of(axle))
        assert hop is None or set(hop_results(hop)) == HOP_RESULTS


@pytest.mark.parametrize("rate", typical_of((300.0, 600.0, 3000.0), (600.0,)))
def test_a_damper_moved_past_the_axle_makes_no_figure_jump(rate: float) -> None:
    axle = with_rate(loaded(plain_axle()), rate)

    def with_damper_at(x: float) -> LinkAxle:
        ends = [(AXLE_X + x, -460.0, z) for z in (640.0, 250.0)]
        return replace(axle, damper_right=Strut(*ends))

    assert_no_jump(with_damper_at, np.arange(180.0, -260.5, -8.0))


def test_a_lateral_link_made_stiffer_past_wind_up_makes_no_figure_jump() -> None:
    """Sideways and wind-up come to one frequency on the way, and part again."""
    axle = loaded(plain_axle())

    def with_lateral(rate: float) -> LinkAxle:
        return replace(axle, lateral=replace(axle.lateral, rate=rate))

    rates = np.geomspace(500.0, 20000.0, 80)
    apart = [modes_of(with_lateral(rate)).own.frequency for rate in (500.0, 20000.0)]
    assert apart[0][SIDEWAYS] < apart[0][WIND_UP]
    assert apart[1][SIDEWAYS] > apart[1][WIND_UP]
    assert_no_jump(with_lateral, rates)


def assert_no_jump(axle_at: Callable[[float], LinkAxle], places: np.ndarray) -> None:
    """A jump stays as large however small the step; a steep place falls with it."""

    def named(at: np.ndarray) -> np.ndarray:
        found = [modes_of(axle_at(place)).own.named for place in at.tolist()]
        return np.array([[*each.frequency[1:4], *each.damping[1:4]] for each in found])

    figures = named(places)
    for figure in range(6):
        at, values, sizes = places, figures[:, figure], []
        for _ in range(3):
            steps = np.abs(np.diff(values))
            worst = int(steps.argmax())
            sizes.append(steps[worst])
            at = np.linspace(at[worst], at[worst + 1], 11)
            values = named(at)[:, figure]
        assert sizes[2] < max(0.3 * sizes[0], 1e-9)
