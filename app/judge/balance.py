"""Front against rear in a corner: body roll, and the load that goes to the outer wheels, per g."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from app.document.ends import ENDS, has_both_ends, key_in, unsprung_key
from app.document.masses import sprung_mass_on
from app.document.model import Setup
from app.document.moves import Numbers, proposed_settings
from app.systems.answers import CarAnswers, CarName, Study
from geometry.balance import (
    AxleTransfer,
    elastic_transfer,
    roll_gradient,
    roll_stiffness,
    side_moment_transfer,
)
from geometry.conventions import GRAVITY
from geometry.dataclass import dataclass

NOTE = (
    "Per g of cornering, linear, from springs and roll centres where each car stands: stabiliser "
    "bars, tyres and leaves' twist are not in it."
)


@dataclass(frozen=True)
class Balance:
    """One car in a corner.

    `roll` is the body's [rad per g]; the transfers are from the inner to the outer wheel of each
    axle [N per g].
    """

    roll: float
    front: AxleTransfer
    rear: AxleTransfer

    @property
    def front_share(self) -> float:
        """The front's share of the whole transfer [%]: more of it means more understeer."""
        front, rear = float(self.front.total), float(self.rear.total)
        return 100.0 * front / (front + rear)


@dataclass(frozen=True)
class _End:
    sprung: float
    unsprung: float
    wheel_height: float
    roll_centre: float
    rate: float
    track: float

    @property
    def stiffness(self) -> float:
        return float(roll_stiffness(self.rate, self.track))

    def transfer(self, roll: float) -> AxleTransfer:
        return AxleTransfer(
            side_moment_transfer(self.sprung, 1.0, self.roll_centre, self.track),
            elastic_transfer(roll, self.stiffness, self.track),
            side_moment_transfer(self.unsprung, 1.0, self.wheel_height, self.track),
        )


def balances(studies: Sequence[Study[Any]]) -> dict[CarName, Balance]:
    """Return the balance of the measured and of the proposed car, as far as its data are given."""
    by_system = {study.system.key: study for study in studies}
    if not has_both_ends(by_system):
        return {}
    front, rear = (by_system[end] for end in ENDS)
    setups = {"measured": front.setup.having(changes=()), "proposed": front.setup}
    balances_by_name = {
        name: _balance(setups[name], front.cars[name], rear.cars[name]) for name in front.cars
    }
    if any(study.settles_nowhere for study in studies):  # it stands at no height to lean from
        del balances_by_name["proposed"]
    return {name: balance for name, balance in balances_by_name.items() if balance is not None}


def _balance(setup: Setup, front: CarAnswers, rear: CarAnswers) -> Balance | None:
    number = Numbers(proposed_settings(setup))
    one, other = (_end(number, end, car) for end, car in zip(ENDS, (front, rear), strict=True))
    mass, height = number.get("car.mass"), _height(number, front)
    if one is None or other is None or mass is None or height is None:
        return None
    if min(one.sprung, other.sprung, one.track, other.track) <= 0.0:
        return None
    sprung = one.sprung + other.sprung
    low = one.unsprung * one.wheel_height + other.unsprung * other.wheel_height
    sprung_height = (mass * height - low) / sprung
    axis = (one.sprung * one.roll_centre + other.sprung * other.roll_centre) / sprung
    arm, stiffness = sprung_height - axis, one.stiffness + other.stiffness
    if stiffness <= sprung * GRAVITY * arm:  # the body would fall over: there is no such angle
        return None
    roll = float(roll_gradient(sprung, arm, stiffness))
    return Balance(roll, one.transfer(roll), other.transfer(roll))


def _height(number: Numbers, car: CarAnswers) -> float | None:
    """Return how high the whole car's centre of gravity then is [mm]: wheels and axle stay."""
    height = number.get("car.cg_height")
    return None if height is None else height - car.stand.drop


def _end(number: Numbers, end: str, car: CarAnswers) -> _End | None:
    """Return what an end of the car brings into a corner."""
    sprung, unsprung = sprung_mass_on(end, number.get), number.get(unsprung_key(end))
    radius, stance = number.get(key_in(end, "tyre_radius")), car.stance
    if sprung is None or radius is None or unsprung is None or stance is None:
        return None
    return _End(
        sprung,
        unsprung,
        radius,
        stance.roll_centre,
        stance.roll_rate,
        stance.track,
    )
