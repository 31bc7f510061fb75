"""Shims and turns from a gauge's readings: put back, searched exhaustively, by published rules."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import asin, degrees, radians

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from app.document.model import Setup
from app.document.plans import Adjuster, Aim, Gauge
from app.judge.align import aligned
from app.judge.aligning_cars import knobs_of, with_amounts
from app.judge.alignment import AlignError
from app.systems.front.system import FRONT
from geometry.front.wheel import caster_from_locks
from tests.helpers.entering import sample
from tests.helpers.long_cases import LONG
from tests.helpers.reading import parse

pytestmark = pytest.mark.gui

INCH = 25.4
UPPER = ("front.upper_front", "front.upper_rear")
SHIMS = Adjuster(UPPER, True, (3.0, 3.0), (), (0.5, 1.0, 2.0, 3.0), (), 12.0, 6.0)
ROD = Adjuster(reach=(-10.0, 10.0), pitch=1.5)
AIMS = {
    "front.camber": Aim(0.0, radians(0.05)),
    "front.caster": Aim(radians(3.0), radians(0.1)),
    "front.toe_total": Aim(radians(0.2), radians(0.08)),
}
GAUGE = {
    "front.left": Gauge(radians(0.8), radians(2.1), radians(0.15)),
    "front.right": Gauge(radians(0.6), radians(2.4), radians(0.05)),
}


def car(name: str = "small_saloon", **more: object) -> Setup:
    given = {"adjusters": {"front.upper_shims": SHIMS, "front.tie_rod": ROD}, "aims": AIMS}
    return sample(name).having(**{**given, "gauge": GAUGE, **more})


def angles(setup: Setup) -> dict[str, np.ndarray]:
    values = FRONT.study(setup).proposed.rest.values
    return {key: values[key][:, 0] for key in ("camber", "caster", "toe")}


# A service page of a 1980s car: one 1/32 in shim at both bolts moves camber by 1/5 degree, one
# moved from the rear to the front bolt takes 1/2 degree of caster. Its dimensions aren't published:
# these are what both figures ask for (kingpin 8.95 in, arm to base 1.25), so signs are the test.
PUBLISHED = """
format = 2
title = "Shims"
units = "in"
[front]
kind = "double wishbone"
lower_arm = "one piece"
tyre_radius = 12.5
camber = 0.0
toe = 0.0
[front.points]
upper_front = [3.5, 15.0, 16.95]
upper_rear = [-3.5, 15.0, 16.95]
upper_ball = [-0.4, 23.75, 16.95]
lower_front = [6.0, 11.0, 8.0]
lower_rear = [-6.0, 11.0, 8.0]
lower_ball = [0.0, 25.0, 8.0]
tie_inner = [-6.0, 11.0, 8.5]
tie_outer = [-6.0, 25.0, 8.5]
wheel_centre = [0.0, 29.0, 12.5]
[front.adjusters]
upper_shims = { at = ["upper_front", "upper_rear"], inboard = true, fitted = [0.125, 0.125], \
sizes = [0.03125, 0.0625, 0.125], most = 0.5 }
[front.targets]
camber = { is = 0.0, within = 0.25 }
caster = { is = 2.5, within = 0.25 }
"""


def test_one_shim_does_what_the_trades_page_says() -> None:
    told = aligned(parse(PUBLISHED))
    front, rear = (each for each in told.sensitivities)
    thin = INCH / 32
    assert degrees(front.camber + rear.camber) * thin == pytest.approx(-0.2, abs=0.002)
    assert degrees(front.caster - rear.caster) * thin == pytest.approx(-0.5, abs=0.01)
    both, across = (
        next(each for each in told.effects if each.where == where) for where in ("both", "to front")
    )
    assert degrees(both.camber) == pytest.approx(-0.2, abs=0.002)
    assert degrees(both.caster) == pytest.approx(0.0, abs=0.002)
    assert degrees(across.caster) == pytest.approx(-0.5, abs=0.01)


def test_each_size_of_shim_is_told_as_the_car_has_it() -> None:
    """The thickest shim as a car by itself, against what is told of it."""
    setup = car(gauge={})
    told = aligned(setup)
    own = [each for each in told.effects if each.knob == "front.upper_shims upper_rear"]
    assert [each.size for each in own] == [0.5, 1.0, 2.0, 3.0]
    knobs, sides = knobs_of(setup.adjusters), ("left", "right")
    toe = dict.fromkeys(sides, told.aims.values["toe"])
    was, now = (
        angles(with_amounts(setup, knobs, {side: {own[-1].knob: by} for side in sides}, toe))
        for by in (0.0, 3.0)
    )
    assert own[-1].camber == pytest.approx(float(now["camber"][0] - was["camber"][0]), abs=1e-9)
    assert own[-1].caster == pytest.approx(float(now["caster"][0] - was["caster"][0]), abs=1e-9)


def test_packs_are_the_best_of_all_by_exhaustive_search() -> None:
    """Each pair that two sizes make, solved by itself as a whole car, on both wheels in turn."""
    shims = Adjuster(UPPER, True, (2.0, 2.0), (), (1.0, 2.0), (), 6.0, 3.0)
    setup = car(adjusters={"front.upper_shims": shims, "front.tie_rod": ROD})
    told = aligned(setup)
    knobs = knobs_of(setup.adjusters)
    toe = dict.fromkeys(("left", "right"), radians(0.1))
    packs = {
        side: tuple(sum(wheel.packs[knob.key]) for knob in knobs)
        for side, wheel in told.wheels.items()
    }

    def car_with(pairs: dict[str, tuple[float, ...]]) -> dict[str, np.ndarray]:
        amounts = {
            side: {k.key: p - 2.0 for k, p in zip(knobs, pair, strict=True)}
            for side, pair in pairs.items()
        }
        return angles(with_amounts(setup, knobs, amounts, toe))

    start = car_with(dict.fromkeys(("left", "right"), (2.0, 2.0)))
    for place, side in enumerate(("left", "right")):
        gauge, best = setup.gauge[f"front.{side}"], (np.inf, ())
        for pair in product(range(7), repeat=2):
            if abs(pair[0] - pair[1]) <= 3:
                now = car_with({**packs, side: pair})
                miss = [
                    (getattr(gauge, key) + now[key][place] - start[key][place] - aim) / within
                    for key, aim, within in (
                        ("camber", 0.0, radians(0.05)),
                        ("caster", radians(3.0), radians(0.1)),
                    )
                ]
                best = min(best, (float(np.square(miss).sum()), pair))
        assert packs[side] == best[1]


def test_the_answer_put_back_reads_as_told() -> None:
    """A gauge that reads what the model gives: the car with the shims and turns reads the aims."""
    setup = car(gauge={})
    told = aligned(setup)
    assert not told.is_gauged
    knobs = knobs_of(setup.adjusters)
    amounts = {
        side: {k.key: sum(wheel.packs[k.key]) - 3.0 for k in knobs}
        for side, wheel in told.wheels.items()
    }
    toe = {side: wheel.reached["toe"] for side, wheel in told.wheels.items()}
    now = angles(with_amounts(setup, knobs, amounts, toe))
    for place, wheel in enumerate(told.wheels.values()):
        for key in ("camber", "caster", "toe"):
            assert wheel.reached[key] == pytest.approx(now[key][place], abs=2e-6)
        assert wheel.met
        assert all(abs(wheel.remaining[key]) <= told.aims.within[key] for key in wheel.remaining)


def test_fitted_packs_that_meet_the_targets_are_left_alone() -> None:
    aims = {**AIMS, "front.camber": Aim(radians(0.7), radians(0.2))}
    aims["front.caster"] = Aim(radians(2.2), radians(0.5))
    told = aligned(car(aims=aims))
    for wheel in told.wheels.values():
        assert list(wheel.packs.values()) == [[3.0], [3.0]]
        assert wheel.met


def test_what_cannot_be_met_is_told_and_what_is_nearest_is_done() -> None:
    few = Adjuster(UPPER, True, (3.0, 3.0), (), (1.0,), (), 4.0, 1.0)
    told = aligned(car(adjusters={"front.upper_shims": few, "front.tie_rod": ROD}))
    left = told.wheels["left"]
    assert not left.met
    assert all(sum(pack) <= 4.0 for pack in left.packs.values())
    assert abs(left.remaining["caster"]) > told.aims.within["caster"]


def test_both_wheels_share_the_pieces_that_there_are() -> None:
    stock = Adjuster(UPPER, True, (3.0, 3.0), (), (0.5, 1.0, 2.0, 3.0), (2, 4, 4, 4), 12.0, 6.0)
    told = aligned(car(adjusters={"front.upper_shims": stock, "front.tie_rod": ROD}))
    packs = [pack for wheel in told.wheels.values() for pack in wheel.packs.values()]
    made = [pack for pack in packs if sum(pack) != 3.0]
    out = {3.0: len(made)}  # each opened pack gives its shim of 3 mm back
    for size, most in zip(stock.sizes, stock.have, strict=True):
        assert sum(pack.count(size) for pack in made) <= most + out.get(size, 0)


def test_toe_is_split_to_equal_wheels_and_the_rods_say_how() -> None:
    told = aligned(car())
    left, right = (told.wheels[side] for side in ("left", "right"))
    assert degrees(left.reached["toe"]) == pytest.approx(0.1)
    assert degrees(right.reached["toe"]) == pytest.approx(0.1)
    assert left.turns["front.tie_rod"] == pytest.approx(left.moves["front.tie_rod"] / 1.5)
    short = Adjuster(reach=(-0.1, 0.1), pitch=1.5)
    stopped = aligned(car(adjusters={"front.upper_shims": SHIMS, "front.tie_rod": short}))
    wheel = stopped.wheels["left"]
    assert wheel.moves["front.tie_rod"] == pytest.approx(-0.1)
    assert not wheel.met


def test_without_a_gauge_a_toe_left_as_it_falls_is_read_of_the_car() -> None:
    """The report's toe of the car as built, and the turns that its misses need."""
    setup = sample("small_saloon")
    off = tuple(replace(each, on=False) for each in setup.changes)
    moved = replace(
        off[0], on=True, toe="left", moves={"front.tie_inner": (0.0, 6.0, 0.0)}, sets={}
    )
    aims = {"front.toe_total": Aim(radians(0.2), radians(0.08))}
    setup = setup.having(changes=(*off, moved), aims=aims, adjusters={"front.tie_rod": ROD})
    told = aligned(setup)
    falls = angles(setup)["toe"]
    assert degrees(abs(falls[0])) > 1.0
    for place, wheel in enumerate(told.wheels.values()):
        assert wheel.read["toe"] == pytest.approx(falls[place], abs=1e-9)
        assert wheel.reached["toe"] == pytest.approx(radians(0.1))
        per_turn = told.sensitivities[-1].toe
        turns = (radians(0.1) - falls[place]) / per_turn
        assert wheel.turns["front.tie_rod"] == pytest.approx(turns, rel=0.03)


def test_toe_as_a_length_is_over_the_files_diameter() -> None:
    """2 mm of total toe over 360 mm, by hand: asin(1 / 360) a wheel."""
    aims = {"front.toe_total_mm": Aim(2.0, 0.5, "plain")}
    gauge = {"front.left": Gauge(toe_length=1.5), "front.right": Gauge(toe_length=0.5)}
    told = aligned(car(aims=aims, gauge=gauge))
    assert told.aims.values["toe"] == pytest.approx(asin(1.0 / 360.0))
    assert told.wheels["left"].read["toe"] == pytest.approx(asin(1.5 / 360.0))


def test_a_longer_strut_rod_turns_the_link_about_its_bush() -> None:
    """Distances by hand: the link and the joint's place on it stay, the rod grows by the move."""
    setup = car(adjusters={"front.strut_rod": ROD, "front.tie_rod": ROD})
    knobs = knobs_of(setup.adjusters)
    toe = dict.fromkeys(("left", "right"), radians(0.1))
    places = []
    for amount in (0.0, 4.0):
        amounts = {side: {"front.strut_rod": amount} for side in ("left", "right")}
        study = FRONT.study(with_amounts(setup, knobs, amounts, toe))
        points = FRONT.places(study)
        places.append(
            {
                name: np.array(points[f"front.{name}"])
                for name in ("lower_front", "lower_rear", "lower_ball", "strut_joint")
            }
        )
    before, after = places

    def far(points: dict[str, np.ndarray], one: str, other: str) -> float:
        return float(np.linalg.norm(points[one] - points[other]))

    assert far(after, "lower_front", "lower_rear") == far(before, "lower_front", "lower_rear")
    for one, other in (
        ("lower_rear", "lower_ball"),
        ("lower_rear", "strut_joint"),
        ("strut_joint", "lower_ball"),
    ):
        assert far(after, one, other) == pytest.approx(far(before, one, other), abs=1e-6)
    assert far(after, "lower_ball", "lower_front") != far(before, "lower_ball", "lower_front")
    grown = far(after, "lower_front", "strut_joint") - far(before, "lower_front", "strut_joint")
    assert grown == pytest.approx(4.0, abs=0.02)  # the joint lies a little off the arm's plane
    assert after["lower_ball"][0] < before["lower_ball"][0]  # the ball joint goes back


@LONG
def test_eccentric_and_strut_rod_bring_both_angles_to_their_targets() -> None:
    eccentric = Adjuster(("front.lower_rear",), reach=(-6.0, 6.0))
    setup = car(adjusters={"front.strut_rod": ROD, "front.lower_eccentric": eccentric})
    told = aligned(setup)
    for wheel in told.wheels.values():
        assert abs(wheel.remaining["camber"]) < radians(0.005)
        assert abs(wheel.remaining["caster"]) < radians(0.005)
        assert abs(wheel.moves["front.lower_eccentric"]) <= 6.0


@pytest.mark.parametrize("locks", [(15.0, -15.0), (20.0, -12.0), (10.0, 0.0)])
def test_caster_from_camber_at_any_two_locks(locks: tuple[float, float]) -> None:
    """A wheel turned about a leaning kingpin by a library, its camber read at both locks."""
    caster, inclination, camber = radians(3.0), radians(8.0), radians(0.5)
    kingpin = np.array([-np.tan(caster), -np.tan(inclination), 1.0])
    kingpin /= np.linalg.norm(kingpin)
    spin = np.array([0.0, np.cos(camber), -np.sin(camber)])
    read = []
    for lock in locks:
        low, high = -1.0, 1.0  # the turn about the kingpin that gives this heading, by halving
        for _ in range(60):
            turn = (low + high) / 2
            axle = Rotation.from_rotvec(kingpin * turn).apply(spin)
            heading = np.arctan2(-axle[0], axle[1])
            low, high = (turn, high) if heading < radians(lock) else (low, turn)
        read.append(-float(np.arcsin(axle[2])))
    outwards = tuple(map(radians, locks))  # of the left wheel, heading to the car's left
    told = caster_from_locks(outwards, (read[0], read[1]), inclination)
    assert degrees(told) == pytest.approx(3.0, abs=0.03)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"adjusters": {}}, "no adjusters"),
        ({"aims": {}}, "what the alignment shall be"),
        ({"aims": {"front.anti_dive": Aim(1.0, 1.0)}}, "anti_dive isn't set by adjusters"),
        (
            {"aims": {"front.toe": Aim(0.0, 0.1), "front.toe_mm": Aim(0.0, 0.1, "plain")}},
            "both targets of the toe",
        ),
    ],
)
def test_what_is_missing_is_said(more: dict[str, object], words: str) -> None:
    with pytest.raises(AlignError, match=words):
        aligned(car(**more))
