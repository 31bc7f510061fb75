"""What is fitted to a rear: leaves, blocks, wedges, shackles, eyes and holes, against statics."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product
from math import cos, degrees, hypot, radians, sin, tan

import numpy as np
import pytest

from app.document.model import Change, FrozenMap, Leaf
from app.systems.rear.system import REAR
from geometry.leaf.load import Model
from tests.helpers.long_cases import typical_of
from tests.helpers.rear_studies import (
    at_rest,
    changed,
    leaves,
    load,
    number_in,
    on_leaves,
    only_on,
    settled,
    sprung_weight,
    with_change,
    with_evidence,
)

# --- the pack on the car -------------------------------------------------------------------------


def test_a_leaf_added_is_stiffer_and_lifts_the_car() -> None:
    setup = load("small_saloon")
    more = (*leaves(setup), Leaf(5.0, 150.0, 180.0))
    answers = changed("small_saloon", Change("more", sets={"rear.pack.leaf": more}))
    before, after = answers.measured, answers.proposed
    assert after.single["pack_rate"] > before.single["pack_rate"]
    assert after.single["settled_travel"] < 0.0  # sits higher


def test_a_leaf_taken_out_sinks_by_the_weight_over_both_rates() -> None:
    """Same free arch, same weight: deflections differ by W/k_2 - W/k_1 (Hooke); the shackle makes
    the wheel move less than that, in the ratio of the rates."""
    answers = REAR.study(only_on(load("small_saloon"), "Leaf 4 out"))
    before, after = answers.measured.single, answers.unsettled.single
    weight = sprung_weight(answers.setup)
    sinks = weight / after["pack_rate"] - weight / before["pack_rate"]
    stiffer = at_rest(answers.proposed, "wheel_rate") / after["pack_rate"]
    assert after["settled_travel"] == pytest.approx(sinks / stiffer, rel=0.03)


def test_all_leaves_thinner_are_softer_by_the_cube() -> None:
    """Common practice; exact for beams of one width: I = b·t³/12 in every leaf."""
    setup = load("small_saloon")
    thinner = tuple(replace(leaf, thickness=0.9 * leaf.thickness) for leaf in leaves(setup))
    answers = changed("small_saloon", Change("thin", sets={"rear.pack.leaf": thinner}))
    before, after = answers.measured.single, answers.unsettled.single
    for key in ("pack_rate", "pack_rate_tips", "wind_up_stiffness"):
        assert after[key] / before[key] == pytest.approx(0.9**3, rel=1e-9), key
    in_roll = [at_rest(car, "roll_wheel_rate") for car in (answers.measured, answers.proposed)]
    assert in_roll[1] / in_roll[0] == pytest.approx(0.9**3, rel=1e-9)


def test_more_free_arch_lifts_the_car_by_as_much_but_for_the_shackle() -> None:
    setup = load("small_saloon")
    arch = float(setup.evidence["rear.pack.free_arch"])  # type: ignore[arg-type]
    answers = changed("small_saloon", Change("set up", sets={"rear.pack.free_arch": arch + 20.0}))
    car = answers.measured
    stiffer = at_rest(car, "wheel_rate") / car.single["pack_rate"]
    lifts = 20.0 / stiffer
    assert answers.unsettled.single["settled_travel"] == pytest.approx(-lifts, rel=0.03)


def test_the_free_arch_given_is_what_the_pack_needs_for_the_weight() -> None:
    """δ = W/k from the free arch, less what the seat stands below the line of the eyes at ride.

    The line of the eyes is read off the measured points; k is the frame-checked pack's.
    """
    setup = load("small_saloon")
    points = {k: setup.evidence[f"rear.{k}"] for k in ("front_eye", "rear_eye", "centre_bolt")}
    (fx, _, fz), (rx, _, rz), (cx, _, cz) = points.values()  # type: ignore[misc]
    line = rz + (fz - rz) * (cx - rx) / (fx - rx)
    car = REAR.study(setup).measured
    needed = sprung_weight(setup) / car.single["pack_rate"] + line - cz
    assert float(setup.evidence["rear.pack.free_arch"]) == pytest.approx(needed, abs=4.0)  # type: ignore[arg-type]


LAID_OUT = [*product((0.0, 90.0, 110.0), (0.0, 25.0, -15.0), (35.0, 30.0, 5.0, -12.0))]


@pytest.mark.parametrize(("arch", "lean", "contact"), typical_of(LAID_OUT, LAID_OUT[::5]))
def test_the_helper_begins_where_the_tape_says(arch: float, lean: float, contact: float) -> None:
    """The pack's part of the wheel rate jumps at the stated bump from ride height, to 0.05 mm."""
    setup = load("inch_sedan")
    main, helper = leaves(setup)
    x, y, z = -2300.0, 500.0, 300.0
    half, shackle, tilt = 650.0, 90.0, radians(lean)  # + with the spring's end rearward
    sizes = {"front": half, "rear": half}
    given = {
        "rear.front_eye": (x + half, y, z + arch),
        "rear.rear_eye": (x - half, y, z + arch),
        "rear.shackle_body": (
            *(x - half + shackle * sin(tilt), y),
            z + arch + shackle * cos(tilt),
        ),
        "rear.centre_bolt": (x, y, z),
        "rear.wheel_centre": (x, y + 150.0, z - 30.0),
        "rear.pack.leaf": (replace(main, **sizes), replace(helper, contact=contact)),
    }
    evidence = FrozenMap({**setup.evidence, **given})
    car = REAR.study(setup.having(changes=(), evidence=evidence)).measured
    assert car.leaf is not None
    near = contact + np.array([-0.05, 0.05])
    rate = car.sweep_at("travel", near.tolist()).values["wheel_rate_pack"]
    alone, both = car.leaf.stages.rates[Model.COMMON_CURVATURE]
    assert rate[1] / rate[0] == pytest.approx(both / alone, rel=2e-3)
    assert car.leaf.travel_at_contact(car.leaf.stages.contacts[1]) == pytest.approx(
        contact, abs=0.01
    )
    assert car.single["pack_rate"] == pytest.approx(both if contact < 0 else alone)
    if arch == lean == 0.0 and contact < 0:  # a lever of one: by hand k_0·δ + (k_1 - k_0)·taken = W
        deflection = (sprung_weight(setup) + (both - alone) * contact) / alone
        assert car.leaf.stages.contacts[1] == pytest.approx(deflection + contact, rel=2e-3)


def test_a_helper_stays_where_it_is_when_the_main_leaf_gets_thicker() -> None:
    """The gap is iron to iron: it closes at the same arch whatever else carries the car."""
    setup = load("inch_sedan")
    main, helper = leaves(setup)
    thicker = (replace(main, thickness=1.05 * main.thickness), helper)
    answers = changed("inch_sedan", Change("thick", sets={"rear.pack.leaf": thicker}))
    before, after = answers.measured.leaf, answers.unsettled.leaf
    assert before is not None
    assert after is not None
    assert after.stages.contacts[1] == pytest.approx(before.stages.contacts[1], rel=1e-9)
    assert answers.unsettled.single["settled_travel"] < -5.0


# --- blocks, wedges, shackles, eyes, holes -------------------------------------------------------


@on_leaves
@pytest.mark.parametrize("block", [10.0, 25.0])
def test_a_block_lowers_the_body_by_its_thickness(name: str, block: float) -> None:
    """Axle above the leaf: nothing bends, the spring only goes further from the axle."""
    answers = changed(name, Change("block", sets={"rear.block": block}))
    before, after = answers.measured, answers.unsettled
    assert after.single["settled_travel"] == pytest.approx(block, rel=2e-3)
    for key in ("static_deflection", "stress_ride", "pack_rate", "wind_up_stiffness"):
        assert after.single[key] == pytest.approx(before.single[key], rel=1e-3), key
    for key in ("pinion_angle", "shackle_angle", "wheel_rate"):
        assert settled(after, key) == pytest.approx(at_rest(before, key), rel=1e-3), key
    # the spring's line comes down with the body: so does the roll centre that it makes
    assert settled(after, "roll_centre_height") - at_rest(before, "roll_centre_height") == (
        pytest.approx(-block, abs=0.05)
    )
    # and a push at the ground has a shorter lever to the leaf
    assert after.single["wind_up_full"] < before.single["wind_up_full"]


def test_the_blocks_that_were_there_count_already() -> None:
    measured = with_evidence(load("small_saloon"), rear__block=20.0)
    less = REAR.study(with_change(measured, Change("out", sets={"rear.block": 0.0})))
    assert less.measured.single["settled_travel"] == pytest.approx(0.0, abs=1e-9)
    assert less.unsettled.single["settled_travel"] == pytest.approx(-20.0, rel=2e-3)


@on_leaves
@pytest.mark.parametrize("angle", [-2.0, 3.0])
def test_a_wedge_turns_the_pinion_and_little_else(name: str, angle: float) -> None:
    answers = changed(name, Change("wedge", sets={"rear.wedge": radians(angle)}))
    turned = settled(answers.proposed, "pinion_angle") - at_rest(answers.measured, "pinion_angle")
    assert degrees(turned) == pytest.approx(angle, abs=0.01)
    assert answers.unsettled.single["settled_travel"] == pytest.approx(0.0, abs=0.1)
    assert answers.unsettled.single["pack_rate"] == answers.measured.single["pack_rate"]


@on_leaves
def test_a_longer_shackle_lifts_by_a_over_l_of_its_change(name: str) -> None:
    """The spring turns about its front eye, lever a of L; its rear eye can only move up and down,
    so a shackle that leans by ψ moves it by 1/cos ψ of its change."""
    setup = load(name)
    (rx, _, rz), (sx, _, sz) = (
        setup.evidence[f"rear.{key}"]  # type: ignore[misc]
        for key in ("rear_eye", "shackle_body")
    )
    main, length = leaves(setup)[0], hypot(rx - sx, rz - sz)
    answers = changed(name, Change("longer", sets={"rear.shackle_length": length + 10.0}))
    lift = -answers.unsettled.single["settled_travel"]
    lever = main.front / (main.front + main.rear)
    down = (sz - rz) / length
    assert lift == pytest.approx(10.0 * lever / down, rel=0.02)
    assert settled(answers.proposed, "pinion_angle") > at_rest(answers.measured, "pinion_angle")


def test_a_front_eye_reversed_lowers_by_b_over_l_of_what_the_eye_moves() -> None:
    """The eye's centre goes from half a bore and leaf above the leaf to as much below it; the
    shackle, which turns too, takes some of it away."""
    setup = load("small_saloon")
    answers = changed("small_saloon", Change("rolled", sets={"rear.pack.front_eye": "downturned"}))
    main = leaves(setup)[0]
    bore = float(setup.evidence["rear.pack.eye_diameter"])  # type: ignore[arg-type]
    moved = bore + main.thickness
    lowers = moved * main.rear / (main.front + main.rear)
    assert answers.unsettled.single["settled_travel"] == pytest.approx(lowers, rel=0.08)
    back = REAR.study(
        with_change(
            with_evidence(setup, rear__pack__front_eye="downturned"),
            Change("back", sets={"rear.pack.front_eye": "upturned"}),
        )
    )
    assert back.unsettled.single["settled_travel"] == pytest.approx(-lowers, rel=0.12)


def test_a_front_eye_bolted_lower_lifts_the_body_and_steers_more_towards_understeer() -> None:
    """rear.md's rule of the trade; the lift is b/L of the move (a lever about the rear eye)."""
    drop = 12.0
    answers = changed("small_saloon", Change("eye", moves={"rear.front_eye": (0.0, 0.0, -drop)}))
    before, after = answers.measured, answers.proposed
    main = leaves(answers.setup)[0]
    lever = main.rear / (main.front + main.rear)
    assert after.single["settled_travel"] == pytest.approx(-drop * lever, rel=0.05)
    assert settled(after, "roll_steer") > at_rest(before, "roll_steer")
    assert settled(after, "anti_squat") < at_rest(before, "anti_squat")


# --- a pack that stands alone --------------------------------------------------------------------


def test_stress_at_ride_is_that_of_a_beam() -> None:
    """σ = M·t/(2·ΣI) at the clamp's edge, M = W·b/L·(a - c): textbook beam theory, all leaves bent
    alike; the highest of any leaf by either model isn't below it."""
    setup = load("small_saloon")
    pack, weight = leaves(setup), sprung_weight(setup)
    width, clamp = number_in(setup, "rear.pack.width"), number_in(setup, "rear.pack.clamp_length")
    inertia = sum(width * leaf.thickness**3 / 12.0 for leaf in pack)
    a, b = pack[0].front, pack[0].rear
    moments = weight * b / (a + b) * (a - clamp / 2), weight * a / (a + b) * (b - clamp / 2)
    alike = max(moments) * pack[0].thickness / (2.0 * inertia)
    car = REAR.study(setup).measured
    assert car.leaf is not None
    found = car.leaf.stresses(weight).halves[Model.COMMON_CURVATURE].max(axis=0)[0]
    assert found == pytest.approx(alike, rel=1e-9)
    assert car.single["stress_ride"] >= alike


def test_a_leaning_shackle_stiffens_as_handbooks_say() -> None:
    """1 + (8/3)·((δ - 2·arch)/L)·tan ψ (first order, nearly symmetrical spring; derived)."""
    setup = load("small_saloon")
    car = REAR.study(setup).measured
    (rx, _, rz), (sx, _, sz) = (
        setup.evidence[f"rear.{key}"]  # type: ignore[misc]
        for key in ("rear_eye", "shackle_body")
    )
    main = leaves(setup)[0]
    lean = tan(_lean(sx - rx, sz - rz))
    factor = (
        1.0 + 8.0 / 3.0 * (car.single["static_deflection"] - 10.0) / (main.front + main.rear) * lean
    )
    assert at_rest(car, "wheel_rate") / car.single["pack_rate"] == pytest.approx(factor, abs=0.02)


def test_the_load_curve_starts_at_free_and_only_rises() -> None:
    for name in ("small_saloon", "inch_sedan"):
        curve = REAR.study(load(name)).measured.curve
        assert curve is not None
        for load_of in curve.load:
            assert load_of[0] == pytest.approx(0.0, abs=1e-9)
            assert all(after > before for before, after in pairwise(load_of))
        friction = float(load(name).evidence["rear.pack.friction"])  # type: ignore[arg-type]
        np.testing.assert_allclose(curve.half_width, friction * curve.load, rtol=1e-12)


def _lean(rearward: float, up: float) -> float:
    """Angle of a shackle from the vertical [rad], + with the spring's end rearward."""
    angle = float(np.arctan2(rearward, up))
    assert hypot(cos(angle), sin(angle)) == pytest.approx(1.0)
    return angle
