"""What changes that are on come to for a shop, without what does nothing; and notes on that. No Qt.

No job is made of what does nothing on the car as built, or of moves that cancel out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from app.document.address import left_of
from app.document.model import Change, Setup
from app.document.point_names import workshop_words
from app.shop.orders import Order, orders
from app.systems.answers import Study
from app.systems.every import SYSTEMS
from app.systems.system import System

Item = TypeVar("Item")


def orders_to_do(studies: Sequence[Study[Any]]) -> tuple[Order, ...]:
    """Return the orders of ends that are told of, without what does nothing there."""
    setup = studies[0].setup
    return tuple(
        _without(order, [s for s in SYSTEMS if _idle_reason(setup, order, s)])
        for order in _told_orders(studies)
    )


def idle_notes(studies: Sequence[Study[Any]]) -> tuple[str, ...]:
    """Return which changes that are on ask for no work, and why."""
    setup = studies[0].setup
    return tuple(note for order in _told_orders(studies) for note in _notes_of_order(setup, order))


def names_of(changes: Sequence[Change]) -> str:
    """Return the names of changes: “one”, “two” and “three”."""
    return listed([f"“{change.name}”" for change in changes if change.name])


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence has them: "one, two and three"."""
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def _told_orders(studies: Sequence[Study[Any]]) -> Iterator[Order]:
    told = {study.system.key for study in studies}
    left_out = [system for system in SYSTEMS if system.key not in told]
    return (_without(order, left_out) for order in orders(studies[0].setup))


def _without(order: Order, left_out: Sequence[System[Any]]) -> Order:
    def kept(values: Mapping[str, Item]) -> dict[str, Item]:
        return {key: v for key, v in values.items() if not any(s.is_own(key) for s in left_out)}

    return replace(
        order,
        moves=kept(order.moves),
        shims=kept(order.shims),
        sets=kept(order.sets),
        made=kept(order.made),
        movers=kept(order.movers),
    )


def _idle_reason(setup: Setup, order: Order, system: System[Any]) -> str:
    keys = [key for key in (*order.moves, *order.shims, *order.sets) if system.is_own(key)]
    return system.job_words().without_effect(setup, keys) if keys else ""


def _notes_of_order(setup: Setup, order: Order) -> Iterator[str]:
    for system in SYSTEMS:
        reason = _idle_reason(setup, order, system)
        if reason:
            own = [c for c in order.changes if any(map(system.is_own, (*c.moves, *c.sets)))]
            name = names_of(own) or f"A change at the {system.key}"
            do = "do" if len(own) > 1 else "does"
            yield f"{name} {do} nothing at the {system.key}: {reason}."
    still = [key for key in order.movers if key not in {**order.moves, **order.shims}]
    lefts = dict.fromkeys(map(left_of, still))
    if lefts:
        movers = [c for c in order.changes if any(c in order.movers[key] for key in still)]
        points = listed([workshop_words(key, setup.evidence) for key in lefts])
        cancel = "cancel out" if len(movers) > 1 else "are too small to make"
        yield f"{names_of(movers) or 'Changes'}: the moves of {points} {cancel}."
