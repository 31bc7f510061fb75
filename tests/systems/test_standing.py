"""Where the proposal stands: on its springs, or held; pitch, centre of gravity, what holds it.

The references are properties that physics demands: a car that is turned as a whole measures what
the same car measures on a road that is turned the other way; virtual work; a value that is put
back does what it was said to do.
"""

from __future__ import annotations

import re
from itertools import product
from math import atan, cos, sin
from typing import Any

import numpy as np
import pytest

from app.document.edits import set_height
from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Setup
from app.document.samples import sample_paths
from app.judge.balance import balances
from app.shop.work import standing_words
from app.systems.every import BY_KEY, LIMIT_KINDS, given_systems
from app.systems.front.study import ask
from app.systems.front.system import FRONT
from app.systems.height_words import height_words
from app.systems.hold_words import hold_words
from app.systems.holding import PACKER, holds
from app.systems.rear.system import REAR
from geometry.front.standing import to_road
from geometry.front.sweeps import study_front
from geometry.standing import Stand, axle_to_road
from tests.helpers.long_cases import typical_of
from tests.helpers.telling import sentences

SAMPLES = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}
ENDS = [(name, end) for name in SAMPLES for end in ("front", "rear")]
every_end = pytest.mark.parametrize(("name", "end"), ENDS)
OFF = (0.0, 8.0, -6.0)  # of the height as measured [mm]
HELD = [(*end, OFF[place % 3]) for place, end in enumerate(ENDS)]
PITCH = 0.02  # rad: 51 mm over 2.56 m


def with_all_on(name: str, **heights: Any) -> Setup:
    setup = SAMPLES[name]
    changes = tuple(Change(**{**vars(change), "on": True}) for change in setup.changes)
    return setup.having(changes=changes, heights=FrozenMap(heights))


def rest(car: Any, key: str) -> Any:
    return car.rest.values[key]


def tipped(setup: Setup, end: str, about: str, pitch: float) -> Setup:
    """Return a car whose points of an end are all turned about its wheel centres, nose down."""
    x, _, z = setup.evidence[about]  # type: ignore[misc]
    turned = {}
    for key, value in setup.evidence.items():
        if key.startswith(f"{end}.") and isinstance(value, tuple) and len(value) == 3:
            ahead, across, above = value[0] - x, value[1], value[2] - z  # type: ignore[operator]
            place = ahead * cos(pitch) + above * sin(pitch), above * cos(pitch) - ahead * sin(pitch)
            turned[key] = (x + place[0], across, z + place[1])
    return setup.having(evidence=FrozenMap({**setup.readings, **turned}), changes=())


# --- pitch ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SAMPLES)
def test_a_front_on_a_turned_road_measures_what_the_turned_car_measures(name: str) -> None:
    own = {key: value for key, value in SAMPLES[name].evidence.items() if ".right." not in key}
    setup = SAMPLES[name].having(evidence=FrozenMap(own), tapes=(), changes=())
    car = FRONT.study(setup).measured
    there = to_road(car.front, car.rest.values, car.rest.poses, Stand(pitch=PITCH))
    turned = FRONT.study(tipped(setup, "front", "front.wheel_centre", PITCH)).measured.rest.values
    assert there["caster"] == pytest.approx(turned["caster"], abs=2e-4)
    assert there["caster"] == pytest.approx(car.rest.values["caster"] - PITCH)
    assert there["mechanical_trail"] == pytest.approx(turned["mechanical_trail"], abs=0.15)
    for key in ("anti_dive", "anti_dive_inboard"):
        assert there[key] == pytest.approx(turned[key], abs=0.25), key
        assert np.abs(there[key] - car.rest.values[key]).min() > 2.0
    for key in ("camber", "kingpin_inclination", "scrub_radius"):  # unmoved to first order
        assert there[key] == pytest.approx(turned[key], rel=0.05, abs=0.3), key


@pytest.mark.parametrize("name", SAMPLES)
def test_turn_plates_on_a_turned_road_read_what_they_read_of_the_turned_car(name: str) -> None:
    own = {key: value for key, value in SAMPLES[name].evidence.items() if ".right." not in key}
    setup = SAMPLES[name].having(evidence=FrozenMap(own), tapes=(), changes=())
    car = FRONT.study(setup).measured
    there = study_front(car.front, ask(FRONT.ranges(setup)), stand=Stand(pitch=PITCH))
    turned = FRONT.study(tipped(setup, "front", "front.wheel_centre", PITCH)).measured
    read = there.single["caster_turn_plates"]
    # headings on lock turn with the pitch too, to second order
    assert read == pytest.approx(turned.single["caster_turn_plates"], abs=6e-4)
    assert read - car.single["caster_turn_plates"] == pytest.approx(-PITCH, abs=1e-3)
    both = turned.steer.reached & there.steer.reached  # type: ignore[union-attr]
    leans = (each.steer.values["camber_road"][:, both] for each in (there, turned))  # type: ignore[union-attr]
    assert next(leans) == pytest.approx(next(leans), abs=2e-3)


@pytest.mark.parametrize("name", SAMPLES)
def test_an_axle_on_a_turned_road_measures_what_the_turned_car_measures(name: str) -> None:
    own = {key: value for key, value in SAMPLES[name].evidence.items() if ".right." not in key}
    setup = SAMPLES[name].having(evidence=FrozenMap(own), tapes=(), changes=())
    car = REAR.study(setup).measured
    poses = car.rest.leaf
    centre = None if poses is not None else car.rest.links.poses.centre
    hub = (poses.x, poses.z) if centre is None else (centre[:, 0], centre[:, 2])
    there = axle_to_road(car.rest.values, hub, car.car, Stand(pitch=PITCH))
    turned = REAR.study(tipped(setup, "rear", "rear.wheel_centre", PITCH)).measured.rest.values
    assert there["anti_squat"] == pytest.approx(turned["anti_squat"], rel=0.02, abs=0.3)
    assert there["anti_lift"] == pytest.approx(turned["anti_lift"], rel=0.02, abs=0.3)
    assert abs(there["anti_squat"] - car.rest.values["anti_squat"])[0] > 5.0
    arm = there["side_swing_arm_length"]
    assert arm == pytest.approx(turned["side_swing_arm_length"], rel=0.02)
    assert there["side_centre_x"] == pytest.approx(turned["side_centre_x"], abs=0.02 * abs(arm[0]))
    assert there["pinion_angle"] == pytest.approx(car.rest.values["pinion_angle"] - PITCH)


def test_the_pitch_is_that_of_both_ends_travel_and_the_body_comes_down_by_its_masses() -> None:
    setup = with_all_on("small_saloon")
    studies = {system.key: system.study(setup) for system in given_systems(setup)}
    car = setup.evidence
    rises = {end: study.proposed.stand.travel for end, study in studies.items()}
    for study in studies.values():
        stand = study.proposed.stand
        assert stand.pitch == pytest.approx(
            atan((rises["front"] - rises["rear"]) / float(car["car.wheelbase"])),  # type: ignore[arg-type]
            rel=1e-3,  # each end takes the other as it settles before its toe is set
        )
        mass, share = float(car["car.mass"]), float(car["car.front_share"])  # type: ignore[arg-type]
        front = mass * share - float(car["car.front_unsprung"])  # type: ignore[arg-type]
        rear = mass * (1.0 - share) - float(car["car.rear_unsprung"])  # type: ignore[arg-type]
        by_hand = (front * rises["front"] + rear * rises["rear"]) / mass
        assert stand.drop == pytest.approx(by_hand, rel=1e-3)


@pytest.mark.parametrize("missing", ["rear.", "car.wheelbase", "car.rear_unsprung"])
def test_a_pitch_that_is_not_known_is_said_where_caster_is_told(missing: str) -> None:
    setup = with_all_on("small_saloon")
    some = {key: value for key, value in setup.evidence.items() if not key.startswith(missing)}
    kept = [each for each in setup.changes if missing != "rear." or "rear." not in repr(each)]
    study = FRONT.study(setup.having(evidence=FrozenMap(some), changes=tuple(kept)))
    (caster,) = [s.text for s in sentences(study) if s.result_key == "caster"]
    places = (
        (height_words(study), "to the body, not to the road"),
        (standing_words(study, "."), "to the body, not to the road"),
        (caster, "the body's pitch left out"),
        (FRONT.targets(study, ".")[1][1].title, "body's pitch not in it"),
    )
    whole = FRONT.study(setup)
    for words, left_out in places:
        assert left_out in words
        assert left_out not in height_words(whole) + standing_words(whole, ".")
    assert study.proposed.stand.pitch == 0.0
    assert "angles in side view are to the road" in height_words(whole)
    assert FRONT.targets(whole, ".")[1][1].title == "Caster"


# --- settled, aligned -----------------------------------------------------------------------------


@every_end
def test_as_built_the_springs_carry_the_load_of_the_car_as_found(name: str, end: str) -> None:
    study = BY_KEY[end].study(with_all_on(name))
    key, ratio = ("spring_force", "spring_motion_ratio")
    if "bar_torque" in study.proposed.rest.values:
        key, ratio = ("bar_torque", "bar_motion_ratio")
    if study.proposed.kind != study.measured.kind:
        key, ratio = ("wheel_rate", "wheel_rate")  # another spring: its load is tested elsewhere
        return
    if "spring_load" in study.proposed.rest.values and study.proposed.kind == "leaf axle":
        loads = [rest(car, "spring_load") for car in (study.measured, study.proposed)]
    elif end == "rear":
        loads = [car.rest.links.rates.wheel_force.sum() for car in (study.measured, study.proposed)]
    else:
        loads = [
            (rest(car, key) * rest(car, ratio)).mean() for car in (study.measured, study.proposed)
        ]
    # setting the toe at that height moves the height itself by some microns
    assert loads[1] == pytest.approx(loads[0], rel=1e-4)


@pytest.mark.parametrize("name", SAMPLES)
def test_as_built_the_toe_is_set_where_the_car_stands(name: str) -> None:
    study = FRONT.study(with_all_on(name))
    assert rest(study.proposed, "toe") == pytest.approx(rest(study.measured, "toe"), abs=1e-9)
    left = with_all_on(name)
    changes = tuple(Change(**{**vars(change), "toe": "left"}) for change in left.changes)
    study = FRONT.study(left.having(changes=changes))
    assert np.abs(rest(study.proposed, "toe") - rest(study.measured, "toe")).max() > 1e-5


@pytest.mark.parametrize("name", [n for n in SAMPLES if "front.arch_height" in SAMPLES[n].evidence])
def test_a_front_that_is_only_held_is_aligned_where_it_is_held(name: str) -> None:
    low = float(SAMPLES[name].evidence["front.arch_height"]) - 25.0  # type: ignore[arg-type]
    bare = SAMPLES[name].having(changes=(), heights=FrozenMap({"front": low}))
    block = Change(name="block", sets=FrozenMap({"rear.block": 1.0}))
    for setup in (bare, bare.having(changes=(block,))):
        study = FRONT.study(setup)
        assert study.proposed.stand.travel == pytest.approx(25.0)
        assert rest(study.proposed, "toe") == pytest.approx(rest(study.measured, "toe"), abs=1e-9)
    # a change that does nothing at the front comes to the same car
    same = Change(name="none", sets=FrozenMap({"front.tyre_width": 145.0}))
    with_change = FRONT.study(bare.having(changes=(same,))).proposed
    for key, values in FRONT.study(bare).proposed.rest.values.items():
        assert values == pytest.approx(with_change.rest.values[key], abs=1e-6, nan_ok=True), key


@every_end
def test_travel_counts_from_where_the_car_stands_and_its_stops_stay_in_the_body(
    name: str, end: str
) -> None:
    study = BY_KEY[end].study(with_all_on(name))
    stands = study.proposed.stand.travel
    assert study.measured.travel.at[0] - study.proposed.travel.at[0] == pytest.approx(stands)
    assert study.measured.travel.at[-1] - study.proposed.travel.at[-1] == pytest.approx(stands)
    for travel in (-20.0, 15.0):
        there = study.proposed.sweep_at("travel", [travel]).values["wheel_travel"]
        assert np.ravel(there)[0] == pytest.approx(travel, abs=1e-6)


# --- held -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "end", "by"),
    typical_of(product(SAMPLES, ("front", "rear"), OFF), HELD),
)
def test_what_holds_a_height_holds_it_when_it_is_put_back(name: str, end: str, by: float) -> None:
    setup, key = with_all_on(name), f"{end}.arch_height"
    evidence = {key: 380.0, **setup.evidence}
    arch = float(evidence[key])  # type: ignore[arg-type]
    choice = "as measured" if by == 0.0 else arch - by
    held = setup.having(evidence=FrozenMap(evidence), heights=FrozenMap({end: choice}))
    study = BY_KEY[end].study(held)
    assert study.stands == pytest.approx(by, abs=1e-9)
    ways = holds(study)
    assert ways or (by, name) == (0.0, "taped_saloon")  # no job at its rear: it stands by itself
    for way in ways:
        if way.key == PACKER:
            continue
        put_back = Change("put back", sets=FrozenMap({way.key: way.value}))
        free = held.having(changes=(*held.changes, put_back), heights=FrozenMap())
        assert BY_KEY[end].study(free).unsettled.single["settled_travel"] == pytest.approx(
            by, abs=1e-4
        )
    if any(way.key == PACKER for way in ways):  # as thick as the coil would be longer
        packer, coil = ways[:2]
        assert packer.value == pytest.approx(coil.by)


AXLE_KEYS = {"roll_steer": 0.002, "roll_centre_height": 0.2, "anti_squat": 0.1}


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "hillclimb_special"])
def test_the_figures_of_a_held_rear_are_of_what_holds_it(name: str) -> None:
    """Each way is really set and left to settle; a block moves the axle under its springs."""
    held = with_all_on(name, rear="as measured")
    study = REAR.study(held)
    for way in holds(study):
        if way.key == PACKER:
            continue
        put_back = Change("put back", sets=FrozenMap({way.key: way.value}))
        free = REAR.study(held.having(changes=(*held.changes, put_back), heights=FrozenMap()))
        off = [abs(rest(free.proposed, k) - rest(study.proposed, k)) for k in AXLE_KEYS]
        alike = bool(np.all(np.ravel(off) < list(AXLE_KEYS.values())))
        assert alike is not way.moves_axle, (way, off)


def test_a_block_that_would_hold_a_height_says_that_it_is_another_car() -> None:
    study = REAR.study(with_all_on("inch_sedan", rear="as measured"))
    block, arch = hold_words(study).split(" or ")
    assert block.startswith("the block of 1 1/4 in left out (with another roll steer")
    assert arch.startswith("springs re-arched to 6 11/64 in")
    assert arch.endswith("(which the figures are of)")


def test_both_heights_of_a_held_end_count_from_where_it_was_found() -> None:
    setup = with_all_on("small_saloon", front="as measured")
    arch = float(setup.evidence["front.arch_height"])  # type: ignore[arg-type]
    settled = FRONT.study(setup.having(heights=FrozenMap())).stands
    assert settled is not None
    for by in (12.0, -18.0):
        study = FRONT.study(setup.having(heights=FrozenMap({"front": arch - by})))
        (text,) = [s.text for s in sentences(study) if s.result_key == "settled_travel"]
        way = "lower" if by > 0 else "higher"
        assert f"held {abs(by):.0f} mm {way} than found" in text
        assert f"it would settle {settled:.0f} mm lower than found" in text


def test_a_coil_is_never_told_as_long_as_it_was() -> None:
    # the front of this car settles by a tenth of a millimetre, so that rounding hides the work
    words = hold_words(FRONT.study(with_all_on("hillclimb_special", front="as measured")))
    now, was = re.findall(r"([\d.]+) mm", words.partition("coils")[2])
    assert now != was


def test_a_held_car_carries_its_load_there() -> None:
    """Force times motion ratio is the weight, whatever the springs would do by themselves."""
    held = FRONT.study(with_all_on("small_saloon", front="as measured"))
    loads = [
        (rest(car, "spring_force") * rest(car, "spring_motion_ratio")).mean()
        for car in (held.measured, held.proposed)
    ]
    assert loads[1] == pytest.approx(loads[0], rel=1e-9)
    # and its rate is that of the spring that holds it
    way = holds(held)[1]
    change = Change("hold", sets=FrozenMap({way.key: way.value}))
    setup = with_all_on("small_saloon")
    free = FRONT.study(setup.having(changes=(*setup.changes, change)))
    assert rest(held.proposed, "wheel_rate") == pytest.approx(
        rest(free.proposed, "wheel_rate"), rel=1e-5
    )


@pytest.mark.parametrize("height", ["settles", "as measured"])
def test_an_axle_on_links_has_the_results_of_its_own_coils(height: str) -> None:
    """Its level poses are solved once, before it is known where it stands and on which coils."""
    lowered = Change("lower", sets=FrozenMap({"rear.spring.free_length": 404.5}))
    setup = SAMPLES["hillclimb_special"]
    setup = setup.having(changes=(lowered,), heights=FrozenMap({"rear": height}))
    car = REAR.study(setup).proposed
    assert car.stand.is_held == (height == "as measured")
    travel = car.travel.links.poses.travel
    anew, _ = car.links.values(car.links.solve(travel, np.zeros_like(travel)))
    values, _ = car.links.values(car.travel.links)
    assert values.keys() == anew.keys()
    for key, expected in anew.items():
        np.testing.assert_allclose(values[key], expected, rtol=1e-9, atol=1e-9, err_msg=key)


def test_a_height_that_needs_nothing_is_not_held() -> None:
    setup = SAMPLES["small_saloon"].having(changes=(), heights={"front": "as measured"})
    study = FRONT.study(setup)
    assert not study.proposed.stand.is_held
    assert not study.changed
    assert holds(study) == ()


@pytest.mark.parametrize(
    ("name", "key", "value"),
    [
        ("small_saloon", "front.spring.rate", 20.0),
        ("torsion_coupe", "front.spring.preload", 0.0),
        ("hillclimb_special", "rear.spring.free_length", 250.0),
    ],
)
def test_springs_that_carry_the_load_nowhere_are_said_first(
    name: str, key: str, value: float
) -> None:
    # a soft coil, a bar without torque and a coil shorter than its seats are apart carry no car
    change = Change("Weak", sets=FrozenMap({key: value}))
    setup = SAMPLES[name].having(changes=(change,))
    studies = [system.study(setup) for system in given_systems(setup)]
    (study,) = (each for each in studies if key.startswith(each.system.key))
    assert study.settles_nowhere
    first = sentences(study)[0]
    assert first.severity == "wrong"
    assert "carry the load" in first.text
    for words in (height_words(study), standing_words(study, ".")):
        assert "at no height within reach" in words
        assert "given" not in words
        assert "known" not in words
    assert set(balances(studies)) <= {"measured"}


@pytest.mark.parametrize("lacking", ["car.mass", "front.spring.rate"])
def test_what_is_not_given_is_another_matter_than_no_height(lacking: str) -> None:
    evidence = {k: v for k, v in SAMPLES["small_saloon"].evidence.items() if k != lacking}
    changes = (SAMPLES["small_saloon"].changes[0],)
    setup = SAMPLES["small_saloon"].having(evidence=FrozenMap(evidence), changes=changes)
    study = FRONT.study(setup)
    assert study.stands is None
    assert not study.settles_nowhere


def test_without_weights_it_stands_at_the_measured_height() -> None:
    evidence = {k: v for k, v in SAMPLES["small_saloon"].evidence.items() if k != "car.mass"}
    study = FRONT.study(SAMPLES["small_saloon"].having(evidence=FrozenMap(evidence)))
    assert study.stands is None
    assert study.proposed.stand.is_as_measured


@pytest.mark.parametrize("name", SAMPLES)
def test_a_car_is_steered_where_it_stands_as_if_steered_first_and_then_let_down(name: str) -> None:
    """Pose by pose the other way round: rack first, at the measured height, then travel."""
    study = FRONT.whole(FRONT.study(with_all_on(name)))
    swept = study.proposed.steer
    assert swept is not None
    alone = study.proposed.sweep_at("steer", swept.at.tolist())
    both = swept.reached & alone.reached
    assert both.sum() > 30
    for key in ("toe", "camber", "caster", "scrub_radius"):
        np.testing.assert_allclose(
            swept.values[key][:, both], alone.values[key][:, both], atol=1e-6
        )


# --- stops ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("end", "key", "value"),
    [
        ("front", "front.spring.free_length", 280.0),
        ("rear", "rear.block", 90.0),
    ],
)
def test_an_end_that_would_stand_beyond_its_stop_is_said_first(
    end: str, key: str, value: float
) -> None:
    setup = SAMPLES["small_saloon"].having(changes=(Change("low", sets={key: value}),))
    study = BY_KEY[end].study(setup)
    stop = float(setup.evidence[f"{end}.travel.bump"])  # type: ignore[arg-type]
    first = sentences(study)[0]
    assert first.severity == "wrong"
    assert study.stands is not None
    (beyond,) = re.findall(r"stand ([\d.]+) mm beyond its bump stop", first.text)
    assert float(beyond) == pytest.approx(study.stands - stop, abs=0.51)
    higher = SAMPLES["small_saloon"].having(changes=(), heights={end: "as measured"})
    assert not any("beyond its" in each.text for each in sentences(BY_KEY[end].study(higher)))


@pytest.mark.parametrize("end", ["front", "rear"])
def test_stops_that_a_change_proposes_are_those_of_the_car_as_built(end: str) -> None:
    """Held 30 mm lower on stops cut to 20 mm of bump: no car stands there, and it is told."""
    setup = SAMPLES["small_saloon"].having(changes=())
    arch = setup.evidence[f"{end}.arch_height"]
    shorter = Change("Stops", on=True, sets=FrozenMap({f"{end}.travel.bump": 20.0}))
    held = set_height(setup, end, arch - 30.0).having(changes=(shorter,))
    system = BY_KEY[end]
    study = system.study(held)
    assert study.ranges.travel[1] == 20.0
    first = next(iter(system.sentences(study, ".")))
    assert first.text.startswith(f"The {end} is to stand 10 mm beyond its bump stop")
    assert first.severity == "wrong"
