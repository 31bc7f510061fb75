"""The report: the figures of the kernel in mm and degrees, and pages that fit the terminal."""

import json
import re
from dataclasses import replace
from math import degrees

import numpy as np
import pytest

from app.cli import run
from app.cli.files import solve
from app.cli.report_json import report_object
from app.cli.report_text import report_text
from app.cli.terminal import Terminal
from app.document.edits import remove_evidence
from app.document.files import read_setup, write_setup
from app.document.samples import first_sample, sample_paths
from app.words.limit_kinds import LIMIT_KINDS
from geometry.catalogue.front import RESULTS, machine_name
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.leaf.hop import LAYOUTS
from tests.helpers.one_end import only

GRAVITY = 9.80665  # m/s², standard gravity, 3rd CGPM 1901
PATHS = {path.stem: path for path in sample_paths()}
FIRST = first_sample()
every_sample = pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)


def load(path):
    return read_setup(path, limit_kinds=LIMIT_KINDS).setup


def ends_of(setup, axle=None):
    return solve(setup, FIRST, axle)


def no_board(path):
    raise AssertionError("a report opens no window")


def as_json(capsys, *words):
    assert run(["report", *map(str, words), "--json"], no_board) == 0
    return json.loads(capsys.readouterr().out)


@pytest.fixture
def saloon(capsys):
    return as_json(capsys, FIRST)


@every_sample
def test_every_result_of_the_catalogue_is_there_as_a_list_of_one(path, capsys):
    found = as_json(capsys, path)
    assert found["units"]["length"] == "mm"
    for car in ("measured", "proposed"):
        values = found[car]
        for result in RESULTS:
            name = machine_name(result)
            assert len(values[name]) == 1
            if result.scope != "car":
                assert len(values[f"settled_{name}"]) == 1
            assert (name in values["right"]) == (result.scope == "wheel")


@every_sample
def test_what_does_not_exist_is_null_and_a_note_says_why(path, capsys):
    found = as_json(capsys, path)
    for car in ("measured", "proposed"):
        for result in RESULTS:
            name = machine_name(result)
            if found[car][name] == [None]:
                assert any(name in note for note in found["notes"]), name


def test_names_are_those_that_others_rely_on(saloon):
    names = """travel_mm camber_deg toe_deg caster_deg kingpin_inclination_deg scrub_radius_mm
        mechanical_trail_mm track_change_mm wheelbase_change_mm roll_centre_height_mm
        instant_centre_y_mm instant_centre_z_mm swing_arm_length_mm camber_gain_deg_per_mm
        anti_dive_percent spring_length_mm spring_motion_ratio wheel_rate_n_per_mm
        upper_ball_swing_deg lower_ball_swing_deg settled_travel_mm settled_camber_deg"""
    assert set(names.split()) <= saloon["proposed"].keys()


def test_angles_are_degrees_and_torques_newton_metres(capsys):
    found = as_json(capsys, PATHS["torsion_coupe"])["measured"]
    evidence = load(PATHS["torsion_coupe"]).evidence
    assert found["camber_deg"][0] == pytest.approx(degrees(evidence["front.camber"]), abs=1e-9)
    # virtual work: torque = weight · travel per turn of the bar
    sprung = 0.5 * (evidence["car.mass"] * evidence["car.front_share"] - 70.0)
    turn = np.radians(found["bar_motion_ratio_deg_per_mm"][0])
    assert found["bar_torque_n_m"][0] == pytest.approx(sprung * GRAVITY / turn / 1000.0, rel=1e-9)


def test_the_settled_spring_carries_the_measured_load(saloon):
    """Virtual work: force · motion ratio is the sprung weight, before and after."""
    before, after = saloon["measured"], saloon["proposed"]
    load_before = before["spring_force_n"][0] * before["spring_motion_ratio"][0]
    settled = after["settled_spring_force_n"][0] * after["settled_spring_motion_ratio"][0]
    assert load_before == pytest.approx(0.5 * (1080.0 * 0.54 - 76.0) * GRAVITY, rel=1e-9)
    assert settled == pytest.approx(load_before, rel=1e-6)
    assert after["settled_wheel_travel_mm"] == pytest.approx(after["settled_travel_mm"], abs=1e-6)
    assert before["settled_travel_mm"] == pytest.approx([0.0], abs=1e-6)


def test_the_free_length_is_checked_against_the_weight(saloon):
    check = saloon["spring_check"]
    length = saloon["measured"]["spring_length_mm"][0]
    by_weight = length + saloon["measured"]["spring_force_n"][0] / 63.0  # N/mm
    assert check["weighed_free_length_mm"] == pytest.approx(by_weight, rel=1e-9)
    assert check["difference_free_length_mm"] == pytest.approx(319.0 - by_weight, abs=1e-9)
    assert any("Free length given as 319.0 mm" in note for note in saloon["notes"])


def test_limits_say_which_hold(saloon):
    limits = {limit["result"]: limit for limit in saloon["limits"]}
    steer = limits["bump_steer_range_deg"]
    assert (steer["maximum"], steer["held_before"], steer["held"]) == (0.25, True, False)
    assert steer["proposed"]["value"] == saloon["proposed"]["bump_steer_range_deg"][0]
    swing = limits["upper_ball_swing_deg"]["proposed"]
    assert swing["in"] == "travel"
    assert swing["at_mm"] == pytest.approx(75.0)


@every_sample
def test_units_of_the_file_change_no_machine_readable_value(path, tmp_path, capsys):
    setup = load(path)
    other = tmp_path / "other.toml"
    write_setup(other, replace(setup, units="in" if setup.units == "mm" else "mm"))
    a, b = as_json(capsys, path), as_json(capsys, other)
    window = {"bump_steer_range_deg"}  # stated over 50 mm, or over 2 in
    for car in ("measured", "proposed"):
        for name, values in a[car].items():
            if name not in {"notes", "right", *window}:
                assert _same(values[0], b[car][name][0]), name


def _same(a, b):
    return a is b is None or a == pytest.approx(b, rel=1e-7, abs=1e-7)


def test_missing_data_is_named_with_its_keys(tmp_path, capsys):
    setup = remove_evidence(load(FIRST), "car.cg_height")
    path = tmp_path / "light.toml"
    write_setup(path, setup)
    found = as_json(capsys, path)
    assert found["measured"]["anti_dive_percent"] == [None]
    assert found["missing"]["anti_dive_percent"] == ["car.cg_height"]
    assert any("anti_dive_percent" in n and "car.cg_height" in n for n in found["notes"])


BARE = {
    "no weight and no free length": ("car.mass", "front.spring.free_length"),
    "no spring": tuple(
        f"front.spring{rest}"
        for rest in (".kind", ".on", ".rate", ".free_length", ".solid_length", "_arm", "_body")
    ),
    "no car": ("car.wheelbase", "car.mass", "car.front_share", "car.cg_height"),
    "no damper": tuple(
        f"front.damper{rest}" for rest in ("_arm", "_body", ".closed_length", ".open_length")
    ),
}


@pytest.mark.parametrize("lacking", BARE.values(), ids=BARE)
def test_every_null_has_its_note_whatever_is_missing(lacking, tmp_path, capsys):
    setup = load(FIRST)
    for key in lacking:
        setup = remove_evidence(setup, key)
    setup = replace(setup, changes=setup.changes[:1])
    path = tmp_path / "bare.toml"
    write_setup(path, setup)
    found = as_json(capsys, path)
    for result in RESULTS:
        name = machine_name(result)
        if found["proposed"][name] == [None]:
            assert any(name in note for note in found["notes"]), name


def test_the_special_says_that_its_roll_centres_part(capsys):
    found = as_json(capsys, PATHS["hillclimb_special"])
    assert any("Roll centre by the motion" in note for note in found["measured"]["notes"])
    assert found["measured"]["right"]["camber_deg"] == pytest.approx([0.9])


# --- text ------------------------------------------------------------------------------------


@every_sample
@pytest.mark.parametrize("width", [80, 100, 120])
def test_the_report_fits_the_width(path, width):
    text = report_text(ends_of(load(path)), path, Terminal(width))
    assert max(map(len, text.splitlines())) <= width
    assert not re.search(r"None|nan|(?<![\w.])-\d", text)


def test_a_line_has_measured_proposed_difference_unit_and_limit():
    lines = report_text(ends_of(load(FIRST)), FIRST, Terminal(120)).splitlines()
    (line,) = [line for line in lines if line.startswith("  Camber  ")][:1]
    assert line.split() == ["Camber", "0.50", "0.66", "+0.16", "°", "−1.50", "to", "1.00"]
    (line,) = [line for line in lines if "toe range" in line]
    assert line.endswith("≤ 0.25 PAST")
    assert "Bump steer, toe range over ±50 mm" in line


def test_an_inch_file_is_reported_in_inches():
    path = PATHS["inch_sedan"]
    text = report_text(ends_of(load(path)), path, Terminal(100))
    assert re.search(r"Roll centre height +3\.69 +5\.32 +\+1\.63  in", text)
    assert not re.search(r"\bmm\b|\bN\b", text)


def test_without_changes_there_is_one_column_and_no_caution():
    setup = replace(load(FIRST), changes=())
    text = report_text(ends_of(setup), FIRST, Terminal(80))
    assert "None: the car as measured." in text
    assert "proposed" not in text.lower()
    assert "Before you start" not in text


def test_unlike_sides_have_a_line_each():
    path = PATHS["hillclimb_special"]
    text = report_text(ends_of(load(path)), path, Terminal(100))
    assert re.search(r"Camber, left +0\.40", text)
    assert re.search(r"Camber, right +0\.90", text)
    assert "Track change, one side, left" not in text  # alike: zero on both


def test_headings_are_bold_only_where_that_is_shown():
    answers = ends_of(load(FIRST))
    assert "\033" not in report_text(answers, FIRST, Terminal(80))
    assert "\033[1mWheel angles\033[0m" in report_text(answers, FIRST, Terminal(80, bold=True))


def test_a_stream_that_knows_only_ascii_gets_only_that():
    text = report_text(ends_of(load(FIRST)), FIRST, Terminal(80, plain=True))
    assert text.isascii()
    assert re.search(r"Camber +0\.50 +0\.66 +\+0\.16  deg", text)


def test_notes_call_results_as_people_do():
    text = report_text(ends_of(load(FIRST)), FIRST, Terminal(80))
    assert "Coil bind at travel: the coil doesn't bind" in " ".join(text.split())
    assert "_deg" not in text


def test_the_object_holds_what_the_sheet_says_too():
    found = report_object(ends_of(load(FIRST)), FIRST)
    assert found["changes"] == ["Upper pivots 22 mm lower"]
    assert found["cautions"]
    assert found["sentences"]


# --- the rear --------------------------------------------------------------------------------


def switched(name, change):
    setup = load(PATHS[name])
    on = tuple(replace(each, on=each.name == change) for each in setup.changes)
    return replace(setup, changes=on)


def rear_object(name, change=""):
    return report_object(ends_of(switched(name, change), "rear"), PATHS[name])


@every_sample
def test_the_report_has_the_front_at_the_top_and_the_rear_under_its_name(path, capsys):
    both, front, rear = (
        as_json(capsys, path, *words) for words in ((), ("--axle", "front"), ("--axle", "rear"))
    )
    assert both["axle"] == "front"
    assert both["measured"] == front["measured"]
    assert "rear" not in front
    shared = {"title", "file", "units", "changes", "questions", "cautions", "balance"}
    assert both["rear"] == {key: value for key, value in rear.items() if key not in shared}


@every_sample
def test_every_result_of_the_rear_is_there_as_a_list_of_one(path, capsys):
    found = as_json(capsys, path, "--axle", "rear")
    leaf = load(path).evidence["rear.kind"] == "leaf axle"
    for car in ("measured", "proposed"):
        assert "right" not in found[car]
        for result in LEAF_RESULTS if leaf else LINK_RESULTS:
            name = machine_name(result)
            assert len(found[car][name]) == 1
            if result.scope != "car":
                assert len(found[car][f"settled_{name}"]) == 1
    for name, values in found["measured"].items():
        if values == [None]:
            assert any(name.removeprefix("settled_") in note for note in found["notes"]), name


def test_the_pack_is_told_leaf_by_leaf_in_mm_and_newtons():
    found = rear_object("inch_sedan")["measured"]
    main, helper = found["leaves"]
    assert main["thickness_mm"] == pytest.approx(0.47 * 25.4)
    assert main["parabolic"]
    assert helper["stress_ride_n_per_mm2"] == 0.0  # it doesn't touch yet
    assert helper["stress_bump_n_per_mm2"] > 100.0
    assert max(leaf["stress_bump_n_per_mm2"] for leaf in found["leaves"]) == pytest.approx(
        found["stress_bump_n_per_mm2"][0]
    )
    assert main["limit_n_per_mm2"] == pytest.approx(165_000 * 4.4482216152605 / 25.4**2)


def test_modes_stand_as_fitted_and_in_four_layouts():
    found = rear_object("small_saloon", "Right damper behind the axle")["proposed"]
    assert [each["dampers"] for each in found["layouts"]] == list(LAYOUTS)
    fitted, staggered = found["modes"], found["layouts"][2]
    assert fitted["damping"] == pytest.approx(staggered["damping"], rel=1e-6)
    assert fitted["damping"][3] == found["wind_up_damping"][0]
    for left, right in zip(fitted["work_left"], fitted["work_right"], strict=True):
        assert left + right == pytest.approx(1.0)


def test_wind_up_is_told_from_full_braking_to_full_drive():
    found = rear_object("small_saloon", "Traction bars")
    torque = found["proposed"]["under_torque"]
    assert torque["thrust_n"] == sorted(torque["thrust_n"])
    assert torque["thrust_n"][-1] == found["proposed"]["full_thrust_n"][0]
    assert torque["wind_up_deg"][-1] == pytest.approx(found["proposed"]["wind_up_full_deg"][0])
    closes = found["proposed"]["bars_close_at_n"][0]
    for thrust, snubber in zip(torque["thrust_n"], torque["snubber_n"], strict=True):
        assert (snubber > 0.0) is (thrust > closes)
    assert any("snubbers touching" in note for note in found["notes"])
    assert found["measured"]["bars_close_at_n"] == [None]


def test_limits_of_the_rear_are_read_and_judged():
    found = rear_object("small_saloon", "Leaf 4 out")
    limits = {limit["result"]: limit for limit in found["limits"]}
    assert limits["stress_bump_n_per_mm2"]["held"] is True
    assert limits["stress_bump_n_per_mm2"]["by"] == "spring maker, for this steel"
    steer = limits["roll_steer"]
    assert steer["held_before"] is True
    assert steer["proposed"]["in"] in ("rest", "settled")
    text = report_text(
        ends_of(switched("small_saloon", "Leaf 4 out"), "rear"), FIRST, Terminal(100)
    )
    (line,) = [line for line in text.splitlines() if "Highest stress at full bump" in line]
    assert line.endswith("≤ 1050")


def test_the_springs_of_the_rear_are_checked_against_the_weight():
    leaves = rear_object("small_saloon")["spring_check"]
    assert leaves["difference_free_arch_mm"] == pytest.approx(0.6, abs=0.1)
    coils = rear_object("hillclimb_special")["spring_check"]
    assert coils["weighed_free_length_mm"] == pytest.approx(414.5, abs=1.0)
    force = coils["weighed_force_n"] - coils["force_by_length_n"]
    assert force == pytest.approx(-13.0 * coils["difference_free_length_mm"])  # N/mm


def test_a_conversion_shows_both_kinds_and_says_what_is_of_neither():
    found = rear_object("torsion_coupe", "Rear axle on links")
    for results in (LEAF_RESULTS, LINK_RESULTS):
        assert {machine_name(result) for result in results} <= found["proposed"].keys()
    assert found["measured"]["pack_rate_n_per_mm"][0] is not None
    assert found["proposed"]["pack_rate_n_per_mm"] == [None]
    assert found["measured"]["spring_length_mm"] == [None]
    for key in ("anti_squat_percent", "roll_centre_height_mm", "roll_wheel_rate_n_per_mm"):
        assert None not in (*found["measured"][key], *found["proposed"][key])
    assert any("Not of an axle on links" in note for note in found["notes"])
    assert any("Not of an axle on leaf springs" in note for note in found["notes"])


@every_sample
@pytest.mark.parametrize("width", [80, 100, 120])
def test_the_rear_fits_the_width_with_any_change(path, width):
    setup = load(path)
    for change in setup.changes:
        ends = ends_of(switched(path.stem, change.name), "rear")
        text = report_text(ends, path, Terminal(width))
        assert max(map(len, text.splitlines())) <= width
        assert not re.search(r"None|nan|(?<![\w.])-\d", text)


def test_a_rear_in_an_inch_file_is_in_inches_throughout():
    text = report_text(ends_of(load(PATHS["inch_sedan"]), "rear"), FIRST, Terminal(100))
    assert not re.search(r"\bmm\b|\bN\b|N/mm|N·m", text)
    assert "lbf/in²" in text


def test_without_traction_bars_people_are_not_shown_them():
    text = report_text(ends_of(load(FIRST), "rear"), FIRST, Terminal(100))
    assert "Traction bars close at" not in text
    on = switched("small_saloon", "Traction bars")
    assert "Traction bars close at" in report_text(ends_of(on, "rear"), FIRST, Terminal(100))


def test_a_right_spring_of_its_own_is_said_to_be_left_out():
    setup = load(FIRST)
    evidence = {**setup.evidence, "rear.right.front_eye": (-1886.0, -535.0, 226.0)}
    found = report_object(ends_of(replace(setup, evidence=evidence), "rear"), FIRST)
    assert any("taken as the left one" in note for note in found["notes"])


@pytest.mark.parametrize("name", PATHS)
def test_a_file_with_only_a_rear_is_a_whole_file(name, tmp_path, capsys):
    path = tmp_path / "rear.toml"
    write_setup(path, only(load(PATHS[name]), "rear"))
    found = as_json(capsys, path)
    assert found["axle"] == "rear"
    assert "rear" not in found
    assert found["measured"]["anti_squat_percent"][0] is not None
    for words in (["report"], ["check"], ["curves"], ["curves", "--over", "roll"]):
        assert run([words[0], str(path), *words[1:]], no_board) == 0
        said = capsys.readouterr().out
        assert "Rear" in said or "rear" in said
