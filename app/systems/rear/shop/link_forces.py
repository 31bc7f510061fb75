"""Forces in an axle's links, standing, at full drive and at full braking, as rows. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars

NOTE: Final = (
    "+ pulls, − pushes; a coil's + is compressed. Statics of the axle, load transfer in it; the "
    "propeller shaft's own torque, side force, bumps and dampers aren't: bolts, welds and mounts "
    "have to hold a multiple of it, and are judged by somebody qualified."
)


@dataclass(frozen=True)
class LinkForceRow:
    """A link, a coil, or the thrust of a car: its force in each case [N]."""

    name: str
    forces: tuple[float, ...]


@dataclass(frozen=True)
class LinkForceTable:
    """One car's link forces: the cases as heads, and rows."""

    car: str
    cases: tuple[str, ...]
    rows: tuple[LinkForceRow, ...]


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
        yield LinkForceTable(name, tuple(each.case for each in cases), tuple(rows))
