"""Bands as tables: each figure of both cars and of the move with how far it may be off."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Final

import numpy as np

from app.cli.bands import CARS, Answer, notes
from app.cli.tables import Column, Page, Row
from app.cli.terminal import Terminal
from app.document.units import format_value, number_of, unit_of
from app.judge.bands import Band, is_exact
from app.shop.stops import OF_NO_CAR
from app.systems.height_words import height_words
from app.systems.sentences import stop_texts
from app.words.bands import (
    banded_number,
    is_open,
    open_limit_words,
    open_sign_words,
    percent,
    within_number,
)
from app.words.readings import reading_title
from app.words.results import limit_words, result_unit
from geometry.catalogue.result import Result

HOLDS: Final = "± holds in about 95 of 100 cars measured as well as this one (k = 2)."
EXACT: Final = (
    "The file says that all of it was measured exactly, within 0: each ± is 0. A tape is good to a "
    "millimetre or two: give measured_within under [sheet], and the bands say what comes of it."
)
_READINGS: Final = 8  # that are listed


def bands_text(answer: Answer, path: Path, terminal: Terminal) -> str:
    """Return the bands as tables."""
    page, setup = Page(terminal), answer.study.setup
    page.heading(setup.title)
    over = f"{answer.study.system.key} over {answer.bands.asked.driver}"
    where = over if answer.asked_poses else f"{answer.study.system.key} at rest"
    page.paragraph(f"{path.name} · {where}", indent="")
    page.paragraph(height_words(answer.study), indent="")
    for words in stop_texts(answer.study):
        page.paragraph(f"{words} {OF_NO_CAR}", "!! ")
    meaning = EXACT if is_exact(answer.study) else HOLDS
    page.paragraph(f"{meaning} Left wheel; the right one's are in --json and -o.", indent="")
    for place in range(answer.at.size):
        _pose(page, answer, place)
    _limits(page, answer)
    _again(page, answer)
    said = [*_open(answer), *_sampled(answer), *notes(answer)]
    if said:
        page.heading("Notes")
        for note in said:
            page.paragraph(note, "- ")
    return page.text()


def _pose(page: Page, answer: Answer, place: int) -> None:
    setup, asked = answer.study.setup, answer.bands.asked
    if answer.asked_poses:
        kind = "angle" if asked.driver == "roll" else "length"
        at = format_value(float(answer.at[place]), kind, setup.units, plus=True)
        page.heading(f"{asked.driver.capitalize()} {at}")
    cars = list(CARS) if answer.study.changed else ["found"]
    columns = [Column("", words=True)]
    for car in cars:
        columns += [Column(CARS[car]), Column("±")]
    columns += [Column("unit", words=True)]
    shown = [result for result in answer.results("built") if _is_shown(answer, result, place)]
    rows: list[Row] = []
    for group, results in groupby(shown, key=lambda result: result.group):
        rows.append(group)
        rows += [_row(answer, result, cars, place) for result in results]
    page.table(columns, rows)


def _row(answer: Answer, result: Result, cars: list[str], place: int) -> list[str]:
    units = answer.study.setup.units
    cells = [f"  {result.title}"]
    exact = is_exact(answer.study)
    for car in cars:
        value, within = _at(answer, car, result, place)
        if result.sampled and within is not None and not np.isfinite(within):
            value = None  # through infinity
        cells += [
            banded_number(value, within, result, units, plus=car == "moves"),
            "0" if exact else within_number(within, result, units).removeprefix("±"),
        ]
    return [*cells, result_unit(result, units)]


def _is_shown(answer: Answer, result: Result, place: int) -> bool:
    if not answer.end.applies(result) or (result.scope == "car" and answer.asked_poses):
        return False
    value, within = _at(answer, "built", result, place)
    return value is not None and within is not None


def _at(answer: Answer, car: str, result: Result, place: int) -> tuple[float | None, float | None]:
    band: Band | None = answer.of(car).get(result.key)
    if band is None:
        return None, None
    index = answer.bands.asked.at.size - answer.at.size + place if answer.asked_poses else 0
    parts = (
        float(array if result.scope == "car" else array[..., index].ravel()[0])
        for array in (np.asarray(band.value), np.asarray(band.within))
    )
    value, within = parts
    return value if np.isfinite(value) else None, within


def _limits(page: Page, answer: Answer) -> None:
    cars = 2 if answer.study.changed else 1  # as found, as built
    rows = [
        [
            f"  {limit.result.title}",
            limit_words(limit.check.limit, limit.result, answer.study.setup.units),
            *(
                "–" if chance is None else percent(chance)
                for chance in (limit.found_kept, limit.kept)[:cars]
            ),
        ]
        for limit in answer.limits
    ]
    if rows:
        page.heading("Limits, and how probably they are kept")
        heads = (Column("", words=True), Column("limit", words=True))
        page.table([*heads, *[Column("as found"), Column("as built")][:cars]], rows)


def _again(page: Page, answer: Answer) -> None:
    units = answer.study.setup.units
    if answer.again:
        page.heading("Measure again first")
        rows = [
            [f"  {reading_title(one.reading, answer.study.setup)}", percent(one.share)]
            for one in answer.again[:_READINGS]
        ]
        page.table([Column("", words=True), Column("share")], rows)
    if answer.drill_within is not None:
        size = number_of(answer.drill_within, "length", units)
        page.heading("Drill within")
        page.paragraph(
            f"Each new hole within {size} {unit_of('length', units)} in every direction: all "
            "limits are kept with 95 %."
            if answer.drill_within
            else "A limit isn't kept with 95 % even by holes in their very places: measure again "
            "first."
        )


def _sampled(answer: Answer) -> Iterator[str]:
    """Yield which results were sampled, since a straight line is blind to what they do."""
    built = answer.bands.built
    titles = [each.title for each in answer.results("built") if built[each.key].method != "linear"]
    if titles and not is_exact(answer.study):
        yield f"Sampled with {answer.samples} cars: {'; '.join(titles)}."


def _open(answer: Answer) -> Iterator[str]:
    units = answer.study.setup.units
    for limit in answer.limits:
        if limit.kept is not None and is_open(limit.kept):
            yield open_limit_words(limit.result, limit.check.limit, limit.kept, units)
    for result in answer.results("built"):
        value, within = _at(answer, "built", result, 0)
        if result.first and value is not None and within is not None:
            words = open_sign_words(result, value, within, units)
            if words:
                yield words
