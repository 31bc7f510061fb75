"""Where the proposal stands: each end as the setup says, and how the body lies between them."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final, TypeVar, cast

import numpy as np

from app.document.ends import ENDS, has_both_ends, key_in
from app.document.masses import sprung_mass_on
from app.document.model import SETTLES, Change, FrozenMap, Setup
from app.document.moves import Numbers, last_sets, proposed_settings
from app.systems.many import ManyStanding
from geometry.errors import GeometryError
from geometry.standing import Stand, Stands
from geometry.vectors import Array, Scalar

if TYPE_CHECKING:
    from app.systems.answers import Study
    from app.systems.system import System

Standing = Callable[[float | None], Stand]
"""From the travel at which an end's springs carry their load to where that end stands."""

Item = TypeVar("Item")

_OF_BODY: Final = (
    "car.wheelbase",
    "car.mass",
    "car.front_share",
    "car.front_unsprung",
    "car.rear_unsprung",
)
_SEEN: Final = 0.5  # mm by which an end stands elsewhere for a shop to see
_SAME: Final = 1e-6  # mm by which a held height may differ from the settled one and need nothing


def standing(system: System[Any], setup: Setup) -> Standing:
    """Return what tells where a system's end stands, the other ends being what they are."""

    def stand(settled: float | None) -> Stand:
        travel = travel_chosen(setup, system.key, settled)
        others = {
            other.key: _travel_of(other, setup) for other in _systems(setup) if other is not system
        }
        known = {end: rise for end, rise in others.items() if rise is not None}
        travels = {system.key: travel, **known}
        is_held = settled is not None and abs(travel - settled) > _SAME
        number = Numbers(proposed_settings(setup))
        return Stand(travel, float(_pitch(number, travels)), float(_drop(number, travels)), is_held)

    return stand


def standings(system: System[Any], setups: Sequence[Setup]) -> ManyStanding:
    """Return what tells where a system's end of each of many setups stands, as `standing` does one.

    Of an end that settles in the first of them and nowhere in another nothing is known there: NaN.
    """
    first = setups[0]
    others = {
        other.key: _travels_of(other, setups) for other in _systems(first) if other is not system
    }
    known = {end: rise for end, rise in others.items() if rise is not None}

    def stand(settled: Array | None) -> Stands:
        travel = _chosen_by_each(system, setups, settled)
        travels = {system.key: travel, **known}
        is_held = settled is not None and bool((np.abs(travel - settled) > _SAME).any())
        numbers = Numbers(_car_numbers(setups))
        zero = np.zeros(travel.shape)
        pitch, drop = _pitch(numbers, travels) + zero, _drop(numbers, travels) + zero
        return Stands(travel, pitch, drop, is_held)

    return stand


def _car_numbers(setups: Sequence[Setup]) -> dict[str, Any]:
    """Return the numbers of the proposals that say how their bodies lie, (m,) by key."""
    first = setups[0]
    changes, sets = first.changes, last_sets(first)
    all_sets = [sets if each.changes is changes else last_sets(each) for each in setups]
    given = [key for key in _OF_BODY if key in sets or key in first.evidence]
    return {
        key: np.array(
            [
                own[key] if key in own else each.evidence[key]
                for each, own in zip(setups, all_sets, strict=True)
            ]
        )
        for key in given
    }


def _travels_of(system: System[Any], setups: Sequence[Setup]) -> Array | None:
    """Return how far an end's wheels rise into the bodies [mm], (m,), None where not known."""
    first = setups[0]
    if first.heights.get(system.key, SETTLES) != SETTLES:
        return _chosen_by_each(system, setups, None)
    if not system.proposes(first):
        return np.zeros(len(setups))
    reduced = [_reduced(system, setup) for setup in setups]
    places: dict[Setup, int] = {}
    which = [places.setdefault(setup, len(places)) for setup in reduced]
    alone = _settled(cast(Hashable, system), reduced[0])
    if alone is None or len(places) == 1:
        return None if alone is None else np.full(len(setups), alone)
    many = system.solve_many(list(places), ("settled_travel",)).values
    return many["settled_travel"][which]


def _chosen_by_each(system: System[Any], setups: Sequence[Setup], settled: Array | None) -> Array:
    if settled is not None and not any(setup.heights for setup in setups):
        return settled + 0.0
    travels = [None] * len(setups) if settled is None else settled.tolist()
    pairs = zip(setups, travels, strict=True)
    return np.array([travel_chosen(setup, system.key, travel) for setup, travel in pairs])


def travel_chosen(setup: Setup, end: str, settled: float | None) -> float:
    """Return how far an end's wheels rise into the body [mm]: settled, or held by choice.

    An end whose load isn't known stays at its measured height.
    """
    choice = setup.heights.get(end, SETTLES)
    if choice == SETTLES:
        return settled or 0.0
    arch = setup.evidence.get(key_in(end, "arch_height"))
    if isinstance(choice, str) or not isinstance(arch, float):
        return 0.0
    return arch - choice


def leaves_out_pitch(study: Study[Any]) -> bool:
    """Tell whether the body of the car as built pitches by what the setup doesn't tell.

    It does where this end stands elsewhere and the other one isn't given, or where nobody knows how
    far the other end settles.
    """
    if study.stands is None:
        return False  # it stays at the measured height, which is said with more weight
    setup, ends = study.setup, _systems(study.setup)
    is_whole = has_both_ends({end.key: end for end in ends})
    if not is_whole or Numbers(proposed_settings(setup)).get("car.wheelbase") is None:
        travel: float = study.proposed.stand.travel
        return abs(travel) >= _SEEN
    others = (end for end in ends if end.key != study.system.key)
    return any(_travel_of(end, setup) is None for end in others)


def _travel_of(system: System[Any], setup: Setup) -> float | None:
    """Return how far an end's wheels rise into the body [mm], None where it isn't known."""
    if setup.heights.get(system.key, SETTLES) != SETTLES:
        return travel_chosen(setup, system.key, None)
    if not system.proposes(setup):
        return 0.0
    return _settled(cast(Hashable, system), _reduced(system, setup))


@lru_cache(maxsize=32)
def _settled(system: Hashable, setup: Setup) -> float | None:
    """Return where an end settles; one that can't be built stays, and says so by itself."""
    try:
        travel = cast("System[Any]", system).solve(setup, short=True).single.get("settled_travel")
    except GeometryError:
        return None
    return None if travel is None else float(travel)


def _reduced(system: System[Any], setup: Setup) -> Setup:
    """Return what a system reads of a setup, so that work on another leaves it as it was."""
    changes = tuple(_reduced_changes(system, setup.changes))
    return system.measured_setup(setup).having(changes=changes)


def _reduced_changes(system: System[Any], changes: Iterable[Change]) -> Iterable[Change]:
    for change in changes:
        if change.on and any(map(system.concerns, (*change.moves, *change.sets))):
            moves, sets = _concerned(system, change.moves), _concerned(system, change.sets)
            yield replace(change, name="", note="", moves=moves, sets=sets)


def _concerned(system: System[Any], part: Mapping[str, Item]) -> FrozenMap[Item]:
    return FrozenMap({key: value for key, value in part.items() if system.concerns(key)})


def _systems(setup: Setup) -> Iterable[System[Any]]:
    # the table of systems is made of what this module serves
    from app.systems.every import given_systems

    return given_systems(setup)


def _pitch(number: Numbers, travels: Mapping[str, Scalar]) -> Scalar:
    """Return the body's pitch that both ends' travel makes [rad], + nose down; or many bodies'."""
    wheelbase = number.get("car.wheelbase")
    if wheelbase is None or not has_both_ends(travels):
        return 0.0
    front, rear = (travels[end] for end in ENDS)
    return np.arctan((front - rear) / wheelbase)


def _drop(number: Numbers, travels: Mapping[str, Scalar]) -> Scalar:
    """Return how far the whole car's centre of gravity comes down [mm]: wheels and axle stay."""
    mass, sprung = number.get("car.mass"), sprung_masses(number)
    if mass is None or sprung is None or not has_both_ends(travels):
        return 0.0
    return sum(part * travels[end] for end, part in sprung.items()) / mass


def sprung_masses(number: Numbers) -> dict[str, float] | None:
    """Return the sprung mass over each end [kg], None where it isn't known."""
    masses = {end: sprung_mass_on(end, number.get) for end in ENDS}
    known = {end: mass for end, mass in masses.items() if mass is not None}
    return known if has_both_ends(known) else None
