"""Saving into an existing text: only what changed is touched, whatever the file looks like."""

import difflib
import tomllib

import pytest
import tomlkit

from app.document import edits
from app.document.files import text_of
from app.document.leaf_parts import LeafPart, leaves_in, with_leaf_number
from app.document.model import Change, Leaf, Limit, Setup
from app.document.rewriting import rewritten
from app.document.same import same_setup
from tests.document.examples import COIL, EXAMPLES, LEAF, LIMIT_KINDS, LINKS, TORSION
from tests.helpers import setup_edits
from tests.helpers.reading import parse


def read(text: str) -> Setup:
    return parse(text, limit_kinds=LIMIT_KINDS)


def differences(before: str, after: Setup) -> list[str]:
    """Return the lines that saving takes out (-) and puts in (+), having read it back twice."""
    text = rewritten(before, read(before), after)
    assert same_setup(read(text), after)
    assert tomlkit.parse(text).unwrap() == tomllib.loads(text)  # a second reader agrees
    lines = difflib.ndiff(before.split("\n"), text.split("\n"))
    return [line[:1] + line[2:] for line in lines if line[0] in "+-"]


@pytest.mark.parametrize("text", EXAMPLES)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_nothing_changed_nothing_touched(text: str, ends: str) -> None:
    text = text.replace("\n", ends)
    assert rewritten(text, read(text), read(text)) == text


def test_a_move_changes_one_number() -> None:
    after = setup_edits.move_point(read(COIL), 0, "front.upper_front", (0.0, 0.0, -3.25))
    assert differences(COIL, after) == [
        '-"front.upper_front" = [0.0, 0.0, -22.0]',
        '+"front.upper_front" = [0.0, 0.0, -25.25]',
    ]


def test_a_new_move_stands_with_the_others_in_their_style() -> None:
    after = edits.set_move(read(COIL), 0, "front.tie_outer", (0.0, 0.0, 3.0))
    assert differences(COIL, after) == ['+"front.tie_outer"   = [0.0, 0.0, 3.0]']


def test_remarks_keep_their_column_and_numbers_their_decimals() -> None:
    text = COIL.replace("mass = 1240.0 ", "mass = 1240.00")
    after = setup_edits.set_evidence(read(text), "car.mass", 98.5)
    after = setup_edits.set_evidence(after, "front.lower_rear", (-20.0, 1262.0, 248.5))
    assert differences(text, after) == [
        "-mass = 1240.00                    # as driven",
        "+mass = 98.50                      # as driven",
        "-lower_rear   = [-20.0, 262.0, 248.0]     # lateral link, bush on the body",
        "+lower_rear   = [-20.0, 1262.0, 248.5]    # lateral link, bush on the body",
    ]


def test_whole_numbers_stay_whole_where_they_can() -> None:
    text = COIL.replace("wheelbase = 2560.0", "wheelbase = 2_560")
    assert "+wheelbase = 2561" in differences(
        text, setup_edits.set_evidence(read(text), "car.wheelbase", 2561.0)
    )
    assert "+wheelbase = 2561.5" in differences(
        text, setup_edits.set_evidence(read(text), "car.wheelbase", 2561.5)
    )


def test_the_last_move_taken_back_takes_its_table_along() -> None:
    setup = read(COIL)
    after = edits.set_move(setup, 0, "front.upper_front", (0.0, 0.0, 0.0))
    after = edits.set_move(after, 0, "front.upper_rear", (0.0, 0.0, 0.0))
    assert differences(COIL, after) == [
        "-[change.move]",
        '-"front.upper_front" = [0.0, 0.0, -22.0]',
        '-"front.upper_rear"  = [0.0, 0.0, -22.0]',
    ]


def test_a_point_gets_an_uncertainty_and_a_note() -> None:
    text = COIL.replace("at the grease nipple", "by eye")
    setup = setup_edits.set_within(read(text), "front.wheel_centre", 2.0)
    after = edits.set_point_note(setup, "front.upper_ball", "")
    assert differences(text, after) == [
        '-upper_ball   = { at = [-12.0, 628.0, 560.0], within = 1.0, note = "by eye" }',
        "+upper_ball   = { at = [-12.0, 628.0, 560.0], within = 1.0 }",
        "-wheel_centre = [0.0, 742.0, 305.0]",
        "+wheel_centre = { at = [0.0, 742.0, 305.0], within = 2.0 }",
    ]


def test_limits_change_in_place_and_new_ones_join_them() -> None:
    setup = read(COIL)
    degree = setup.limits["front.bump_steer_range"].maximum / 0.25  # type: ignore[operator]
    after = edits.set_limit(setup, "front.bump_steer_range", Limit.within(0.5 * degree, "angle"))
    after = edits.set_limit(after, "front.camber", Limit(None, degree, "angle", "the owner"))
    after = edits.set_limit(after, "front.roll_centre_height", Limit(0.0, None, "length"))
    assert differences(COIL, after) == [
        "-camber = { min = -1.5, max = 1.0 }",
        '+camber = { max = 1.0, by = "the owner" }',
        "-bump_steer_range = 0.25",
        "+bump_steer_range = 0.50",
        "+roll_centre_height = { min = 0.0 }",
    ]


def test_new_tables_stand_before_the_changes_apart_from_what_is_there() -> None:
    after = edits.set_limit(read(LEAF), "rear.roll_centre_height", Limit(0.0, None, "length"))
    after = setup_edits.set_evidence(after, "sheet.revision", "B")
    assert differences(LEAF, after) == [
        "+[rear.limits]",
        "+roll_centre_height = { min = 0.0 }",
        "+",
        "+[sheet]",
        '+revision = "B"',
        "+",
    ]


def test_changes_are_added_removed_copied_and_ordered_as_blocks() -> None:
    text = LEAF.replace(
        '[[change]]\nname = "Traction',
        '# try on the road first\n[[change]]  # maybe\nname = "Traction',
    )
    setup = read(text)
    added = edits.add_change(setup, Change("New", moves={"rear.pinion": (0.0, 0.0, 1.5)}))
    assert differences(text, added) == [
        "+[[change]]",
        '+name = "New"',
        "+on = true",
        '+parts = "kept"',
        '+toe = "reset"',
        "+[change.move]",
        '+"rear.pinion" = [0.0, 0.0, 1.5]',
        "+",
    ]
    swapped = rewritten(text, setup, edits.reorder_change(setup, 1, 0))
    assert sorted(swapped.split("\n")) == sorted(text.split("\n"))
    assert swapped.index("# try on") < swapped.index("[[change]]  # maybe") < swapped.index("Right")
    removed = differences(text, edits.remove_change(setup, 1))
    assert len(removed) == 9
    assert all(line.startswith("-") for line in removed)
    assert "-# try on the road first" in removed
    copied = differences(text, edits.duplicate_change(setup, 1))
    assert '+name = "Traction bars (2)"' in copied
    assert not any(line.startswith("-") for line in copied)


def test_a_renamed_change_that_moved_on_keeps_its_place_and_remarks() -> None:
    text = COIL.replace("on = true", "on = true  # ask first")
    after = setup_edits.move_point(read(text), 0, "front.upper_front", (0.0, 0.0, -2.0))
    after = edits.rename_change(after, 0, "Upper pivots 24 mm lower")
    assert differences(text, after) == [
        '-name = "Upper pivots 22 mm lower"',
        '+name = "Upper pivots 24 mm lower"',
        '-"front.upper_front" = [0.0, 0.0, -22.0]',
        '+"front.upper_front" = [0.0, 0.0, -24.0]',
    ]


def test_all_changes_taken_out() -> None:
    setup = read(COIL)
    text = rewritten(COIL, setup, setup.having(changes=()))
    assert text == COIL[: COIL.index("\n[[change]]")]


def test_leaves_change_in_place_and_as_lists() -> None:
    setup = read(LEAF)
    leaves: tuple[Leaf, ...] = setup.evidence["rear.pack.leaf"]  # type: ignore[assignment]
    thinner = (leaves[0], Leaf(6.0, 450.0, 620.0), *leaves[2:])
    assert differences(LEAF, setup_edits.set_evidence(setup, "rear.pack.leaf", thinner)) == [
        "-    { thickness = 6.5, front = 450.0, rear = 620.0, clipped = true },",
        "+    { thickness = 6.0, front = 450.0, rear = 620.0, clipped = false },",
    ]
    fewer = differences(LEAF, setup_edits.set_evidence(setup, "rear.pack.leaf", leaves[1:]))
    assert fewer == ["-    { thickness = 6.5, front = 560.0, rear = 750.0 },"]


def test_leaves_in_tables_of_their_own() -> None:
    start, end = LEAF.index("leaf = ["), LEAF.index("[rear.axle]")
    blocks = "".join(
        f"[[rear.pack.leaf]]  # no {i}\nthickness = {t}\nfront = {half}\nrear = {half}\n\n"
        for i, (t, half) in enumerate(((6.5, 500.0), (6.0, 501.0), (5.5, 502.0)))
    )
    text = LEAF[:start] + "\n" + blocks + LEAF[end:]
    setup = read(text)
    leaves: tuple[Leaf, ...] = setup.evidence["rear.pack.leaf"]  # type: ignore[assignment]
    after = setup_edits.set_evidence(setup, "rear.pack.leaf", (leaves[0], leaves[2]))
    assert [line for line in differences(text, after) if line[1:]] == [
        "-[[rear.pack.leaf]]  # no 1",
        "-thickness = 6.0",
        "-front = 501.0",
        "-rear = 501.0",
    ]
    added = setup_edits.set_evidence(
        setup, "rear.pack.leaf", (*leaves, Leaf(5.0, 300.0, 300.0, True))
    )
    assert [line for line in differences(text, added) if line[1:]] == [
        "+[[rear.pack.leaf]]",
        "+thickness = 5.0",
        "+front = 300.0",
        "+rear = 300.0",
        "+clipped = true",
    ]


STYLES = {
    "dotted": (
        'format=1\ntitle="x"\nunits="mm"\nrear.kind="leaf axle"\nrear.tyre_radius=300\n'
        "rear.points.front_eye=[1,2,3] # a\nrear.points.rear_eye=[1,2,3]\n"
        "rear.points.shackle_body=[1,2,3]\nrear.points.centre_bolt=[1,2,3]\n"
        "rear.points.wheel_centre=[1,2,3]\nrear.pack.width=60\nrear.pack.modulus=2e5\n"
        "rear.pack.leaf=[{thickness=6,front=5,rear=5}]\n"
        '[[change]]\nname="c"\nmove.rear.front_eye=[0,0,1] # b\nset.rear.block=10 # d\n'
    ),
    "inline": (
        'format = 2\ntitle = "x"\nunits = "mm"\n'
        'change = [{ name = "c", move = { "rear.front_eye" = [0,0,1] }, set = {"rear.block"=1} }]\n'
        'rear = { kind = "leaf axle", tyre_radius = 300, points = { front_eye = [1,2,3], '
        "rear_eye = [1,2,3], shackle_body = [1,2,3], centre_bolt = [1,2,3], wheel_centre=[1,2,3]}, "
        "pack = { width = 60, modulus = 2e5, leaf = [{thickness=6,front=5,rear=5}] } }\n"
    ),
    "tables": (
        '[rear]\nkind = "leaf axle"\ntyre_radius = 300 # r\n[rear.points.front_eye]\nat = [1,2,3]'
        " # a\n[rear.points]\nrear_eye=[1,2,3]\nshackle_body=[1,2,3]\ncentre_bolt=[1,2,3]\n"
        "wheel_centre=[1,2,3]\n[[change]]\nname='c'\n[rear.pack]\nwidth=60\nmodulus=2e5\n"
        "[[rear.pack.leaf]]\nthickness=6\nfront=5\nrear=5\n[change.move.rear]\nfront_eye=[0,0,1]"
        " # b\n"
        "[change.set]\nrear.'block'=10"
    ),
}
STYLES["tables"] = 'format = 2\ntitle = "x"\nunits = "mm"\n' + STYLES["tables"]


@pytest.mark.parametrize("style", STYLES)
def test_every_style_of_toml_can_be_edited(style: str) -> None:
    text = STYLES[style]
    setup = read(text)
    steps = [
        lambda s: setup_edits.move_point(s, 0, "rear.front_eye", (0.0, 0.0, 1.0)),
        lambda s: edits.set_move(s, 0, "rear.rear_eye", (0.0, 5.0, 1.0)),
        lambda s: edits.set_value(s, 0, "rear.block", 20.0),
        lambda s: edits.set_value(s, 0, "rear.wedge", 0.02),
        lambda s: edits.reset_value(s, 0, "rear.block"),
        lambda s: setup_edits.set_within(s, "rear.front_eye", 2.0),
        lambda s: edits.set_point_note(s, "rear.rear_eye", "bush worn"),
        lambda s: setup_edits.set_evidence(s, "rear.pinion", (1.0, 2.0, 3.0)),
        lambda s: setup_edits.set_evidence(s, "rear.tyre_rate", 150.0),
        lambda s: setup_edits.set_evidence(s, "rear.axle.mass", 100.0),
        lambda s: edits.remove_evidence(s, "rear.pinion"),
        lambda s: edits.set_limit(s, "rear.roll_centre_height", Limit(1.0, 2.0, "length")),
        lambda s: setup_edits.set_evidence(
            s, "rear.pack.leaf", (Leaf(6.0, 5.0, 5.0), Leaf(6.0, 4.0, 4.0))
        ),
        lambda s: edits.set_parts(s, 0, "made to fit"),
        lambda s: edits.add_change(s, Change("two", sets={"rear.block": 5.0})),
        lambda s: edits.reorder_change(s, 1, 0),
        lambda s: setup_edits.set_notes(s, "one\ntwo"),
        lambda s: setup_edits.set_units(s, "in"),
        lambda s: edits.remove_change(s, 0),
    ]
    for step in steps[:-4]:
        differences(text, step(setup))  # each edit by itself, read back by two readers
    for step in steps:
        after = step(setup)
        text, setup = rewritten(text, setup, after), after
        assert same_setup(read(text), setup)
    assert all(f"# {remark}" in text for remark in "arb" if f"# {remark}" in STYLES[style]) or (
        style == "dotted"
    )


@pytest.mark.parametrize("text", EXAMPLES)
def test_units_there_and_back_give_the_same_text(text: str) -> None:
    setup = read(text)
    other = setup_edits.set_units(setup, "mm" if setup.units == "in" else "in")
    switched = rewritten(text, setup, other)
    assert same_setup(read(switched), other)
    back = rewritten(switched, read(switched), setup_edits.set_units(read(switched), setup.units))
    assert tomllib.loads(back) == tomllib.loads(text)  # to the last bit: 305.0 again, not 305.0001


@pytest.mark.parametrize("text", [COIL, TORSION, LEAF, LINKS])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_new_file_reads_as_the_setup_in_either_unit(text: str, units: str) -> None:
    setup = setup_edits.set_units(read(text), units)  # type: ignore[arg-type]
    fresh = text_of(setup)
    assert same_setup(read(fresh), setup)
    assert tomlkit.parse(fresh).unwrap() == tomllib.loads(fresh)
    assert max(map(len, fresh.split("\n"))) < 130


def test_windows_line_ends_stay_in_what_is_put_in(tmp_path: object) -> None:
    text = COIL.replace("\n", "\r\n")
    after = edits.add_change(read(text), Change("Two", note="a\nb"))
    after = setup_edits.set_evidence(after, "car.mass", 1.0)
    result = rewritten(text, read(text), edits.set_limit(after, "front.camber", None))
    assert "\n" not in result.replace("\r\n", "")
    assert same_setup(read(result), edits.set_limit(after, "front.camber", None))


def test_a_leaf_says_how_well_it_is_known_in_its_own_place() -> None:
    said = {"rear.pack.leaf.1.thickness": 0.1, "rear.pack.leaf.1.rear": 1.5}
    for text, thick in ((LEAF, "6.5"), (STYLES["tables"], "6.0")):
        setup = read(text)
        after = setup.having(within=said)
        told = rewritten(text, setup, after)
        assert f"{{ is = {thick}, within = 0.1 }}" in told
        assert same_setup(read(told), after)
        assert same_setup(read(text_of(after)), after)
        pack = with_leaf_number(leaves_in(setup.readings), LeafPart(0, "thickness"), 7.0)
        again = setup_edits.set_evidence(after, "rear.pack.leaf", (*pack, pack[0]))
        again = again.having(within={"rear.pack.leaf.2.front": 2.0})
        assert same_setup(read(rewritten(told, after, again)), again)
        assert not edits.remove_evidence(after, "rear.pack.leaf").within
