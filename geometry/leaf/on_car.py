"""What the leaves bear on the car: each leaf's stress at ride and at full bump.

The leaves bear the pack's load: that at the wheel before the shackle's lever.
"""

from __future__ import annotations

from geometry.dataclass import dataclass
from geometry.leaf.load import LeafStresses, Model, stresses_from_eyes
from geometry.leaf.rear import LeafRear
from geometry.leaf.ride import spring_on_car
from geometry.numeric import quietly
from geometry.vectors import Array


@dataclass(frozen=True)
class StressesOnCar:
    """Stresses of each leaf of one spring on the car.

    Parameters
    ----------
    ride
        Under the load that the spring carries, wherever the car then stands.
    bump
        At full bump, which counts from the measured height: None where it isn't known how far the
        car settles from there, or where the axle doesn't reach full bump.
    """

    ride: LeafStresses
    bump: LeafStresses | None


@quietly
def stresses_at_ride_and_bump(rear: LeafRear) -> StressesOnCar | None:
    """Return each leaf's stress at ride and at full bump, None where the load isn't known.

    Parameters
    ----------
    rear
        A car's leaf axle, as measured or as proposed.
    """
    ride, load = rear.ride, rear.car.load
    if ride is None or load is None:
        return None
    bump = None
    if rear.settled_travel is not None and rear.full_bump is not None:
        model = Model.COMMON_CURVATURE
        spring = spring_on_car(rear.stages, rear.loop, rear.full_bump, load, model)
        bump = rear.stresses(float(spring.pack_load[0]))
    return StressesOnCar(rear.stresses(float(ride.pack_load[0])), bump)


@quietly
def bent_stresses(rear: LeafRear, bending_load: Array) -> LeafStresses | None:
    """Return each leaf's stress with its halves bent by loads of their own, None without a load.

    Parameters
    ----------
    rear
        A car's leaf axle.
    bending_load
        What bends the front and the rear half, as loads at the eyes [N], shape (2,).
    """
    if rear.ride is None:
        return None
    load = float(rear.ride.pack_load[0])
    return stresses_from_eyes(rear.stages, bending_load, load)
