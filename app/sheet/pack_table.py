"""The leaf packs: what a spring maker cuts, as found and to be made; and what each leaf bears."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final, cast

import numpy as np

from app.document.model import Leaf, Setup, Units, Value
from app.document.moves import proposed_settings
from app.document.units import NO_VALUE, format_value, number_of, unit_of
from app.paper.faces import FINE, SMALL, SMALL_STRONG, STRONG, TEXT, Face
from app.paper.flow import Block, kept, spaced
from app.paper.parts import Cell, Column, beside, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.bench import bench_length, bench_number
from app.systems.rear.shop.leaf_steps import KEY, Leaves, paired, thickness
from geometry.leaf.load import LeafStresses, Model
from geometry.leaf.pack import LeafPack, cutting_list

ROW: Final = 5.4
STRESS_ROW: Final = 4.4
NEW: Final = "new"
ALTERED: Final = "altered"
PACK: Final = ("width", "clamp_length", "free_arch", "eye_diameter")
Values = dict[str, Value]


def pack_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the pack as found and, where it is altered, as it is to be built up."""
    was, now = dict(study.setup.evidence), proposed_settings(study.setup)
    found, made = study.measured.leaf, study.proposed.leaf
    table = _Table(study.setup, paper, decimal)
    if made is not None and (found is None or _facts(was) == _facts(now)):
        stays = study.changed and found is not None
        title = "Leaf pack, left as it is" if stays else "Leaf pack"
        title = "Leaf pack to fit" if found is None else title
        return table.blocks(title, now, made.car.pack, None, True)
    blocks: list[Block] = []
    if found is not None:
        title = "Leaf pack as found" if made is not None else "Leaf pack that comes off"
        blocks += table.blocks(title, was, found.car.pack, None, True)
    if made is not None:
        before = cast(Leaves, was.get(KEY, ()))
        alike = _facts(was, but=KEY) == _facts(now, but=KEY)
        blocks += table.blocks("Leaf pack to build up", now, made.car.pack, before, not alike)
    return blocks


def _facts(values: Values, but: str = "") -> dict[str, Value]:
    return {k: value for k, value in values.items() if k.startswith("rear.pack.") and k != but}


class _Table:
    """A table of the leaves of one pack."""

    def __init__(self, setup: Setup, paper: Paper, decimal: str) -> None:
        self.units: Units = setup.units
        self.paper, self.decimal = paper, decimal

    def blocks(
        self, title: str, values: Values, pack: LeafPack, before: Leaves | None, told: bool
    ) -> list[Block]:
        """Return heading, head, a row a leaf, and if asked what holds for all of them.

        `before` are the leaves that this pack is made from.
        """
        leaves = cast(Leaves, values[KEY])
        note = f"{self.units} · along the leaf from the centre bolt · 2 of each, both springs alike"
        columns = self._columns()
        names = ("leaf", "thick", "front", "rear", "whole", f"each, {self._mass_unit()}", "", "")
        head = row(columns, [(name, FINE) for name in names], 4.4)
        changed = {} if before is None else dict(_changes(before, leaves))
        rows = [
            row(columns, self._cells(place, leaf, pack, changed), ROW)
            for place, leaf in enumerate(leaves)
        ]
        body = [head, *(replace(each, repeats=head) for each in rows)]
        top = heading(title, self.paper.margin, note, self.paper.right)
        below = [*(self._below(values) if told else []), *self._notes(leaves)]
        below = spaced(below, 0.8)
        return kept([top, *body, *below])

    def _mass_unit(self) -> str:
        return unit_of("mass", self.units)

    def _columns(self) -> list[Column]:
        left, right = self.paper.margin, self.paper.right
        ends = (34.0, 53.0, 72.0, 93.0, 111.0)
        widths = (17.0, 18.0, 18.0, 20.0, 16.0)
        return [
            Column(left, 16.0, "left"),
            *(Column(left + end, width) for end, width in zip(ends, widths, strict=True)),
            Column(left + 115.0, right - left - 115.0 - 24.0, "left"),
            Column(right, 23.0),
        ]

    def _cells(self, place: int, leaf: Leaf, pack: LeafPack, changed: dict[int, str]) -> list[Cell]:
        cut = cutting_list(pack)[place]
        lengths = (leaf.front, leaf.rear, leaf.front + leaf.rear)
        face = STRONG if changed.get(place) in (NEW, ALTERED) else TEXT
        mass = number_of(cut.mass, "mass", self.units, decimal=self.decimal, places=2)
        return [
            ("main" if place == 0 else str(place + 1), face),
            (thickness(leaf, self.units, self.decimal), face),
            *((bench_number(each, self.units, self.decimal), face) for each in lengths),
            (mass, SMALL),
            (", ".join(self._remarks(place, leaf)), SMALL),
            (changed.get(place, ""), SMALL_STRONG),
        ]

    def _remarks(self, place: int, leaf: Leaf) -> Iterator[str]:
        if place == 0:
            yield "to the eyes"
        if leaf.clipped:
            yield "clipped"
        if leaf.taper == "parabolic":
            yield "tapered, parabolic"
        if leaf.contact is not None:
            size = bench_length(leaf.contact, self.units, self.decimal)
            yield f"helper, touches at {size} of bump"
        if leaf.nip:
            yield f"nip {bench_length(leaf.nip, self.units, self.decimal)}"
        if leaf.modulus is not None:
            yield f"E {format_value(leaf.modulus, 'stress', self.units, decimal=self.decimal)}"

    def _notes(self, leaves: Leaves) -> list[Block]:
        """Return the user's notes on leaves, but for those that the table says itself."""
        told = [
            f"Leaf {place + 1}: {leaf.note}"
            for place, leaf in enumerate(leaves)
            if leaf.note and not (leaf.note == "helper" and leaf.contact is not None)
        ]
        return [
            each
            for text in told
            for each in paragraph(text, self.paper.margin, self.paper.inner, SMALL)
        ]

    def _below(self, values: Values) -> list[Block]:
        """Return what holds for all leaves."""
        told = []
        for name, words in zip(PACK, ("width", "clamped", "free arch", "eyes inside"), strict=True):
            value = values.get(f"rear.pack.{name}")
            if isinstance(value, float | int):
                told.append(f"{words} {bench_length(float(value), self.units, self.decimal)}")
        eyes = [values.get(f"rear.pack.{end}_eye") for end in ("front", "rear")]
        if all(eyes):
            told.append(f"eyes {eyes[0]} front, {eyes[1]} rear")
        if values.get("rear.pack.material"):
            told.append(str(values["rear.pack.material"]))
        words = "; ".join(told)
        words = f"{words[:1].upper()}{words[1:]}. The main leaf is given from eye to eye: what its "
        words += "eyes take to roll comes on top; measure it on the old one."
        return paragraph(words, self.paper.margin, self.paper.inner, SMALL)


def _changes(before: Leaves, after: Leaves) -> Iterator[tuple[int, str]]:
    """Yield the places of leaves that aren't as found, with what is done to them."""
    for pair in paired(before, after):
        if pair.now is None:
            continue
        now = after[pair.now]
        was = None if pair.was is None else before[pair.was]
        if was is None:
            yield pair.now, NEW
        elif replace(was, note="") != replace(now, note=""):
            cut = ("thickness", "front", "rear", "taper", "modulus")
            alike = all(getattr(was, name) == getattr(now, name) for name in cut)
            yield pair.now, ALTERED if alike else NEW
        elif pair.was != pair.now:
            yield pair.now, f"was leaf {(pair.was or 0) + 1}"


# What each leaf bears


def stress_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the stress of each leaf at ride and at full bump, both cars beside each other."""
    cars = [("as found", study.measured)]
    cars = [*cars, ("as proposed", study.proposed)] if study.changed else [("", study.measured)]
    lines = [(name, list(_stress_lines(car, study.setup.units, decimal))) for name, car in cars]
    lines = [(name, own) for name, own in lines if own]
    if not lines:
        return []
    unit = unit_of("stress", study.setup.units)
    tables = [[_stress_heads(name), *own] for name, own in lines]
    rows = [
        beside(
            [
                row(_stress_columns(paper, index), cells[place], STRESS_ROW)
                for index, cells in enumerate(tables)
                if place < len(cells)
            ]
        )
        for place in range(max(map(len, tables)))
    ]
    note = f"{unit} · the higher of one curvature and tip contact"
    return kept([heading("Stress of each leaf", paper.margin, note, paper.right), *rows])


def _stress_heads(name: str) -> list[Cell]:
    words = (f"leaf {name}".strip(), "at ride", "full bump", "limit", "left")
    return [(word, FINE) for word in words]


def _stress_columns(paper: Paper, index: int) -> list[Column]:
    """Return the columns of the table at the left, 0, or at the right, 1."""
    width = (paper.inner - 6.0) / 2
    x = paper.margin + index * (width + 6.0)
    ends = (41.0, 58.0, 74.0, width)
    return [Column(x, 25.0, "left"), *(Column(x + end, 15.0) for end in ends)]


def _stress_lines(car: RearAnswers, units: Units, decimal: str) -> Iterator[list[Cell]]:
    if car.leaf is None:
        return
    ride, bump = stresses(car)
    if ride is None:
        return
    limits = car.leaf.stages.pack.limits
    for place, limit in enumerate(limits):
        name = "main" if place == 0 else str(place + 1)
        known = bool(np.isfinite(limit))
        left = None if bump is None or not known else float(bump.margin[place])
        face: Face = SMALL_STRONG if left is not None and left < 0 else SMALL
        worst = [None if each is None else float(each.worst[place]) for each in (ride, bump)]
        figures = [_stress(value, units, decimal) for value in worst]
        room = NO_VALUE if left is None else number_of(100 * left, "percent", units, places=0)
        yield [
            (name, face),
            *((figure, face) for figure in figures),
            (_stress(float(limit) if known else None, units, decimal), SMALL),
            (room if room == NO_VALUE else f"{room} %", face),
        ]


def stresses(car: RearAnswers) -> tuple[LeafStresses | None, LeafStresses | None]:
    """Return the stresses of each leaf at ride and at full bump, None where they aren't known."""
    leaf = car.leaf
    if leaf is None or leaf.car.load is None:
        return None, None
    at = (leaf.settled_travel or 0.0, leaf.car.bump)
    found = [leaf.on_car(np.array([each]), Model.COMMON_CURVATURE) for each in at]
    ride, bump = (None if each is None else leaf.stresses(float(each.load[0])) for each in found)
    return ride, bump


def _stress(value: float | None, units: Units, decimal: str) -> str:
    return NO_VALUE if value is None else number_of(value, "stress", units, decimal=decimal)
