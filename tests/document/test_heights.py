"""How high each end of the proposed car stands: read, refused, edited, saved.

What a height may be is worked out by hand: arch height less bump, plus rebound. COIL has 380 mm at
the arch, 75 mm of bump and 70 mm of rebound: 305 to 450 mm.
"""

import difflib
import re
import tomllib
from pathlib import Path
from typing import cast

import pytest
import tomlkit

from app.document import edits
from app.document.faults import Fault, SetupFaults
from app.document.files import LoadedSetup, read_setup, text_of
from app.document.heights import choice_words, heights_in_reach
from app.document.model import AS_MEASURED, SETTLES, Setup
from app.document.recovery import Recovery, left_overs
from app.document.rewriting import rewritten
from app.document.same import same_setup
from app.systems.front.study import front_ranges
from app.systems.rear.study import rear_ranges
from tests.document.examples import COIL, EXAMPLES, LEAF, LIMIT_KINDS, TORSION
from tests.helpers import setup_edits
from tests.helpers.project import SAMPLE_FILES
from tests.helpers.reading import parse

TABLE = "# how it stands\n[proposal]\nfront_height = {} # ask the owner\n\n"
ARCHED = TORSION.replace("tyre_radius = 12.25\n", "tyre_radius = 12.25\narch_height = 15.0\n")


def read(text: str) -> Setup:
    return parse(text, limit_kinds=LIMIT_KINDS)


def held(choice: str, text: str = COIL) -> str:
    """Return the text with a choice for the front, before its changes."""
    head, mark, tail = text.partition("[[change]]")
    return head + TABLE.format(choice) + mark + tail


def fault_of(text: str) -> Fault:
    with pytest.raises(SetupFaults, match="it, line") as caught:
        parse(text, "it", limit_kinds=LIMIT_KINDS)
    (fault,) = caught.value.faults
    return fault


def differences(before: str, after: Setup) -> list[str]:
    """Return the lines that saving takes out (-) and puts in (+), having read it back twice."""
    text = rewritten(before, read(before), after)
    assert same_setup(read(text), after)
    assert tomlkit.parse(text).unwrap() == tomllib.loads(text)  # a second reader agrees
    lines = difflib.ndiff(before.split("\n"), text.split("\n"))
    return [line[:1] + line[2:] for line in lines if line[0] in "+-" and line[2:]]


# --- read ---------------------------------------------------------------------------------------


def test_a_file_that_says_nothing_settles() -> None:
    for text in (*EXAMPLES, *(path.read_text() for path in SAMPLE_FILES)):
        if "[proposal]" not in text:
            assert read_heights_of(text) == {}


def read_heights_of(text: str) -> object:
    return parse(text).heights


def test_words_and_numbers_are_read_in_the_units_of_the_file() -> None:
    assert read(held('"as measured"')).heights == {"front": AS_MEASURED}
    assert read(held("338")).heights == {"front": 338.0}
    assert read(held("14.5", ARCHED)).heights["front"] == pytest.approx(14.5 * 25.4, rel=1e-12)


def test_settling_is_the_same_said_or_not() -> None:
    assert read(held('"settles"')) == read(COIL)
    assert Setup("x", heights={"front": SETTLES}) == Setup("x")


@pytest.mark.parametrize("height", ["305", "305.0", "450.0"])
def test_a_height_may_be_that_of_a_stop(height: str) -> None:
    assert read(held(height)).heights["front"] == float(height)


FAULTS = [
    ('"setles"', 'the text "setles"', '"settles", "as measured" or a number in mm', "settles?"),
    ('"as mesured"', 'the text "as mesured"', '"settles", "as measured"', "as measured?"),
    ('"338,5"', 'the text "338,5"', "a number in mm", "without quotes: 338.5"),
    ("true", "found true", '"settles", "as measured"', ""),
    ("[338]", "a list of 1", "a number in mm", ""),
    ("{ a = 1 }", "a table", "a number in mm", ""),
    ("-338", "found -338", "more than 0", ""),
    ("0", "found 0", "more than 0", ""),
    ("nan", "found nan", "a number in mm", ""),
    ("30000", "found 30000", "at most 20000", ""),
    ("304", "found 304", "at least 305, at most 450", "nearest is 305."),
    ("33.8", "found 33.8", "at least 305, at most 450", "nearest is 305."),
    ("450.5", "found 450.5", "at least 305, at most 450", "nearest is 450."),
]


@pytest.mark.parametrize(("choice", "found", "expected", "hint"), FAULTS)
def test_a_wrong_choice_is_a_fault(choice: str, found: str, expected: str, hint: str) -> None:
    text = held(choice)
    fault = fault_of(text)
    assert fault.key == "proposal.front_height"
    assert fault.line == text[: text.index("front_height")].count("\n") + 1
    assert found in fault.found
    assert expected in fault.expected
    assert hint in fault.hint


@pytest.mark.parametrize("number", ["11.85", "18.15"])
def test_the_nearest_height_is_told_in_inches_and_is_allowed(number: str) -> None:
    """15 in at the arch; no stops in the file, so 80 mm (3.1496 in) each way."""
    fault = fault_of(held(number, ARCHED))
    assert "at least 11.851, at most 18.149" in fault.expected
    assert "(3.15 in where not given)" in fault.hint
    (nearest,) = re.findall(r"nearest is ([\d.]+)\.$", fault.hint)
    assert nearest == ("11.851" if number == "11.85" else "18.149")
    assert read(held(nearest, ARCHED)).heights["front"] == pytest.approx(float(nearest) * 25.4)


def test_a_number_needs_the_measured_height_and_names_its_key() -> None:
    fault = fault_of(held("338").replace("arch_height = 380.0\n", ""))
    assert (fault.key, fault.found) == (
        "proposal.front_height",
        "found 338, but this file gives no front.arch_height",
    )
    assert "Add arch_height under [front]" in fault.hint
    read(held('"as measured"').replace("arch_height = 380.0\n", ""))  # a word needs none


@pytest.mark.parametrize("choice", ["300", '"as measured"', '"settles"'])
def test_an_end_that_the_file_does_not_give_is_a_fault(choice: str) -> None:
    fault = fault_of(COIL + f"\n[proposal]\nrear_height = {choice}\n")
    assert (fault.key, fault.found) == ("proposal.rear_height", "this file gives no rear")
    assert "[rear]" in fault.hint


def test_a_wrong_arch_height_or_stop_is_not_also_a_wrong_choice() -> None:
    for right, wrong in (("arch_height = 380.0", 'arch_height = "x"'), ("bump = 75.0", "bump = 0")):
        assert fault_of(held("200").replace(right, wrong)).key.startswith("front.")


def test_misspelt_and_misplaced_names_are_told() -> None:
    misspelt = fault_of(COIL + '\n[proposal]\nfront_hight = "settles"\n')
    assert (misspelt.key, misspelt.hint) == ("proposal.front_hight", "Did you mean front_height?")
    table = fault_of(COIL + '\n[proposals]\nfront_height = "settles"\n')
    assert (table.key, table.hint) == ("proposals", "Did you mean proposal?")
    placed = fault_of(COIL.replace("[front]\n", '[front]\nfront_height = "settles"\n'))
    assert placed.hint == "front_height belongs under [proposal]."
    assert fault_of("proposal = 3\n" + COIL).expected == "a table, under [proposal]"


def test_the_travel_that_is_taken_where_no_stop_is_given_is_that_of_the_curves() -> None:
    for ranges in (front_ranges(read(TORSION)), rear_ranges(read(EXAMPLES[3]))):
        assert ranges.travel[:2] == (-80.0, 80.0)


# --- edited -------------------------------------------------------------------------------------


def test_a_choice_is_made_and_taken_back_in_words() -> None:
    setup = read(COIL)
    lower = edits.set_height(setup, "front", 338.0)
    assert choice_words(lower, "front") == "42 mm lower: 338 mm to the arch lip"
    higher = edits.set_height(lower, "front", 392.5)
    assert choice_words(higher, "front", decimal=",") == (
        "12,5 mm higher: 392,5 mm to the arch lip"
    )
    level = edits.set_height(lower, "front", 380.0)
    assert choice_words(level, "front") == "held at 380 mm to the arch lip, as measured"
    inches = setup_edits.set_units(edits.set_height(setup, "front", 380.0 - 12.7), "in")
    assert choice_words(inches, "front") == "0.5 in lower: 14.461 in to the arch lip"
    as_measured = edits.set_height(lower, "front", AS_MEASURED)
    assert choice_words(as_measured, "front") == "held at the measured height"
    settled = edits.set_height(as_measured, "front", SETTLES)
    assert settled == setup
    assert choice_words(settled, "front") == "settles"


@pytest.mark.parametrize(
    ("end", "choice", "words"),
    [
        ("rear", AS_MEASURED, "no rear"),
        ("front", "high", "“high” is no height"),
        ("front", 304.9, r"at least 305, at most 450 mm\. The nearest is 305\."),
        ("front", 451.0, r"The nearest is 450\."),
        ("front", float("nan"), "nearest"),
    ],
)
def test_what_a_file_could_not_hold_is_refused(end: str, choice: str | float, words: str) -> None:
    with pytest.raises(edits.EditError, match=words):
        edits.set_height(read(COIL), end, choice)


def test_a_number_is_refused_without_the_measured_height() -> None:
    with pytest.raises(edits.EditError, match="“Rear wheel centre to arch” first"):
        edits.set_height(read(LEAF), "rear", 300.0)


@pytest.mark.parametrize(
    ("key", "value", "height"),
    [
        ("front.arch_height", 350.0, 338.0),  # still between the stops
        ("front.arch_height", 430.0, 355.0),  # 430 - 75
        ("front.arch_height", 260.0, 330.0),  # 260 + 70
        ("front.travel.bump", 20.0, 360.0),  # 380 - 20
    ],
)
def test_a_corrected_measurement_leaves_a_height_that_can_be_saved(
    key: str, value: float, height: float
) -> None:
    corrected = setup_edits.set_evidence(read(held("338")), key, value)
    assert corrected.heights["front"] == pytest.approx(height, abs=1e-9)
    assert same_setup(read(text_of(corrected)), corrected)


def test_without_its_measured_height_a_number_goes_and_a_word_stays() -> None:
    assert edits.remove_evidence(read(held("338")), "front.arch_height").heights == {}
    worded = edits.remove_evidence(read(held('"as measured"')), "front.arch_height")
    assert worded.heights == {"front": AS_MEASURED}
    assert heights_in_reach(worded) is worded


# --- saved --------------------------------------------------------------------------------------


def test_a_choice_is_put_in_changed_and_taken_out_with_its_table() -> None:
    setup = read(COIL)
    lower = edits.set_height(setup, "front", 338.0)
    assert differences(COIL, lower) == ["+[proposal]", "+front_height = 338.0"]
    text = rewritten(COIL, setup, lower)
    assert text.index("[front.limits]") < text.index("[proposal]") < text.index("[[change]]")
    worded = edits.set_height(lower, "front", AS_MEASURED)
    assert differences(text, worded) == [
        "-front_height = 338.0",
        '+front_height = "as measured"',
    ]
    assert differences(text, setup) == ["-[proposal]", "-front_height = 338.0"]


def test_remarks_stay_and_so_does_the_end_beside_it() -> None:
    text = held("338.50", COIL + LEAF[LEAF.index("[rear]") : LEAF.index("[[change]]")])
    both = edits.set_height(read(text), "rear", AS_MEASURED)
    assert differences(text, both) == ['+rear_height = "as measured"']
    both_text = rewritten(text, read(text), both)
    other = edits.set_height(both, "front", 340.0)
    assert differences(both_text, other) == [
        "-front_height = 338.50 # ask the owner",
        "+front_height = 340.00 # ask the owner",
    ]
    rear_alone = edits.set_height(both, "front", SETTLES)
    assert differences(both_text, rear_alone) == ["-front_height = 338.50 # ask the owner"]
    alone_text = rewritten(both_text, both, rear_alone)
    assert alone_text.index("[proposal]") < alone_text.index("rear_height")
    again = rewritten(alone_text, rear_alone, both)
    assert again.index("front_height") < again.index("rear_height")
    assert "# how it stands" in again


def test_settling_that_is_said_is_changed_in_its_place() -> None:
    text = held('"settles"')
    assert differences(text, edits.set_height(read(text), "front", 340.0)) == [
        '-front_height = "settles" # ask the owner',
        "+front_height = 340.0 # ask the owner",
    ]


@pytest.mark.parametrize(
    "table", ["proposal = {{ front_height = {} }}\n", "proposal.front_height = {}\n"]
)
def test_every_style_of_toml_can_be_edited(table: str) -> None:
    text = COIL.replace('units = "mm"\n', 'units = "mm"\n' + table.format("338.0"))
    worded = edits.set_height(read(text), "front", AS_MEASURED)
    assert [line for line in differences(text, worded) if line[0] == "+"] == [
        "+" + table.format('"as measured"').strip()
    ]
    assert rewritten(text, read(text), read(COIL)) == COIL


@pytest.mark.parametrize("text", [held("338.7"), held("14.5625", ARCHED)])
def test_other_units_and_back_keep_the_height_and_the_text(text: str) -> None:
    setup = read(text)
    other = setup_edits.set_units(setup, "in" if setup.units == "mm" else "mm")
    switched = rewritten(text, setup, other)
    size = setup.heights["front"]
    assert read(switched).heights["front"] == pytest.approx(size, rel=1e-12)
    assert tomllib.loads(switched)["proposal"]["front_height"] == pytest.approx(
        338.7 / 25.4 if setup.units == "mm" else 14.5625 * 25.4, rel=1e-12
    )
    back = rewritten(switched, read(switched), setup_edits.set_units(read(switched), setup.units))
    assert tomllib.loads(back) == tomllib.loads(text)
    assert "# ask the owner" in back


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("choice", [AS_MEASURED, 338.123456789])
def test_a_new_file_reads_as_the_setup(units: str, choice: str | float) -> None:
    setup = setup_edits.set_units(read(COIL), units)  # type: ignore[arg-type]
    setup = edits.set_height(setup, "front", choice)
    fresh = text_of(setup)
    again = read(fresh)
    assert same_setup(again, setup)
    if isinstance(choice, float):
        assert again.heights["front"] == pytest.approx(choice, abs=1e-9)
    assert fresh.index("[front.limits]") < fresh.index("[proposal]") < fresh.index("[[change]]")
    assert '# or "settles", "as measured", or a number' in fresh
    assert max(map(len, fresh.split("\n"))) < 130


@pytest.mark.parametrize(
    "path",
    [path for path in SAMPLE_FILES if "arch_height" in path.read_text()],
    ids=lambda p: p.stem,
)
@pytest.mark.parametrize("lower", [None, 3.7])
def test_every_sample_takes_a_choice_and_gives_it_back(path: Path, lower: float | None) -> None:
    text = path.read_text()
    setup = parse(text)
    arch_height = cast(float, setup.evidence["front.arch_height"])
    choice = AS_MEASURED if lower is None else arch_height - lower
    chosen = edits.set_height(setup, "front", choice)
    chosen_text = rewritten(text, setup, chosen)
    assert same_setup(parse(chosen_text), chosen)
    back = edits.set_height(chosen, "front", SETTLES)
    assert rewritten(chosen_text, chosen, back) == text


def test_setups_of_other_heights_are_not_the_same() -> None:
    lower = edits.set_height(read(COIL), "front", 338.0)
    assert not same_setup(lower, read(COIL))
    assert not same_setup(lower, edits.set_height(lower, "front", 338.001))
    assert not same_setup(lower, edits.set_height(lower, "front", AS_MEASURED))


def test_a_crash_leaves_the_choice(tmp_path) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path / "car.toml"
    path.write_text(held("338"))
    loaded: LoadedSetup = read_setup(path)
    lower = edits.set_height(loaded.setup, "front", 330.0)
    folder = tmp_path / "kept"
    place = Recovery(folder)
    place.keep(lower, 0.0, path, loaded)
    assert place._lock is not None
    place._lock.close()  # as a program that dies does
    (leftover,) = left_overs(folder)
    assert leftover.setup().heights == {"front": 330.0}
