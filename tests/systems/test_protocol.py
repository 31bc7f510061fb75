"""Every system of the car answers all that any of them is asked."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

import numpy as np
import pytest

from app.document.ends import ENDS
from app.document.files import write_setup
from app.document.keys import points_of
from app.document.model import Setup
from app.drawing.views import View
from app.systems.answers import Pose
from app.systems.cautions import cautions_of
from app.systems.every import SYSTEMS, given_systems
from app.systems.naming import title_of
from app.systems.shown import Options, Shown
from app.systems.system import System
from tests.helpers.known_setups import exact
from tests.helpers.project import ROOT
from tests.helpers.sheets import SAMPLES, sample, with_all_on
from tests.helpers.telling import sentences

CASES = [
    pytest.param(system, sample(name), id=f"{name}-{system.key}")
    for name in SAMPLES
    for system in given_systems(sample(name))
]


def test_the_document_and_the_systems_know_the_same_ends() -> None:
    assert tuple(system.key for system in SYSTEMS) == ENDS


@pytest.mark.parametrize(("system", "setup"), CASES)
@pytest.mark.usefixtures("solved_anew")
def test_the_measured_car_is_what_a_setup_without_changes_solves_to(
    system: System[Any], setup: Setup
) -> None:
    bare = setup.having(changes=())
    assert not system.study(bare).changed
    assert system.solve(bare) is system.study(with_all_on(setup)).measured


@pytest.mark.parametrize(("system", "setup"), CASES)
def test_a_short_study_made_whole_is_the_whole_study(system: System[Any], setup: Setup) -> None:
    whole = system.study(setup)
    short = system.study(setup, short=True)
    made = system.whole(short)
    assert not made.short
    assert set(made.unsettled.single) == set(whole.unsettled.single)
    for key, values in whole.unsettled.roll.values.items():
        np.testing.assert_allclose(made.unsettled.roll.values[key], values, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize(("system", "setup"), CASES)
def test_what_is_drawn_told_and_worked_is_there(system: System[Any], setup: Setup) -> None:
    study = system.study(with_all_on(setup))
    places = system.places(study)
    named = [key for key in points_of(setup, system.key) if key in system.points(study).titles]
    assert named
    assert set(system.points(study).proposed) <= set(places) | set(named)
    drawings = system.drawings(Shown(study, study.unsettled.rest), Options())
    assert set(drawings) == set(View) == set(system.views)
    one = system.drawings(Shown(study, study.unsettled.rest), Options(), [View.TOP])
    assert set(one) == {View.TOP}
    assert all(sentence.text for sentence in sentences(study))
    assert study.changed == bool(cautions_of([study]))
    title, rows = system.targets(study, ".")
    assert title
    assert rows
    report = system.report(study)
    assert {result.key for result in report.results} <= {r.key for r in system.catalogue}
    assert all(isinstance(note, str) for note in report.setup_notes(title_of))


@pytest.mark.parametrize(("system", "setup"), CASES)
def test_many_cars_in_one_batch_are_each_as_alone(system: System[Any], setup: Setup) -> None:
    measured = setup.having(changes=())
    car = system.solve(measured)
    keys = sorted(car.travel.values)[:12]
    answers = system.solve_many([measured, measured], keys, travel=[-10.0, 0.0, 10.0])
    alone = car.sweep_at("travel", [-10.0, 0.0, 10.0])
    for key in keys:
        for one in answers.values[key]:
            np.testing.assert_allclose(one, alone.values[key], rtol=1e-9, atol=1e-7)


@pytest.mark.parametrize(("system", "setup"), CASES)
def test_a_pose_is_the_sweep_there(system: System[Any], setup: Setup) -> None:
    car = system.solve(setup.having(changes=()))
    posed, swept = car.at_pose(Pose(travel=12.5)), car.sweep_at("travel", [12.5])
    for key, values in swept.values.items():
        np.testing.assert_allclose(posed.values[key], values, rtol=1e-7, atol=1e-7)


THIRD = """
import os
os.environ["QT_QPA_PLATFORM"] = "offscreen"
import app.systems.every as every
from app.systems.front.system import Front

class Echo(Front):
    key, title = "echo", "Echo"
    def gives(self, setup): return "front.kind" in setup.evidence
    reads = ("front.", "car.")
    def is_own(self, key): return key.startswith("front.")

ECHO = Echo()
every.SYSTEMS = (*every.SYSTEMS, ECHO)
every.BY_KEY["echo"] = ECHO
import sys
from pathlib import Path
from app.cli import run
path = Path(sys.argv[1])
from app.desk.main import application, open_window
qt = application([])
assert run(["report", str(path)], lambda _path: 1) == 0
assert run(["sheet", str(path), "-o", sys.argv[2]], lambda _path: 1) == 0
window = open_window(path)
window.show()
qt.processEvents()
qt.processEvents()
window.session.show(ECHO)
qt.processEvents()
assert window.session.system is ECHO and window.session.problem is None
assert window.board.views and window.session.study.system is ECHO
assert len(window.session.systems()) == 3
print("third system shown")
"""


@pytest.mark.slow
@pytest.mark.gui
def test_a_third_system_is_one_more_word_in_the_tuple(tmp_path: Any) -> None:
    path = tmp_path / "small_saloon.toml"
    write_setup(path, exact(sample(path.stem)))
    call = [sys.executable, "-c", THIRD, str(path), str(tmp_path / "sheet.pdf")]
    done = subprocess.run(call, capture_output=True, text=True, cwd=ROOT, timeout=120)
    assert done.returncode == 0, done.stderr[-2000:]
    assert "third system shown" in done.stdout
    assert "ECHO:" in done.stdout.upper()
