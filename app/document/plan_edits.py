"""Plans of a setup after an edit: none may name a point, an adjuster or a change that is gone."""

from __future__ import annotations

from dataclasses import replace

from app.document.address import left_of
from app.document.clearances import can_stand, envelopes_by_name
from app.document.keys import is_point
from app.document.model import FrozenMap, Setup
from app.document.plan_pieces import STRUT_ROD
from app.document.plans import Room, Span, Together


def kept_plans(setup: Setup) -> Setup:
    """Return the setup with what hangs on points and values that are still measured."""
    setup = _kept_spaces(setup)
    if not (setup.rooms or setup.adjusters):
        return setup

    def is_there(key: str) -> bool:
        return bool({key, left_of(key)} & setup.readings.keys())

    rod = setup.readings.get("front.lower_arm", "link and strut rod") == "link and strut rod"
    has_rod = rod and is_there("front.strut_joint")
    adjusters = {
        key: adjuster
        for key, adjuster in setup.adjusters.items()
        if all(map(is_there, adjuster.at)) and (key != STRUT_ROD or has_rod)
    }
    rooms = {
        key: room
        for key, room in setup.rooms.items()
        if (key in adjusters if room.by_adjuster else not is_point(key) or is_there(key))
        and (not room.alike or is_there(room.alike))
    }
    return setup.having(rooms=FrozenMap(rooms), adjusters=FrozenMap(adjusters))


def _kept_spaces(setup: Setup) -> Setup:
    """Return the setup with the envelopes that can still stand, and clearances between those."""
    if not setup.clearances and not setup.envelopes:
        return setup
    values = setup.readings
    envelopes = tuple(each for each in setup.envelopes if can_stand(each, values))
    clearances = tuple(
        each
        for each in setup.clearances
        if set(each.between) <= envelopes_by_name(each.end, envelopes, values).keys()
    )
    return setup.having(envelopes=envelopes, clearances=clearances)


def renamed_together(setup: Setup, name: str, new_name: str) -> tuple[Together, ...]:
    """Return the proposals once a change has another name."""
    return tuple(
        Together(each.name, tuple(new_name if n == name else n for n in each.changes))
        for each in setup.together
    )


def set_room(setup: Setup, key: str, room: Room | None) -> Setup:
    """Return the setup with the room of a point or a value; None, or an empty one, takes it away.

    What moves with a point that has none any more stands alone again.
    """
    if room is not None and room != Room():
        return setup.having(rooms=FrozenMap({**setup.rooms, key: room}))
    alone = {
        other: replace(each, alike="") if each.alike == key else each
        for other, each in setup.rooms.items()
        if other != key
    }
    return setup.having(rooms=FrozenMap({k: each for k, each in alone.items() if each != Room()}))


def set_span(setup: Setup, key: str, axis: str, span: Span | None) -> Setup:
    """Return the setup with a point's room along "x", "y" or "z"; None takes it away."""
    own = setup.rooms.get(key, Room())
    spans = {"x": own.x, "y": own.y, "z": own.z, axis: span}
    return set_room(setup, key, Room(spans["x"], spans["y"], spans["z"], own.alike))
