"""The leaf packs: what a spring maker cuts, as found and to be made; and what each leaf bears."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from app.document.model import Leaf, Setup, Units, Value
from app.document.plain_text import upper_first
from app.document.schema import HALVES
from app.document.units import NO_VALUE, format_value, number_of, unit_of
from app.paper.faces import FINE, SMALL, SMALL_STRONG, STRONG, TEXT, Face
from app.paper.flow import Block, kept, spaced
from app.paper.ink import GREY, THIN, Ink
from app.paper.parts import Cell, Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.leaf_steps import thickness
from app.systems.rear.shop.leaves import (
    LeafRow,
    PackRows,
    StressRow,
    pack_rows,
    stands_unknown,
    stress_rows,
)
from app.words.lengths import bench_length, bench_number
from app.words.readings import leaves_within_words

ROW: Final = 5.4
STRESS_ROW: Final = 4.4
TITLES: Final = {
    "as it is": "Leaf pack",
    "left as it is": "Leaf pack, left as it is",
    "to fit": "Leaf pack to fit",
    "as found": "Leaf pack as found",
    "comes off": "Leaf pack that comes off",
    "to build up": "Leaf pack to build up",
}
MEASURED: Final = ("as it is", "left as it is", "as found", "comes off")
UNKNOWN: Final = (
    "The stress at full bump isn't known: full bump counts from the measured height, and how far "
    "the car settles from there isn't known, since its load as measured isn't."
)
PACK: Final = ("width", "clamp_length", "free_arch", "eye_diameter")


def pack_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the pack as found and, where it is altered, as it is to be built up."""
    table = _Table(study.setup, paper, decimal)
    return [block for pack in pack_rows(study) for block in table.blocks(pack)]


class _Table:
    """A table of the leaves of one pack."""

    def __init__(self, setup: Setup, paper: Paper, decimal: str) -> None:
        self.setup = setup
        self.units: Units = setup.units
        self.paper, self.decimal = paper, decimal

    def blocks(self, pack: PackRows) -> list[Block]:
        """Return heading, head, a row a leaf, and if asked what holds for all of them."""
        note = f"{self.units} · along the leaf from the centre bolt · 2 of each, both springs alike"
        columns = self._columns()
        names = ("leaf", "thick", *HALVES, "whole", f"each, {self._mass_unit()}", "", "")
        head = row(columns, [(name, FINE) for name in names], 4.4)
        rows = [row(columns, self._cells(each), ROW) for each in pack.leaves]
        body = [head, *(replace(each, repeats=head) for each in rows)]
        top = heading(TITLES[pack.kind], self.paper.margin, note, self.paper.right)
        below = [] if pack.common is None else self._below(pack.common)
        known = self._known() if pack.kind in MEASURED else []
        below = spaced([*below, *known, *self._notes(pack.leaves)], 0.8)
        return kept([top, *body, *below])

    def _known(self) -> list[Block]:
        """Return how well the leaves were measured, where that is said."""
        words = leaves_within_words(self.setup, self.units, self.decimal)
        return paragraph(words, self.paper.margin, self.paper.inner, SMALL) if words else []

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

    def _cells(self, leaf_row: LeafRow) -> list[Cell]:
        place, leaf = leaf_row.place, leaf_row.leaf
        face = STRONG if leaf_row.fate in ("new", "altered") else TEXT
        lengths = (leaf.front, leaf.rear, leaf_row.whole)
        mass = number_of(leaf_row.mass, "mass", self.units, decimal=self.decimal, places=2)
        return [
            (leaf_name(place), face),
            (thickness(leaf, self.units, self.decimal), face),
            *((bench_number(each, self.units, self.decimal), face) for each in lengths),
            (mass, SMALL),
            (", ".join(self._remarks(place, leaf)), SMALL),
            (_fate(leaf_row), SMALL_STRONG),
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

    def _notes(self, leaves: Sequence[LeafRow]) -> list[Block]:
        """Return the user's notes on leaves, but for those that the table says itself."""
        texts = [
            f"Leaf {each.place + 1}: {each.leaf.note}"
            for each in leaves
            if each.leaf.note and not (each.leaf.note == "helper" and each.leaf.contact is not None)
        ]
        return [
            each
            for text in texts
            for each in paragraph(text, self.paper.margin, self.paper.inner, SMALL)
        ]

    def _below(self, values: Mapping[str, Value]) -> list[Block]:
        """Return what holds for all leaves."""
        facts = []
        for name, words in zip(PACK, ("width", "clamped", "free arch", "eyes inside"), strict=True):
            value = values.get(f"rear.pack.{name}")
            if isinstance(value, float | int):
                facts.append(f"{words} {bench_length(float(value), self.units, self.decimal)}")
        eyes = [values.get(f"rear.pack.{half}_eye") for half in HALVES]
        if all(eyes):
            facts.append(f"eyes {eyes[0]} front, {eyes[1]} rear")
        if values.get("rear.pack.material"):
            facts.append(str(values["rear.pack.material"]))
        words = "; ".join(facts)
        words = f"{upper_first(words)}. The main leaf is given from eye to eye: what its "
        words += "eyes take to roll comes on top; measure it on the old one."
        return paragraph(words, self.paper.margin, self.paper.inner, SMALL)


def leaf_name(place: int) -> str:
    """Return a leaf's name: the main leaf, then numbers from 2."""
    return "main" if place == 0 else str(place + 1)


def _fate(row: LeafRow) -> str:
    """Return what is done to a leaf; nothing for one that stays."""
    if row.fate == "moves" and row.was is not None:
        return f"was leaf {row.was + 1}"
    return row.fate if row.fate in ("new", "altered") else ""


# What each leaf bears


def stress_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the stress of each leaf at ride and at full bump by both models, car by car."""
    cars = [("as found", study.measured), ("as built", study.proposed)]
    cars = cars if study.changed else [("", study.measured)]
    tables = [(name, stress_rows(car)) for name, car in cars]
    tables = [(name, rows) for name, rows in tables if rows]
    if not tables:
        return []
    units = study.setup.units
    columns = _stress_columns(paper)
    blocks = [_stress_head(columns)]
    for name, rows in tables:
        if name:
            blocks.append(row(columns[:1], [(upper_first(name), SMALL_STRONG)], STRESS_ROW, False))
        blocks += [row(columns, _stress_cells(each, units, decimal), STRESS_ROW) for each in rows]
    unknown = paragraph(UNKNOWN, paper.margin, paper.inner, SMALL)
    below = unknown if any(stands_unknown(car) for _, car in cars) else []
    note = f"{unit_of('stress', units)} · the truth lies between both models"
    head = heading("Stress of each leaf", paper.margin, note, paper.right)
    return kept([head, *blocks, *spaced(below, 0.8)])


def _stress_columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    ends = (left + 46.0, left + 74.0, left + 104.0, left + 132.0, left + 157.0, right)
    return [Column(left, 20.0, "left"), *(Column(end, 26.0) for end in ends)]


def _stress_head(columns: list[Column]) -> Block:
    """Return a head of two lines: where the car is, and by which model."""
    models = ("one curvature", "touching at tips")
    names = row(columns, [(n, FINE) for n in ("leaf", *models, *models, "limit", "left")], 4.4)

    def paint(ink: Ink, top: float) -> None:
        for first, last, words in ((1, 2, "at ride"), (3, 4, "at full bump")):
            start, end = columns[first].x - 22.0, columns[last].x
            ink.write((start + end) / 2, top + 3.2, words, SMALL, "centre")
            ink.rule((start, top + 4.0), (end, top + 4.0), THIN, GREY)
        names.paint(ink, top + 4.2)

    return Block(8.6, paint)


def _stress_cells(leaf: StressRow, units: Units, decimal: str) -> list[Cell]:
    face: Face = SMALL_STRONG if leaf.left is not None and leaf.left < 0 else SMALL
    left = NO_VALUE
    if leaf.left is not None:
        left = f"{number_of(100 * leaf.left, 'percent', units, places=0)} %"
    stresses = (*leaf.ride, *(leaf.bump or (None, None)))
    return [
        (leaf_name(leaf.place), face),
        *((_stress(value, units, decimal), face) for value in stresses),
        (_stress(leaf.limit, units, decimal), SMALL),
        (left, face),
    ]


def _stress(value: float | None, units: Units, decimal: str) -> str:
    return NO_VALUE if value is None else number_of(value, "stress", units, decimal=decimal)
