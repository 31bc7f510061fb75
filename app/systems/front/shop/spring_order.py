"""What a spring maker is asked for at the front: coils or torsion bars. No Qt."""

from __future__ import annotations

from collections.abc import Iterator

from app.systems.answers import Study
from app.systems.front.holders import FREE_LENGTH
from app.systems.front.study import FrontAnswers
from app.systems.ordering import NOT_TOLD, OLD_ONE, Ordering, changed_keys
from app.systems.spring_order import OrderRow, SpringOrder

_COIL = frozenset(
    f"front.spring.{name}" for name in ("kind", "rate", "free_length", "solid_length")
)
_BAR = frozenset({"front.spring.kind", "front.spring.rate"})


def front_order(study: Study[FrontAnswers], decimal: str) -> Iterator[SpringOrder]:
    """Yield the order of front springs where the work changes them; an adjuster is no order."""
    order = Ordering(study, decimal)
    changed = changed_keys(study.setup, "front.spring.")
    if order.is_bar and changed & _BAR:
        yield _bars(order)
    elif not order.is_bar and (changed & _COIL or order.is_held_by(FREE_LENGTH)):
        yield _coils(order)


def _coils(order: Ordering) -> SpringOrder:
    rows = (
        order.given("Rate", "front.spring.rate"),
        order.row("Free length", lambda name, car: _free_length(order, name, car)),
        order.given("Solid length, at most", "front.spring.solid_length"),
        order.row("Length on its wheels", lambda _, car: _at_rest(order, car, "spring_length")),
        order.row("Load at that length", lambda _, car: _at_rest(order, car, "spring_force")),
        order.end_of_travel("Length at full bump", "spring_length", -1),
        order.end_of_travel("Length at full rebound", "spring_length", 0),
        *NOT_TOLD,
    )
    return SpringOrder("Front coil springs", _count(rows[4]), rows, order.notes())


def _bars(order: Ordering) -> SpringOrder:
    rows = (
        order.given("Rate", "front.spring.rate"),
        order.row("Torque on its wheels", lambda _, car: _at_rest(order, car, "bar_torque")),
        OrderRow("Diameter, and length between the splines"),
        OrderRow("Splines: number, diameter, length, at both ends"),
        OrderRow("Which way pre-set: bars are left and right"),
    )
    count = "2: one left, one right, not to be exchanged"
    notes = (*order.notes()[:-1], OLD_ONE)
    return SpringOrder("Front torsion bars", count, rows, notes)


def _free_length(order: Ordering, name: str, car: FrontAnswers) -> str:
    given = order.asked(name, FREE_LENGTH)
    if given is not None:
        return order.words(given, "length")
    spring = car.front.fitted_spring()
    if spring is None or spring.free is None:
        return ""
    return f"{order.sides(-spring.free, 'length')}, as weighed"


def _at_rest(order: Ordering, car: FrontAnswers, key: str) -> str:
    values = car.rest.values.get(key)
    kind = {"spring_length": "length", "spring_force": "force", "bar_torque": "torque"}[key]
    return "" if values is None else order.sides(values, kind)


def _count(load: OrderRow) -> str:
    if load.wanted.startswith("L "):
        return "2, one left, one right: of one rate and length; their loads differ"
    return "2, left and right alike"
