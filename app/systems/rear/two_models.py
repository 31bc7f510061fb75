"""Which figures of two cars come of two models of the springs, so that they can't be compared."""

from __future__ import annotations

from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from geometry.catalogue.result import Result

_BY_WIND_UP: Final = frozenset(
    {
        "wind_up_full",
        "lift_full",
        "eye_load_least",
        "bars_push_full",
        "bars_lift_full",
        "pinion_to_gearbox_full",
        "pinion_joint_angle_full",
        "gearbox_joint_angle_full",
    }
)


def is_one_model(study: Study[RearAnswers]) -> bool:
    """Tell whether both cars' wind-up is worked out in the same way."""
    curves = [car.torque for car in (study.measured, study.proposed)]
    return len({curve.is_small for curve in curves if curve is not None}) < 2


def is_by_two_models(study: Study[RearAnswers], result: Result) -> bool:
    """Tell whether a result of the two cars is worked out in two ways."""
    return result.key in _BY_WIND_UP and not is_one_model(study)
