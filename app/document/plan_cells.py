"""What is wanted of a car and how it is aligned, laid out as a file holds it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from app.document.clearances import Clearance, Envelope
from app.document.ends import end_of, name_in_end
from app.document.keys import is_point, kind_of
from app.document.model import Setup, Units
from app.document.plan_pieces import BY_ADJUSTER
from app.document.plans import Adjuster, Aim, Gauge, Room, Span, Together, Want
from app.document.quantities import from_inside
from app.document.toml_layout import Path

Item = TypeVar("Item")
Cell = float | int | str | bool | tuple[float, ...] | tuple[str, ...]
Cells = dict[Path, Cell]


def plan_cells(setup: Setup, end: str) -> Cells:
    """Return the room, adjusters, targets and gauge of an end, in the order of a new file."""
    cells: Cells = {}
    for key, room in _of(setup.rooms, end):
        cells |= _under((end, "room", _bare(key)), _room_cells(setup, key, room))
    for key, adjuster in _of(setup.adjusters, end):
        cells |= _under((end, "adjusters", _bare(key)), _adjuster_cells(adjuster, setup.units))
    for key, aim in _of(setup.aims, end):
        cells |= _under((end, "targets", _bare(key)), _aim_cells(aim, setup.units))
    for key, gauge in _of(setup.gauge, end):
        cells |= _under((end, "gauge", _bare(key)), _gauge_cells(gauge, setup.units))
    return cells


def want_cells(setup: Setup, want: Want) -> Cells:
    """Return every value of a want, by paths from its own table."""
    units, kind = setup.units, want.kind
    cells: Cells = {("result",): _bare(want.result)}
    ends = {"is": want.value, "at_least": want.at_least, "at_most": want.at_most}
    cells |= {(n,): from_inside(v, kind, units) for n, v in ends.items() if v is not None}
    if want.keep:
        cells[("keep",)] = True
    if want.within is not None:
        cells[("within",)] = from_inside(want.within, kind, units)
    return {**cells, ("weight",): want.weight}


def envelope_cells(envelope: Envelope, units: Units) -> Cells:
    """Return every value of an envelope, by paths from its own table."""
    cells: Cells = {("name",): envelope.name, ("kind",): envelope.kind}
    for name, place in (("from", envelope.start), ("to", envelope.finish)):
        if isinstance(place, tuple):
            cells[(name,)] = _numbers(place, "length", units)
        elif place:
            cells[(name,)] = _bare(place)
    for name in ("radius", "width", "height"):
        if (number := getattr(envelope, name)) is not None:
            cells[(name,)] = from_inside(number, "length", units)
    return {**cells, ("moves_with",): envelope.moves_with, ("side",): envelope.side}


def clearance_cells(clearance: Clearance, units: Units) -> Cells:
    """Return every value of a clearance, by paths from its own table."""
    cells: Cells = {("between",): clearance.between}
    if clearance.at_least is not None:
        cells[("at_least",)] = from_inside(clearance.at_least, "length", units)
    return {**cells, ("by",): clearance.by}


def together_cells(together: Together) -> Cells:
    """Return a proposal of several changes, by paths from its own table."""
    return {("name",): together.name, ("changes",): together.changes}


def _of(items: Mapping[str, Item], end: str) -> Iterable[tuple[str, Item]]:
    return ((key, item) for key, item in items.items() if end_of(key) == end)


def _under(path: Path, cells: Cells) -> Cells:
    return {(*path, *part): cell for part, cell in cells.items()}


def _bare(key: str) -> str:
    return name_in_end(key)


def _numbers(values: Iterable[float], kind: str, units: Units) -> tuple[float, ...]:
    return tuple(from_inside(value, kind, units) for value in values)


def _room_cells(setup: Setup, key: str, room: Room) -> Cells:
    if room.by_adjuster:
        return {(): BY_ADJUSTER}
    units = setup.units
    if is_point(key):
        spans = {"x": room.x, "y": room.y, "z": room.z}
        cells: Cells = {
            (axis,): _numbers(span, "length", units) for axis, span in spans.items() if span
        }
        return {**cells, **({("alike",): _bare(room.alike)} if room.alike else {})}
    kind = kind_of(key, setup.readings)
    if room.span is not None:
        return {(): _numbers(room.span, kind, units)}
    return {("steps",): _numbers(room.steps, kind, units)}


def _adjuster_cells(adjuster: Adjuster, units: Units) -> Cells:
    cells: Cells = {}
    if adjuster.at:
        names = tuple(map(_bare, adjuster.at))
        cells[("at",)] = names[0] if len(names) == 1 else names
    if adjuster.inboard:
        cells[("inboard",)] = True
    for name in ("fitted", "fitted_right", "sizes"):
        if numbers := getattr(adjuster, name):
            cells[(name,)] = _numbers(numbers, "length", units)
    for name in ("most", "apart"):
        if (number := getattr(adjuster, name)) is not None:
            cells[(name,)] = from_inside(number, "length", units)
    if adjuster.have:
        cells[("have",)] = adjuster.have
    if adjuster.reach is not None:
        cells[("reach",)] = _reach(adjuster.reach, units)
    if adjuster.pitch is not None:
        cells[("pitch",)] = from_inside(adjuster.pitch, "length", units)
    return cells


def _reach(reach: Span, units: Units) -> float | tuple[float, ...]:
    low, high = _numbers(reach, "length", units)
    return high if low == -high else (low, high)


def _aim_cells(aim: Aim, units: Units) -> Cells:
    value, within = _numbers((aim.value, aim.within), aim.kind, units)
    return {("is",): value, ("within",): within}


def _gauge_cells(gauge: Gauge, units: Units) -> Cells:
    angles = {"camber": gauge.camber, "caster": gauge.caster, "toe": gauge.toe}
    cells: Cells = {
        (n,): from_inside(angle, "angle", units) for n, angle in angles.items() if angle is not None
    }
    if gauge.locks is not None and gauge.locks_camber is not None:
        cells[("caster", "at")] = _numbers(gauge.locks, "angle", units)
        cells[("caster", "camber")] = _numbers(gauge.locks_camber, "angle", units)
    if gauge.toe_length is not None:
        cells[("toe_mm",)] = gauge.toe_length
    for name, amount in gauge.after:
        cells[("after", name)] = from_inside(amount, "length", units)
    return cells
