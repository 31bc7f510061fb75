"""The results that can be asked of the axle that is shown: which there are, which come first."""

from __future__ import annotations

from typing import Final

from app.document.keys import KEYS
from app.document.model import Limit
from app.document.proposal import proposed_values
from app.session.session import Session
from geometry.catalogue.front import Result

FIRST: Final = frozenset(
    (
        *("camber", "toe", "caster", "kingpin_inclination", "camber_gain", "bump_steer"),
        *("bump_steer_range", "roll_centre_height", "swing_arm_length", "scrub_radius"),
        *("mechanical_trail", "roll_camber", "roll_steer", "anti_dive", "spring_motion_ratio"),
        *("bar_motion_ratio", "wheel_rate", "ride_frequency", "settled_travel"),
        *("upper_ball_swing", "lower_ball_swing", "pinion_angle", "anti_squat"),
        *("roll_axis_slope", "pack_rate", "stress_bump", "stress_margin", "wind_up_stiffness"),
        *("wind_up_full", "lift_full", "eye_load_least", "hop_frequency", "hop_damping"),
        *("tramp_frequency", "tramp_damping", "wind_up_frequency", "wind_up_damping"),
    )
)
"""What a specialist reads first; the rest is folded away (common practice, no source)."""

PLOTTED: Final = {
    "front": ("camber", "toe", "caster", "roll_centre_height", "track_change", "wheel_rate"),
    "rear": (
        *("anti_squat", "pinion_angle", "roll_centre_height"),
        *("roll_steer", "wheelbase_change", "wheel_rate"),
    ),
}
"""The curves to begin with, by axle (common practice, no source)."""

_OF_A_BAR: Final = frozenset({"bar_twist", "bar_motion_ratio", "bar_torque"})
_OF_A_COIL: Final = frozenset(
    {"spring_length", "spring_force", "spring_motion_ratio", "coil_bind_travel"}
)


def results_asked(session: Session) -> tuple[Result, ...]:
    """Return the results that fit the car's kind of springs."""
    study = session.study
    if study is None:
        return ()
    bar = proposed_values(session.setup).get("front.spring.kind") == "torsion bar"
    return tuple(result for result in study.results if _fits(result, bar))


def find_result(session: Session, key: str) -> Result | None:
    """Return a result by its key, None where this axle hasn't it."""
    return next((each for each in results_asked(session) if each.key == key), None)


def limit_asked(session: Session, result: Result) -> Limit | None:
    """Return the limit that the setup puts on a result of the axle that is shown."""
    return session.setup.limits.get(limit_key(session, result))


def limit_key(session: Session, result: Result) -> str:
    """Return the key under which a limit of a result is kept."""
    return f"{session.system.key}.{result.key}"


def needs_words(session: Session, result: Result) -> str:
    """Return what a result lacks, as a person would call it: "needs: wheelbase"."""
    study = session.study
    keys = study.missing.get(result.key, ()) if study is not None else ()
    names = [KEYS[key].title if key in KEYS else key for key in keys]
    return f"needs: {', '.join(name[:1].lower() + name[1:] for name in names)}" if names else ""


def _fits(result: Result, bar: bool) -> bool:
    """Tell whether a result can be asked with a torsion bar at the front, or with a coil."""
    if result.key in _OF_A_BAR:
        return bar
    return not (bar and result.key in _OF_A_COIL and result.scope != "axle")
