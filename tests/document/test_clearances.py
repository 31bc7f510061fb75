"""Envelopes and clearances in a setup file: read, refused, written."""

import tomllib
from collections.abc import Callable
from dataclasses import replace

import pytest

from app.document import edits
from app.document.clearances import Clearance, Envelope
from app.document.faults import SetupFaults
from app.document.files import text_of
from app.document.model import Setup
from app.document.quantities import INCH
from app.document.rewriting import rewritten
from app.document.same import same_setup
from tests.document.examples import COIL
from tests.helpers.reading import parse

SPACES = """\
[[front.envelope]]
name = "rail"
kind = "box"
from = [-300, 300.0, 380.0]        # with a square off the chassis leg
to = [300.0, 300.0, 385.0]
width = 60.0
height = 90.0

# the coil
[[front.envelope]]
name = "spring"
kind = "cylinder"
from = "spring_body"
to = "spring_arm"
radius = 55.0

[[front.envelope]]
name = "steering box"
kind = "capsule"
from = [-120.0, -280.0, 300.0]
to = [-60.0, -280.0, 340.0]
radius = 35.0
side = "right"

[[front.envelope]]
name = "hose"
kind = "capsule"
from = [0.0, 480.0, 480.0]
to = "upper_ball"
radius = 8.0
moves_with = "upper arm"

[[front.envelope]]
name = "tyre"
kind = "tyre"
width = 165.0

[[front.clearance]]
between = ["tyre", "rail"]
at_least = 12.0
by = "owner"

[[front.clearance]]
between = ["hose", "spring"]
"""
TEXT = COIL.replace("[[change]]", f"{SPACES}\n[[change]]", 1)


def read(text: str) -> Setup:
    return parse(text)


def test_envelopes_and_clearances_are_read() -> None:
    setup = read(TEXT)
    by_name = {envelope.name: envelope for envelope in setup.envelopes}
    assert by_name["rail"] == Envelope(
        "front", "rail", "box", (-300.0, 300.0, 380.0), (300.0, 300.0, 385.0), None, 60.0, 90.0
    )
    assert [*by_name["spring"].points] == ["front.spring_body", "front.spring_arm"]
    assert by_name["steering box"].side == "right"
    assert by_name["hose"].moves_with == "upper arm"
    assert setup.clearances == (
        Clearance("front", ("tyre", "rail"), 12.0, "owner"),
        Clearance("front", ("hose", "spring")),
    )


def test_a_file_in_inches_holds_inches() -> None:
    text = text_of(read(TEXT).having(units="in"))
    front = tomllib.loads(text)["front"]
    assert front["clearance"][0]["at_least"] == pytest.approx(12.0 / INCH)
    assert front["envelope"][0]["width"] == pytest.approx(60.0 / INCH)
    assert front["envelope"][0]["to"] == pytest.approx([300 / INCH, 300 / INCH, 385 / INCH])


@pytest.mark.parametrize(
    ("was", "becomes", "words"),
    [
        ('between = ["tyre", "rail"]', 'between = ["tyre", "rial"]', "Did you mean rail?"),
        ('between = ["tyre", "rail"]', 'between = ["rail", "rail"]', "both are the same envelope"),
        ('between = ["hose", "spring"]', 'between = ["rail", "tyre"]', "has a clearance already"),
        ('kind = "box"', 'kind = "bok"', "Did you mean box?"),
        ('kind = "box"', "", "front.envelope 1, kind: missing"),
        ("width = 60.0\n", "", "front.envelope 1, width: missing"),
        ("radius = 55.0", "radius = 0", "more than 0"),
        ("radius = 55.0", "radius = 55000.0", "at most 2000"),
        ("at_least = 12.0", "at_least = 12000.0", "at most 500"),
        ("from = [-300,", "from = [-300000,", "at most 20000"),
        ("radius = 55.0", "radius = 55.0\nheight = 3.0", "a cylinder has no height"),
        ('to = "spring_arm"', 'to = "spring_rm"', "Did you mean spring_arm?"),
        ('to = "spring_arm"', 'to = "right.spring_arm"', "is no point"),
        ('to = "spring_arm"', 'to = "spring_body"', "both ends are the same place"),
        ("to = [300.0, 300.0, 385.0]", 'to = "lower_ball"', "the ends of a box are coordinates"),
        ("to = [300.0, 300.0, 385.0]", "to = [300.0, 385.0]", "three numbers"),
        ('moves_with = "upper arm"', 'moves_with = "uper arm"', "Did you mean upper arm?"),
        ('moves_with = "upper arm"', 'moves_wiht = "wheel"', "Did you mean moves_with?"),
        ('to = "spring_arm"', 'to = "spring_arm"\nmoves_with = "wheel"', "Leave moves_with out."),
        ('name = "hose"', 'name = "rail"', "there is already an envelope named rail"),
        ("at_least = 12.0", "at_lest = 12.0", "Did you mean at_least?"),
        ('kind = "tyre"\nwidth = 165.0', 'kind = "tyre"\nfrom = "upper_ball"', "has no from"),
        ('[[front.envelope]]\nname = "rail"', '[[front.envelop]]\nname = "rail"', "envelope?"),
    ],
)
def test_a_fault_says_where_and_what(was: str, becomes: str, words: str) -> None:
    assert was in TEXT
    with pytest.raises(SetupFaults, match=r"clearance|envelop") as caught:
        read(TEXT.replace(was, becomes, 1))
    assert words in "\n".join(fault.words for fault in caught.value.faults)


def test_a_tyre_of_no_known_width_is_refused() -> None:
    text = TEXT.replace("width = 165.0\n", "")
    if "tyre_width" in text:
        text = "\n".join(line for line in text.split("\n") if not line.startswith("tyre_width"))
    with pytest.raises(SetupFaults, match=r"front\.tyre_width"):
        read(text)


EDITS: dict[str, Callable[[Setup], Setup]] = {
    "a limit": lambda s: s.having(
        clearances=(replace(s.clearances[0], at_least=15.0), *s.clearances[1:])
    ),
    "no limit": lambda s: s.having(
        clearances=(replace(s.clearances[0], at_least=None), *s.clearances[1:])
    ),
    "one goes": lambda s: s.having(clearances=s.clearances[1:]),
    "one more": lambda s: s.having(
        clearances=(*s.clearances, Clearance("front", ("rail", "spring"), 5.0))
    ),
    "an end moves": lambda s: s.having(
        envelopes=(replace(s.envelopes[0], finish=(300.0, 310.0, 385.0)), *s.envelopes[1:])
    ),
    "an end is a place now": lambda s: s.having(
        envelopes=(
            s.envelopes[0],
            replace(s.envelopes[1], finish=(1.0, 2.0, 3.0)),
            *s.envelopes[2:],
        )
    ),
    "another part": lambda s: s.having(
        envelopes=(replace(s.envelopes[0], moves_with="lower arm"), *s.envelopes[1:])
    ),
    "all go": lambda s: s.having(envelopes=(), clearances=()),
    "in inches": lambda s: s.having(units="in"),
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_is_written_and_the_rest_keeps_its_text(name: str) -> None:
    before = read(TEXT)
    after = EDITS[name](before)
    text = rewritten(TEXT, before, after)
    assert same_setup(read(text), after)
    if name not in ("all go", "in inches"):
        lines = set(TEXT.split("\n"))
        assert len([line for line in text.split("\n") if line not in lines]) <= 6
        assert "# with a square off the chassis leg" in text


def test_a_new_file_holds_all_of_it() -> None:
    setup = read(TEXT)
    text = text_of(setup, None)
    assert same_setup(read(text), setup)
    assert len(tomllib.loads(text)["front"]["envelope"]) == 5


def test_a_point_taken_away_takes_its_envelope_and_clearance_along() -> None:
    setup = edits.remove_evidence(read(TEXT), "front.spring_body")
    assert "spring" not in [envelope.name for envelope in setup.envelopes]
    assert [clearance.between for clearance in setup.clearances] == [("tyre", "rail")]
