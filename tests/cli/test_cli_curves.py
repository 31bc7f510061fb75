"""Curves: exact poses, both wheels, what can't be reached, CSV and tables."""

import csv
import json
import re
from itertools import product

import numpy as np
import pytest

from app.cli import run
from app.document.samples import first_sample, sample_paths
from tests.helpers.long_cases import typical_of

PATHS = {path.stem: path for path in sample_paths()}
FIRST = first_sample()
every_sample = pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)


def each_with_one(drivers):
    """Return every sample with every driver, of which the suite tries one with each sample."""
    kept = [(path, drivers[n % len(drivers)]) for n, path in enumerate(PATHS.values())]
    return pytest.mark.parametrize(
        ("path", "over"), typical_of(product(PATHS.values(), drivers), kept)
    )


def no_board(path):
    raise AssertionError("curves open no window")


@pytest.fixture
def curves(capsys):
    def ask(path, *words):
        assert run(["curves", str(path), *map(str, words), "--json"], no_board) == 0
        return json.loads(capsys.readouterr().out)

    return ask


@each_with_one(("travel", "roll"))
def test_values_asked_for_are_those_answered(path, over, curves):
    driver = {"travel": "travel_mm", "roll": "roll_deg"}[over]
    found = curves(path, "--over", over, "--at", -3.25, 0, 1.5)
    for car in ("measured", "proposed"):
        assert found[car][driver] == [-3.25, 0.0, 1.5]
        assert {
            len(row)
            for name, row in found[car].items()
            if isinstance(row, list) and name != "notes"
        } == {3}
        assert None not in found[car]["camber_deg"]


@every_sample
def test_gains_are_the_slopes_of_the_curves(path, curves):
    """A central difference over ±h is off by h²/6 times the third derivative: 1e-7 at 0.05 mm."""
    step = 0.05
    found = curves(path, "--at", -20 - step, -20, -20 + step)
    for wheel in (found["proposed"], found["proposed"]["right"]):
        for curve, slope in (
            ("camber_deg", "camber_gain_deg_per_mm"),
            ("toe_deg", "bump_steer_deg_per_mm"),
        ):
            rise = (wheel[curve][2] - wheel[curve][0]) / (2 * step)
            assert rise == pytest.approx(wheel[slope][1], abs=2e-7)


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan", "hillclimb_special"])
def test_the_wheel_rate_is_the_slope_of_the_load(name, curves):
    """Virtual work: load = force · motion ratio; its slope over travel is the wheel rate."""
    found = curves(PATHS[name], "--at", 9.9, 10, 10.1)["proposed"]
    load = np.array(found["spring_force_n"]) * np.array(found["spring_motion_ratio"])
    rate = (load[2] - load[0]) / 0.2
    assert rate == pytest.approx(found["wheel_rate_n_per_mm"][1], rel=1e-5)


def test_a_car_alike_on_both_sides_rolls_alike_both_ways(curves):
    found = curves(FIRST, "--over", "roll", "--at", -4, 4)["proposed"]
    assert found["camber_deg"][0] == pytest.approx(found["right"]["camber_deg"][1], abs=1e-9)
    assert found["wheel_travel_mm"][0] == pytest.approx(-found["wheel_travel_mm"][1], abs=0.3)
    assert found["roll_centre_lateral_mm"][0] == pytest.approx(
        -found["roll_centre_lateral_mm"][1], abs=1e-6
    )
    assert found["travel_mm"] == found["wheel_travel_mm"]
    assert "body_height_change_mm" in found


def test_steering_held_during_a_sweep_is_held(curves):
    held = curves(FIRST, "--steer", 20, "--at", 0, 30)["proposed"]
    steered = curves(FIRST, "--over", "steer", "--at", 20)["proposed"]
    assert held["steer_mm"] == [20.0, 20.0]
    assert held["toe_deg"][0] == pytest.approx(steered["toe_deg"][0], abs=1e-9)
    left_turn = curves(FIRST, "--over", "steer", "--at", -20)["proposed"]
    assert left_turn["toe_deg"][0] == pytest.approx(steered["right"]["toe_deg"][0], abs=1e-9)


def test_a_whole_sweep_covers_the_stops(curves):
    travel = curves(FIRST)["measured"]["travel_mm"]
    assert (travel[0], travel[-1], len(travel)) == (-75.0, 75.0, 61)
    assert 0.0 in travel
    steer = curves(FIRST, "--over", "steer")["measured"]["steer_mm"]
    assert (steer[0], steer[-1]) == (-66.0, 66.0)


def test_travel_out_of_reach_is_null_with_the_two_points_and_where_it_starts(curves):
    found = curves(FIRST, "--at", -200, 0)
    assert found["measured"]["camber_deg"][0] is None
    assert found["measured"]["right"]["camber_deg"][0] is None
    assert found["measured"]["camber_deg"][1] is not None
    (note,) = [n for n in found["measured"]["notes"] if "can't be reached" in n]
    start = float(re.search(r"starts at −(\d+\.\d) mm", note).group(1))
    assert re.search(r"(ball joint|end) and .* are \d+\.\d mm too far apart", note)
    there = curves(FIRST, "--at", -start + 0.2, -start - 0.2)["measured"]["camber_deg"]
    assert there[0] is not None
    assert there[1] is None


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (["--at", "1e5"], "no car's suspension goes that far"),
        (["--at", "-1001"], "no car's suspension goes that far"),
        (["--over", "roll", "--at", "-60"], "no car's suspension goes that far"),
        (["--over", "roll", "--at", "40"], "Roll .40.00° can't be reached"),
        (["--over", "steer", "--at", "150"], "with the steering at .150.0 mm"),
        (["--steer", "-95", "--at", "0"], "with the steering at −95.0 mm"),
        (["--steer", "1e5", "--at", "0"], "no steering goes that far"),
    ],
)
def test_what_cannot_be_reached_is_answered_in_a_sentence(words, answer, curves):
    found = curves(FIRST, *words)
    for car in ("measured", "proposed"):
        assert found[car]["camber_deg"] == [None]
        assert any(re.search(answer, note) for note in found[car]["notes"])


def test_beyond_the_stops_is_said(curves):
    notes = curves(FIRST, "--at", 80, -20)["notes"]
    assert any("beyond the bump stop, at 75.0 mm" in note for note in notes)
    notes = curves(FIRST, "--over", "steer", "--at", 70)["notes"]
    assert any("beyond the steering's travel, 66.0 mm" in note for note in notes)


def test_a_centre_at_infinity_is_null_and_a_note_says_so(tmp_path, curves):
    """Both arms level and along X: parallel, whatever is drawn."""
    text = FIRST.read_text().replace("on = true", "on = false")
    for name, place in (
        ("upper_front ", "[98.0, 372.0, 536.0]"),
        ("upper_rear  ", "[-112.0, 372.0, 536.0]"),
        ("lower_front ", "[392.0, 246.0, 196.0]"),
        ("lower_rear  ", "[-16.0, 246.0, 196.0]"),
    ):
        text = re.sub(rf"^{name} = \[.*?\]", f"{name} = {place}", text, count=1, flags=re.M)
    path = tmp_path / "level.toml"
    path.write_text(text)
    found = curves(path, "--at", 0)
    for name in ("instant_centre_y_mm", "instant_centre_z_mm", "swing_arm_length_mm"):
        assert found["measured"][name] == [None]
        assert any(name in n and "parallel" in n for n in found["measured"]["notes"])
    assert found["measured"]["roll_centre_construction_mm"][0] == pytest.approx(0.0, abs=1e-6)


def test_csv_holds_what_json_holds(tmp_path, curves, capsys):
    out = tmp_path / "out.csv"
    words = ["curves", str(PATHS["hillclimb_special"]), "--over", "roll", "--at", "-2", "0", "40"]
    assert run([*words, "-o", str(out)], no_board) == 0
    assert "3 poses" in capsys.readouterr().err
    with out.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    found = curves(PATHS["hillclimb_special"], "--over", "roll", "--at", -2, 0, 40)
    assert [float(row["roll_deg"]) for row in rows] == [-2.0, 0.0, 40.0]
    for row, place in zip(rows, range(3), strict=True):
        for car in ("measured", "proposed"):
            for name in ("camber_deg", "roll_centre_height_mm", "wheel_rate_n_per_mm"):
                value = found[car][name][place]
                assert row[f"{car} {name}"] == ("" if value is None else repr(value))
            right = found[car]["right"]["camber_deg"][place]
            assert row[f"{car} right camber_deg"] == ("" if right is None else repr(right))


@pytest.mark.parametrize("columns", typical_of(("60", "80", "120"), ("60",)))
@each_with_one(("travel", "roll", "steer"))
def test_tables_fit_the_width(path, over, columns, monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", columns)
    assert run(["curves", str(path), "--over", over], no_board) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= int(columns)
    assert not any(re.search(r"None|nan|(?<![\w.])-\d|\xa0", line) for line in lines)


def test_a_table_has_measured_beside_proposed_under_the_title_with_its_unit(capsys):
    assert run(["curves", str(FIRST), "--at", "-40", "0"], no_board) == 0
    text = capsys.readouterr().out
    assert re.search(r"travel +Camber, °", text)
    assert re.search(r" +mm  as found  as built", text)
    assert re.search(r"−40\.0 +0\.32 +0\.95", text)
    assert re.search(r"\n +0\.0 +0\.50 +0\.10", text)


def test_a_long_sweep_is_thinned_and_says_so(capsys):
    assert run(["curves", str(FIRST)], no_board) == 0
    assert "13 of 61 poses; --json and -o give all" in capsys.readouterr().out


def test_a_result_that_is_nowhere_has_no_table(capsys):
    assert run(["curves", str(FIRST), "--at", "0"], no_board) == 0
    assert "Torsion bar" not in capsys.readouterr().out


# --- the rear --------------------------------------------------------------------------------


@each_with_one(("travel", "roll"))
def test_poses_of_the_rear_are_those_asked_for(path, over, curves):
    driver = {"travel": "travel_mm", "roll": "roll_deg"}[over]
    found = curves(path, "--axle", "rear", "--over", over, "--at", -3.25, 0, 1.5)
    assert found["axle"] == "rear"
    for car in ("measured", "proposed"):
        assert found[car][driver] == [-3.25, 0.0, 1.5]
        assert "steer_mm" not in found[car]
        for name in ("pinion_angle_deg", "roll_centre_height_mm", "axle_steer_deg"):
            assert None not in found[car][name]


def test_a_rear_s_sweep_covers_its_own_stops(curves):
    found = curves(FIRST, "--axle", "rear")["measured"]
    assert (found["travel_mm"][0], found["travel_mm"][-1]) == (-90.0, 75.0)
    assert len(found["travel_mm"]) == 61
    assert len(curves(FIRST, "--axle", "rear", "--over", "roll")["measured"]["roll_deg"]) == 41


@pytest.mark.parametrize("name", ["small_saloon", "inch_sedan"])
def test_the_rear_s_wheel_rate_is_the_slope_of_its_load(name, curves):
    """By the definition of a rate; 40 mm is past the sedan's helper's contact."""
    for travel in (-30, 40):
        asked = [travel - 0.1, travel, travel + 0.1]
        found = curves(PATHS[name], "--axle", "rear", "--at", *asked)["measured"]
        load = found["spring_load_n"]
        rate = (load[2] - load[0]) / 0.2
        assert rate == pytest.approx(found["wheel_rate_n_per_mm"][1], rel=1e-4)


def test_a_shackle_at_its_end_is_said(curves):
    found = curves(FIRST, "--axle", "rear", "--at", 0, 400)["measured"]
    assert found["pinion_angle_deg"][0] is not None
    assert found["pinion_angle_deg"][1] is None
    (note,) = [note for note in found["notes"] if "can't be reached" in note]
    assert re.search(r"axle stops at \+\d+\.\d mm of travel: the shackle", note)
    far = curves(FIRST, "--axle", "rear", "--over", "roll", "--at", 60)["measured"]
    assert far["axle_steer_deg"] == [None]
    assert any("no car's suspension goes that far" in note for note in far["notes"])


def test_links_at_their_end_name_the_two_points(curves):
    found = curves(PATHS["hillclimb_special"], "--axle", "rear", "--at", 0, 500)["measured"]
    assert found["pinion_angle_deg"][1] is None
    (note,) = [note for note in found["notes"] if "can't be reached" in note]
    assert "upper link, body end, right and upper link, axle end, right would be" in note


def test_a_rear_is_not_steered(capsys):
    for words in (["--over", "steer"], ["--steer", "5"]):
        assert run(["curves", str(FIRST), "--axle", "rear", *words], no_board) == 2
        assert "isn't steered" in capsys.readouterr().err


def test_csv_of_the_rear_has_a_right_wheel_for_dampers_alone(tmp_path, capsys):
    out = tmp_path / "rear.csv"
    words = ["curves", str(FIRST), "--axle", "rear", "--at", "-10", "10", "-o", str(out)]
    assert run(words, no_board) == 0
    with out.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [float(row["travel_mm"]) for row in rows] == [-10.0, 10.0]
    assert not any("steer_mm" in name for name in rows[0])
    assert all("damper_" in name for name in rows[0] if "right" in name)
    assert float(rows[0]["measured spring_load_n"]) < float(rows[1]["measured spring_load_n"])


@pytest.mark.parametrize("columns", typical_of(("60", "80", "120"), ("60",)))
@each_with_one(("roll", "travel"))
def test_tables_of_the_rear_fit_the_width(path, over, columns, monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", columns)
    assert run(["curves", str(path), "--axle", "rear", "--over", over], no_board) == 0
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= int(columns)


def test_bare_numbers_in_an_inch_file_are_said_to_be_mm(capsys):
    path = PATHS["inch_sedan"]
    for places, is_said in ((["3.5"], True), (["3.5in", "0"], False)):
        assert run(["curves", str(path), "--at", *places], no_board) == 0
        assert ("is taken as mm: write 3.5in" in capsys.readouterr().out) is is_said


def test_csv_goes_to_standard_output_where_that_is_asked(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(["curves", str(FIRST), "--at", "0", "-o", "-"], no_board) == 0
    (row,) = csv.DictReader(capsys.readouterr().out.splitlines())
    assert float(row["measured camber_deg"]) == pytest.approx(0.5)
    assert not list(tmp_path.iterdir())


def test_changes_of_the_other_end_are_not_said_to_be_this_ends(capsys):
    assert run(["curves", str(FIRST), "--axle", "rear", "--at", "0"], no_board) == 0
    head = " ".join(capsys.readouterr().out.split())
    assert "Proposed at the other end only, and the body lies as that leaves it: Upper" in head
