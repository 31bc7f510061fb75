"""Front against rear in a corner, in the report: a table, and an object for machines."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import degrees
from typing import Final

from app.cli.tables import Column, Page
from app.document.ends import ENDS
from app.document.units import NO_VALUE, number_of, unit_of
from app.judge.balance import NOTE, Balance, balances
from app.shop.stops import is_stopped
from app.systems.answers import CARS, CarName
from app.systems.report import Report

_TOLD: Final[dict[str, str]] = {"measured": "found", "proposed": "built"}
Reading = Callable[[Balance], float]

ROWS: Final[tuple[tuple[str, str, int, Reading], ...]] = (
    ("Body roll", "angle", 1, lambda car: car.roll),
    ("Load to the outer front wheel", "force", 0, lambda car: float(car.front.total)),
    ("  through the linkage", "force", 0, lambda car: float(car.front.geometric)),
    ("  through the springs", "force", 0, lambda car: float(car.front.elastic)),
    ("  of the wheels themselves", "force", 0, lambda car: float(car.front.unsprung)),
    ("Load to the outer rear wheel", "force", 0, lambda car: float(car.rear.total)),
    ("  through the linkage", "force", 0, lambda car: float(car.rear.geometric)),
    ("  through the springs", "force", 0, lambda car: float(car.rear.elastic)),
    ("  of the wheels themselves", "force", 0, lambda car: float(car.rear.unsprung)),
    ("Front's share; more understeers more", "percent", 0, lambda car: car.front_share),
)


def balances_of(ends: Sequence[Report]) -> Mapping[CarName, Balance]:
    """Return each car's balance where both ends are given, with what it needs."""
    return balances([end.study for end in ends])


def balance_table(page: Page, ends: Sequence[Report]) -> None:
    """Add the table of the balance, if there is one."""
    cars, units = balances_of(ends), ends[0].study.setup.units
    if not cars:
        return
    page.heading("Front against rear in a corner, per g")
    shown = CARS if any(end.study.changed for end in ends) else CARS[:1]
    if any(is_stopped(end.study) for end in ends):
        cars = {car: balance for car, balance in cars.items() if car != "proposed"}
    rows = []
    for title, kind, places, read in ROWS:
        figures = [
            number_of(read(cars[car]), kind, units, places=places) if car in cars else NO_VALUE
            for car in shown
        ]
        rows.append([title, *figures, unit_of(kind, units)])
    heads = [
        Column("", words=True),
        *(Column(f"as {_TOLD[car]}") for car in shown),
        Column("unit", words=True),
    ]
    page.table(heads, rows)
    page.paragraph(NOTE)


def balance_object(ends: Sequence[Report]) -> dict[str, object] | None:
    """Return the same for machines: degrees and N, per g."""
    cars = balances_of(ends)
    if not cars:
        return None
    objects: dict[str, object] = {str(car): _object(balance) for car, balance in cars.items()}
    return {"note": NOTE, **objects, **{_TOLD[car]: objects[car] for car in objects}}


def _object(balance: Balance) -> dict[str, float]:
    ends = dict(zip(ENDS, (balance.front, balance.rear), strict=True))
    parts = {
        f"{name}_{way}_transfer_n": float(getattr(end, way))
        for name, end in ends.items()
        for way in ("geometric", "elastic", "unsprung", "total")
    }
    return {
        "roll_gradient_deg": degrees(balance.roll),
        **parts,
        "front_share_percent": balance.front_share,
    }
