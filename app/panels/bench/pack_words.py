"""Words on a leaf pack: its rate, what each leaf contributes, load curve, cutting list."""

from __future__ import annotations

from math import isfinite

import numpy as np

from app.document.model import Units
from app.document.units import format_value, number_of, shown, unit_of
from app.drawing.chart import Band, Chart, Note, Series
from app.panels.bench.pair_rows import Pair
from app.panels.figures import decimal_sign, is_nought, whole_length
from app.panels.text_table import Cell, TextRows
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.pack_whatif import PackState, WhatIf
from geometry.leaf.pack import LeafPack, cutting_list

Number = float | None


def rate_words(state: PackState, units: Units) -> str:
    """Return the rate: "19.6 N/mm on the car"."""
    where = "on the car" if state.lower is not None else "of the pack by itself"
    return f"{_value(state.rate, 'spring rate', units)} {where}"


def band_words(state: PackState, units: Units) -> str:
    """Return the two rates between which the pack's rate lies."""
    tips, curved = (
        number_of(rate, "spring rate", units, decimal=decimal_sign())
        for rate in (state.rate_tips, state.rate)
    )
    unit = unit_of("spring rate", units)
    if tips == curved:
        return "One leaf bears here: how leaves share the load makes no difference."
    return f"Stiffness lies between {tips} (tips touching) and {curved} {unit} (one curvature)."


def change_words(before: PackState, after: PackState, units: Units) -> str:
    """Return what the rate does against the measured pack: "12 % softer than measured".

    There are always words, so that nothing below them moves under the pointer.
    """
    change = after.rate / before.rate - 1.0
    if abs(change) < 0.005:
        return "As stiff as measured."
    way = "stiffer" if change > 0 else "softer"
    size = number_of(100.0 * abs(change), "percent", units, places=0)
    was = _value(before.rate, "spring rate", units)
    return f"{size} % {way} than measured, {was}."


def what_if_words(start: str, difference: WhatIf | None, units: Units) -> str:
    """Return what other leaves would do: "Without leaf 4: 16.9 N/mm, sits 21 mm lower, …"."""
    if difference is None:
        return ""
    parts = [_value(difference.rate, "spring rate", units)]
    if difference.lower is not None:
        length = whole_length(difference.lower, units)
        level = is_nought(length.partition(" ")[0])
        way = "lower" if difference.lower > 0 else "higher"
        parts.append("sits where it does" if level else f"sits {length} {way}")
    if difference.stress is not None:
        size = number_of(100.0 * difference.stress, "percent", units, places=0, plus=True)
        size = "unchanged" if is_nought(size) else f"{size}\N{NO-BREAK SPACE}%"
        parts.append(f"highest stress at bump {size}")
    return f"{start}: {', '.join(parts)}."


def pack_pairs(study: Study[RearAnswers], before: PackState | None, after: PackState) -> list[Pair]:
    """Return the pack's figures of both cars."""
    was, now = study.measured, study.proposed
    arches = [car.leaf.free_arch if car.leaf else None for car in (was, now)]
    masses = [_mass(car) for car in (was, now)]
    pairs = [
        Pair("Rate, one curvature", "spring rate", *_numbers_of_both(before, after, "rate")),
        Pair("Rate, tips touching", "spring rate", *_numbers_of_both(before, after, "rate_tips")),
        Pair("Static deflection", "length", *_numbers_of_both(before, after, "static"), 0),
        Pair("Free arch", "length", arches[0], arches[1], 0),
        Pair("Sits lower by", "length", *_numbers_of_both(before, after, "lower"), 0),
        Pair("Highest stress at ride", "stress", _most(before, "ride"), _most(after, "ride")),
        Pair("Highest stress at bump", "stress", _most(before, "bump"), _most(after, "bump")),
        Pair("Leaves of one spring", "mass", masses[0], masses[1]),
    ]
    return [pair for pair in pairs if pair.proposed is not None or pair.measured is not None]


def _numbers_of_both(
    before: PackState | None, after: PackState, name: str
) -> tuple[Number, Number]:
    was = None if before is None else getattr(before, name)
    return was, getattr(after, name)


def _most(state: PackState | None, when: str) -> float | None:
    stress = getattr(state, when, None)
    return None if stress is None else float(stress.worst.max())


def _mass(car: RearAnswers) -> float | None:
    if car.leaf is None:
        return None
    return sum(cut.mass for cut in cutting_list(car.leaf.car.pack))


def load_chart(study: Study[RearAnswers], state: PackState, units: Units) -> Chart:
    """Return load over deflection from free, with friction band, helper and ride."""
    long, force = shown("length", units), shown("force", units)
    now = study.proposed.leaf
    if now is None:
        return Chart(empty="There is no leaf spring.")
    curve = now.curve()
    x = curve.deflection / long.size
    load = curve.load / force.size
    half = curve.half_width / force.size
    curves = [Series(x, load[1], "bound"), Series(x, load[0])]
    was = study.measured.leaf
    if study.changed and was is not None:
        before = was.curve()
        deflection, carried = before.deflection / long.size, before.load[0] / force.size
        curves.insert(0, Series(deflection, carried, "measured"))
    bands = (Band(x, load[0] - half[0], load[0] + half[0]),) if now.car.friction else ()
    notes = [
        Note(at / long.size, float(np.interp(at / long.size, x, load[0])), "helper touches")
        for at in now.stages.contacts[1:]
        if at / long.size < x[-1]
    ]
    if state.static is not None and state.ride_load is not None:
        at = state.static / long.size
        notes.append(Note(at, float(np.interp(at, x, load[0])), "ride"))
    return Chart(
        tuple(curves),
        bands,
        tuple(notes),
        along=f"deflection from free, {long.unit}",
        up=f"load on one spring, {force.unit}",
        spoken=rate_words(state, units),
    )


def cutting_rows(pack: LeafPack, units: Units) -> TextRows:
    """Return what is cut for both springs."""
    long, heavy = unit_of("length", units), unit_of("mass", units)
    heads = (
        "leaf",
        "pieces",
        f"width\n{long}",
        f"thick\n{long}",
        f"front\n{long}",
        f"rear\n{long}",
        f"length\n{long}",
        f"each\n{heavy}",
    )
    rows = []
    for cut in cutting_list(pack):
        name = "main, to eyes" if cut.eyes else f"{cut.number}{', clips' if cut.clipped else ''}"
        sizes = (cut.width, cut.thickness, cut.front, cut.rear, cut.length)
        figures = [number_of(size, "length", units, decimal=decimal_sign()) for size in sizes]
        mass = number_of(cut.mass, "mass", units, decimal=decimal_sign(), places=2)
        rows.append(tuple(Cell(text) for text in (name, str(cut.count), *figures, mass)))
    return TextRows(heads, tuple(rows))


def stress_note(units: Units, limit: float) -> str:
    """Return the caption of the table of leaves."""
    length, stress = ("mm" if units == "mm" else "inches"), unit_of("stress", units)
    words = f"Lengths in {length} from the centre bolt, stress in {stress}"
    if isfinite(limit):
        words += f", limit {number_of(limit, 'stress', units)}"
    return f"{words}. ▲ little left, ■ past the limit."


def _value(value: float, kind: str, units: Units) -> str:
    return format_value(value, kind, units, decimal=decimal_sign())
