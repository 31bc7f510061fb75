"""Cars with adjusters, targets and readings, for tests of aligning."""

from __future__ import annotations

from functools import cache
from math import radians

from app.document.files import read_setup
from app.document.model import Setup
from app.document.plans import Adjuster, Aim, Gauge
from app.systems.every import LIMIT_KINDS
from tests.helpers.project import SAMPLE_FOLDER

UPPER = ("front.upper_front", "front.upper_rear")
SHIMS = Adjuster(UPPER, True, (3.0, 3.0), (), (0.5, 1.0, 2.0, 3.0), (), 12.0, 6.0)
ECCENTRIC = Adjuster(at=("front.lower_rear",), reach=(-6.0, 6.0))
STRUT = Adjuster(reach=(-8.0, 12.0), pitch=1.5)
ROD = Adjuster(reach=(-10.0, 10.0), pitch=1.5)
SIMPLE = {"front.upper_shims": SHIMS, "front.tie_rod": ROD}
ALL = {
    "front.upper_shims": SHIMS,
    "front.lower_eccentric": ECCENTRIC,
    "front.strut_rod": STRUT,
    "front.tie_rod": ROD,
}
AIMS = {
    "front.camber": Aim(0.0, radians(0.25), "angle"),
    "front.caster": Aim(radians(3.0), radians(0.3), "angle"),
    "front.toe_total": Aim(radians(0.2), radians(0.08), "angle"),
}
GAUGE = {
    "front.left": Gauge(radians(0.8), radians(2.1), radians(0.15)),
    "front.right": Gauge(radians(0.6), radians(2.4), radians(0.05)),
}


@cache
def _sample(name: str) -> Setup:
    return read_setup(SAMPLE_FOLDER / f"{name}.toml", limit_kinds=LIMIT_KINDS).setup


def car_to_align(name: str = "small_saloon", **more: object) -> Setup:
    """Return a sample with shims at the upper pivots, tie rods, targets and readings."""
    return _sample(name).having(**{"adjusters": SIMPLE, "aims": AIMS, "gauge": GAUGE, **more})
