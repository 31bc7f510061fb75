"""How square the axle stands, from both sides' points: an owners' case, by hand, and by mirror."""

from __future__ import annotations

from math import atan, degrees

import numpy as np
import pytest
from scipy.optimize import minimize

from app.document.model import Change, FrozenMap, Setup
from app.systems.answers import Study
from app.systems.front.system import FRONT
from app.systems.naming import title_of
from app.systems.rear.notes import setup_notes
from app.systems.rear.shop.targets import rear_targets
from app.systems.rear.system import REAR
from app.systems.rear.words.sentences import rear_sentences
from tests.helpers.rear_setups import leaf_car, link_car
from tests.helpers.rear_studies import load
from tests.helpers.setup_edits import set_evidence

HANGER = (6.35, 0.0, 0.0)  # a quarter inch forward
BASE, TRACK = 960.0, 1380.0


def moved(**moves: tuple[float, float, float]) -> Setup:
    keys = {f"rear.{name.replace('__', '.')}": move for name, move in moves.items()}
    return leaf_car(Change("h", moves=FrozenMap(keys)))


def thrust(study: Study) -> float:
    return degrees(study.proposed.rest.values["thrust_angle"][0])


def text(study: Study) -> str:
    return " ".join(each.text for each in rear_sentences(study, "."))


def test_a_hanger_forward_on_one_side_is_an_owners_page_case():
    """A hanger 1/4 in forward, springs 43 in apart: an owners' page read 0.29° of thrust angle.

    By hand atan(0.25/43) = 0.33°, the axle going with the hanger.
    """
    sedan = load("inch_sedan")
    apart = 2.0 * abs(sedan.evidence["rear.centre_bolt"][1])
    hanger = Change("h", moves=FrozenMap({"rear.right.front_eye": HANGER}))
    study = REAR.study(sedan.having(changes=(hanger,)))
    assert thrust(study) == pytest.approx(degrees(atan(6.35 / apart)), rel=0.06)
    assert 0.27 < thrust(study) < 0.36
    assert "to the left (thrust angle): the left wheelbase is" in text(study)


def test_hand_figures_on_an_invented_car():
    study = REAR.study(moved(right__front_eye=HANGER))
    by_hand = atan(6.35 / BASE)
    assert thrust(study) == pytest.approx(degrees(by_hand), rel=0.06)
    difference = study.proposed.rest.values["wheelbase_difference"][0]
    assert difference == pytest.approx(6.35 * TRACK / BASE, rel=0.06)


def test_the_mirrored_job_gives_the_mirrored_angle_and_both_none():
    right = REAR.study(moved(right__front_eye=HANGER))
    left = REAR.study(moved(front_eye=HANGER, right__front_eye=(0.0, 0.0, 0.0)))
    both = REAR.study(moved(front_eye=HANGER))
    assert thrust(left) == pytest.approx(-thrust(right), rel=0.02)
    assert thrust(both) == 0.0
    assert "crabs" not in text(both)


def test_right_hand_points_that_mirror_the_left_ones_leave_it_square():
    plain = leaf_car()
    measured = {
        key.replace("rear.", "rear.right."): (x, -y, z)
        for key in ("rear.front_eye", "rear.rear_eye", "rear.shackle_body", "rear.centre_bolt")
        for x, y, z in (plain.evidence[key],)
    }
    setup = plain.having(evidence=FrozenMap({**plain.evidence, **measured}))
    lowered = setup.having(changes=(Change("b", sets=FrozenMap({"rear.block": 30.0})),))
    for study in (REAR.study(setup), REAR.study(lowered)):
        assert thrust(study) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("kind", [leaf_car, link_car])
def test_wheel_centres_measured_apart_are_a_crooked_axle(kind):
    plain = kind()
    wheel = {"rear.right.wheel_centre": (-2555.0, -690.0, 305.0)}  # 5 mm ahead
    study = REAR.study(plain.having(evidence=FrozenMap({**plain.evidence, **wheel})))
    assert thrust(study) == pytest.approx(degrees(atan(5.0 / TRACK)), abs=0.01)


def test_a_note_says_what_the_right_hand_points_are_used_for():
    study = REAR.study(moved(right__front_eye=HANGER))
    assert any("give thrust angle" in note for note in setup_notes(study, title_of))


def test_a_sagged_spring_and_the_lean_over_the_pins_are_told_as_found():
    """Right pins 9 mm lower, its bolt as high as the left one's: 9 mm of arch gone, by hand."""
    setup = leaf_car()
    for name in ("front_eye", "rear_eye", "shackle_body", "centre_bolt", "wheel_centre"):
        x, y, z = setup.evidence[f"rear.{name}"]
        lower = 0.0 if name in ("centre_bolt", "wheel_centre") else 9.0
        setup = set_evidence(setup, f"rear.right.{name}", (x, -y, z - lower))
    lean = degrees(atan(9.0 / BASE))
    told = "As found, the right spring stands 9.0 mm flatter under its load than the left one"
    assert f"{told}, and the body leans {lean:.2f}° to the right" in text(REAR.study(setup))
    assert "flatter" not in text(REAR.study(leaf_car()))


@pytest.mark.parametrize("kind", [leaf_car, link_car])
def test_wheelbases_side_to_side_are_the_cars_not_the_axles(kind):
    """By tape: front wheels at 0 and -3, rear ones at -2560 and -2562: 2560 and 2559 mm."""
    setup = set_evidence(kind(), "front.wheel_centre", (0.0, 690.0, 305.0))
    setup = set_evidence(setup, "front.right.wheel_centre", (-3.0, -690.0, 305.0))
    x, y, z = setup.evidence["rear.wheel_centre"]
    setup = set_evidence(setup, "rear.right.wheel_centre", (x - 2.0, -y, z))
    study = REAR.study(setup)
    assert study.proposed.rest.values["wheelbase_difference"] == pytest.approx(1.0, abs=1e-3)
    assert thrust(study) < 0.0
    rolled = study.proposed.roll.values["wheelbase_difference"]
    assert rolled[rolled.size // 2] == pytest.approx(1.0, abs=1e-3)


def test_without_a_front_the_axles_own_stagger_is_told_as_that():
    own = "wheelbase, left less right, is the rear axle's own stagger"
    study = REAR.study(moved(right__front_eye=HANGER))
    assert any(own in note for note in setup_notes(study, title_of))
    assert "its left wheel stands" in text(study)
    study = REAR.study(set_evidence(study.setup, "front.wheel_centre", (0.0, 690.0, 305.0)))
    assert not any(own in note for note in setup_notes(study, title_of))
    assert "the left wheelbase is" in text(study)


def test_a_front_as_crooked_as_the_axle_leaves_both_wheelbases_alike():
    study = REAR.study(moved(right__front_eye=HANGER))
    stagger = float(study.proposed.rest.values["wheelbase_difference"][0])
    setup = set_evidence(study.setup, "front.wheel_centre", (0.0, 690.0, 305.0))
    setup = set_evidence(setup, "front.right.wheel_centre", (stagger, -690.0, 305.0))
    assert "both wheelbases are alike, the car crabs" in text(REAR.study(setup))


def test_a_right_bolt_measured_forward_carries_its_wheel_along():
    """Bolt 6.35 ahead, nobody measured the wheel there: atan(6.35/960), by hand."""
    plain = leaf_car()
    x, y, z = plain.evidence["rear.centre_bolt"]
    setup = set_evidence(plain, "rear.right.centre_bolt", (x + 6.35, -y, z))
    study = REAR.study(setup)
    assert thrust(study) == pytest.approx(degrees(atan(6.35 / BASE)), abs=1e-3)
    x, y, z = plain.evidence["rear.wheel_centre"]
    with_wheel = set_evidence(setup, "rear.right.wheel_centre", (x, -y, z))
    assert thrust(REAR.study(with_wheel)) == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("back", [-6.35, -4.35])
def test_a_repair_is_told_from_the_angle_that_was_found(back):
    found = {
        f"rear.right.{name}": (at[0] + 6.35, -at[1], at[2])
        for name in ("front_eye", "rear_eye", "shackle_body", "centre_bolt")
        for at in (leaf_car().evidence[f"rear.{name}"],)
    }
    repair = FrozenMap({"rear.right.front_eye": (back, 0.0, 0.0)})
    setup = leaf_car(Change("back", moves=repair))
    study = REAR.study(setup.having(evidence=FrozenMap({**setup.readings, **found})))
    was, now = (degrees(car.rest.values["thrust_angle"][0]) for car in study.cars.values())
    assert was == pytest.approx(0.379, abs=0.002)
    if abs(now) < 0.1:
        assert f"thrust angle goes from +{was:.2f}" in text(study)
        assert "it stands square" in text(study)
    else:
        assert f"points {now:.2f}° to the left (thrust angle), {was:.2f}° to the left as" in text(
            study
        )


@pytest.mark.parametrize(
    ("point", "share"),
    [("front_eye", (3280 - 2560) / (3280 - 1960)), ("shackle_body", (2560 - 1960) / (3280 - 1960))],
)
def test_a_right_pin_put_higher_lets_that_side_down(point, share):
    """The line over the pins rises at the bolt by the lever rule, and the body comes down by it."""
    right = REAR.study(leaf_car(up(f"rear.right.{point}")))
    both = REAR.study(leaf_car(up(f"rear.{point}")))
    assert REAR.lean(right).apart == pytest.approx(15 * share, rel=0.04)
    assert REAR.lean(right).apart == pytest.approx(both.proposed.single["settled_travel"])
    assert "By itself the right spring settles" in text(right)
    assert REAR.lean(both) is None


def up(*points: str) -> Change:
    return Change("up", moves=FrozenMap(dict.fromkeys(points, (0.0, 0.0, 15.0))))


def test_by_itself_a_rear_leans_by_the_difference_over_its_spring_base():
    """Statics by hand: springs that carry what they did are as long: each side follows its pins."""
    lean = REAR.lean(REAR.study(leaf_car(up("rear.right.front_eye", "rear.right.shackle_body"))))
    assert lean.held_by == ""
    assert lean.angle == pytest.approx(15 / BASE)
    assert lean.moved == 0.0
    rise = 15 / BASE * TRACK / 2
    assert lean.rises == pytest.approx((7.5 - rise, 7.5 + rise), abs=0.01)


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "torsion_coupe"])
def test_a_body_on_four_springs_leans_where_their_energy_is_least(name):
    """scipy's minimiser over the body's heave, pitch and roll, a pair of whose pins is put up."""
    car = load(name)
    study = REAR.study(car.having(changes=(up("rear.right.front_eye", "rear.right.shackle_body"),)))
    lean, leaf = REAR.lean(study), study.proposed.leaf
    front = FRONT.study(study.setup).proposed
    wheel, half = float(front.rest.values["wheel_rate"].mean()), front.rest.values["half_track"]
    seat, base = leaf.rates.seat_kept, leaf.spring_base

    def energy(at):
        heave, pitch, roll = at[0], at[1] * 1e-3, at[2] * 1e-3
        across = roll * float(half.mean())
        fronts = [heave + 2500.0 * pitch - way * across for way in (1.0, -1.0)]
        rears = [heave - roll * base / 2, heave + roll * base / 2 - 15.0]
        return (wheel * sum(z**2 for z in fronts) + seat * sum(z**2 for z in rears)) / 2

    least = minimize(energy, np.zeros(3), method="BFGS", options={"gtol": 1e-7}).x
    assert lean.held_by == "front"
    assert lean.angle == pytest.approx(least[2] * 1e-3, rel=1e-3)
    across = lean.angle * leaf.track / 2
    assert lean.rises == pytest.approx((least[0] - across, least[0] + across), abs=0.05)
    spring = seat * (least[0] + lean.angle * base / 2 - 15.0)  # what the right one gains
    assert lean.moved == pytest.approx(-spring * base / leaf.track, rel=1e-3)


def test_the_left_pins_put_higher_are_the_mirror_of_the_right_ones():
    pins = ("front_eye", "shackle_body")
    right = REAR.study(leaf_car(up(*(f"rear.right.{pin}" for pin in pins))))
    moves = {f"rear.{pin}": (0.0, 0.0, 15.0) for pin in pins}
    moves |= {f"rear.right.{pin}": (0.0, 0.0, 0.0) for pin in pins}
    left = REAR.study(leaf_car(Change("up", moves=FrozenMap(moves))))
    assert REAR.lean(left).angle == pytest.approx(-REAR.lean(right).angle)
    assert REAR.lean(left).rises == pytest.approx(REAR.lean(right).rises[::-1])
    assert "further to the left than found: it stands" in text(left)


def test_heights_of_both_wheels_are_read_on_the_finished_car():
    setup = leaf_car(up("rear.right.front_eye", "rear.right.shackle_body"))
    study = REAR.study(set_evidence(setup, "rear.arch_height", 380.0))
    height = rear_targets(study)[0]
    assert height.wanted == ("383 mm", "362 mm")
