"""Figures under the names hop, tramp and wind-up: smooth in the dampers' place, least of a pair."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from geometry.leaf.hop import held_axle, pure_motions
from geometry.modes.modes import MODE_NAMES, modes_of
from geometry.modes.named_modes import name_modes
from tests.geometry.leaf.test_hop import (
    AXLE,
    EVEN,
    TRAMP,
    TWIST,
    near_bounce_and_wind_up,
    near_tramp_and_wind_up,
    upright,
)
from tests.helpers.long_cases import typical_of

AXLES = {"even": AXLE, "bounce": near_bounce_and_wind_up(), "tramp": near_tramp_and_wind_up()}
PLACES = ((180, 180), (180, -180), (180, 0), (0, 0), (300, 100))


def named(axle, places, rate):
    """Frequency and damping by name, (n, 4) each, with the right damper at places [mm]."""
    sets = tuple((upright(180, 450, rate), upright(x, -450, rate)) for x in places)
    modes = [found.named for found in modes_of(held_axle(axle), sets)]
    return np.array([m.frequency for m in modes]), np.array([m.damping for m in modes])


@pytest.mark.parametrize(
    ("axle", "rate"),
    typical_of(
        product(AXLES, (1.0, 2.0, 4.0, 8.0)), (("even", 1.0), ("bounce", 2.0), ("tramp", 4.0))
    ),
)
def test_a_damper_moved_past_the_axle_makes_no_figure_jump(axle, rate):
    # A jump stays as large however small the step; a steep place falls with it, at worst as its
    # root (where two modes become one). Steps of 2 mm, and a hundredth of that where it is worst.
    places = np.arange(180.0, -260.5, -2.0)
    for figure in (0, 1):
        steps = np.abs(np.diff(named(AXLES[axle], places, rate)[figure], axis=0)).max(axis=1)
        worst = int(steps.argmax())
        close = np.linspace(places[worst], places[worst + 1], 101)
        finer = np.abs(np.diff(named(AXLES[axle], close, rate)[figure], axis=0)).max()
        assert finer < 0.15 * steps[worst]


@pytest.mark.parametrize(
    ("axle", "left", "right"),
    typical_of(
        ((axle, *places) for axle in AXLES for places in PLACES),
        (("even", 180, 0), ("bounce", 300, 100), ("tramp", 180, -180)),
    ),
)
def test_dampers_from_none_to_far_too_stiff_make_no_figure_jump(axle, left, right):
    # Beyond 5 N·s/mm modes creep, and two that creep may exchange an eigenvalue and swing again.
    rates = np.linspace(0.0, 10.0, 501)

    def figures(rates):
        sets = tuple((upright(left, 450, r), upright(right, -450, r)) for r in rates)
        found = [modes.named for modes in modes_of(held_axle(AXLES[axle]), sets)]
        return np.hstack([[m.frequency for m in found], [m.damping for m in found]])

    steps = np.abs(np.diff(figures(rates), axis=0))
    for column, worst in enumerate(steps.argmax(axis=0)):
        close = np.linspace(rates[worst], rates[worst + 1], 101)
        finer = np.abs(np.diff(figures(close)[:, column])).max()
        assert finer < max(0.15 * steps[worst, column], 1e-4)


def test_a_mode_that_creeps_tells_the_root_of_its_two_rates():
    # Textbook: of s² + 2·ζ·w·s + w² = 0 the product of the roots is w², damped however much.
    pair = (upright(0, 450, 25.0), upright(0, -450, 25.0))
    axle = replace(AXLE, rates=EVEN, slope=0.0, seat=(0.0, 0.0))
    free, found = modes_of(held_axle(axle), ((), pair))
    hop = MODE_NAMES.index("hop")
    assert found.damping[hop] > 1.0
    assert found.named.frequency[hop] == pytest.approx(free.frequency[hop], rel=1e-6)
    assert found.named.damping[hop] == 1.0


def test_modes_that_share_a_name_tell_the_least_damping_of_the_pair():
    # Tramp and wind-up of one frequency, one damper ahead and one behind: one motion undamped.
    axle = near_tramp_and_wind_up()
    (found,) = modes_of(held_axle(axle), ((upright(150, 450), upright(-150, -450)),))
    pair = found.damping[[TRAMP, TWIST]]
    assert pair.min() < 0.01 < 0.1 < pair.max()
    assert [MODE_NAMES[place] for place in found.named.partner[[TRAMP, TWIST]]] == [
        "wind-up",
        "tramp",
    ]
    assert found.named.damping[[TRAMP, TWIST]] == pytest.approx([pair.min()] * 2, abs=1e-9)
    assert found.named.frequency[TRAMP] == pytest.approx(
        np.sqrt(found.frequency[[TRAMP, TWIST]].prod())
    )


def test_a_mode_that_has_its_name_to_itself_tells_its_own_figures():
    (found,) = modes_of(held_axle(AXLE), ((upright(150, 450, 0.3), upright(150, -450, 0.3)),))
    assert (found.named.partner == -1).all()
    np.testing.assert_allclose(found.named.damping, found.damping, rtol=1e-12)
    np.testing.assert_allclose(found.named.frequency, found.frequency, rtol=1e-12)


def test_names_don_t_know_the_order_of_the_modes():
    (found,) = modes_of(
        held_axle(near_tramp_and_wind_up()), ((upright(150, 450), upright(-90, -450)),)
    )
    order, values = [2, 0, 3, 1], [5, 0, 7, 2, 4, 1, 6, 3]
    mixed = name_modes(found.values[values], found.parts[values], found.shares[order])
    np.testing.assert_allclose(mixed.damping, found.named.damping, rtol=1e-12)
    np.testing.assert_allclose(mixed.frequency, found.named.frequency, rtol=1e-12)


def test_pure_motions_are_the_modes_of_an_even_axle_without_dampers():
    # Orthonormal by the masses (textbook); bounce and roll of an even axle move nothing else.
    motions = pure_motions(AXLE)
    np.testing.assert_allclose(motions.T @ motions, np.eye(4), atol=1e-12)
    (free,) = modes_of(held_axle(replace(AXLE, rates=EVEN, slope=0.0)), ((),))
    np.testing.assert_allclose(free.shares, np.eye(4), atol=1e-9)
