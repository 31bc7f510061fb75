"""What the notes of front and rear share: how results and places are called."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final, cast

import numpy as np

from app.document.ends import key_in
from app.document.model import Setup, Value
from app.document.moves import proposed_number
from app.document.point_names import point_words
from app.document.units import format_value
from app.systems.answers import FURTHEST, Answered, Driver, Study
from geometry.catalogue.front import Result
from geometry.vectors import Array

SIDE_VIEW: Final = ("side_centre_x", "side_centre_z", "side_swing_arm_length")
NEVER_SETTLES: Final = "the springs don't carry the same load anywhere within reach"
TOO_FAR: Final = "no car's suspension goes that far."

Naming = Callable[[Result], str]  # how a note calls a result: by its title, or its machine name


def title_of(result: Result) -> str:
    """Return how people call a result."""
    return result.title


def names(results: Sequence[Result], naming: Naming) -> str:
    """Return the names of some results."""
    return ("; " if naming is title_of else ", ").join(map(naming, results))  # titles have commas


def need(results: Sequence[Result]) -> str:
    """Return the verb of one result or of several."""
    return "needs" if len(results) == 1 else "need"


def missing_notes(
    missing: Mapping[Result, tuple[str, ...]],
    applies: Callable[[Result], bool],
    naming: Naming,
    evidence: Mapping[str, Value],
) -> Iterator[str]:
    """Return which keys of the file are missing, and for which results."""
    lacking: dict[tuple[str, ...], list[Result]] = {}
    for result, keys in missing.items():
        if applies(result):
            lacking.setdefault(keys, []).append(result)
    for keys, results in lacking.items():
        pose_words = ", ".join(f"{key} ({point_words(key, evidence)})" for key in keys)
        yield f"Missing data: {names(results, naming)} {need(results)} {pose_words}."


def driver_words(setup: Setup, driver: Driver, value: float) -> str:
    """Return a place of a sweep in words: "Travel −12.0 mm"."""
    kind = "angle" if driver == "roll" else "length"
    return f"{driver.capitalize()} {format_value(value, kind, setup.units, plus=True)}"


def _lost_poses(sweep: Answered) -> Iterator[tuple[float, int]]:
    """Return, each way, the nearest place that can't be reached, and how many can't."""
    for way in (-1.0, 1.0):
        lost = sweep.at[~sweep.reached & (np.where(sweep.at >= 0, 1.0, -1.0) == way)]
        if lost.size:
            yield float(lost[np.argmin(np.abs(lost))]), int(lost.size)


def lost_words(setup: Setup, sweep: Answered, why: Callable[[Driver, float], str]) -> Iterator[str]:
    """Return why poses of a sweep can't be reached, once for each way."""
    driver = cast(Driver, sweep.driver)
    for nearest, count in _lost_poses(sweep):
        more = f" and {count - 1} more beyond" if count > 1 else ""
        what = driver_words(setup, driver, nearest)
        yield f"{what}{more} can't be reached: {why(driver, nearest)}"


def beyond_stops(study: Study[Any], sweep: Answered) -> Iterator[str]:
    """Return which poses of a sweep of travel lie beyond the stops that the file gives."""
    setup, end = study.setup, study.system.key
    for name, way in (("bump", 1.0), ("rebound", -1.0)) if sweep.driver == "travel" else ():
        stop = proposed_number(setup, key_in(end, f"travel.{name}"))
        if stop is not None and float((way * sweep.at).max()) > stop + 1e-9:
            stop_words = format_value(stop, "length", setup.units)
            yield f"Some of this lies beyond the {name} stop, at {stop_words}."


def holes(sweep: Answered, key: str) -> Array:
    """Return where a result doesn't exist although the pose is reached."""
    values = sweep.values[key]
    finite = np.isfinite(values).all(axis=0) if values.ndim == 2 else np.isfinite(values)
    return np.asarray(~finite & sweep.reached)


def where(setup: Setup, sweep: Answered, places: Array) -> str:
    """Return places of a sweep in words: " (at travel −12.0 mm and 3 more)"."""
    if sweep.driver not in FURTHEST or sweep.at.size == 1:
        return ""
    driver = cast(Driver, sweep.driver)
    pose_texts = [
        driver_words(setup, driver, float(sweep.at[place])).lower() for place in places[:3]
    ]
    more = f" and {len(places) - 3} more" if len(places) > 3 else ""
    return f" (at {', '.join(pose_texts)}{more})"
