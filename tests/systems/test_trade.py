"""What the trade knows of a block, a longer shackle, a leaf out and a cut coil, end to end."""

from __future__ import annotations

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import Change
from app.document.samples import sample_paths
from app.judge.balance import balances
from app.systems.answers import value_at_rest
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.systems.study_results import result_named
from geometry.catalogue.every import result_of

SAMPLES = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}


def told(name: str, change: Change) -> dict[str, tuple[float, float]]:
    study = REAR.study(SAMPLES[name].having(changes=(change,)))
    values = {}
    for key in ("roll_steer", "anti_squat", "wheel_rate", "roll_centre_height", "stress_ride"):
        result = result_named(study, key)
        assert result is not None
        before, after = (value_at_rest(car, result) for car in (study.measured, study.proposed))
        assert before is not None
        assert after is not None
        values[key] = before, after
    return values


def test_a_lowering_block_steers_and_springs_as_before() -> None:
    """Common practice, no source: the leaf doesn't know of the block."""
    values = told("inch_sedan", Change("block", sets={"rear.block": 25.4}))
    for key in ("roll_steer", "wheel_rate", "stress_ride"):
        before, after = values[key]
        assert after == pytest.approx(before, rel=2e-2, abs=1e-3), key
    before, after = values["roll_centre_height"]
    assert after - before == pytest.approx(-25.4, abs=0.5)


def test_a_longer_shackle_steers_towards_oversteer() -> None:
    """A spring maker's page on longer shackles: hanger below the shackle's foot understeers."""
    sedan = SAMPLES["inch_sedan"].evidence
    body, eye = (np.array(sedan[f"rear.{name}"]) for name in ("shackle_body", "rear_eye"))
    length = float(np.hypot(*(body - eye)[[0, 2]]))
    values = told("inch_sedan", Change("shackle", sets={"rear.shackle_length": length + 50.8}))
    before, after = values["roll_steer"]
    assert before > 0.0
    assert after < -0.02


def test_a_leaf_taken_out_lowers_the_anti_squat() -> None:
    saloon = SAMPLES["small_saloon"]
    (out,) = (change for change in saloon.changes if change.name == "Leaf 4 out")
    values = told("small_saloon", Change(**{**vars(out), "on": True}))
    before, after = values["anti_squat"]
    assert before == pytest.approx(28.8, abs=0.2)
    assert after < 15.0
    before, after = values["roll_steer"]
    assert after > before + 0.03


def test_shorter_coils_shift_load_from_the_linkage_to_the_springs() -> None:
    """The front settles, its roll centre comes down: less of the transfer goes through the arms."""
    saloon = SAMPLES["small_saloon"]
    shorter = Change("shorter", sets={"front.spring.free_length": 289.0})
    studies = [system.study(saloon.having(changes=(shorter,))) for system in (FRONT, REAR)]
    cars = balances(studies)
    before, after = cars["measured"].front, cars["proposed"].front
    centres = [
        value_at_rest(car, result_of(studies[0].results, "roll_centre_height"))  # type: ignore[arg-type]
        for car in (studies[0].measured, studies[0].proposed)
    ]
    assert centres[1] < centres[0] - 40.0  # type: ignore[operator]
    assert float(after.geometric) == pytest.approx(
        float(before.geometric) * centres[1] / centres[0],
        rel=0.02,  # type: ignore[operator]
    )
