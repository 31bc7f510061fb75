"""Front against rear in a corner: body roll, and the load that goes to the outer wheels, per g."""

from __future__ import annotations

from dataclasses import dataclass

from app.document.model import Setup
from app.document.moves import Numbers, set_values
from app.systems.answers import CarAnswers, Study
from app.systems.front.study import FrontAnswers
from app.systems.rear.answers import RearAnswers
from geometry.balance import (
    AxleTransfer,
    elastic_transfer,
    roll_gradient,
    roll_stiffness,
    side_moment_transfer,
)
from geometry.conventions import GRAVITY

NOTE = (
    "Per g of cornering, linear, from springs and roll centres at rest: stabiliser bars, tyres and "
    "leaves' twist are not in it."
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


def balances(front: Study[FrontAnswers], rear: Study[RearAnswers]) -> dict[str, Balance]:
    """Return the balance of the measured and of the proposed car, as far as its data are given."""
    setups = {
        "measured": front.setup.having(changes=()),
        "proposed": front.setup,
    }
    found = {
        "measured": _balance(setups["measured"], front.measured, rear.measured),
        "proposed": _balance(setups["proposed"], front.proposed, rear.proposed),
    }
    return {car: balance for car, balance in found.items() if balance is not None}


def _balance(setup: Setup, front: CarAnswers, rear: RearAnswers) -> Balance | None:
    number = Numbers({**setup.evidence, **set_values(setup)})
    one, other = _front_end(number, front), _rear_end(number, rear)
    mass, height = number.get("car.mass"), number.get("car.cg_height")
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


def _front_end(number: Numbers, car: CarAnswers) -> _End | None:
    values = car.rest.values
    sprung = _sprung(number, "front")
    radius, unsprung = number.get("front.tyre_radius"), number.get("car.front_unsprung")
    if sprung is None or radius is None or unsprung is None or "wheel_rate" not in values:
        return None
    return _End(
        sprung,
        unsprung,
        radius,
        float(values["roll_centre_height"][0]),
        float(values["wheel_rate"].mean()),
        float(values["half_track"].sum()),
    )


def _rear_end(number: Numbers, car: RearAnswers) -> _End | None:
    values = car.rest.values
    sprung = _sprung(number, "rear")
    radius, unsprung = number.get("rear.tyre_radius"), number.get("car.rear_unsprung")
    body = car.leaf if car.leaf is not None else car.links.axle if car.links is not None else None
    if sprung is None or radius is None or unsprung is None or body is None:
        return None
    if "roll_wheel_rate" not in values:
        return None
    return _End(
        sprung,
        unsprung,
        radius,
        float(values["roll_centre_height"][0]),
        float(values["roll_wheel_rate"][0]),
        body.track,
    )


def _sprung(number: Numbers, axle: str) -> float | None:
    mass, share = number.get("car.mass"), number.get("car.front_share")
    unsprung = number.get(f"car.{axle}_unsprung")
    if mass is None or share is None or unsprung is None:
        return None
    return mass * (share if axle == "front" else 1.0 - share) - unsprung
