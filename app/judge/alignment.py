"""An alignment: what it shall come to, what is done on each wheel, and what each knob does."""

from __future__ import annotations

from collections.abc import Mapping
from math import asin
from typing import Literal

from app.document.address import Side
from app.document.ends import ALIGNED_END, name_in_end, of_end
from app.document.model import Setup
from app.document.moves import proposed_number
from app.document.plan_pieces import ANGLES, TIE_ROD, TOE_AIMS
from app.judge.aligning_cars import Knob
from geometry.dataclass import dataclass

Per = Literal["shim", "mm", "turn"]
Where = Literal["here", "both", "to front"]


class AlignError(ValueError):
    """An alignment that can't be worked out, with the reason in the user's words."""


@dataclass(frozen=True)
class Aims:
    """What each angle shall be [rad] and how near; toe per wheel, the total split evenly."""

    values: Mapping[str, float]
    within: Mapping[str, float]


@dataclass(frozen=True)
class Sensitivity:
    """What one mm of a knob, or a turn of a rod, does to a wheel's angles [rad]."""

    knob: str
    per: str  # "mm" or "turn"
    camber: float
    caster: float
    toe: float  # before the tie rods are set


@dataclass(frozen=True)
class Effect:
    """What one shim, one mm or one turn does to a wheel's angles [rad], as whole cars tell it.

    `size` is the shim's, or what is turned [mm]. `where` says whether it is at the knob's bolt
    alone, at both bolts of the arm, or taken from the rear one to the front one.
    """

    knob: str
    per: Per
    size: float
    where: Where
    camber: float
    caster: float
    toe: float  # before the tie rods are set


@dataclass(frozen=True)
class WheelAlignment:
    """What is done on one wheel, and what it then reads.

    `packs` are whole new packs, shim by shim [mm], by knob; `moves` what eccentrics and rods move
    [mm] from where they were when it was gauged; `turns` the same in turns. Angles are in rad.
    """

    read: Mapping[str, float]
    packs: Mapping[str, list[float]]
    moves: Mapping[str, float]
    turns: Mapping[str, float]
    reached: Mapping[str, float]
    remaining: Mapping[str, float]
    met: bool


@dataclass(frozen=True)
class Alignment:
    """Both wheels, what each knob does, and whether a gauge was read at all."""

    setup: Setup
    knobs: Mapping[str, Knob]
    wheels: Mapping[Side, WheelAlignment]
    sensitivities: tuple[Sensitivity, ...]
    effects: tuple[Effect, ...]
    aims: Aims
    is_gauged: bool
    gauged_amounts: Mapping[Side, Mapping[str, float]]

    def order(self, side: Side) -> tuple[str, ...]:
        """Return the knobs of a wheel in the order of work: what sets caster first, toe last.

        What changes the caster more than the camber comes before what changes the camber more.
        """
        effects = {each.knob: abs(each.caster) - abs(each.camber) for each in self.sensitivities}
        wheel = self.wheels[side]
        keys = [*wheel.packs, *(key for key in wheel.moves if key != TIE_ROD)]
        ordered = sorted(keys, key=lambda key: -effects.get(key, 0.0))
        return (*ordered, *((TIE_ROD,) if TIE_ROD in wheel.moves else ()))

    def done(self, key: str, side: Side) -> float:
        """Return how far a knob was turned when the car was gauged [mm]: 0, or after some work."""
        return self.gauged_amounts[side].get(key, 0.0)

    def now(self, key: str, side: Side) -> float:
        """Return the thickness of a bolt's pack when the car was gauged [mm]."""
        return self.fitted(key, side) + self.done(key, side)

    def fitted(self, key: str, side: Side) -> float:
        """Return the thickness of the pack that is fitted at a bolt before all of it [mm]."""
        knob = self.knobs[key]
        adjuster = self.setup.adjusters[knob.adjuster]
        return adjuster.packs(side == "right")[adjuster.at.index(knob.point)]

    def is_pack(self, key: str) -> bool:
        """Tell whether a knob is a pack of shims."""
        knob = self.knobs.get(key)
        return knob is not None and bool(self.setup.adjusters[knob.adjuster].sizes)

    def eccentric_angle(self, key: str, move: float) -> float:
        """Return how far an eccentric is turned from its middle [rad]: its throw is its reach."""
        reach = self.setup.adjusters[self.knobs[key].adjuster].reach or (-1.0, 1.0)
        throw = max(map(abs, reach))
        return asin(max(-1.0, min(1.0, move / throw)))


def aims_of(setup: Setup) -> Aims:
    """Return the targets as angles of one wheel.

    Raises
    ------
    AlignError
        There are none, two of one kind, or one that no adjuster is for.
    """
    aims = {name_in_end(key): aim for key, aim in of_end(ALIGNED_END, setup.aims).items()}
    if not aims:
        raise AlignError("nothing says what the alignment shall be: give [front.targets].")
    others = [name for name in aims if name not in (*ANGLES, *TOE_AIMS)]
    if others:
        raise AlignError(
            f"{others[0]} isn't set by adjusters: [front.targets] takes camber, caster and toe."
        )
    toes = [name for name in aims if name in TOE_AIMS]
    if len(toes) > 1:
        raise AlignError(f"{toes[0]} and {toes[1]} are both targets of the toe: give one of them.")
    values: dict[str, float] = {name: aims[name].value for name in ANGLES if name in aims}
    within: dict[str, float] = {name: aims[name].within for name in ANGLES if name in aims}
    for name in toes:
        size = 1.0 / toe_diameter(setup) if name.endswith("_mm") else 1.0
        share = 0.5 if "total" in name else 1.0
        values["toe"], within["toe"] = (
            part * size * share for part in (aims[name].value, aims[name].within)
        )
        if name.endswith("_mm"):
            values["toe"] = asin(values["toe"])
    return Aims(values, within)


def toe_diameter(setup: Setup) -> float:
    """Return the diameter over which toe is a length [mm]."""
    diameter = proposed_number(setup, "front.toe_diameter")
    return diameter or 2.0 * (proposed_number(setup, "front.tyre_radius") or 300.0)
