"""What exists once per car on leaf springs: wind-up under torque, hop and tramp, stress, rates."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.leaf.bars import bars_in_bump
from geometry.leaf.car import Place
from geometry.leaf.centres import anti_squat_from_stiffness
from geometry.leaf.hop import Damper, HopAxle, Modes, damper_layouts, layout_modes
from geometry.leaf.load import HalfRates, Model
from geometry.leaf.on_car import stresses_at_ride_and_bump
from geometry.leaf.reach import design_seat, design_wheel
from geometry.leaf.rear import LeafRear
from geometry.leaf.wind_up import (
    TractionBars,
    WindUp,
    bar_stiffness,
    closing_thrust,
    driving_thrust,
    pitch_arm_inverse,
    seat_stiffness,
    wind_up,
    wind_up_stiffness,
)
from geometry.numeric import quietly

WIND_UP_STEPS = 41
"""Thrusts at which the torque-rotation curve is worked out, from full braking to full drive."""


@dataclass(frozen=True)
class Hop:
    """The axle's modes as the dampers are, and in the four layouts.

    With traction bars they are those at small motion where the car stands, `closed` tells whether
    the snubbers touch there, and `other` are the modes in the other state; both None without bars.
    """

    axle: HopAxle
    dampers: tuple[Damper, ...]
    own: Modes
    layouts: tuple[Modes, ...]
    closed: bool | None = None
    other: Modes | None = None


@quietly
def torque_curve(rear: LeafRear) -> tuple[WindUp, float, bool] | None:
    """Return the axle from full braking to full drive, the full thrust [N] and if grip limits it.

    None where engine, ratios, grip or the load aren't known.
    """
    car = rear.car
    if car.drive is None or car.load is None:
        return None
    weight = car.axle_load or 2.0 * car.load
    drive = car.drive
    full, by_grip = driving_thrust(
        drive.engine_torque,
        drive.gear,
        drive.final_drive,
        car.tyre_radius,
        weight,
        drive.grip,
        drive.efficiency,
    )
    braking = drive.grip * weight
    if not np.isfinite([braking, full]).all():
        return None
    pushes = np.unique(np.concatenate([np.linspace(-braking, full, WIND_UP_STEPS), [0.0, full]]))
    return wind_up(rear.rates, pushes, rear.thrust, car.load, rear.bars), full, by_grip


@quietly
def hop_modes(rear: LeafRear) -> Hop | None:
    """Return the modes, None where masses, tyre rate or dampers aren't known, or mean nothing."""
    car = rear.car
    rated = [damper for damper in car.dampers if damper[2] is not None]
    if car.axle is None or car.tyre_rate is None or len(rated) < 2:
        return None
    thrust = rear.thrust
    axle = HopAxle(
        mass=car.axle.mass,
        roll_inertia=car.axle.roll_inertia,
        pitch_inertia=car.axle.pitch_inertia,
        rates=rear.rates,
        spring_base=rear.spring_base,
        track=rear.track,
        tyre_rate=car.tyre_rate,
        seat=_seat(rear),
        fore_aft_rate=car.bush_rate or HopAxle.fore_aft_rate,
        slope=thrust.slope,
        hinge=thrust.hinge,
    )
    closed = None if rear.bars is None else rear.bars.gap <= 0.0
    states = [replace(axle, bars=rear.bars if closed else None)]
    if closed is not None:
        states.append(replace(axle, bars=None if closed else rear.bars))
    dampers = tuple(_damper(rear, at, body, rate or 0.0) for at, body, rate in rated)
    layouts = dampers, *damper_layouts(dampers[0], dampers[1])
    sets = [layout_modes(state, layouts) for state in states]
    if None in sets:
        return None
    fitted, *others = [modes for modes in sets if modes is not None]
    other = others[0][0] if others else None
    return Hop(states[0], dampers, fitted[0], fitted[1:], closed, other)


def _seat(rear: LeafRear) -> tuple[float, float]:
    """Return the centre bolt from the wheel centres' line at ride, (forward, up) [mm]."""
    at_ride = design_seat(rear.loop)
    x, z = design_wheel(rear.loop)
    return float(at_ride.x[0]) - x, float(at_ride.z[0]) - z


def _damper(rear: LeafRear, at: Place, body: Place, rate: float) -> Damper:
    """Return a damper with its body end where the settled car has it against the axle."""
    x, _, z = rear.car.moved.wheel_centre
    at_ride = design_wheel(rear.loop)
    return Damper(
        (at[0] - x, at[1], at[2] - z),
        (
            body[0] - at[0] - (at_ride[0] - x),
            body[1] - at[1],
            body[2] - at[2] - (at_ride[1] - z),
        ),
        rate,
    )


@quietly
def single_results(
    rear: LeafRear, twist: tuple[WindUp, float, bool] | None, hop: Hop | None
) -> dict[str, float]:
    """Return the results that exist once per car, by key.

    Parameters
    ----------
    rear
        The rear.
    twist
        Wind-up over thrusts, the full thrust [N], and whether grip limits it; None where not known.
    hop
        Modes as they are and in other layouts; None where not known.
    """
    car, rates = rear.car, rear.rates
    single = {
        "wind_up_stiffness": wind_up_stiffness(rates, "load"),
        "pack_rate": float(rear.stages.rates[Model.COMMON_CURVATURE, rear.stage]),
        "pack_rate_tips": float(rear.stages.rates[Model.POINT_CONTACT, rear.stage]),
    }
    single |= _stress_results(rear) | bars_in_bump(rear)
    if rear.settled_travel is not None:
        single["settled_travel"] = rear.settled_travel
    if twist is not None:
        single |= _twist_results(rear, *twist)
    if hop is not None:
        for index, name in ((1, "hop"), (2, "tramp"), (3, "wind_up")):
            single[f"{name}_frequency"] = float(hop.own.named.frequency[index])
            single[f"{name}_damping"] = float(hop.own.named.damping[index])
    if car.bars is not None and car.wheelbase and car.cg_height:
        single["anti_squat_bars"] = anti_squat_from_stiffness(
            _closed_arm(rates, car.bars), rear.thrust, car.wheelbase, car.cg_height
        )
    return {key: value for key, value in single.items() if np.isfinite(value)}


def _closed_arm(rates: HalfRates, bars: TractionBars) -> float:
    return pitch_arm_inverse(seat_stiffness(rates) + bar_stiffness(bars))


def _stress_results(rear: LeafRear) -> dict[str, float]:
    stresses = stresses_at_ride_and_bump(rear)
    if rear.ride is None or stresses is None:
        return {}
    values = {
        "static_deflection": rear.ride.static_deflection,
        "stress_ride": float(stresses.ride.worst.max()),
    }
    if stresses.bump is not None:
        values["stress_bump"] = float(stresses.bump.worst.max())
        if np.isfinite(rear.stages.pack.limits).any():
            values["stress_margin"] = 100.0 * float(stresses.bump.margin.min())
    return values


def _twist_results(rear: LeafRear, twist: WindUp, full: float, by_grip: bool) -> dict[str, float]:
    last = int(np.flatnonzero(twist.thrust == full)[-1])
    values = {
        "full_thrust": full,
        "wind_up_full": float(twist.rotation[last]),
        "lift_full": -float(twist.rise[last]),
        "eye_load_least": float(twist.eye_load[:, last].min()),
    }
    for key, angle in rear.wound_up(values["wind_up_full"]).items():
        values[f"{key}_full"] = float(angle[0])
    if rear.bars is not None:
        values["bars_close_at"] = closing_thrust(rear.rates, rear.thrust, rear.bars, "load")
        without = wind_up(rear.rates, full, rear.thrust, rear.car.load or 0.0)
        values["bars_push_full"] = float(twist.snubber[last])
        values["bars_lift_full"] = float(without.rise[0] - twist.rise[last])
    return values
