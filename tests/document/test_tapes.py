"""Tapes, marks and uncertainties in a setup file: read, refused, written without loss."""

import difflib
import re
import tomllib
from collections.abc import Callable
from math import dist

import pytest
import tomlkit

from app.document import edits
from app.document.address import left_of
from app.document.faults import SetupFaults
from app.document.files import text_of
from app.document.model import Setup, Tape, frozen
from app.document.quantities import INCH
from app.document.rewriting import rewritten
from app.document.same import same_setup
from app.judge.survey import survey_of
from tests.document.examples import COIL
from tests.helpers.project import SAMPLE_FOLDER
from tests.helpers.reading import parse

TAPES = """\
[marks]                           # on the floor plate
A = [500.0, 300.0, 0.0]
B = { at = [500.0, -300.0, 0.0], within = 0.5 }

# the long trammel
[[tape]]
between = ["front.upper_ball", "front.lower_ball"]  # centres
length = 358.5
within = 0.5
note = "left"

[[tape]]
between = ["mark.A", "front.right.upper_ball"]
length = 1300
within = 1

"""
TEXT = COIL.replace("[[change]]", f"{TAPES}[[change]]", 1).replace(
    "mass = 1240.0 ", "mass = { is = 1240.0, within = 10.0 } ", 1
)
BETWEEN = '["front.upper_ball", "front.lower_ball"]'


def test_what_was_read_beside_coordinates() -> None:
    setup = parse(TEXT)
    assert setup.tapes == (
        Tape(("front.upper_ball", "front.lower_ball"), 358.5, 0.5, "left"),
        Tape(("mark.A", "front.right.upper_ball"), 1300.0, 1.0),
    )
    assert setup.marks == {"A": (500.0, 300.0, 0.0), "B": (500.0, -300.0, 0.0)}
    assert setup.within == {"car.mass": 10.0, "front.upper_ball": 1.0, "mark.B": 0.5}
    assert setup.readings["car.mass"] == 1240.0


def test_inches_are_read_as_inches() -> None:
    setup = parse(TEXT)
    text = rewritten(TEXT, setup, setup.having(units="in"))
    text = re.sub(r"length = 14\.114\d*", "length = 14.25", text)
    assert parse(text).tapes[0].length == pytest.approx(14.25 * INCH, rel=1e-12)
    assert parse(text).within["mark.B"] == pytest.approx(0.5, rel=1e-9)


@pytest.mark.parametrize(
    ("was", "becomes", "words"),
    [
        (BETWEEN, '["front.upper_bal", "front.lower_ball"]', "Did you mean front.upper_ball?"),
        (BETWEEN, '["front.upper_ball", "mark.Q"]', "is no point or mark"),
        (BETWEEN, '["front.upper_ball"]', "found a list of 1; expected two points"),
        (BETWEEN, "3", "found 3; expected two points"),
        (BETWEEN, '["front.upper_ball", "front.upper_ball"]', "both ends are the same point"),
        (BETWEEN, '["front.pitman_pivot", "mark.A"]', "this file gives no such point"),
        ("length = 358.5", "lenth = 358.5", "Did you mean length?"),
        ("length = 358.5\n", "", "tape 1, length: missing"),
        ("within = 1\n", "within = 0\n", "tape 2, within: found 0; expected a number"),
        ("measured_within = 1.5", "", "nothing says how well this point was measured"),
        ("{ is = 1240.0, within", "{ within", "car.mass.is: missing"),
        ("{ is = 1240.0", "{ at = 1240.0", "Known: is, within."),
        ("within = 0.5 }", "within = [1, 2] }", "marks.B.within: found a list of 2"),
        ("B = { at", "B = { where", "marks.B.where: this name is not known here"),
        ("within = 1.0, note", "within = [1, -1, 1], note", "found -1; expected a number in mm"),
    ],
)
def test_faults_name_the_tape_the_key_and_the_line(was: str, becomes: str, words: str) -> None:
    assert was in TEXT
    text = TEXT.replace(was, becomes, 1)
    with pytest.raises(SetupFaults) as faults:
        parse(text)
    fault = next(str(fault) for fault in faults.value.faults if words in str(fault))
    line = int(fault.split("line ")[1].split(":")[0])
    assert becomes.strip() in text.split("\n")[line - 1] or not becomes or "missing" in fault


def test_saved_as_it_was_and_as_a_new_file() -> None:
    setup = parse(TEXT)
    assert rewritten(TEXT, setup, setup) == TEXT
    assert same_setup(parse(text_of(setup)), setup)
    inches = setup.having(units="in")
    assert same_setup(parse(rewritten(TEXT, setup, inches)), inches)


@pytest.mark.parametrize(
    ("edit", "lines"),
    [
        (
            lambda s: edits.set_within(s, "front.upper_ball", (1.0, 1.0, 3.0)),
            ["within = 1.0, note", "within = [1.0, 1.0, 3.0], note"],
        ),
        (lambda s: edits.set_within(s, "car.mass", None), ["mass =", "mass = { is = 1240.0 }"]),
        (lambda s: edits.set_within(s, "mark.A", 2.0), ["A = [", "A = { at = [500.0, 300.0, 0.0]"]),
        (
            lambda s: edits.correct_reading(s, "car.mass", 1250.0),
            ["mass = {", "mass = { is = 1250.0, within = 10.0 }"],
        ),
    ],
)
def test_only_what_differs_is_touched(edit: Callable[[Setup], Setup], lines: list[str]) -> None:
    taken_out, put_in = _differences(edit)
    assert [len(taken_out), len(put_in)] == [1, 1]
    assert lines[0] in taken_out[0]
    assert lines[1] in put_in[0]


def test_tapes_come_and_go_as_blocks_with_their_remarks() -> None:
    taken_out, put_in = _differences(lambda s: edits.set_tapes(s, s.tapes[1:]))
    assert taken_out[0] == "# the long trammel"
    assert not put_in
    new = Tape(("front.tie_inner", "front.tie_outer"), 318.0, 0.5)
    taken_out, put_in = _differences(lambda s: edits.set_tapes(s, (*s.tapes, new)))
    assert not taken_out
    assert put_in == [
        "[[tape]]",
        'between = ["front.tie_inner", "front.tie_outer"]',
        "length = 318.0",
        "within = 0.5",
    ]


def test_a_point_taken_away_takes_its_tapes_along() -> None:
    setup = parse(TEXT)
    assert [t.length for t in edits.remove_evidence(setup, "front.lower_ball").tapes] == [1300.0]
    assert not edits.remove_evidence(setup, "front.upper_ball").tapes  # its mirror goes with it


def _differences(edit: Callable[[Setup], Setup]) -> tuple[list[str], list[str]]:
    """Return the lines that saving takes out and puts in; two readers understand the text."""
    setup = parse(TEXT)
    after = edit(setup)
    text = rewritten(TEXT, setup, after)
    assert same_setup(parse(text), after)
    assert tomlkit.parse(text).unwrap() == tomllib.loads(text)
    lines = list(difflib.ndiff(TEXT.split("\n"), text.split("\n")))
    return tuple([line[2:] for line in lines if line[0] == sign and line[2:]] for sign in "-+")


def test_a_point_that_nothing_says_the_uncertainty_of_is_told_once() -> None:
    """However many tapes end at it, on either side."""
    taped = (SAMPLE_FOLDER / "taped_saloon.toml").read_text()
    bare = re.sub(r"measured_within = .*\n", "", taped)
    with pytest.raises(SetupFaults) as faults:
        parse(bare)
    words = "nothing says how well this point was measured"
    told = [fault for fault in faults.value.faults if words in fault.found]
    ends = {end for tape in tomllib.loads(bare)["tape"] for end in tape["between"]}
    sound = {"front.upper_ball", "front.lower_ball", "rear.centre_bolt"}  # these say it themselves
    points = {left_of(end) for end in ends if not end.startswith("mark.")} - sound
    assert len(told) == len(points)
    assert len(told) == len(faults.value.faults)


def test_a_usual_uncertainty_that_cannot_be_read_is_one_fault() -> None:
    with pytest.raises(SetupFaults) as faults:
        parse(TEXT.replace("measured_within = 1.5", "measured_within = -1.5", 1))
    assert [fault.key for fault in faults.value.faults] == ["sheet.measured_within"]


def test_nought_is_exact_for_all_points_as_for_one() -> None:
    """Exact points stay where they are, and tapes between them are off by all that they miss."""
    exact = parse(TEXT.replace("measured_within = 1.5", "measured_within = 0", 1))
    alone = exact.having(within=frozen({}))
    row = survey_of(alone).tapes[0]
    assert alone.evidence == alone.readings
    assert row.redundancy == pytest.approx(1.0)
    apart = dist((-12.0, 628.0, 560.0), (4.0, 684.0, 205.0))
    assert row.residual == pytest.approx(apart - row.tape.length)
    assert same_setup(parse(text_of(alone)), alone)
