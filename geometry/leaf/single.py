"""What exists once per car on leaf springs: wind-up under torque, hop and tramp, stress, rates."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.full_loads import FullLoad, full_braking, full_drive
from geometry.leaf.bars import bars_in_bump
from geometry.leaf.bent_axle import LoadedSpring, bent_with_and_without, stiff_axle
from geometry.leaf.car import Place
from geometry.leaf.centres import anti_squat_from_stiffness
from geometry.leaf.hop import HopAxle, held_axle
from geometry.leaf.load import Model
from geometry.leaf.on_car import stresses_of
from geometry.leaf.poses import LeafPoses
from geometry.leaf.reach import design_seat, design_wheel
from geometry.leaf.rear import LeafRear
from geometry.leaf.wind_up import (
    TractionBars,
    WindUp,
    bar_stiffness,
    pitch_arm_inverse,
    seat_stiffness,
    wind_up_stiffness,
)
from geometry.modes.dampers import Damper
from geometry.modes.hop import Hop, all_layouts, hop_results
from geometry.modes.modes import modes_of
from geometry.numeric import first_of_each, quietly
from geometry.standing import contact_slope_to_road

WIND_UP_STEPS: Final = 41
"""Thrusts at which the torque-rotation curve is worked out, from full braking to full drive."""

STEPS: Final = (0.25, 0.5, 0.75, 1.0)
"""Shares of full drive and of full braking that are told of."""


@dataclass(frozen=True)
class TorqueCurve:
    """The axle from full braking to full drive.

    Parameters
    ----------
    twist
        The axle at thrusts between, `STEPS` of each of the two among them.
    drive, braking
        The two ends, and what limits them.
    is_small
        Whether it is by the stiffness where the axle stands, for small turns: so where the spring's
        whole geometry has no equilibrium at one of the thrusts.
    touch
        With bars, the thrust at which their snubbers touch [N], and the axle's rise at full drive
        without them [mm].
    """

    twist: WindUp
    drive: FullLoad
    braking: FullLoad
    is_small: bool
    touch: tuple[float, float] | None = None

    def place(self, share: float) -> int:
        """Return the place of a share of full drive (+) or of full braking (-), of `STEPS`."""
        push = share * self.drive.force if share >= 0 else share * self.braking.force
        return int(np.argmin(np.abs(self.twist.thrust - push)))


@quietly
def torque_curve(rear: LeafRear) -> TorqueCurve | None:
    """Return the axle from full braking to full drive.

    None where engine, ratios, grip or the load aren't known.

    Parameters
    ----------
    rear
        The rear.
    """
    drive, braking = full_drive(rear.car), full_braking(rear.car)
    spring = loaded_spring(rear)
    if drive is None or braking is None or spring is None:
        return None
    if not np.isfinite([braking.force, drive.force]).all():
        return None
    pushes = [np.linspace(-braking.force, drive.force, WIND_UP_STEPS)]
    pushes += [np.outer(STEPS, [-braking.force, drive.force]).ravel(), np.zeros(1)]
    every_thrust = np.concatenate(pushes)
    thrusts = every_thrust[first_of_each(every_thrust)]
    bent, touch = bent_with_and_without(spring, thrusts, drive.force)
    twist = bent
    if twist is None:
        twist = stiff_axle(spring, thrusts)
    return TorqueCurve(twist, drive, braking, bent is None, touch)


def loaded_spring(rear: LeafRear) -> LoadedSpring | None:
    """Return one spring where it carries its load, None where that isn't known.

    Parameters
    ----------
    rear
        The rear.
    """
    car, ride = rear.car, rear.ride
    if car.load is None or ride is None:
        return None
    return LoadedSpring(
        loop=rear.loop,
        rates=rear.rates,
        load=car.load,
        pack_load=float(ride.pack_load[0]),
        tyre_radius=car.tyre_radius,
        thrust=rear.thrust,
        bars=rear.bars,
    )


@quietly
def hop_modes(rear: LeafRear) -> Hop | None:
    """Return the modes, None where masses, tyre rate or dampers aren't known, or mean nothing."""
    axle = hop_axle(rear)
    rated = [damper for damper in rear.car.dampers if damper[2] is not None]
    if axle is None or len(rated) < 2:
        return None
    closed = None if rear.bars is None else rear.bars.gap <= 0.0
    states = [replace(axle, bars=rear.bars if closed else None)]
    if closed is not None:
        states.append(replace(axle, bars=None if closed else rear.bars))
    dampers = tuple(_damper(rear, at, body, rate or 0.0) for at, body, rate in rated)
    # layouts are compared with the bars as they stand; of their other state only the dampers' own
    fitted = all_layouts(held_axle(states[0]), dampers)
    others = [modes_of(held_axle(state), (dampers,)) for state in states[1:]]
    if fitted is None or None in others:
        return None
    other = next((modes[0] for modes in others if modes is not None), None)
    return Hop(dampers, fitted[0].modes, fitted[1:], closed=closed, other=other)


def hop_axle(rear: LeafRear) -> HopAxle | None:
    """Return the axle that swings, without bars; None where masses or tyre rate aren't known.

    Parameters
    ----------
    rear
        The rear.
    """
    car, thrust = rear.car, rear.thrust
    if car.axle is None or car.tyre_rate is None:
        return None
    return HopAxle(
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
    rear: LeafRear,
    torque: TorqueCurve | None,
    hop: Hop | None,
    pitch: float = 0.0,
    short: bool = False,
    full_bump: LeafPoses | None = None,
) -> dict[str, float]:
    """Return the results that exist once per car, by key.

    Parameters
    ----------
    rear
        The rear.
    torque
        The axle from full braking to full drive; None where not known.
    hop
        Modes as they are and in other layouts; None where not known.
    pitch
        Of the body where it stands [rad], + nose down.
    short
        Whether to leave out where traction bars close in bump.
    full_bump
        Its level pose at full bump, where that has been solved; None solves it, if it is reached.
    """
    car, rates = rear.car, rear.rates
    single = {
        "wind_up_stiffness": wind_up_stiffness(rates, "load"),
        "pack_rate": float(rear.stages.rates[Model.COMMON_CURVATURE, rear.stage]),
        "pack_rate_tips": float(rear.stages.rates[Model.POINT_CONTACT, rear.stage]),
    }
    full_bump = full_bump or rear.full_bump
    single |= _stress_results(rear, full_bump)
    if not short:
        single |= bars_in_bump(rear, full_bump)
    if rear.settled_travel is not None:
        single["settled_travel"] = rear.settled_travel
    if torque is not None:
        single |= _torque_results(rear, torque)
    if hop is not None:
        single |= hop_results(hop)
    if car.bars is not None and car.leverage is not None:
        single["anti_squat_bars"] = _anti_squat_closed(rear, car.bars, pitch) * car.leverage
    return {key: value for key, value in single.items() if np.isfinite(value)}


def _anti_squat_closed(rear: LeafRear, bars: TractionBars, pitch: float) -> float:
    """Return anti-squat with the bars closed, to the road [%], of a car as high as long."""
    arm_inverse = pitch_arm_inverse(seat_stiffness(rear.rates) + bar_stiffness(bars))
    at_road = rear.thrust
    at_hub = replace(at_road, height=at_road.height - rear.car.tyre_radius)
    contact, hub = (
        -anti_squat_from_stiffness(arm_inverse, path, 1.0, 1.0) / 100.0
        for path in (at_road, at_hub)
    )
    return -100.0 * float(contact_slope_to_road(hub, contact, pitch))


def _stress_results(rear: LeafRear, full_bump: LeafPoses | None) -> dict[str, float]:
    stresses = stresses_of(rear, full_bump)
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


def _torque_results(rear: LeafRear, torque: TorqueCurve) -> dict[str, float]:
    twist, last = torque.twist, torque.place(1.0)
    values = {
        "wind_up_full": float(twist.rotation[last]),
        "lift_full": -float(twist.rise[last]),
        "eye_load_least": float(twist.eye_load[:, last].min()),
    }
    for key, angle in rear.wound_up(values["wind_up_full"], -values["lift_full"]).items():
        values[f"{key}_full"] = float(angle[0])
    if torque.touch is not None:
        closes, rise = torque.touch
        values["bars_close_at"] = closes
        values["bars_push_full"] = float(twist.snubber[last])
        values["bars_lift_full"] = rise - float(twist.rise[last])
    return values
