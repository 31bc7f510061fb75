"""The rear's part of the report: each result, the pack, modes, wind-up, units and width."""

import re
from dataclasses import replace

import pytest

from app.cli import run
from app.cli.report_json import report_object
from app.cli.report_text import report_text
from app.cli.terminal import Terminal
from app.document.files import write_setup
from app.document.model import FrozenMap
from geometry.catalogue.front import machine_name
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.modes.dampers import LAYOUTS
from tests.helpers.long_cases import typical_of
from tests.helpers.one_end import only
from tests.helpers.reports import FIRST, PATHS, as_json, ends_of, every_sample, load, no_board

few_samples = pytest.mark.parametrize(
    "path",
    typical_of(PATHS.values(), (PATHS["inch_sedan"], PATHS["hillclimb_special"])),
    ids=PATHS,
)

# --- the rear --------------------------------------------------------------------------------


def switched(name, change):
    setup = load(PATHS[name])
    on = tuple(replace(each, on=each.name == change) for each in setup.changes)
    return setup.having(changes=on)


def rear_object(name, change=""):
    return report_object(ends_of(switched(name, change), "rear"), PATHS[name])


@few_samples
def test_the_report_has_the_front_at_the_top_and_the_rear_under_its_name(path, capsys):
    both, front, rear = (
        as_json(capsys, path, *words) for words in ((), ("--axle", "front"), ("--axle", "rear"))
    )
    assert both["axle"] == "front"
    assert both["measured"] == front["measured"]
    assert "rear" not in front
    shared = {"title", "file", "units", "changes", "questions", "cautions", "balance", "heights"}
    shared.add("adjusted_with_tapes")
    assert both["rear"] == {key: value for key, value in rear.items() if key not in shared}


@every_sample
def test_every_result_of_the_rear_is_there_as_a_list_of_one(path, capsys):
    found = as_json(capsys, path, "--axle", "rear")
    leaf = load(path).evidence["rear.kind"] == "leaf axle"
    for car in ("measured", "proposed"):
        assert {name.removeprefix("settled_") for name in found[car]["right"]} == {
            machine_name(result) for result in LEAF_RESULTS if result.scope == "wheel"
        }
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


def test_modes_on_links_are_six_and_null_without_the_bushes_rates():
    found = rear_object("hillclimb_special")["proposed"]
    modes = found["modes"]
    assert modes["mode"] == ["fore-aft", "hop", "tramp", "wind-up", "sideways", "yaw"]
    assert modes["frequency_hz"][2] == found["tramp_frequency_hz"][0]
    assert modes["frequency_hz"][3] == found["wind_up_frequency_hz"][0]
    setup = load(PATHS["hillclimb_special"])
    kept = {k: v for k, v in setup.evidence.items() if not k.startswith("rear.links.")}
    path = PATHS["hillclimb_special"]
    ends = ends_of(setup.having(evidence=FrozenMap(kept)), "rear")
    bare = report_object(ends, path)
    modes = bare["proposed"]["modes"]
    for key in ("frequency_hz", "damping", "node_ahead_mm", "work_left"):
        assert [value is None for value in modes[key]] == [True, False, False, True, True, True]
    assert any("wind_up_frequency_hz" in note for note in bare["notes"])
    text = report_text(ends, path, Terminal(80))
    row = next(line for line in text.splitlines() if line.startswith("  both ahead"))
    assert row.split()[-2:] == ["–", "–"]


def test_both_kinds_of_axle_have_a_row_of_modes_in_a_conversion():
    ends = ends_of(switched("torsion_coupe", "Rear axle on links"), "rear")
    found = report_object(ends, PATHS["torsion_coupe"])
    text = report_text(ends, PATHS["torsion_coupe"], Terminal(80))
    for name, car in (("  as found  ", "measured"), ("  as built  ", "proposed")):
        cells = next(line for line in text.splitlines() if line.startswith(name)).split()[2:]
        hertz = [float(cell.rstrip("*")) for cell in cells[::2]]
        modes = found[car]["modes"]["frequency_hz"]
        assert hertz == pytest.approx(modes[1:4], abs=0.2)
    assert len(found["measured"]["modes"]["mode"]) == 4
    assert len(found["proposed"]["modes"]["mode"]) == 6


def test_wind_up_is_told_from_full_braking_to_full_drive():
    found = rear_object("small_saloon", "Traction bars")
    torque = found["proposed"]["under_torque"]
    assert torque["thrust_n"] == sorted(torque["thrust_n"])
    assert torque["thrust_n"][-1] == found["proposed"]["full_thrust_n"][0]
    assert torque["wind_up_deg"][-1] == pytest.approx(found["proposed"]["wind_up_full_deg"][0])
    closes = found["proposed"]["bars_close_at_n"][0]
    for thrust, snubber in zip(torque["thrust_n"], torque["snubber_n"], strict=True):
        assert (snubber > 0.0) is (thrust > closes)
    assert any("at small motion" in note and "bars open" in note for note in found["notes"])
    states = found["proposed"]["modes"], found["proposed"]["modes_other_state"]
    assert [state["bars"] for state in states] == ["bars open", "bars closed"]
    assert states[1]["frequency_hz"][3] > 3 * states[0]["frequency_hz"][3]
    assert found["proposed"]["wind_up_frequency_hz"] == [states[0]["frequency_hz"][3]]
    assert found["measured"]["modes"]["bars"] is None
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


@few_samples
@pytest.mark.parametrize("width", typical_of((80, 100, 120), (80,)))
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
    found = report_object(ends_of(setup.having(evidence=evidence), "rear"), FIRST)
    assert any("both springs as the left one" in note for note in found["notes"])


@pytest.mark.parametrize("name", typical_of(PATHS, ("small_saloon", "hillclimb_special")))
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


def test_no_table_tells_a_coils_force_as_the_load_on_a_leaf_spring():
    """What links alone have is told under its own name beside the measured height too."""
    path, free = PATHS["torsion_coupe"], "rear.spring.free_length"
    setup = switched("torsion_coupe", "Rear axle on links")
    setup = setup.having(evidence=FrozenMap({**setup.readings, free: setup.evidence[free] + 4.0}))
    text = report_text(ends_of(setup, "rear"), path, Terminal(100))
    beside = text.split("proposal at the measured height")[1].split("Leaf pack as found")[0]
    assert "Coil length" in beside
    assert "Load on one spring" not in beside
