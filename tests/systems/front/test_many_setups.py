"""Many setups' fronts by result key: what each setup's own study says."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Setup
from app.document.samples import sample_paths
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from app.systems.front.many import values_of_many
from app.systems.front.study import at_pose, sweep_at
from app.systems.front.system import FRONT
from geometry.catalogue.front import RESULTS
from tests.helpers.front_setups import front_setup
from tests.helpers.long_cases import typical_of
from tests.helpers.perturbed import measured_again

KEYS = tuple(result.key for result in RESULTS)
OF_POSES = {result.key for result in RESULTS if result.scope != "car"}
FRONTS = {
    path.stem: path for path in sample_paths() if "kind" in path.read_text().partition("[front]")[2]
}
KEPT = (
    ("small_saloon", "as given"),
    ("inch_sedan", "all"),
    ("torsion_coupe", "all"),
    ("hillclimb_special", "as given"),
    ("taped_saloon", "none"),
)


def same(together: np.ndarray, value: np.ndarray, good: np.ndarray, key: str) -> None:
    alone = np.broadcast_to(value, together.shape)[..., good]
    far = np.maximum(np.abs(alone), 100.0 if "centre" in key else 1.0)
    where = np.isfinite(alone)
    assert (np.isfinite(together[..., good]) == where).all(), key
    assert (np.abs(together[..., good] - alone) / far)[where].max(initial=0.0) < 1e-9, key


def all_on(setup: Setup) -> Setup:
    return setup.having(changes=tuple(replace(change, on=True) for change in setup.changes))


@pytest.mark.parametrize(
    ("name", "changes"), typical_of(product(FRONTS, ("none", "as given", "all")), KEPT)
)
def test_samples_measured_again_are_as_their_own_studies(name: str, changes: str) -> None:
    setup = read_setup(FRONTS[name], limit_kinds=LIMIT_KINDS).setup
    if changes == "none":
        setup = setup.having(changes=())
    setups = measured_again(all_on(setup) if changes == "all" else setup, 2)
    assert FRONT.gives(setup)
    car, cars = FRONT.solve(setup), [FRONT.solve(one) for one in setups]
    for sweep in (car.travel, car.roll, car.steer):
        assert sweep is not None
        answers = values_of_many(setups, KEYS, **{sweep.driver: sweep.at})  # type: ignore[arg-type]
        for place, car in enumerate(cars):
            alone = sweep_at(car.front, sweep.driver, sweep.at)  # type: ignore[arg-type]
            assert (answers.reached[place] == alone.reached).all()
            assert OF_POSES & set(answers.values) == set(alone.values) & OF_POSES
            for key, value in alone.values.items():
                same(answers.values[key][place], value, alone.reached, key)
            once = {key: answers.values[key][place] for key in answers.values.keys() - OF_POSES}
            there = {key: value for key, value in once.items() if np.isfinite(value)}
            assert set(there) == set(car.single)
            for key, value in there.items():
                near = 1e-6 if key == "settled_travel" else 1e-9
                assert value == pytest.approx(car.single[key], abs=near), key


def test_rest_is_the_answer_without_a_pose() -> None:
    setups = measured_again(front_setup(), 3)
    answers = values_of_many(setups, ("camber", "roll_centre_height"))
    assert answers.values["camber"].shape == (3, 2, 1)
    assert answers.values["roll_centre_height"].shape == (3, 1)
    for place, setup in enumerate(setups):
        rest = FRONT.study(setup).measured.rest.values
        for key in answers.values:
            same(answers.values[key][place], rest[key], np.array([True]), key)


def test_one_measured_car_serves_many_proposals() -> None:
    car = front_setup()
    setups = [
        replace(
            car,
            changes=(
                Change(
                    "pivot",
                    moves=FrozenMap({"front.upper_front": (0.0, 1.0 * step, -2.0 * step)}),
                    sets=FrozenMap({"front.spring.rate": 50.0 + step}),
                ),
            ),
        )
        for step in range(6)
    ]
    answers = values_of_many(setups, KEYS, travel=[-30.0, 0.0, 30.0], roll=0.01)
    for place, setup in enumerate(setups):
        car_alone = FRONT.solve(setup)
        settled = answers.values["settled_travel"][place]
        assert settled == pytest.approx(car_alone.single["settled_travel"], abs=1e-6)
        pose = at_pose(car_alone.front, Pose(travel=30.0, roll=0.01))
        for key in ("wheel_rate", "roll_centre_height", "toe"):
            same(answers.values[key][place][..., 2:], pose.values[key], pose.reached, key)


def test_each_car_may_be_asked_where_it_stands() -> None:
    lower = Change("soft", sets=FrozenMap({"front.spring.rate": 45.0}))
    setups = measured_again(front_setup(changes=(lower,)), 3)
    settled = values_of_many(setups, ("settled_travel",)).values["settled_travel"]
    answers = values_of_many(setups, ("camber",), travel=settled[:, None] + [-10.0, 0.0, 10.0])
    for place, setup in enumerate(setups):
        at = FRONT.solve(setup).settled
        assert at is not None
        apart = answers.values["camber"][place][:, 1:2] - at.values["camber"]
        assert np.abs(apart).max() < 1e-9  # 1e-6 mm of settling turn camber by less


def test_setups_of_another_shape_are_refused() -> None:
    plain = front_setup()
    more = front_setup(front__toe_diameter=600.0)
    with pytest.raises(ValueError, match=r"Not all setups give front\.toe_diameter"):
        values_of_many([plain, more], ("camber",))
    other = front_setup(front__spring__on="lower arm")
    with pytest.raises(ValueError, match=r"the same front\.spring\.on"):
        values_of_many([plain, other], ("camber",))
    job = Change("job", moves=FrozenMap({"front.upper_front": (0.0, 0.0, 1.0)}))
    with pytest.raises(ValueError, match="same changes"):
        values_of_many([plain, replace(plain, changes=(job,))], ("camber",))
    left = replace(job, toe="left")
    with pytest.raises(ValueError, match="“job” isn't done in the same way"):
        values_of_many([replace(plain, changes=(each,)) for each in (job, left)], ("camber",))
