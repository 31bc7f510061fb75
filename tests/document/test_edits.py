"""Edits are functions: a new setup comes back, the old one stays, the evidence most of all."""

import copy
import pickle

import pytest

from app.document import edits
from app.document.active import followed
from app.document.address import Point, left_of, named
from app.document.edits import EditError
from app.document.keys import ALL_KEYS, KEYS, is_point, missing_keys
from app.document.model import Change, FrozenMap, Leaf, Limit, Setup
from app.document.moves import last_sets, proposed_values, summed_moves, toe_is_reset
from app.words.changes import move_words, suggested_name
from tests.document.examples import COIL, LEAF, LINKS, TORSION
from tests.helpers import setup_edits
from tests.helpers.reading import parse

SETUP = parse(COIL)
UP = (0.0, 0.0, 10.0)


def test_a_setup_cannot_be_changed() -> None:
    with pytest.raises(AttributeError, match="title"):
        SETUP.title = "x"  # type: ignore[misc]
    with pytest.raises(TypeError, match="item assignment"):
        SETUP.evidence["front.camber"] = 1.0  # type: ignore[index]


def test_equal_setups_are_equal_values_whatever_the_order_of_their_keys() -> None:
    again = parse(COIL)
    assert again == SETUP
    assert hash(again) == hash(SETUP)
    turned = SETUP.having(evidence=dict(reversed(list(SETUP.evidence.items()))))
    assert turned == SETUP
    assert hash(turned) == hash(SETUP)
    assert setup_edits.move_point(SETUP, 0, "front.upper_ball", UP) != SETUP
    assert copy.deepcopy(SETUP) == pickle.loads(pickle.dumps(SETUP)) == SETUP


def test_mappings_given_as_dicts_are_frozen() -> None:
    change = Change("x", moves={"front.upper_ball": UP})
    assert isinstance(change.moves, FrozenMap)
    assert hash(change) == hash(Change("x", moves=FrozenMap({"front.upper_ball": UP})))


def test_moves_add_up_and_no_move_is_no_entry() -> None:
    once = setup_edits.move_point(SETUP, 1, "front.tie_outer", (0.1, 0.0, 0.0))
    twice = setup_edits.move_point(once, 1, "front.tie_outer", (0.2, 0.0, 0.0))
    assert twice.changes[1].moves["front.tie_outer"] == pytest.approx((0.3, 0.0, 0.0))
    back = setup_edits.move_point(twice, 1, "front.tie_outer", (-0.3, 0.0, 0.0))
    assert back == SETUP
    assert edits.set_move(twice, 1, "front.tie_outer", (0.0, 0.0, 0.0)) == SETUP
    assert edits.reset_point(twice, 1, "front.tie_outer") == SETUP
    assert back.evidence is SETUP.evidence


def test_a_move_is_the_number_that_was_typed_not_what_sums_leave() -> None:
    typed = setup_edits.move_point(SETUP, 1, "front.tie_outer", (0.0, 0.0, 21.5 * 25.4 - 538.0))
    assert typed.changes[1].moves["front.tie_outer"] == (0.0, 0.0, 8.1)


def test_two_pivots_move_together() -> None:
    moved = edits.move_points(SETUP, 0, ("front.upper_front", "front.upper_rear"), UP)
    assert set(moved.changes[0].moves.values()) == {(0.0, 0.0, -12.0)}


@pytest.mark.parametrize(
    "key", ["front.camber", "front.none", "front.pitman_end", "rear.front_eye"]
)
def test_only_points_of_the_car_can_be_moved(key: str) -> None:
    with pytest.raises(EditError, match=f"{key} can't be moved"):
        setup_edits.move_point(SETUP, 0, key, UP)


def test_values_are_set_and_taken_back() -> None:
    stiff = edits.set_value(SETUP, 0, "front.spring.rate", 60.0)
    assert stiff.changes[0].sets == {"front.spring.rate": 60.0}
    assert edits.reset_value(stiff, 0, "front.spring.rate") == SETUP
    with pytest.raises(EditError, match=r"no value named front\.nonsense"):
        edits.set_value(SETUP, 0, "front.nonsense", 1.0)
    with pytest.raises(EditError, match="Steering can't be changed by a proposal"):
        edits.set_value(SETUP, 0, "front.steering.kind", "relay")


def test_changes_are_added_under_free_names() -> None:
    setup = edits.add_change(SETUP, Change("Spring 55 N/mm"), 0)
    setup = edits.duplicate_change(setup, 0)
    setup = edits.add_change(setup, Change("  "))
    assert [change.name for change in setup.changes] == [
        "Spring 55 N/mm (2)",
        "Spring 55 N/mm (2) (2)",
        "Upper pivots 22 mm lower",
        "Spring 55 N/mm",
        "Change",
    ]


def test_renaming_keeps_names_apart() -> None:
    assert edits.rename_change(SETUP, 0, "  A\r\n").changes[0].name == "A"
    assert edits.rename_change(SETUP, 1, "Spring 55 N/mm") == SETUP
    with pytest.raises(EditError, match="already a change named “Spring 55 N/mm”"):
        edits.rename_change(SETUP, 0, "Spring 55 N/mm")
    with pytest.raises(EditError, match="needs a name"):
        edits.rename_change(SETUP, 0, " ")


def test_changes_are_ordered_removed_and_switched() -> None:
    a, b = SETUP.changes
    assert edits.reorder_change(SETUP, 0, 1).changes == (b, a)
    assert edits.reorder_change(SETUP, 1, 0).changes == (b, a)
    assert edits.remove_change(SETUP, 0).changes == (b,)
    assert edits.switch_change(SETUP, 1, True).changes[1].on
    assert edits.set_parts(SETUP, 0, "made to fit").changes[0].parts == "made to fit"
    assert edits.set_toe(SETUP, 0, "left").changes[0].toe == "left"
    assert edits.set_change_note(SETUP, 0, "x").changes[0].note == "x"


def test_the_rest_is_edited_too() -> None:
    setup = edits.set_title(setup_edits.set_notes(SETUP, "a\r\nb"), "  A \n car ")
    assert (setup.title, setup.notes) == ("A car", "a\nb")
    setup = edits.set_limit(setup, "front.camber", Limit.within(0.1))
    assert setup.limits["front.camber"].allows(-0.1)
    assert not setup.limits["front.camber"].allows(0.11)
    assert "front.camber" not in edits.set_limit(setup, "front.camber", None).limits
    setup = setup_edits.set_within(
        setup_edits.set_evidence(setup, "front.lower_ball", UP), "front.lower_ball", 1.0
    )
    assert edits.remove_evidence(setup, "front.lower_ball").within.keys() == {"front.upper_ball"}
    assert setup_edits.set_within(setup, "front.lower_ball", None).within == SETUP.within
    with pytest.raises(EditError, match="no value named x"):
        setup_edits.set_evidence(setup, "x", 1.0)


# --- the proposal -------------------------------------------------------------------------------


def proposal(*changes: Change) -> Setup:
    return SETUP.having(changes=changes)


def test_moves_add_up_in_file_order_and_off_means_off() -> None:
    ball, pivot = {"front.upper_ball": UP}, {"front.upper_front": UP}
    setup = proposal(
        Change("a", moves={**ball, **pivot}),
        Change("b", parts="made to fit", moves={**ball, **pivot}),
        Change("c", moves=pivot),
        Change("d", on=False, moves=pivot, sets={"car.mass": 1.0}),
    )
    moves, twice = summed_moves(setup), (0.0, 0.0, 20.0)
    assert named("front", "left", moves.parts) == {"upper_ball": twice, "upper_front": UP}
    assert named("front", "left", moves.holes) == {"upper_front": twice}
    assert last_sets(setup) == {}


def test_points_of_parts_are_made_to_fit_by_nature() -> None:
    parts = {k for k in KEYS if KEYS[k].kind == "point" and KEYS[k].on_part and ".right." not in k}
    names = "upper_ball lower_ball strut_joint tie_outer wheel_centre spring_arm damper_arm"
    expected = {f"front.{name}" for name in [*names.split(), "pitman_end", "idler_end"]}
    assert {k for k in parts if k.startswith("front.")} == expected


def test_a_later_set_wins_and_later_moves_go_on_from_it() -> None:
    place, moved = (1.0, 2.0, 3.0), {"front.upper_front": UP}
    setup = proposal(
        Change("a", moves=moved, sets={"car.mass": 1.0}),
        Change("b", sets={"front.upper_front": place, "car.mass": 2.0}),
        Change("c", moves=moved),
    )
    assert last_sets(setup) == {"front.upper_front": place, "car.mass": 2.0}
    assert proposed_values(setup)["front.upper_front"] == (1.0, 2.0, 13.0)
    assert setup.evidence == SETUP.evidence


def test_the_last_change_that_does_something_decides_on_the_toe() -> None:
    moved = {"front.upper_front": UP}
    left, reset = Change("a", toe="left", moves=moved), Change("b", moves=moved)
    assert toe_is_reset(proposal())
    assert not toe_is_reset(proposal(reset, left))
    assert toe_is_reset(proposal(left, reset))
    assert not toe_is_reset(proposal(left, Change("c"), Change("d", on=False, moves=moved)))


# --- names --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "name"),
    [
        (Change("", moves={"front.upper_front": (0, 0, -22), "front.upper_rear": (0, 0, -22)}),
         "Upper pivots 22 mm lower"),
        (Change("", moves={"front.tie_outer": (0, 0, 3)}), "Tie rod, outer end 3 mm higher"),
        (Change("", moves={"front.tie_outer": (1.5, -2, 3)}),
         "Tie rod, outer end 3 mm higher, 2 mm inboard and 1.5 mm forward"),
        (Change("", moves={"front.right.tie_outer": (0, -2, 0)}),
         "Tie rod, outer end, right side, 2 mm outboard"),
        (Change("", moves={"front.tie_outer": (0, 2, 0), "front.right.tie_outer": (0, -2, 0)}),
         "Tie rod, outer end 2 mm outboard"),
        (Change("", moves={"front.tie_outer": (0, 2, 0), "front.lower_ball": (0, 2, 0)}),
         "2 points 2 mm outboard"),
        (Change("", moves={"front.tie_outer": (0, 2, 0), "front.lower_ball": (0, 1, 0),
                           "front.upper_ball": (1, 0, 0)}, sets={"car.mass": 1.0}),
         "3 points moved, 1 value changed"),
        (Change("", sets={"front.spring.rate": 55.0}), "Spring 55 N/mm"),
        (Change("", sets={"front.camber": -0.017453292519943295}), "Camber −1°"),
        (Change("", sets={"front.spring.on": "lower arm"}), "Spring stands on lower arm"),
        (Change("", sets={"rear.pack.leaf": (Leaf(6, 500, 500),)}), "Leaf pack of 1 leaf"),
        (Change("", sets={"rear.block": 25.4, "rear.wedge": 0.03490658503988659}),
         "Lowering block 25.4 mm, wedge 2° nose up"),
        (Change("", sets={"rear.pinion": UP}), "Pinion joint placed"),
        (Change(""), "New change"),
    ],
)  # fmt: skip
def test_names_say_what_moved(change: Change, name: str) -> None:
    assert suggested_name(SETUP, change) == name


def test_names_speak_the_setups_units_and_the_users_sign() -> None:
    inches = setup_edits.set_units(SETUP, "in")
    pivots = ("front.upper_front", "front.upper_rear")
    pair = Change("", moves=dict.fromkeys(pivots, (0, 0, -22.225)))
    assert suggested_name(inches, pair) == "Upper pivots 7/8 in lower"
    odd = Change("", moves={"front.tie_outer": (0, 0, 22)})
    assert suggested_name(inches, odd, decimal=",") == "Tie rod, outer end 55/64 in higher"
    thin = Change("", moves={"front.tie_outer": (0, 0, 3)})  # a 64th misses it by too much
    assert suggested_name(inches, thin, decimal=",") == "Tie rod, outer end 0,118 in higher"
    rate = Change("", sets={"front.spring.rate": 55.0})
    assert suggested_name(inches, rate) == "Spring 314.1 lbf/in"
    assert suggested_name(
        SETUP, Change("", moves={"front.tie_outer": (0, 0, 0.51)}), decimal=","
    ) == ("Tie rod, outer end 0,5 mm higher")


def test_a_move_too_small_to_see_is_no_move() -> None:
    assert move_words((0.0, 0.01, 0.0), "mm") == "not moved"
    assert move_words((0.0, 2.0, 0.0), "mm", right=True) == "2 mm inboard"


# --- the schema ---------------------------------------------------------------------------------


def test_keys_and_places_are_unique() -> None:
    assert (
        len({key.name for key in ALL_KEYS}) == len({key.place for key in ALL_KEYS}) == len(ALL_KEYS)
    )


def test_right_hand_keys_know_their_left_ones() -> None:
    for key in ALL_KEYS:
        if ".right." in key.name:
            assert is_point(key.name)
            assert Point.at(left_of(key.name)).mirror.key == key.name
            assert KEYS[left_of(key.name)].on_part == key.on_part


def test_usual_ranges_hold_the_examples() -> None:
    for text in (COIL, TORSION, LEAF, LINKS):
        for name, value in parse(text).evidence.items():
            usual = KEYS[name].usual
            if usual is None or (KEYS[name].torsion and "torsion" in text):
                continue
            pairs = (
                [(value, usual)]
                if isinstance(value, float)
                else list(zip(value, usual, strict=True))
            )
            for number, (low, high) in pairs:
                assert low <= number <= high, name


def test_what_is_missing_follows_the_kind() -> None:
    assert not list(missing_keys(SETUP.evidence))
    assert {key.name for key in missing_keys({"front.kind": "double wishbone"})} >= {
        "front.camber",
        "front.upper_ball",
    }


def test_a_name_that_was_pasted_with_line_ends_is_one_line() -> None:
    renamed = edits.rename_change(SETUP, 0, " Lower the\r\nupper\tpivots\n")
    assert renamed.changes[0].name == "Lower the upper pivots"
    assert edits.add_change(SETUP, Change("a\nb")).changes[-1].name == "a b"


def test_the_active_change_is_followed_through_undo_and_redo() -> None:
    one, two, three = (Change(name) for name in ("1", "2", "3"))
    assert followed((one, two), (one, two, three), 0) == 2  # redo of a drag that began a change
    assert followed((one, two, three), (one, two), 2) is None  # and undo of it
    assert followed((one, two, three), (two, three), 2) == 1
    assert followed((one, two, three), (one, two), 0) == 0
    assert followed((two, one), (one, two), 0) == 1  # one was moved up
    assert followed((one, two), (one, Change("2", on=False)), 1) == 1
    assert followed((one, two), (Change("1", on=False), two), None) is None
