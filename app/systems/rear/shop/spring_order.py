"""What a spring maker is asked for at the rear: leaf springs or coils. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, cast

from app.document.leaf_pairs import Leaves
from app.document.model import Value
from app.systems.answers import Study
from app.systems.ordering import NOT_TOLD, Ordering, changed_keys
from app.systems.rear.answers import RearAnswers
from app.systems.rear.holders import FREE_LENGTH
from app.systems.rear.shop.leaf_steps import KEY
from app.systems.spring_order import OrderRow, SpringOrder
from geometry.leaf.ride import arch

_COIL = frozenset(f"rear.spring.{name}" for name in ("rate", "free_length", "solid_length"))


def rear_order(study: Study[RearAnswers], decimal: str) -> Iterator[SpringOrder]:
    """Yield the order of rear springs where the work changes them, or fits others."""
    is_other = study.measured.kind != study.proposed.kind
    order = Ordering(study, decimal, has_found=not is_other)
    if study.proposed.leaf is not None:
        if is_other or _makes_leaves(study):
            yield _leaf_springs(order)
    elif (
        is_other
        or changed_keys(study.setup, "rear.spring.") & _COIL
        or order.is_held_by(FREE_LENGTH)
    ):
        yield _coils(order)


def _makes_leaves(study: Study[RearAnswers]) -> bool:
    """Tell whether leaves are cut, bent or put together anew; a helper's rubber is no spring."""
    changed = changed_keys(study.setup, "rear.pack.")
    if changed != {KEY}:
        return bool(changed)
    order = Ordering(study, "")
    was, now = (_as_cut(order.settings[name].get(KEY, ())) for name in ("measured", "proposed"))
    return was != now


def _as_cut(leaves: Value) -> list[Any]:
    return [replace(leaf, contact=None, note="") for leaf in cast(Leaves, leaves)]


def _leaf_springs(order: Ordering) -> SpringOrder:
    rows = (
        order.row("Free arch: centre bolt below the eyes", lambda _, car: _free_arch(order, car)),
        order.row("Arch on its wheels", lambda _, car: _arch(order, car)),
        order.row("Load at that arch, each spring", lambda _, car: _load(order, car)),
        order.row("Rate at that load", lambda _, car: _rate(order, car)),
        order.given("Width of every leaf", "rear.pack.width"),
        order.given("Clamped length, U-bolts' outer edges", "rear.pack.clamp_length"),
        order.given("Front eye rolled", "rear.pack.front_eye"),
        order.given("Rear eye rolled", "rear.pack.rear_eye"),
        order.given("Eyes, inside diameter", "rear.pack.eye_diameter"),
        order.given("Leaf ends", "rear.pack.ends"),
        order.row("Clips on", lambda name, _: _clips(order.settings[name].get(KEY, ()))),
        order.given("Material", "rear.pack.material"),
        OrderRow("Centre bolt: diameter, length, head up or down"),
        OrderRow("Bushes of the eyes"),
    )
    count = "2, left and right alike"
    return SpringOrder("Rear leaf springs", count, rows, order.notes(), has_leaves=True)


def _free_arch(order: Ordering, car: RearAnswers) -> str:
    if car.leaf is None or car.leaf.free_arch is None:
        return ""
    is_given = car.leaf.car.pack.free_arch is not None
    return order.words(car.leaf.free_arch, "length") + ("" if is_given else ", as weighed")


def _arch(order: Ordering, car: RearAnswers) -> str:
    return "" if car.leaf is None else order.words(arch(car.leaf.loop, 0.0), "length")


def _load(order: Ordering, car: RearAnswers) -> str:
    values = car.rest.values.get("spring_load")
    return "" if values is None else order.sides(values, "force")


def _rate(order: Ordering, car: RearAnswers) -> str:
    ride = None if car.leaf is None else car.leaf.ride
    return "" if ride is None else order.words(float(ride.pack_rate[0]), "spring rate")


def _clips(leaves: Value) -> str:
    clipped = [str(place + 1) for place, leaf in enumerate(cast(Leaves, leaves)) if leaf.clipped]
    return f"leaf {', '.join(clipped)}" if clipped else "none"


def _coils(order: Ordering) -> SpringOrder:
    rows = (
        order.given("Rate", "rear.spring.rate"),
        order.row("Free length", lambda name, car: _free_length(order, name, car)),
        order.given("Solid length, at most", "rear.spring.solid_length"),
        order.row("Length on its wheels", lambda _, car: _length(order, car)),
        order.row("Load at that length, each", lambda _, car: _load(order, car)),
        order.end_of_travel("Length at full bump", "spring_length", -1),
        order.end_of_travel("Length at full rebound", "spring_length", 0),
        *NOT_TOLD,
    )
    return SpringOrder("Rear coil springs", "2, left and right alike", rows, order.notes())


def _free_length(order: Ordering, name: str, car: RearAnswers) -> str:
    given = order.asked(name, FREE_LENGTH)
    if given is not None:
        return order.words(given, "length")
    if car.links is None or not car.links.car.has_coils:
        return ""
    return f"{order.words(car.links.car.axle.coil_left.free_length, 'length')}, as weighed"


def _length(order: Ordering, car: RearAnswers) -> str:
    values = car.rest.values.get("spring_length")
    return "" if values is None else order.sides(values, "length")
