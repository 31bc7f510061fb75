"""Setups whose rows are compared with their studies: every sample, every kind of change."""

from __future__ import annotations

from functools import cache
from typing import Any

from app.document.model import Change, FrozenMap, Setup
from tests.helpers.expected_tables import studies_of
from tests.helpers.rear_sheets import back_on_leaves, bare_rear, longer_links
from tests.helpers.sheets import SAMPLES, bare, sample, with_all_on


def one_side() -> Setup:
    """A car of which right and left differ, with jobs on the left, on the right and on both."""
    moves = {
        "front.upper_front": (0.0, 3.0, -20.0),
        "front.right.upper_rear": (0.0, 4.0, -12.0),
        "rear.lower_body": (10.0, 2.0, 5.0),
        "rear.right.lower_body": (10.0, 2.0, 5.0),
    }
    setup = sample("hillclimb_special")
    return setup.having(changes=(Change("One side", moves=FrozenMap(moves)),))


def right_by_itself() -> Setup:
    """A car measured on the left, of which one point of the right moves by itself."""
    moves = {"front.lower_rear": (0.0, 0.0, 5.0), "front.right.lower_rear": (0.0, 3.0, 9.0)}
    change = Change("Right", moves=FrozenMap(moves))
    return sample("small_saloon").having(changes=(change,))


def one_link_longer() -> Setup:
    """Links alike left and right as found, of which one is made longer."""
    setup = sample("hillclimb_special")
    kept = {key: value for key, value in setup.evidence.items() if ".right." not in key}
    moves = {"rear.lower_axle": (-12.0, 0.0, 0.0), "rear.right.lower_axle": (0.0, 0.0, 0.0)}
    change = Change("One link", parts="made to fit", moves=FrozenMap(moves))
    return setup.having(evidence=FrozenMap(kept), changes=(change,))


def weighed_later() -> Setup:
    """A car of which the mass is known of the proposal only: it settles nobody knows how far."""
    setup = sample("small_saloon")
    kept = {key: value for key, value in setup.evidence.items() if key != "car.mass"}
    change = Change("Weighed", sets=FrozenMap({"car.mass": 1080.0}))
    return setup.having(evidence=FrozenMap(kept), changes=(change,))


def setups() -> dict[str, Setup]:
    found = {
        "one side": one_side(),
        "one link longer": one_link_longer(),
        "right by itself": right_by_itself(),
        "longer links": longer_links(),
        "back on leaves": back_on_leaves(),
        "weighed later": weighed_later(),
        "bare": bare(),
        "bare rear": bare_rear(),
    }
    for name in SAMPLES:
        found[name] = sample(name)
        found[f"{name}, all on"] = with_all_on(sample(name))
        found[f"{name}, all off"] = sample(name).having(changes=())
    return found


SETUPS = setups()


@cache
def solved(name: str) -> dict[str, Any]:
    return studies_of(SETUPS[name])
