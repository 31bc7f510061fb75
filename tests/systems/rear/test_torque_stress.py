"""A leaf past its limit under torque is told and marked; so is a thrust that no pose carries."""

from __future__ import annotations

import numpy as np
import pytest

from app.cli.rear_tables import _twist_row
from app.cli.report_text import report_text
from app.cli.terminal import Terminal
from app.document.model import Change, FrozenMap
from app.document.samples import first_sample
from app.export.tables import results_table
from app.panels.bench.twist_words import step_rows, warnings
from app.sheet.rear_tables import _torque_cells, _torque_words
from app.shop.results import result_rows
from app.systems.rear.shop.torque import torque_rows
from app.systems.rear.system import REAR
from app.systems.rear.words.torque import end_notes
from geometry.leaf.bent_axle import bent_axle, stiff_axle
from geometry.leaf.single import loaded_spring
from tests.helpers.setup_edits import set_evidence
from tests.helpers.sheets import sample

pytestmark = pytest.mark.gui

SALOON = sample("small_saloon").having(changes=())


def limited(limit):
    return REAR.study(set_evidence(SALOON, "rear.pack.limit_stress", limit))


def highest():
    """Return the greatest stress under torque of the saloon, which is that at full drive."""
    rows = torque_rows(REAR.study(SALOON))
    most = max(rows, key=lambda row: row.stress)
    assert most.name.startswith("Full drive")
    return most.stress


def said(study):
    return [sentence for sentence in REAR.sentences(study, ".") if "At full drive" in sentence.text]


@pytest.mark.parametrize(("away", "is_past"), [(-1.0, True), (1.0, False)])
def test_a_leaf_past_its_limit_at_full_drive_is_told_and_marked(away, is_past):
    study = limited(highest() + away)
    told = [each for each in said(study) if "sets or breaks" in each.text]
    assert len(told) == is_past
    assert all(each.severity == "wrong" for each in told)
    assert any("sets or breaks" in words for words in warnings(study)) == is_past
    assert ("sets or breaks" in _torque_words(study, ".")) == is_past
    for row in torque_rows(study):
        marked = is_past and row.stress == pytest.approx(highest())
        assert (row.past is not None) == marked
        assert any(text.endswith("*") for text, _ in _torque_cells(row, "mm", ".")) == marked
        assert any(str(cell).endswith("*") for cell in _twist_row(row, "mm", False)) == marked
    stresses = [row[-1].text for row in step_rows(study, "mm").rows]
    assert any(text.startswith("■") for text in stresses) == is_past


def test_the_sentence_names_leaf_stress_and_limit():
    (told,) = (each for each in said(limited(highest() - 1.0)) if "sets or breaks" in each.text)
    stress, limit = f"{highest():.0f}", f"{highest() - 1.0:.0f}"
    assert f"is stressed to {stress} N/mm², past its limit of {limit} N/mm²" in told.text


def too_strong():
    """Return a study in which torque is more than any pose carries once two leaves are out."""
    setup = set_evidence(SALOON, "rear.drive.engine_torque", 220e3)
    setup = set_evidence(setup, "rear.drive.grip", 1.3)
    leaves = setup.evidence["rear.pack.leaf"][:3]
    change = Change("Two out", on=True, sets=FrozenMap({"rear.pack.leaf": leaves}))
    return REAR.study(setup.having(changes=(change,)))


def test_a_thrust_that_no_pose_carries_is_told_and_two_models_are_not_compared():
    study = too_strong()
    assert (study.measured.torque.is_small, study.proposed.torque.is_small) == (False, True)
    texts = [sentence.text for sentence in REAR.sentences(study, ".")]
    assert any(text.startswith("No pose in which the leaves balance it") for text in texts)
    assert not any("wind-up goes" in text for text in texts)
    (note,) = (note for note in end_notes(study) if "aren't to be compared" in note)
    assert note.startswith("Wind-up, lift and stress as built are by the springs' stiffness")


def test_eye_loads_by_stiffness_add_up_to_the_load():
    car = too_strong().proposed
    load = float(car.rest.values["spring_load"][0])
    np.testing.assert_allclose(car.torque.twist.eye_load.sum(axis=0), load)


def test_eye_loads_by_stiffness_are_the_bent_axles_for_small_thrusts():
    spring = loaded_spring(REAR.study(SALOON).proposed.leaf)
    thrust = [-1.0, 0.0, 1.0]
    small, bent = stiff_axle(spring, thrust), bent_axle(spring, thrust)
    np.testing.assert_allclose(small.eye_load, bent.eye_load, atol=0.02)


def test_no_difference_is_told_of_figures_by_two_models():
    study = too_strong()
    rows = {row.result.key: row for row in result_rows(study)}
    table = {row[1]: row for row in results_table(study)}
    report = report_text([REAR.report(study)], first_sample(), Terminal(200))
    apart = [row for row in rows.values() if row.is_by_two_models]
    assert {"wind_up_full", "lift_full", "eye_load_least"} <= {row.result.key for row in apart}
    for row in apart:
        assert row.measured is not None
        assert row.move is None
        assert table[row.result.title][6] == ""
        (line,) = (
            each for each in report.splitlines() if each.startswith(f"  {row.result.title}  ")
        )
        assert line.endswith("by two models, not to be compared")
    assert rows["pack_rate"].move is not None
    assert not any(row.is_by_two_models for row in result_rows(REAR.study(SALOON)))
