"""`wishboard import`: points that somebody else measured, laid over datum points of the car."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

from app.cli.arguments import Call
from app.cli.files import fault_words, load, write_car
from app.cli.refused import WRONG_CALL, Refused
from app.cli.tables import Column, Page
from app.cli.terminal import Terminal, terminal_of, write_json, write_text
from app.document.address import AXES
from app.document.faults import SetupFaults
from app.document.laid_list import (
    LaidList,
    LaidPoint,
    can_be_datum,
    lay_list,
    misfit_words,
    read_list_file,
    refusal_words,
    taken_over,
    twice_words,
)
from app.document.listed_names import known_points, matched, unclear_words
from app.document.model import MARK, Setup, Vec
from app.document.point_list import PointList
from app.document.point_names import point_title
from app.document.units import NO_VALUE, number_of, unit_of

_SAY: Final = "say which with --name"
_ROLES: Final = {
    "datum": "Datum points: they stay as they are",
    "taken over": "Taken over as measured",
    "not used": "Not used",
}


def import_points(call: Call, path: Path) -> None:
    """Lay a list over its datum points, say how it fits, and write the car with its points."""
    assert call.list_file is not None  # the parser asks for it
    setup = load(path)
    try:
        points = read_list_file(call.list_file, call.unit)
    except SetupFaults as faults:
        raise Refused(fault_words(call.list_file, faults)) from None
    keys = _keys(setup, points, call)
    for key in call.datum:
        _check_datum(setup, keys, key, call)
    laid = lay_list(setup, points, keys, call.datum)
    if laid is None:
        raise Refused("Three or more datum points that aren't in one line are needed.", WRONG_CALL)
    if call.json:
        write_json(_object(laid, call.list_file))
    else:
        unclear = _unclear(setup, keys, call)
        write_text(_table(setup, laid, unclear, terminal_of(sys.stdout)), laid_out=True)
    why = refusal_words(laid)
    if why and not call.despite_misfit:
        raise Refused(f"{why}. If it is right all the same, say --despite-misfit.")
    if call.output is not None:
        write_car(call.output, path, taken_over(setup, laid, call.list_file.name))
        write_text(f"{call.output} written.", sys.stderr)


def _unclear(setup: Setup, keys: dict[str, str], call: Call) -> list[str]:
    """Return which names in the list may be several points, and the call doesn't say which."""
    said = {pair.partition("=")[0] for pair in call.names}
    return unclear_words(setup, [name for name in keys if name not in said], _SAY)


def _keys(setup: Setup, points: PointList, call: Call) -> dict[str, str]:
    """Return what each point of the list is, by its name or as the call says."""
    keys = matched(setup, points)
    known_keys = known_points(setup)
    for pair in call.names:
        listed, sign, key = pair.partition("=")
        if not sign or listed not in keys:
            raise Refused(f"--name {pair}: the list has no point “{listed}”.", WRONG_CALL)
        if key and key not in known_keys:
            raise Refused(f"--name {pair}: this car has no point or mark {key}.", WRONG_CALL)
        keys[listed] = key
    if words := twice_words(keys):
        raise Refused(f"{words}: say which with --name, as LISTED= for one that isn't used.")
    return keys


def _check_datum(setup: Setup, keys: dict[str, str], key: str, call: Call) -> None:
    if not can_be_datum(setup, key):
        raise Refused(f"--datum {key}: the car doesn't say where that is.", WRONG_CALL)
    if key not in keys.values():
        unclear = [w for w in _unclear(setup, keys, call) if key in w]
        words = " ".join(unclear) or "no point of the list is called so; say which with --name."
        raise Refused(f"--datum {key}: {words}")


def _table(setup: Setup, laid: LaidList, unclear: list[str], terminal: Terminal) -> str:
    page, unit = Page(terminal), unit_of("length", setup.units)
    columns = [Column("In the list", words=True), Column("Point of the car", words=True)]
    columns += [Column(f"{axis},\n{unit}") for axis in AXES]
    columns += [Column(f"within,\n{unit}"), Column(f"off what\nwas read,\n{unit}")]
    rows: list[list[str] | str] = []
    for role, words in _ROLES.items():
        points = [point for point in laid.points if point.role == role]
        if points:
            rows += [words, *(_row(setup, point) for point in points)]
    page.table(columns, rows)
    for words in (*unclear, *misfit_words(setup, laid)):
        page.paragraph(words)
    return page.text()


def _row(setup: Setup, point: LaidPoint) -> list[str]:
    def length(value: float | None) -> str:
        return NO_VALUE if value is None else number_of(value, "length", setup.units)

    key = point.key
    title = key if not key or key.startswith(MARK) else point_title(key, setup.readings)
    within = NO_VALUE if point.role == "datum" else length(max(point.within))
    return [point.listed.name, title, *map(length, point.place), within, length(point.before)]


def _object(laid: LaidList, path: Path) -> dict[str, object]:
    return {
        "list": path.name,
        "units": {"lengths": "mm"},
        "size": laid.size,
        "worst_misfit_mm": laid.worst,
        "probability": laid.chance,
        "mirrored": laid.mirrored is not None,
        "fits_either_hand": laid.fits_either_hand,
        "fits": laid.fits,
        "points": [
            {
                "listed": point.listed.name,
                "key": point.key or None,
                "role": point.role,
                "place_mm": _rounded(point.place),
                "within_mm": _rounded(point.within),
                "misfit_mm": None if point.misfit is None else _rounded(point.misfit),
                "off_reading_mm": point.before,
            }
            for point in laid.points
        ],
    }


def _rounded(vector: Vec) -> list[float]:
    return [round(number, 6) for number in vector]
