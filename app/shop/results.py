"""The table of all results as rows, and what is missing for more of them. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from app.document.address import Side
from app.systems.answers import Study
from app.systems.sides import sides_told, value_told
from app.systems.study_results import results_of, value_of
from geometry.catalogue.front import Result
from geometry.dataclass import dataclass

AT_REST: Final = (  # says nothing of a car that stands straight and level
    "camber_road",
    "wheel_travel",
    "body_height_change",
    "steer_angle_inner",
    "steer_angle_outer",
    "ackermann_steer",
    "ackermann_track_steer",
    "roll_centre_construction_lateral",
    "axle_steer",
    "axle_shift",
)
SQUARE: Final = ("thrust_angle", "wheelbase_difference")  # 0 while the right mirrors the left


@dataclass(frozen=True)
class ResultRow:
    """A result of both cars on their wheels, in units of its kind.

    None is a value that doesn't exist on a car. `side` names the wheel where the other one differs.
    """

    result: Result
    measured: float | None
    proposed: float | None
    side: Side | None = None
    is_by_two_models: bool = False  # so that the cars' figures can't be compared

    @property
    def move(self) -> float | None:
        """How much the changes that are on add to it."""
        if self.measured is None or self.proposed is None or self.is_by_two_models:
            return None
        return self.proposed - self.measured


@dataclass(frozen=True)
class MissingRow:
    """Setup keys that aren't given, and the results that need them."""

    needs: tuple[str, ...]
    results: tuple[Result, ...]


def result_rows(study: Study[Any], is_stopped: bool = False) -> tuple[ResultRow, ...]:
    """Return a row a result that either car has, of unlike wheels one each, group by group.

    Of a proposal that `is_stopped` no value exists.
    """
    rows = (
        ResultRow(
            result,
            value_told(study.measured, result, side),
            None if is_stopped else value_told(study.proposed, result, side),
            side,
            study.system.is_by_two_models(study, result),
        )
        for result in results_of(study)
        if result.key not in AT_REST
        for side in sides_told(study, result)
    )
    has_angle = "rear.axle.pinion_angle" in study.setup.evidence
    return tuple(row for row in rows if _says_something(row, has_angle))


def _says_something(row: ResultRow, has_angle: bool) -> bool:
    """Tell whether a row has a value that no other row tells, and that isn't of a square axle."""
    values = {row.measured, row.proposed} - {None}
    if row.result.key in SQUARE:
        return any(values)
    return bool(values) and not (row.result.key == "pinion_turn" and has_angle)


def missing_rows(study: Study[Any]) -> tuple[MissingRow, ...]:
    """Return what isn't known, by the measurements that would tell."""
    lacking: dict[tuple[str, ...], list[Result]] = {}
    for result in _lacking(study):
        lacking.setdefault(study.missing[result.key], []).append(result)
    return tuple(MissingRow(needs, tuple(results)) for needs, results in lacking.items())


def _lacking(study: Study[Any]) -> Iterator[Result]:
    report = study.system.report(study)
    for result in study.results:
        has_value = value_of(study.proposed, result) is not None
        if study.missing.get(result.key) and report.applies(result) and not has_value:
            yield result
