"""The table of limits: the reading nearest to each, and whether it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.address import SIDES
from app.document.units import NO_VALUE
from app.paper.faces import FINE, SMALL, SMALL_STRONG, Face, width_of
from app.paper.flow import Block, kept
from app.paper.parts import Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.banded import ENDLESS, CarOf
from app.systems.limits import Extreme, LimitCheck, limit_checks, readings, worst
from app.words.bands import band_places, banded_text, is_open, percent, within_number
from app.words.results import (
    is_zero,
    limit_words,
    result_text,
    value_places,
)
from geometry.catalogue.front import JOINTS

_FOUND_ROOM: Final = 27.0  # of a limit's figures [mm]
_BUILT_ROOM: Final = 25.0
_OPEN: Final = (
    "“kept?” with a percentage: by how well the car was measured, the limit may or may not be "
    "kept; so probably it is."
)


def limit_blocks(
    study: Study[Any], paper: Paper, decimal: str, is_stopped: bool = False
) -> list[Block]:
    """Return every limit with the reading nearest to it, and whether it is kept."""
    limits = limit_checks(study)
    if is_stopped:
        limits = tuple(replace(limit, proposed=None) for limit in limits)
    if not limits:
        return []
    left = paper.margin
    columns = [
        Column(left, 62.0, "left"),
        Column(left + 90.0, _FOUND_ROOM),
        Column(left + 116.0, _BUILT_ROOM),
        Column(left + 120.0, paper.inner - 144.0, "left"),
        Column(paper.right, 24.0),
    ]
    heads = ("", "as found", "as built", "limit", "")
    if not study.changed:
        heads = ("", "", "as found", "limit", "")
    rows = [row(columns, [(head, FINE) for head in heads], 4.4)]
    rows += [row(columns, _limit_cells(reading, study, decimal), 4.6) for reading in limits]
    rows = [rows[0], *(replace(table_row, repeats=rows[0]) for table_row in rows[1:])]
    bands = study.bands
    if bands is not None and any(is_open(bands.kept.get(one.result.key)) for one in limits):
        rows += paragraph(_OPEN, paper.margin, paper.inner, FINE, 0.8)
    return kept([heading("Limits", paper.margin), *rows, *_who_says(limits, paper)])


def _limit_cells(reading: LimitCheck, study: Study[Any], decimal: str) -> list[tuple[str, Face]]:
    units, result = study.setup.units, reading.result
    before = _beside(reading, reading.measured, study, "found", decimal)
    after = _beside(reading, reading.proposed, study, "built", decimal)
    was, now = reading.measured, reading.proposed
    if study.changed and was and now and was.side != now.side and _wheel(reading, study):
        before = f"{before}, {was.side}"
    verdict = {True: "kept", False: "NOT KEPT", None: "can't be told"}[reading.held]
    chance = None if study.bands is None else study.bands.kept.get(result.key)
    if chance is not None and is_open(chance):
        verdict = f"kept? {percent(chance)}"
    face = SMALL_STRONG if reading.held is False else SMALL
    return [
        (f"{result.title}{_where(reading.proposed)}{_wheel(reading, study)}", SMALL),
        (before if study.changed else "", SMALL),
        (after, face),
        (limit_words(reading.limit, result, units, decimal=decimal), SMALL),
        (verdict, face),
    ]


def _beside(
    reading: LimitCheck, extreme: Extreme | None, study: Study[Any], car: CarOf, decimal: str
) -> str:
    """Return a figure seen on its side of a limit, or with how far it may be off."""
    if extreme is None:
        return NO_VALUE
    result, units = reading.result, study.setup.units
    side = SIDES.index(extreme.side) if extreme.side in SIDES else 0
    within, bands = None, study.bands
    if bands is not None and result.group == JOINTS:
        within = bands.within_most(car, result)
    elif bands is not None:
        within = bands.within(car, result, side)
    if within == ENDLESS:
        return NO_VALUE
    if within is not None and within_number(within, result, units):
        text = banded_text(extreme.value, within, result, units, decimal=decimal)
        room = _FOUND_ROOM if car == "found" else _BUILT_ROOM
        places = max(band_places(within, result, units) or 0, 0)
        if width_of(text, SMALL_STRONG) <= room:
            return text
        return result_text(extreme.value, result, units, decimal=decimal, places=places)
    places = value_places(extreme.value, reading.limit, result, units)
    return result_text(extreme.value, result, units, decimal=decimal, places=places)


def _wheel(reading: LimitCheck, study: Study[Any]) -> str:
    """Name the wheel that is nearer to the limit, where the other one reads otherwise."""
    result = reading.result
    extremes = list(readings(study.proposed, result))
    left, right = (
        worst(reading.limit, (each for each in extremes if each.side == side)) for side in SIDES
    )
    if reading.proposed is None or left is None or right is None:
        return ""
    is_alike = is_zero(left.value - right.value, result, study.setup.units)
    return "" if is_alike else f", {reading.proposed.side}"


def _where(reading: Extreme | None) -> str:
    if reading is None:
        return ""
    words = {"steer": ", on lock"}
    if reading.driver == "travel":
        return ", in bump" if reading.at > 0 else ", in rebound"
    return words.get(reading.driver, "")


def _who_says(limits: Sequence[LimitCheck], paper: Paper) -> list[Block]:
    """Return who or what set the limits, all in one paragraph."""
    authors = [f"{r.result.title}: {r.limit.by}" for r in limits if r.limit.by]
    words = f"Set by: {'; '.join(authors)}." if authors else ""
    return paragraph(words, paper.margin, paper.inner, FINE, 0.8) if authors else []
