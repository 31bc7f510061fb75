"""What the leaves bear on the car: each leaf's stress at ride and at full bump.

The leaves bear the pack's load: that at the wheel before the shackle's lever.
"""

from __future__ import annotations

from geometry.dataclass import dataclass
from geometry.leaf.load import LeafStresses, stresses_from_eyes
from geometry.leaf.poses import LeafPoses
from geometry.leaf.rear import LeafRear
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
    return stresses_of(rear, rear.full_bump)


@quietly
def stresses_of(rear: LeafRear, full_bump: LeafPoses | None) -> StressesOnCar | None:
    """Return the same where the pose at full bump is at hand, None where it isn't reached.

    Parameters
    ----------
    rear
        A car's leaf axle.
    full_bump
        Its level pose there.
    """
    ride = rear.ride
    if ride is None:
        return None
    bump = None
    if full_bump is not None and rear.settled_travel is not None:
        load = rear.pack_load_in(full_bump)
        bump = None if load is None else rear.stresses(float(load[0]))
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
