"""What only a rear has: its pack leaf by leaf, its axle under torque, its modes, link forces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import degrees
from typing import Final, TypeVar

import numpy as np

from app.cli.tables import Column, Over, Page, Row
from app.document.model import Units
from app.document.units import NO_VALUE, number_of, unit_of
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars
from app.systems.rear.shop.hop import MODES, HopFigures, HopRow, hop_rows, named_hops
from app.systems.rear.shop.link_forces import SHEAR, greatest_shear, link_force_tables
from app.systems.rear.shop.pinion import STATES, pinion_angles, pinion_rows
from app.systems.rear.shop.torque import TorqueRow, torque_rows, torque_steps
from app.systems.rear.words.hop import (
    BAR_STATES,
    MIXED,
    TABLE_TITLE,
    how_sure,
    not_in_it,
    ratio_text,
)
from app.systems.rear.words.torque import PAST, end_notes, past_note
from geometry.dataclass import dataclass
from geometry.leaf.load import LeafStresses
from geometry.leaf.on_car import stresses_at_ride_and_bump
from geometry.leaf.pack import Leaf
from geometry.leaf.rear import LeafRear
from geometry.leaf.single import TorqueCurve
from geometry.links.car import LinkRear
from geometry.links.statics import LinkForces
from geometry.modes.dampers import LAYOUTS
from geometry.modes.hop import Hop
from geometry.modes.modes import MODE_NAMES, Modes

T = TypeVar("T")

Stresses = tuple[float | None, float | None]
_WIDE: Final = 72  # characters from which leaves are told with their lengths


@dataclass(frozen=True)
class LeafLine:
    """One leaf with its highest stress at ride and at full bump [N/mm²], None where not known.

    `ride_by` and `bump_by` are those by one curvature and by tip contact.
    """

    leaf: Leaf
    ride: float | None
    bump: float | None
    limit: float | None
    ride_by: Stresses = (None, None)
    bump_by: Stresses = (None, None)


def leaf_lines(rear: LeafRear) -> tuple[LeafLine, ...]:
    """Return the pack leaf by leaf."""
    pack, stresses = rear.stages.pack, stresses_at_ride_and_bump(rear)
    ride, bump = (None, None) if stresses is None else (stresses.ride, stresses.bump)
    return tuple(
        LeafLine(
            leaf,
            None if ride is None else float(ride.worst[place]),
            None if bump is None else float(bump.worst[place]),
            float(limit) if np.isfinite(limit) else None,
            _by_model(ride, place),
            _by_model(bump, place),
        )
        for place, (leaf, limit) in enumerate(zip(pack.leaves, pack.limits, strict=True))
    )


def _by_model(stresses: LeafStresses | None, place: int) -> Stresses:
    if stresses is None:
        return None, None
    curved, tips = stresses.by_model[:, place].tolist()
    return curved, tips


# --- for other programs ---------------------------------------------------------------------------


def rear_object(car: RearAnswers) -> dict[str, object]:
    """Return pack, torque and modes as lists by name, where there are any."""
    rear: dict[str, object] = {}
    if car.leaf is not None:
        rear["leaves"] = [_leaf_object(line) for line in leaf_lines(car.leaf)]
    if car.torque is not None:
        rear["under_torque"] = _twist_object(car.torque)
        rear["torque_steps"] = [_step_object(step) for step in torque_steps(car)]
    if car.hop is not None:
        rear["modes"] = _modes_object("as fitted", car.hop, car.hop.own, car.hop.closed)
        if car.hop.closed is not None and car.hop.other is not None:
            other = _modes_object("as fitted", car.hop, car.hop.other, not car.hop.closed)
            rear["modes_other_state"] = other
        rear["layouts"] = [
            _modes_object(layout, car.hop, modes, car.hop.closed)
            for layout, modes in zip(LAYOUTS, car.hop.layouts, strict=True)
        ]
    if angles := pinion_angles(car):
        rear["pinion"] = {
            "at": list(STATES),
            **{f"{k}_deg": _degrees(v) for k, v in angles.items()},
        }
    if car.links is not None and car.link_forces:
        rear["link_forces"] = _link_forces_object(car.links, car.link_forces)
    return rear


def _leaf_object(line: LeafLine) -> dict[str, object]:
    leaf = line.leaf
    return {
        "thickness_mm": leaf.thickness,
        "front_mm": leaf.front,
        "rear_mm": leaf.rear,
        "clipped": leaf.clipped,
        "parabolic": leaf.parabolic,
        "carries_from_mm": leaf.contact,
        "stress_ride_n_per_mm2": line.ride,
        "stress_bump_n_per_mm2": line.bump,
        "stress_ride_one_curvature_n_per_mm2": line.ride_by[0],
        "stress_ride_tips_n_per_mm2": line.ride_by[1],
        "stress_bump_one_curvature_n_per_mm2": line.bump_by[0],
        "stress_bump_tips_n_per_mm2": line.bump_by[1],
        "limit_n_per_mm2": line.limit,
    }


def _twist_object(torque: TorqueCurve) -> dict[str, object]:
    twist = torque.twist
    return {
        "drive_ended_by": torque.drive.by,
        "braking_ended_by": torque.braking.by,
        "thrust_n": twist.thrust.tolist(),
        "wind_up_deg": np.degrees(twist.rotation).tolist(),
        "lift_mm": (-twist.rise + 0.0).tolist(),
        "front_eye_n": twist.eye_load[0].tolist(),
        "rear_eye_n": twist.eye_load[1].tolist(),
        "bends_front_n": twist.bending_load[0].tolist(),
        "bends_rear_n": twist.bending_load[1].tolist(),
        "snubber_n": twist.snubber.tolist(),
    }


def _step_object(step: TorqueRow) -> dict[str, object]:
    return {
        "load": step.name,
        "thrust_n": step.thrust,
        "wind_up_deg": degrees(step.wind_up),
        "pinion_deg": None if step.pinion is None else degrees(step.pinion),
        "lift_mm": step.lift,
        "front_eye_n": step.front_eye,
        "rear_eye_n": step.rear_eye,
        "snubber_n": step.snubber,
        "stress_n_per_mm2": step.stress,
        "is_past_limit": step.past is not None,
    }


def _degrees(angles: Iterable[float | None]) -> list[float | None]:
    return [None if angle is None else degrees(angle) for angle in angles]


def _modes_object(
    layout: str, hop: Hop, modes: Modes, closed: bool | None = None
) -> dict[str, object]:
    """Return the modes as lists; null of those that hang on rates that aren't given."""
    named, names = modes.named, MODE_NAMES[: modes.frequency.size]

    def known(values: Iterable[T]) -> list[T | None]:
        return [value if mode in hop.known else None for mode, value in enumerate(values)]

    nodes = [node if np.isfinite(node) else None for node in modes.node_ahead.tolist()]
    return {
        "dampers": layout,
        "bars": None if closed is None else BAR_STATES[closed],
        "mode": list(names),
        "frequency_hz": known(named.frequency.tolist()),
        "damping": known(named.damping.tolist()),
        "mixed_with": known(
            None if place < 0 else MODE_NAMES[place] for place in named.partner.tolist()
        ),
        "node_ahead_mm": known(nodes),
        "work_left": known(modes.work[:, 0].tolist()),
        "work_right": known(modes.work[:, 1].tolist()),
    }


def _link_forces_object(links: LinkRear, cases: tuple[LinkForces, ...]) -> dict[str, object]:
    forces = {
        f"{name.replace(' ', '_')}_n": [float(each.links[place]) for each in cases]
        for place, name in enumerate(links.axle.links)
    }
    diameter = links.car.bolt_diameter
    shear = None if diameter is None else list(greatest_shear(cases, diameter))
    return {
        "case": [each.case for each in cases],
        "thrust_n": [each.thrust for each in cases],
        "wheel_load_n": [each.wheel_load for each in cases],
        **forces,
        "left_coil_n": [float(each.coils[0]) for each in cases],
        "right_coil_n": [float(each.coils[1]) for each in cases],
        "bolt_shear_n_per_mm2": shear,
    }


# --- for people -----------------------------------------------------------------------------------


def rear_tables(page: Page, study: Study[RearAnswers]) -> None:
    """Add the tables of both cars, once where they are the same."""
    shown = named_cars(study)
    units = study.setup.units
    _pack_tables(page, shown, units)
    _twist_tables(page, study)
    _pinion_table(page, study)
    _hop_tables(page, study)
    _link_tables(page, study)


def _pack_tables(page: Page, shown: list[tuple[str, RearAnswers]], units: Units) -> None:
    packs = [(name, leaf_lines(car.leaf)) for name, car in shown if car.leaf is not None]
    if len(packs) == 2 and packs[0][1] == packs[1][1]:
        packs = [("as found and as built", packs[0][1])]
    length, stress = unit_of("length", units), unit_of("stress", units)
    sizes = [f"thick\n{length}", f"front\n{length}", f"rear\n{length}"]
    sizes = sizes if page.terminal.width >= _WIDE else sizes[:1]  # the lengths stand in the file
    heads = [*sizes, "curved", "tips", "curved", "tips", f"limit\n{stress}"]
    over = [
        Over("", 1 + len(sizes)),
        Over(f"at ride, {stress}", 2),
        Over(f"at bump, {stress}", 2),
        Over("", 2),
    ]
    for name, lines in packs:
        page.heading(f"Leaf pack {name}: stress with one curvature | touching at tips")
        columns = [Column("leaf"), *map(Column, heads), Column("", words=True)]
        page.table(columns, [*_leaf_rows(lines, units, len(sizes))], over)


def _leaf_rows(lines: tuple[LeafLine, ...], units: Units, sizes: int) -> Iterator[Row]:
    for number, line in enumerate(lines, 1):
        leaf = line.leaf
        lengths = (
            number_of(leaf.thickness, "length", units, places=2 if units == "mm" else 3),
            *(number_of(half, "length", units) for half in (leaf.front, leaf.rear)),
        )
        stresses = (*line.ride_by, *line.bump_by, line.limit)
        yield [
            f"{number}",
            *lengths[:sizes],
            *(_stress(stress, units) for stress in stresses),
            _leaf_remarks(leaf),
        ]


def _leaf_remarks(leaf: Leaf) -> str:
    """Say what is special about a leaf."""
    marks = ["clipped"] if leaf.clipped else []
    marks += ["parabolic"] if leaf.parabolic else []
    marks += ["helper"] if leaf.contact else []
    return ", ".join(marks)


def _stress(value: float | None, units: Units) -> str:
    return NO_VALUE if value is None else number_of(value, "stress", units)


def _twist_tables(page: Page, study: Study[RearAnswers]) -> None:
    torques, units = torque_rows(study), study.setup.units
    if not torques:
        return
    page.heading("In steps up to full drive, and at full braking")
    force, length, stress = (unit_of(kind, units) for kind in ("force", "length", "stress"))
    heads = [f"thrust\n{force}", "wind-up\n°", "pinion\n°", f"lift\n{length}"]
    heads += ["front\neye", "rear\neye", f"stress\n{stress}"]
    with_bars = any(row.snubber for row in torques)
    heads += ["bar"] if with_bars else []
    rows = [_twist_row(row, units, with_bars) for row in torques]
    page.table([Column("", words=True), *map(Column, heads)], rows)
    for words in filter(None, (past_note(study), *end_notes(study))):
        page.paragraph(words)


def _pinion_table(page: Page, study: Study[RearAnswers]) -> None:
    rows = [
        [f"  {row.name}", *(_angle(angle, study.setup.units) for angle in row.angles)]
        for row in pinion_rows(study)
    ]
    if rows:
        page.heading("Pinion and propshaft, °, + nose up")
        page.table([Column("", words=True), *map(Column, STATES)], rows)


def _angle(value: float | None, units: Units) -> str:
    return NO_VALUE if value is None else number_of(value, "angle", units, plus=True)


def _twist_row(torque: TorqueRow, units: Units, with_bars: bool) -> Row:
    return [
        f"  {torque.name}",
        number_of(torque.thrust, "force", units),
        number_of(torque.wind_up, "angle", units, plus=True),
        _angle(torque.pinion, units),
        number_of(torque.lift, "length", units, plus=True),
        *(number_of(eye, "force", units) for eye in (torque.front_eye, torque.rear_eye)),
        f"{number_of(torque.stress, 'stress', units)}{PAST if torque.past else ''}",
        *([number_of(torque.snubber, "force", units)] if with_bars else []),
    ]


def _hop_tables(page: Page, study: Study[RearAnswers]) -> None:
    """Add the modes as the dampers are and in four layouts, of the last car that has them."""
    rows = hop_rows(study)
    if not rows:
        return
    page.heading(TABLE_TITLE)
    pair = [Column("Hz"), Column("damping")] * len(MODES)
    over = [Over(""), *(Over(MODE_NAMES[mode], 2) for mode in MODES)]
    page.table([Column("", words=True), *pair], [_hop_row(row) for row in rows], over)
    hops = [hop for _, hop in named_hops(study)]
    page.paragraph(f"{not_in_it(hops)} {how_sure(hops)}")
    mixed = {each.mixed for row in rows for each in row.figures if each is not None and each.mixed}
    if mixed:
        page.paragraph(f"* {', '.join(sorted(mixed))}: {MIXED}")


def _link_tables(page: Page, study: Study[RearAnswers]) -> None:
    """Add the forces in the links of each car that has them."""
    units = study.setup.units
    tables = link_force_tables(study)
    for table in tables:
        page.heading(f"Forces in the links, {table.car}")
        heads = [Column(f"{case}\n{unit_of('force', units)}") for case in table.cases]
        rows: list[Row] = [
            [
                f"  {line.name}",
                *(number_of(force, "force", units, plus=True) for force in line.forces),
            ]
            for line in table.rows
        ]
        if table.shear:
            cells = [number_of(shear, "stress", units) for shear in table.shear]
            rows.append([f"  {SHEAR}, {unit_of('stress', units)}", *cells])
        page.table([Column("", words=True), *heads], rows)
    if tables:
        page.paragraph(tables[-1].note)


def _hop_row(row: HopRow) -> Row:
    cells = [cell for figures in row.figures for cell in _hop_cells(figures)]
    return [f"  {row.name}", *cells]


def _hop_cells(figures: HopFigures | None) -> tuple[str, str]:
    if figures is None:
        return NO_VALUE, NO_VALUE
    mark = "*" if figures.mixed else ""
    return f"{figures.frequency:.1f}{mark}", ratio_text(figures.damping)
