"""How far both roll centres part is told only where both stand between the wheels."""

import re

import numpy as np

from app.systems.front.notes import parting_notes
from app.systems.front.system import FRONT
from tests.helpers.sheets import sample


def test_no_figure_is_told_where_a_centre_runs_off_beyond_the_wheels():
    study = FRONT.study(sample("hillclimb_special"))
    sweep = study.measured.travel
    sideways = sweep.values["roll_centre_construction_lateral"]
    half_track = float(np.abs(sweep.values["half_track"]).max())
    assert np.nanmax(np.abs(sideways)) > half_track  # it does run off on this car
    (note,) = parting_notes(study, sweep)
    assert "runs off sideways beyond the wheels" in note
    assert "its figures mean nothing" in note
    sizes = [float(size) for size in re.findall(r"by up to ([\d.]+) mm", note)]
    assert sizes
    assert max(sizes) < 2 * half_track  # two points between the wheels are no further apart


def test_a_car_whose_centres_stay_inside_hears_nothing_of_it():
    study = FRONT.study(sample("torsion_coupe"))
    assert not any("runs off" in note for note in parting_notes(study, study.measured.travel))
