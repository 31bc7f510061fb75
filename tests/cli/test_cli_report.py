"""The report: the figures of the kernel in mm and degrees, and pages that fit the terminal."""

import re
from dataclasses import replace
from math import degrees

import numpy as np
import pytest

from app.cli.report_json import report_object
from app.cli.report_text import report_text
from app.cli.terminal import Terminal
from app.document.edits import remove_evidence
from app.document.files import write_setup
from app.document.model import Change
from app.systems.front.system import FRONT
from geometry.catalogue.front import RESULTS, machine_name
from tests.helpers.long_cases import typical_of
from tests.helpers.reports import FIRST, PATHS, as_json, ends_of, every_sample, load

FEW = (PATHS["small_saloon"], PATHS["inch_sedan"])
GRAVITY = 9.80665  # m/s², standard gravity, 3rd CGPM 1901


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


@pytest.mark.parametrize("path", typical_of(PATHS.values(), FEW), ids=PATHS)
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
    assert (steer["maximum"], steer["held_before"], steer["held"]) == (0.25, True, True)
    assert steer["proposed"]["value"] == saloon["built"]["bump_steer_range_deg"][0]
    assert steer["measured"]["value"] == saloon["found"]["bump_steer_range_deg"][0]
    swing = limits["upper_ball_swing_deg"]["proposed"]
    assert swing["in"] == "travel"
    stands = saloon["heights"]["front"]["stands_mm"]  # the stop is in the body
    assert swing["at_mm"] == pytest.approx(75.0 - stands)


@pytest.mark.parametrize(
    ("name", "printed"), [("small_saloon", "0.500°/25 mm"), ("inch_sedan", "0.500°/in")]
)
def test_a_limit_of_a_gain_is_typed_as_the_tables_print_it(name, printed, tmp_path, capsys):
    text = PATHS[name].read_text()
    path = tmp_path / "car.toml"
    path.write_text(text.replace("[front.limits]", "[front.limits]\ncamber_gain = 0.5"))
    told = report_text(ends_of(load(path)), path, Terminal(200))
    assert f"past its limit of ±{printed}" in told
    (limit,) = (
        limit for limit in as_json(capsys, path)["limits"] if "camber_gain" in limit["result"]
    )
    over = 25.4 if name == "inch_sedan" else 25.0  # mm
    assert limit["maximum"] == pytest.approx(0.5 / over)
    assert limit["minimum"] == -limit["maximum"]
    assert limit["held"] is False
    assert limit["proposed"]["value"] * over == pytest.approx(
        {"small_saloon": -0.674, "inch_sedan": -0.934}[name], abs=6e-4
    )


@pytest.mark.parametrize("path", typical_of(PATHS.values(), FEW), ids=PATHS)
def test_units_of_the_file_change_no_machine_readable_value(path, tmp_path, capsys):
    setup = load(path)
    other = tmp_path / "other.toml"
    write_setup(other, setup.having(units="in" if setup.units == "mm" else "mm"))
    a, b = as_json(capsys, path), as_json(capsys, other)
    for car in ("measured", "proposed"):
        for name, values in a[car].items():
            if name not in {"notes", "right"}:
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
    setup = setup.having(changes=setup.changes[:1])
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
@pytest.mark.parametrize("width", typical_of((80, 100, 120), (80,)))
def test_the_report_fits_the_width(path, width):
    text = report_text(ends_of(load(path)), path, Terminal(width))
    assert max(map(len, text.splitlines())) <= width
    assert not re.search(r"None|nan|(?<![\w.])-\d", text)


def test_a_line_has_measured_proposed_difference_unit_and_limit():
    lines = report_text(ends_of(load(FIRST)), FIRST, Terminal(120)).splitlines()
    (line,) = [line for line in lines if line.startswith("  Camber  ")][:1]
    assert line.split() == [
        *("Camber", "0.50", "0.10", "−0.40", "°", "top", "leans", "out;", "−1.50", "to", "1.00")
    ]
    (line,) = [line for line in lines if "toe range" in line]
    assert line.endswith("≤ 0.25")
    assert "Bump steer, toe range over ±50 mm" in line


def test_signs_are_said_in_words():
    text = report_text(ends_of(load(FIRST)), FIRST, Terminal(120))
    values = [car.rest.values["roll_steer"][0] for car in _front(FIRST).cars.values()]
    assert values[0] > 0.0 > values[1]
    (line, *_) = [line for line in text.splitlines() if line.startswith("  Roll steer  ")]
    assert line.split()[-2:] == ["°/°", "oversteer"]  # of the car as built
    assert re.search(
        r"Roll steer at the front goes from [\d.]+°/° understeer to [\d.]+°/° oversteer", text
    )


def _front(path):
    return FRONT.study(load(path))


@pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)
@pytest.mark.parametrize("columns", typical_of((60, 80, 120), (60,)))
def test_tables_of_a_report_fit_the_width(path, columns):
    text = report_text(ends_of(load(path)), path, Terminal(columns))
    assert max(map(len, text.splitlines())) <= columns


def test_an_inch_file_is_reported_in_inches():
    path = PATHS["inch_sedan"]
    text = report_text(ends_of(load(path)), path, Terminal(100))
    assert re.search(r"Roll centre height +3\.69 +5\.14 +\+1\.45  in", text)
    assert not re.search(r"\bmm\b|\bN\b", text)


def test_without_changes_there_is_one_column_and_no_caution():
    setup = load(FIRST).having(changes=())
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
    assert re.search(r"Camber +0\.50 +0\.10 +-0\.40  deg", text)


def test_notes_call_results_as_people_do():
    text = report_text(ends_of(load(FIRST)), FIRST, Terminal(80))
    assert "Coil bind at travel: the coil doesn't bind" in " ".join(text.split())
    assert "_deg" not in text


def test_the_object_holds_what_the_sheet_says_too():
    found = report_object(ends_of(load(FIRST)), FIRST)
    assert found["changes"] == ["Upper pivots 22 mm lower"]
    assert found["cautions"]
    assert found["sentences"]


@every_sample
@pytest.mark.parametrize("on", typical_of((False, True), (True,)))
def test_no_unit_of_inches_stands_before_the_word_in(path, on):
    setup = load(path)
    changes = tuple(replace(change, on=on) for change in setup.changes)
    inches = setup.having(changes=changes, units="in")
    text = report_text(ends_of(inches), path, Terminal(10_000))
    doubled = [line for line in text.splitlines() if re.search(r"[a-z0-9] in in [a-z]", line)]
    assert doubled == []


def test_figures_of_an_arm_that_no_shop_can_stretch_bear_a_mark(capsys, tmp_path):
    # statics by hand: a welded arm is rigid, so its two pivots stay as far apart as it was made
    stretched = Change("x", moves={"front.upper_rear": (-20.0, 0.0, 0.0)})
    setup = load(FIRST).having(changes=(stretched,))
    front, rear = ends_of(setup)
    text = report_text([front], FIRST, Terminal(120))
    (camber,) = (line.split() for line in text.splitlines() if line.startswith("  Camber  "))
    assert [word.endswith("*") for word in camber[1:4]] == [False, True, True]
    assert re.search(r"^ *\* The upper arm's pivots come 20\.00? mm", text, re.MULTILINE)
    write_setup(tmp_path / "x.toml", setup)
    notes = as_json(capsys, tmp_path / "x.toml")["notes"]
    assert any(note.startswith("As built: the upper arm's pivots come") for note in notes)
    assert "*" not in report_text([rear], FIRST, Terminal(120))
