"""Full drive and full braking against hand statics of a car with load transfer."""

from dataclasses import replace

import pytest

from geometry.full_loads import full_braking, full_drive
from geometry.leaf.car import Drive, Fitted, LeafCar, LeafPoints
from tests.geometry.leaf.test_leaf_pack import FIVE

# A car of 9000 N, 4000 N of it on the rear axle; h/l = 500/2500 = 0.2; 0.3 m wheels.
NOWHERE = LeafPoints(*[(0.0, 0.0, 0.0)] * 5)
CAR = LeafCar(
    points=NOWHERE,
    moved=NOWHERE,
    pack=FIVE,
    measured_fit=Fitted(),
    fit=Fitted(),
    pinion=0.0,
    tyre_radius=300.0,
    load=1700.0,
    axle_load=4000.0,
    weight=9000.0,
    wheelbase=2500.0,
    cg_height=500.0,
    brake_share=0.3,
    drive=Drive(120e3, 3.5, 4.0, 0.8, 0.9),
)


def of(car: LeafCar) -> tuple[float, str, float, str]:
    drive, braking = full_drive(car), full_braking(car)
    assert drive is not None
    assert braking is not None
    return drive.force, drive.by, braking.force, braking.by


def test_tyres_hold_more_with_the_load_that_pulling_away_brings():
    # Engine 120·3.5·4·0.9/0.3 = 5040 N; tyres 0.8·4000/(1 - 0.8·0.2) = 3809.5 N, by hand.
    force, by, _, _ = of(CAR)
    assert force == pytest.approx(3809.52, abs=0.01)
    assert by == "tyres"
    # Moments about the front contact: the rear stands on 4000 + 3809.5·0.2 and slips at 0.8 of it.
    assert force == pytest.approx(0.8 * (4000.0 + force * 0.2))


def test_weak_engine_ends_full_drive():
    weak = replace(CAR, drive=Drive(80e3, 3.5, 4.0, 0.8, 0.9))
    assert of(weak)[:2] == (pytest.approx(3360.0), "engine")


def test_braking_takes_load_off_the_rear_tyres():
    # All wheels at 0.8: the car slows by 0.8 g, brakes 0.3·7200 = 2160 N at the rear; its tyres
    # hold 0.8·(4000 - 7200·0.2) = 2048 N, by hand.
    assert of(CAR)[2:] == (pytest.approx(2048.0), "tyres")
    assert of(replace(CAR, brake_share=0.2))[2:] == (pytest.approx(1440.0), "brakes")


def test_without_height_or_wheelbase_the_standing_load_is_all():
    for lacking in ({"cg_height": None}, {"wheelbase": None}):
        low = replace(CAR, **lacking)  # type: ignore[arg-type]
        assert of(low)[0] == pytest.approx(3200.0)
        assert of(low)[2] == pytest.approx(2160.0)


def test_rear_wheels_that_lift_brake_nothing_and_front_ones_that_lift_end_nothing():
    tall = replace(CAR, cg_height=4000.0)
    assert of(tall) == (pytest.approx(5040.0), "engine", 0.0, "tyres")


def test_without_engine_and_grip_nothing_is_full():
    car = replace(CAR, drive=None)
    assert full_drive(car) is None
    assert full_braking(car) is None


def test_without_grip_or_load_the_engines_share_is_known_and_no_braking():
    """120 N·m x 3.5 x 4.0 x 0.9 over the tyre's radius, whatever the tyres hold."""
    engine = 120e3 * 3.5 * 4.0 * 0.9 / CAR.tyre_radius
    no_grip = replace(CAR, drive=Drive(120e3, 3.5, 4.0, None, 0.9))
    no_load = replace(CAR, load=None, axle_load=None)
    for car in (no_grip, no_load):
        drive = full_drive(car)
        assert drive is not None
        assert (drive.force, drive.by) == (pytest.approx(engine), "engine")
        assert full_braking(car) is None


def test_without_the_engine_braking_is_known_and_no_thrust():
    car = replace(CAR, drive=Drive(None, None, None, 0.8))
    assert full_drive(car) is None
    assert full_braking(car) == full_braking(CAR)


def test_the_axles_own_weight_is_not_needed_where_the_wheels_were_weighed():
    weighed = replace(CAR, axle_load=6000.0)
    assert of(replace(weighed, load=None)) == of(weighed)
