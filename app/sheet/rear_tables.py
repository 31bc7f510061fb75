"""Tables of a rear: leaves under torque, and an axle's hop by where the dampers are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.model import Units
from app.document.units import NO_VALUE, format_value, number_of, unit_of
from app.paper.faces import FINE, SMALL, SMALL_STRONG, Face
from app.paper.flow import Block, kept, spaced
from app.paper.parts import Cell, Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.hop import HopRow, hop_rows, named_hops
from app.systems.rear.shop.torque import TorqueRow, stiffnesses, torque_rows
from app.systems.rear.words.hop import MIXED, TABLE_TITLE, how_sure, not_in_it, ratio_text
from app.systems.rear.words.torque import PAST, end_notes, past_note

ROW: Final = 4.6
MODES: Final = ("Hop", "Tramp", "Wind-up")
BOLD: Final = (
    "Bold: a damping ratio below 0.08, which hardly dies out (common practice, no source)."
)


# Under torque


def torque_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the axle in steps up to full drive, and at full braking, of both cars."""
    units, rows = study.setup.units, torque_rows(study)
    if not rows:
        return []
    force, length = unit_of("force", units), unit_of("length", units)
    heads = ["", f"thrust, {force}", "wind-up", "pinion", f"lift, {length}"]
    heads += [f"front eye, {force}", f"rear eye, {force}", f"snubber, {force}"]
    heads += ["stress"]
    columns = _torque_columns(paper)
    body = [row(columns, [(head, FINE) for head in heads], 4.4)]
    body += [
        row(columns, list(_torque_cells(table_row, units, decimal)), ROW) for table_row in rows
    ]
    stress = f"highest stress of a leaf in {unit_of('stress', units)}"
    head = heading("Under torque", paper.margin, f"load held; + nose up; {stress}", paper.right)
    note = paragraph(_torque_words(study, decimal), paper.margin, paper.inner, SMALL)
    return kept([head, *body, *spaced(note, 0.8)])


def _torque_columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    wide = (right - left - 48.0) / 8
    ends = [left + 48.0 + wide * (index + 1) for index in range(8)]
    return [Column(left, 47.0, "left"), *(Column(end, wide - 1.0) for end in ends)]


def _torque_cells(torque: TorqueRow, units: Units, decimal: str) -> Iterator[Cell]:
    face = SMALL_STRONG if torque.is_proposed else SMALL
    yield torque.name, face
    yield number_of(torque.thrust, "force", units, decimal=decimal), face
    for angle in (torque.wind_up, torque.pinion):
        text = NO_VALUE
        if angle is not None:
            text = f"{number_of(angle, 'angle', units, decimal=decimal, plus=True)}°"
        yield text, face
    yield number_of(torque.lift, "length", units, decimal=decimal, plus=True), face
    for load in (torque.front_eye, torque.rear_eye, torque.snubber):
        yield number_of(load, "force", units, decimal=decimal), face
    mark = PAST if torque.past else ""
    yield f"{number_of(torque.stress, 'stress', units, decimal=decimal)}{mark}", face


def _torque_words(study: Study[RearAnswers], decimal: str) -> str:
    units = study.setup.units
    sizes = (
        f"{format_value(stiff, 'torsional rate', units, decimal=decimal, places=0)} {name}"
        for name, stiff in stiffnesses(study)
    )
    words = f"Wind-up stiffness of both springs: {', '.join(sizes)}. "
    notes = filter(None, (past_note(study), *end_notes(study, decimal)))
    return f"{words}{' '.join(notes)}"


# Hop and tramp


def hop_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return frequency and damping as the dampers are and in the four layouts."""
    rows = hop_rows(study)
    if not rows:
        return []
    columns = _hop_columns(paper)
    heads = [""] + [part for name in MODES for part in (f"{name}, Hz", "damping")]
    body = [row(columns, [(head, FINE) for head in heads], 4.4)]
    body += [row(columns, list(_hop_cells(table_row, decimal)), ROW) for table_row in rows]
    head = heading(TABLE_TITLE, paper.margin)
    figures = [each for table_row in rows for each in table_row.figures if each is not None]
    hops = [hop for _, hop in named_hops(study)]
    words = f"{not_in_it(hops)} {BOLD} {how_sure(hops)}"
    mixed = sorted({each.mixed for each in figures if each.mixed})
    words = f"{words} * {', '.join(mixed)}: {MIXED}" if mixed else words
    note = paragraph(words, paper.margin, paper.inner, SMALL)
    return kept([head, *body, *spaced(note, 0.8)])


def _hop_columns(paper: Paper) -> list[Column]:
    left, right = paper.margin, paper.right
    wide = (right - left - 62.0) / 6
    ends = [left + 62.0 + wide * (index + 1) for index in range(6)]
    return [Column(left, 61.0, "left"), *(Column(end, wide - 1.0) for end in ends)]


def _hop_cells(hop: HopRow, decimal: str) -> Iterator[Cell]:
    name = f"If {hop.name}" if hop.is_layout else f"Dampers {hop.name}"
    yield name, SMALL_STRONG if hop.is_proposed else SMALL
    for figures in hop.figures:
        if figures is None:
            yield from ((NO_VALUE, SMALL), (NO_VALUE, SMALL))
            continue
        mark = "*" if figures.mixed else ""
        hertz = number_of(figures.frequency, "plain", "mm", decimal=decimal, places=1)
        yield f"{hertz}{mark}", SMALL
        face: Face = SMALL_STRONG if figures.is_low else SMALL
        yield ratio_text(figures.damping, decimal), face
