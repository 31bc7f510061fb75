"""The invented cars that are in the pictures of the docs, as far along as each picture needs."""

from __future__ import annotations

from math import radians
from pathlib import Path
from typing import Final

from app.document.edits import switch_change
from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Setup
from app.document.plans import Adjuster, Aim, Gauge, Together
from app.systems.every import LIMIT_KINDS

SAMPLES: Final = Path(__file__).resolve().parents[1] / "sample_setups"
FIRST: Final = "small_saloon.toml"


def read(file: str) -> Setup:
    """Return one of the samples."""
    return read_setup(SAMPLES / file, limit_kinds=LIMIT_KINDS).setup


def to_align(setup: Setup) -> Setup:
    """Return a setup with shims at its upper pivots and threads on its tie rods, as gauged."""
    pivots = ("front.upper_front", "front.upper_rear")
    sizes = (0.5, 1.0, 2.0, 3.0)
    shims = Adjuster(pivots, True, (3.0, 3.0), (), sizes, (), 15.0, 6.0)
    rods = Adjuster(reach=(-10.0, 10.0), pitch=1.5)
    aims = {"camber": (0.0, 0.25), "caster": (3.0, 0.3), "toe_total": (0.2, 0.08)}
    angles = {"left": (0.8, 2.1, 0.15), "right": (0.6, 2.4, 0.05)}
    return setup.having(
        adjusters={"front.upper_shims": shims, "front.tie_rod": rods},
        aims={f"front.{n}": Aim(*map(radians, each), "angle") for n, each in aims.items()},
        gauge={f"front.{side}": Gauge(*map(radians, each)) for side, each in angles.items()},
    )


def with_only(setup: Setup, *names: str) -> Setup:
    """Return a setup with these changes on and all others off."""
    for index, change in enumerate(setup.changes):
        setup = switch_change(setup, index, change.name in names)
    return setup


def mended() -> Setup:
    """Return the first sample as the guide's job leaves it: what was found is on as well."""
    setup = read(FIRST)
    found = Change(
        "Found",
        moves=FrozenMap({"front.tie_outer": (0.0, 0.0, 2.5)}),
        sets=FrozenMap({"front.spring.free_length": 330.5}),
    )
    names = (setup.changes[0].name, found.name)
    best = Together("Lower, mended to half a millimetre", names)
    return setup.having(changes=(*setup.changes, found), together=(*setup.together, best))


def half_measured() -> Setup:
    """Return the first sample as it is half-way through being measured."""
    setup = read(FIRST)
    later = ("upper_rear", "tie_", "spring_", "damper_")
    kept = {
        key: value
        for key, value in setup.evidence.items()
        if not key.removeprefix("front.").startswith(later) and not key.startswith("rear.")
    }
    return setup.having(evidence=FrozenMap(kept), changes=())
