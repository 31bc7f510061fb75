"""A point's address: key, end, side and name say the same, and a mirror's mirror is the point."""

import pytest

from app.document.address import SIDES, Point, is_right, key_of, keyed, left_of, mirrored, named
from app.document.ends import end_of
from app.document.keys import ALL_KEYS, KEYS

POINTS = tuple(key.name for key in ALL_KEYS if key.kind == "point")
OTHERS = tuple(key.name for key in ALL_KEYS if key.kind != "point")


@pytest.mark.parametrize("key", POINTS)
def test_a_key_and_its_address_say_the_same(key: str) -> None:
    point = Point.at(key)
    assert point.key == key_of(*point) == key
    assert point.end == end_of(key) == key.split(".")[0]
    assert point.name == key.split(".")[-1]
    assert point.is_right == is_right(key) == (key.split(".")[1] == "right")
    assert point.title == KEYS[key].title
    assert point.mirror != point
    assert point.mirror.mirror == point
    assert left_of(key) == Point(point.end, "left", point.name).key
    assert KEYS[key].place == (point.end, f"points{'_right' * point.is_right}", point.name)


@pytest.mark.parametrize("key", OTHERS)
def test_a_key_of_anything_else_is_no_point(key: str) -> None:
    with pytest.raises(ValueError, match="isn't the key of a point"):
        Point.at(key)
    assert not is_right(key)
    assert left_of(key) == key
    assert end_of(key) in ("sheet", "car", "front", "rear")


def test_things_go_from_keys_to_names_and_back() -> None:
    every = {key: number for number, key in enumerate(POINTS)}
    back: dict[str, int] = {}
    for end in ("front", "rear"):
        for side in SIDES:
            back |= keyed(end, side, named(end, side, every))
    assert back == every


def test_what_the_car_has_once_has_no_right_hand_key() -> None:
    assert keyed("rear", "right", {"pinion": 1, "lower_body": 2}) == {"rear.right.lower_body": 2}


def test_a_mirror_turns_y_round_and_leaves_the_middle_alone() -> None:
    assert mirrored((1.0, 2.0, 3.0)) == (1.0, -2.0, 3.0)
    assert mirrored(mirrored((1.0, 2.0, 3.0))) == (1.0, 2.0, 3.0)
    assert str(mirrored((1.0, 0.0, 3.0))) == "(1.0, 0.0, 3.0)"


def test_every_point_has_words_for_the_shop_and_both_sides_share_them() -> None:
    rows = [KEYS[key] for key in POINTS]
    assert all(row.workshop.startswith("the ") for row in rows)
    assert all(row.workshop == KEYS[left_of(row.name)].workshop for row in rows)
    assert len({row.workshop for row in rows}) == len({left_of(row.name) for row in rows})
