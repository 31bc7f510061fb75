"""Wants, room, adjusters, targets, gauge and proposals in a setup file: read, refused, written."""

import difflib
import tomllib
from collections.abc import Callable
from dataclasses import replace
from math import radians

import pytest
import tomlkit

from app.document import edits
from app.document.faults import SetupFaults
from app.document.files import text_of
from app.document.model import Setup
from app.document.plan_edits import kept_plans
from app.document.plans import Adjuster, Aim, Gauge, Room, Together, Want
from app.document.quantities import INCH
from app.document.reading import read_text
from app.document.rewriting import rewritten
from app.document.same import same_setup
from app.systems.every import LIMIT_KINDS
from tests.document.examples import COIL
from tests.helpers.reading import parse

PLANS = """\
[front.room]
upper_front = { z = [-30.0, 5.0], y = [-6.0, 0.0] }    # what the tower lets it
upper_rear = { z = [-30.0, 5.0], alike = "upper_front" }
"spring.free_length" = [300.0, 340.0]
"spring.rate" = { steps = [60, 50, 55] }               # what is on the shelf
tie_rod = "adjuster"

[[front.want]]
result = "camber_gain"
is = -0.5
within = 0.01

# the owner's own
[[front.want]]
result = "caster"
at_least = 2.0
at_most = 4.0
weight = 2.0

[[front.want]]
result = "roll_centre_height"
keep = true

[front.adjusters]
upper_shims = { at = ["upper_front", "upper_rear"], inboard = true, fitted = [3.0, 3.0], \
sizes = [0.5, 1.0, 2.0, 3.0], most = 15.0, apart = 6.0, have = [4, 10, 6, 2] }
lower_eccentric = { at = "lower_rear", reach = 6.0 }
strut_rod = { reach = [-8.0, 12.0], pitch = 1.5 }
tie_rod = { reach = [-10.0, 10.0], pitch = 1.5 }

[front.targets]
camber = { is = 0.0, within = 0.25 }                   # both wheels
toe_total_mm = { is = 1.5, within = 0.5 }

[front.gauge]
left = { camber = 0.8, caster = 2.1, toe = 0.15 }      # as read
right = { camber = 0.6, caster = { at = [15.0, -15.0], camber = [1.2, -0.4] }, toe_mm = 0.5 }

[[together]]
name = "Both"
changes = ["CHANGE"]

"""
NAME = parse(COIL).changes[0].name
TEXT = COIL.replace("[[change]]", PLANS.replace("CHANGE", NAME) + "[[change]]", 1)


def read(text: str) -> Setup:
    return parse(text, limit_kinds=LIMIT_KINDS)


def test_what_is_wanted_and_what_may_move() -> None:
    setup = read(TEXT)
    gain = radians(0.01) / 25.0
    assert setup.wants[0].value == pytest.approx(-50 * gain)
    assert setup.wants[0].within == pytest.approx(gain)
    assert replace(setup.wants[0], value=None, within=None) == Want(
        "front.camber_gain", kind="angle per length"
    )
    assert setup.wants[1].at_least == pytest.approx(radians(2.0))
    assert setup.wants[1].weight == 2.0
    assert setup.wants[2] == Want("front.roll_centre_height", keep=True, kind="length")
    assert setup.rooms == {
        "front.upper_front": Room(y=(-6.0, 0.0), z=(-30.0, 5.0)),
        "front.upper_rear": Room(z=(-30.0, 5.0), alike="front.upper_front"),
        "front.spring.free_length": Room(span=(300.0, 340.0)),
        "front.spring.rate": Room(steps=(50.0, 55.0, 60.0)),
        "front.tie_rod": Room(by_adjuster=True),
    }


def test_adjusters_targets_gauge_and_proposals() -> None:
    setup = read(TEXT)
    assert setup.adjusters["front.upper_shims"] == Adjuster(
        ("front.upper_front", "front.upper_rear"),
        True,
        (3.0, 3.0),
        (),
        (0.5, 1.0, 2.0, 3.0),
        (4.0, 10.0, 6.0, 2.0),
        15.0,
        6.0,
    )
    assert setup.adjusters["front.lower_eccentric"].reach == (-6.0, 6.0)
    assert setup.adjusters["front.strut_rod"] == Adjuster(reach=(-8.0, 12.0), pitch=1.5)
    assert setup.aims["front.camber"] == Aim(0.0, radians(0.25), "angle")
    assert setup.aims["front.toe_total_mm"] == Aim(1.5, 0.5, "plain")
    left, right = setup.gauge["front.left"], setup.gauge["front.right"]
    assert left == Gauge(radians(0.8), radians(2.1), radians(0.15))
    assert right.locks == pytest.approx((radians(15.0), radians(-15.0)))
    assert right.locks_camber == pytest.approx((radians(1.2), radians(-0.4)))
    assert (right.caster, right.toe, right.toe_length) == (None, None, 0.5)
    assert setup.together == (Together("Both", (NAME,)),)


def parse_partial(text: str) -> Setup:
    """Return the setup of a car that isn't measured whole."""
    return read_text(text, limit_kinds=LIMIT_KINDS, partial=True).setup


@pytest.mark.parametrize(
    ("was", "becomes", "words"),
    [
        ("upper_front = { z", "uper_front = { z", "Did you mean upper_front?"),
        ("z = [-30.0, 5.0], y", "z = [5.0, -30.0], y", "5.0 is above -30.0"),
        ("z = [-30.0, 5.0], y", "z = -30.0, y", "front.room.upper_front.z: found -30.0"),
        ("{ z = [-30.0, 5.0], y = [-6.0, 0.0] }", "{}", "no room is given"),
        ('alike = "upper_front"', 'alike = "upper_rear"', "this is the point itself"),
        ('alike = "upper_front"', 'alike = "upper_frnt"', "Did you mean upper_front?"),
        ("[300.0, 340.0]", "[-10.0, 10.0]", "spring.free_length, number 1: found -10.0"),
        ("[60, 50, 55]", "[0, 50, 55]", "steps, number 1: found 0"),
        ("[300.0, 340.0]", "[300.0]", "front.room.spring.free_length: found a list of 1"),
        ("[60, 50, 55]", "[]", "steps: found an empty list"),
        ('tie_rod = "adjuster"', 'tie_rodd = "adjuster"', "this end has no such adjuster"),
        ('result = "camber_gain"', 'result = "camber_gian"', "Did you mean camber_gain?"),
        ("is = -0.5\n", "", "neither of them is given"),
        ("is = -0.5\n", "is = -0.5\nkeep = true\n", "found is, keep"),
        ("at_least = 2.0", "at_least = 5.0", "at_least 5.0 is above at_most 4.0"),
        ("keep = true", "keep = false", "found false; expected true, or no keep at all"),
        ("weight = 2.0", "weight = 0", "front.want 2, weight: found 0"),
        ("fitted = [3.0, 3.0]", "fitted = [3.0]", "found 1; expected one for each pivot: 2"),
        ("have = [4, 10, 6, 2]", "have = [4]", "found 1; expected one for each size: 4"),
        ("have = [4, 10, 6, 2]", "have = [1.5, 10, 6, 2]", "upper_shims.have, number 1: found 1.5"),
        ("sizes = [0.5,", "sizes = [0.0,", "upper_shims.sizes, number 1: found 0.0"),
        ('at = ["upper_front", "upper_rear"]', 'at = "upper_ball"', "upper_ball is no pivot of"),
        ('at = ["upper_front", "upper_rear"]', 'at = "spring_body"', "spring_body is no pivot of"),
        ('"upper_rear"], in', '"upper_front"], in', "the same pivot twice"),
        (
            'at = "lower_rear", r',
            'at = "upper_rear", r',
            "upper_rear has the adjuster upper_shims al",
        ),
        (
            "lower_eccentric = {",
            '"my eccentric!" = {',
            'text "my eccentric!" can\'t be an adjuster',
        ),
        (
            "lower_eccentric = {",
            '"" = {',
            "can't be an adjuster's name; expected letters, digits and _",
        ),
        (
            "lower_eccentric = {",
            "lower_rear = {",
            "lower_rear is a point's name; expected a name of",
        ),
        ('at = "lower_rear", r', 'at = ["lower_rear", "lower_front"], r', "found two pivots"),
        ('"link and strut rod"', '"one piece"', "front.adjusters.strut_rod: this car's lower arm"),
        ("strut_joint", "#", "front.adjusters.strut_rod: the file doesn't give where the strut"),
        ("fitted = [3.0, 3.0], ", "", "upper_shims.fitted: missing"),
        ('at = "lower_rear", reach', "reach", "lower_eccentric.at: missing"),
        ("reach = [-8.0, 12.0], pitch = 1.5", "reach = [-8.0, 12.0]", "strut_rod.pitch: missing"),
        ("camber = { is = 0.0, within = 0.25 }", "camber = 0.0", "front.targets.camber: found 0.0"),
        ("camber = { is = 0.0, within", "camberr = { is = 0.0, within", "Did you mean camber?"),
        ("camber = { is = 0.0, within = 0.25", "camber = { is = 0.0, within = 1e-300", "gauge can"),
        ("camber = { is = 0.0, within", "scrub_radius = { is = 0.0, within", "no adjuster sets"),
        ("camber = { is = 0.0, within", "toe = { is = 0.0, within", "found toe too"),
        ("sizes = [0.5,", f"sizes = [{'0.1, ' * 24}", "sizes: found 27"),
        ("fitted = [3.0, 3.0]", "fitted = [3000.0, 3.0]", "at most 100"),
        ("reach = [-8.0, 12.0]", "reach = [8.0, 12.0]", "0 is where it is now"),
        ("left = { camber = 0.8", "left = { camber = 800", "at most 60"),
        ("left = { camber = 0.8", "lft = { camber = 0.8", "Did you mean left?"),
        ("toe = 0.15 }", "toe = 0.15, after = { uper_rear = 2.0 } }", "Did you mean upper_rear?"),
        ("toe = 0.15 }", "toe = 0.15, after = { tie_rod = 200.0 } }", "after.tie_rod: found 200.0"),
        ("toe_mm = 0.5 }", "toe_mm = 0.5, toe = 0 }", "found toe and toe_mm; expected one of them"),
        ("at = [15.0, -15.0], c", "at = [15.0, 15.0], c", "caster.at: these aren't two"),
        (f'changes = ["{NAME}"]', 'changes = ["None"]', "is no change of this file"),
        ('name = "Both"\n', "", "together 1, name: missing"),
    ],
)
def test_a_fault_says_where_and_what(was: str, becomes: str, words: str) -> None:
    assert was in TEXT
    with pytest.raises(SetupFaults) as faults:
        read(TEXT.replace(was, becomes, 1))
    assert words in str(faults.value)


def test_inches_are_read_as_inches_but_for_what_names_millimetres() -> None:
    setup = read(TEXT)
    inches = setup.having(units="in")
    text = rewritten(TEXT, setup, inches)
    table = tomllib.loads(text)
    assert table["front"]["room"]["upper_front"]["z"][0] == pytest.approx(-30 / INCH, abs=1e-6)
    assert table["front"]["targets"]["toe_total_mm"]["is"] == 1.5
    assert same_setup(read(text), inches)


EDITS: dict[str, Callable[[Setup], Setup]] = {
    "a want moves": lambda s: s.having(
        wants=(replace(s.wants[0], value=s.wants[0].value * 2), *s.wants[1:])
    ),
    "a want goes": lambda s: s.having(wants=s.wants[1:]),
    "a want comes": lambda s: s.having(
        wants=(*s.wants, Want("front.camber", keep=True, kind="angle"))
    ),
    "room grows": lambda s: s.having(
        rooms=s.rooms.having("front.upper_front", Room(y=(-6.0, 0.0), z=(-40.0, 5.0)))
    ),
    "room of another axis": lambda s: s.having(
        rooms=s.rooms.having("front.upper_front", Room(x=(0.0, 3.0), z=(-30.0, 5.0)))
    ),
    "room goes": lambda s: s.having(rooms=s.rooms.without("front.spring.free_length")),
    "room comes": lambda s: s.having(rooms=s.rooms.having("front.tie_outer", Room(z=(0.0, 9.0)))),
    "all room goes": lambda s: s.having(rooms={}),
    "a pack is changed": lambda s: s.having(
        adjusters=s.adjusters.having(
            "front.upper_shims", replace(s.adjusters["front.upper_shims"], fitted=(4.0, 2.5))
        )
    ),
    "a target": lambda s: s.having(aims=s.aims.having("front.camber", Aim(0.01, 0.002, "angle"))),
    "a reading": lambda s: s.having(gauge=s.gauge.having("front.left", Gauge(0.01, 0.02, 0.001))),
    "another reading": lambda s: s.having(
        gauge=s.gauge.having("front.right", Gauge(0.01, 0.02, toe_length=0.25))
    ),
    "a proposal": lambda s: s.having(together=(Together("All", (NAME,)), *s.together)),
    "none of it": lambda s: s.having(
        wants=(), rooms={}, adjusters={}, aims={}, gauge={}, together=()
    ),
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_is_written_and_the_rest_keeps_its_text(name: str) -> None:
    setup = read(TEXT)
    after = EDITS[name](setup)
    text = rewritten(TEXT, setup, after)
    assert tomlkit.parse(text)
    assert same_setup(read(text), after)
    lost = [
        line[2:]
        for line in difflib.ndiff(TEXT.splitlines(), text.splitlines())
        if line.startswith("- ")
    ]
    if "none" not in name and "all" not in name:
        assert len(lost) <= 5, lost
    back = rewritten(text, read(text), setup)
    assert same_setup(read(back), setup)


def test_a_new_file_holds_all_of_it() -> None:
    setup = read(TEXT)
    assert same_setup(read(text_of(setup)), setup)
    assert same_setup(read(text_of(setup.having(units="in"))), setup.having(units="in"))


def test_a_point_taken_away_takes_its_room_and_adjuster_along() -> None:
    setup = read(TEXT).having(changes=(), together=())
    less = edits.remove_evidence(setup, "front.upper_front")
    assert set(less.rooms) == {"front.spring.free_length", "front.spring.rate", "front.tie_rod"}
    assert "front.upper_shims" not in less.adjusters
    assert same_setup(parse_partial(text_of(less)), less)


def test_a_strut_rod_goes_with_its_joint_and_with_an_arm_of_one_piece() -> None:
    setup = read(TEXT).having(changes=(), together=())
    for less in (
        edits.remove_evidence(setup, "front.strut_joint"),
        kept_plans(setup.having(evidence=setup.evidence.having("front.lower_arm", "one piece"))),
    ):
        assert "front.strut_rod" not in less.adjusters
        assert "front.lower_eccentric" in less.adjusters
        assert same_setup(parse_partial(text_of(less)), less)


def test_a_room_without_its_adjuster_goes() -> None:
    setup = read(TEXT)
    assert (
        "front.tie_rod"
        not in kept_plans(setup.having(adjusters=setup.adjusters.without("front.tie_rod"))).rooms
    )


def test_proposals_follow_the_names_of_changes() -> None:
    setup = read(TEXT)
    renamed = edits.rename_change(setup, 0, "Lower")
    assert renamed.together == (Together("Both", ("Lower",)),)
    assert edits.remove_change(setup, 0).together == ()
    assert same_setup(read(text_of(renamed)), renamed)
