"""`wishboard survey`: how coordinates and tapes agree, as tables or for machines."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from app.cli.arguments import Call
from app.cli.files import load, write_file
from app.cli.tables import Column, Page, Row
from app.cli.terminal import Terminal, terminal_of, write_json, write_text
from app.document.address import AXES
from app.document.model import Setup
from app.document.units import NO_VALUE, format_value, number_of, unit_of
from app.judge.survey import PointRow, Survey, TapeRow, survey_of
from app.judge.survey_words import (
    end_title,
    hidden_words,
    point_rows_shown,
    survey_sentences,
    tape_title,
    tapes_words,
)
from geometry.survey.adjustment import MOST_MISCLOSURE

_PLACES: Final = 6  # of a number for machines [mm]
_HEADS: Final = (
    "reading",
    "read_mm",
    "adjusted_mm",
    "residual_mm",
    "redundancy",
    "standardised",
    "hidden_mm",
)
_LEGEND: Final = (
    "“Within” is the uncertainty k = 2, before and after the adjustment. A residual is adjusted "
    "less read; “times its uncertainty” is by its own standard uncertainty, and from 3.29 on it is "
    "doubtful. Nothing is left out by itself but tapes more than {} off at first."
)
_NONE: Final = (
    "No tapes: the points are as they were read, and nothing checks them. Tapes between points "
    "stand in the file as [[tape]]."
)


def survey(call: Call, path: Path) -> None:
    """Say how a file's points and tapes agree."""
    setup = load(path)
    readings = survey_of(setup)
    if call.output is not None:
        text = survey_csv(readings)
        if call.output == Path("-"):
            sys.stdout.write(text)
            return
        write_file(call.output, text.encode())
        write_text(f"{call.output} written.", sys.stderr)
    if call.json:
        write_json(survey_object(readings, path))
    elif call.output is None:
        write_text(survey_text(setup, readings, path, terminal_of(sys.stdout)), laid_out=True)


def survey_object(readings: Survey, path: Path) -> dict[str, object]:
    """Return all of it for machines, in mm."""
    return {
        "file": path.name,
        "units": {"lengths": "mm"},
        "points": {row.key: _point_object(row) for row in readings.points},
        "tape": [_tape_object(row) for row in readings.tapes],
        "doubtful": list(readings.doubtful),
        "chi_square": readings.chi_square,
        "degrees_of_freedom": readings.degrees_of_freedom,
        "probability": readings.probability,
    }


def _point_object(row: PointRow) -> dict[str, object]:
    return {
        "read_mm": _rounded(row.read),
        "read_within_mm": _rounded(row.read_within or (None, None, None)),
        "adjusted_mm": _rounded(row.adjusted),
        "within_mm": _rounded(row.within or (None, None, None)),
        "residual_mm": _rounded(row.residual),
        "redundancy": list(row.redundancy),
        "standardised": list(row.standardised),
    }


def _tape_object(row: TapeRow) -> dict[str, object]:
    adjusted, residual, hidden = _rounded((row.adjusted, row.residual, row.hidden))
    return {
        "between": list(row.tape.between),
        "length_mm": row.tape.length,
        "within_mm": row.tape.within,
        "adjusted_mm": adjusted,
        "residual_mm": residual,
        "redundancy": row.redundancy,
        "standardised": row.standardised,
        "hidden_mm": hidden,
        "doubtful": row.is_doubtful,
    }


def _rounded(numbers: Sequence[float | None]) -> list[float | None]:
    return [None if number is None else round(number, _PLACES) + 0.0 for number in numbers]


def survey_csv(readings: Survey) -> str:
    """Return every reading as a row, in mm: coordinates and then tapes."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(_HEADS)
    for point in readings.points:
        for axis, name in enumerate(AXES):
            numbers = (point.read, point.adjusted, point.residual, point.redundancy)
            values = [of_point[axis] for of_point in numbers]
            rows.writerow(
                [f"{point.key}.{name}", *_cells([*values, point.standardised[axis], None])]
            )
    for row in readings.tapes:
        judged = (row.adjusted, row.residual, row.redundancy, row.standardised, row.hidden)
        rows.writerow([f"tape {row.number}", *_cells([row.tape.length, *judged])])
    return text.getvalue()


def _cells(numbers: Sequence[float | None]) -> list[str]:
    return ["" if number is None else f"{round(number, _PLACES) + 0.0:.10g}" for number in numbers]


def survey_text(setup: Setup, readings: Survey, path: Path, terminal: Terminal) -> str:
    """Return tables of tapes and of the points that they move, in the file's units."""
    page, unit = Page(terminal), unit_of("length", setup.units)
    page.heading(setup.title)
    page.paragraph(f"{path.name} · {tapes_words(len(setup.tapes))} · {unit}", indent="")
    if not setup.tapes:
        page.paragraph(_NONE)
        return page.text()
    page.heading("What the readings say together")
    for sentence in survey_sentences(setup, readings):
        page.paragraph(sentence, "- ")
    page.heading("Tapes")
    heads = ["read", "within ±", "adjusted", "residual", "times its\nuncertainty"]
    columns = [Column("", words=True), *map(Column, heads), Column("", words=True)]
    page.table(columns, [_tape_cells(setup, row) for row in readings.tapes])
    page.heading("Points that tapes end at")
    heads = ["read", "within ±", "adjusted", "within ±", "residual", "times its\nuncertainty"]
    page.table([Column("", words=True), *map(Column, heads)], _point_cells(setup, readings))
    page.paragraph(_LEGEND.format(format_value(MOST_MISCLOSURE, "length", setup.units)))
    return page.text()


def _tape_cells(setup: Setup, row: TapeRow) -> Row:
    tape = row.tape
    notes = "too far off: not adjusted" if row.is_far else hidden_words(setup, row)
    if row.adjusted is None:
        notes = "nothing says how well its ends are known: not adjusted"
    words = f"look again; {notes}" if row.is_doubtful else notes
    lengths = (tape.length, tape.within, row.adjusted)
    return [
        f"{row.number} {tape_title(setup, tape)}",
        *(_length(length, setup) for length in lengths),
        _length(row.residual, setup, plus=True),
        _times(row.standardised),
        words,
    ]


def _point_cells(setup: Setup, readings: Survey) -> list[Row]:
    rows: list[Row] = []
    for point in point_rows_shown(readings):
        rows.append(end_title(setup, point.key))
        for axis, name in enumerate(AXES):
            before, after = (
                None if within is None else within[axis]
                for within in (point.read_within, point.within)
            )
            numbers = (point.read[axis], before, point.adjusted[axis], after)
            rows.append(
                [
                    f"  {name}",
                    *(_length(number, setup) for number in numbers),
                    _length(point.residual[axis], setup, plus=True),
                    _times(point.standardised[axis]),
                ]
            )
    return rows


def _length(value: float | None, setup: Setup, *, plus: bool = False) -> str:
    return NO_VALUE if value is None else number_of(value, "length", setup.units, plus=plus)


def _times(size: float | None) -> str:
    return NO_VALUE if size is None else number_of(size, "plain", "mm", places=1, plus=True)
