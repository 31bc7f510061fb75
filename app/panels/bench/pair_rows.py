"""Rows of figures: measured, proposed, and what moves."""

from __future__ import annotations

from math import isfinite
from typing import Final

from app.document.model import Units
from app.document.units import number_of, unit_of
from app.panels.figures import NOTHING, decimal_sign, is_nought
from app.panels.text_table import Cell, TextRows
from geometry.dataclass import dataclass

HEADS: Final = ("", "as found", "as built", "change")


@dataclass(frozen=True, slots=True)
class Pair:
    """A quantity of both cars in inside units, None where it isn't known; `tip` says what it is."""

    title: str
    kind: str
    measured: float | None
    proposed: float | None
    places: int | None = None
    tip: str = ""
    strong: bool = False  # worth a second look


def pair_rows(pairs: list[Pair], units: Units) -> TextRows:
    """Return the pairs as rows of a table."""
    return TextRows(HEADS, tuple(_row(pair, units) for pair in pairs))


def figure(value: float | None, pair: Pair, units: Units, plus: bool = False) -> str:
    """Return one figure without its unit."""
    if value is None or not isfinite(value):
        return NOTHING
    places = pair.places
    if places is not None and pair.kind == "length" and units == "in":
        places += 1
    text = number_of(value, pair.kind, units, decimal=decimal_sign(), places=places, plus=plus)
    return text.lstrip("+−") if is_nought(text) else text


def _row(pair: Pair, units: Units) -> tuple[Cell, ...]:
    unit = unit_of(pair.kind, units)
    title = f"{pair.title}, {unit}" if unit else pair.title
    before, after = (figure(value, pair, units) for value in (pair.measured, pair.proposed))
    moves = ""
    if pair.measured is not None and pair.proposed is not None:
        moves = figure(pair.proposed - pair.measured, pair, units, plus=True)
        moves = "" if moves == NOTHING or is_nought(moves) else moves
    return (
        Cell(title, "bold" if pair.strong else "plain", tip=pair.tip or title),
        Cell(before, ink="second"),
        Cell(after, "bold", "accent" if pair.strong else "ink"),
        Cell(moves, ink="accent"),
    )
