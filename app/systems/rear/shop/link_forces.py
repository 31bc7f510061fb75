"""Forces in an axle's links, standing, at full drive and at full braking, as rows. No Qt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars
from app.systems.rear.words.torque import left_out
from geometry.dataclass import dataclass
from geometry.links.statics import LinkForces, bolt_shear

_FORCES: Final = (
    "+ pulls, − pushes; a coil's + is compressed. Statics of the axle{transfer}; the "
    "propeller shaft's own torque, side force, bumps and dampers aren't in it: bolts, welds and "
    "mounts have to hold a multiple of it, and are judged by somebody qualified."
)
SHEAR: Final = "greatest bolt shear"
_SHEAR: Final = (
    "Bolt shear is an indication: the most loaded link's force over twice its bolt's area, held on "
    "both sides. The bolt's bending, brackets, welds and fatigue aren't judged."
)


@dataclass(frozen=True)
class LinkForceRow:
    """A link, a coil, or the thrust of a car: its force in each case [N]."""

    name: str
    forces: tuple[float, ...]


@dataclass(frozen=True)
class LinkForceTable:
    """One car's link forces: the cases as heads, and rows.

    `shear` is the greatest mean shear in the links' bolts in each case [N/mm²], empty where their
    diameter isn't given; `note` says how the figures are to be read, and what isn't in them.
    """

    car: str
    cases: tuple[str, ...]
    rows: tuple[LinkForceRow, ...]
    shear: tuple[float, ...]
    note: str


def link_force_tables(study: Study[RearAnswers]) -> tuple[LinkForceTable, ...]:
    """Return a table for each car on links whose weight and coils are known."""
    return tuple(_tables(study))


def _tables(study: Study[RearAnswers]) -> Iterator[LinkForceTable]:
    for name, car in named_cars(study):
        cases = car.link_forces
        if car.links is None or not cases:
            continue
        rows = [LinkForceRow("thrust at the ground", tuple(each.thrust for each in cases))]
        rows += [
            LinkForceRow(link, tuple(float(each.links[place]) for each in cases))
            for place, link in enumerate(car.links.axle.links)
        ]
        rows += [
            LinkForceRow(f"{side} coil", tuple(float(each.coils[place]) for each in cases))
            for place, side in enumerate(("left", "right"))
        ]
        diameter = car.links.car.bolt_diameter
        shear = () if diameter is None else greatest_shear(cases, diameter)
        note = _note(study, car, bool(shear))
        yield LinkForceTable(name, tuple(each.case for each in cases), tuple(rows), shear, note)


def _note(study: Study[RearAnswers], car: RearAnswers, has_shear: bool) -> str:
    """Say how the figures are to be read, and what isn't in them."""
    moves = len(car.link_forces) > 1  # drives and brakes, not standing alone
    has_transfer = car.links is not None and car.links.car.leverage is not None
    notes = [_FORCES.format(transfer=", load transfer in it" if moves and has_transfer else "")]
    notes += left_out(study) if moves else ()
    return " ".join([*notes, *([_SHEAR] if has_shear else [])])


def greatest_shear(cases: Iterable[LinkForces], diameter: float) -> tuple[float, ...]:
    """Return the shear of the most loaded link's bolts in each case [N/mm²]."""
    return tuple(float(bolt_shear(each.links, diameter).max()) for each in cases)
