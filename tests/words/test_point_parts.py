"""Each point says where it is and what it moves."""

from __future__ import annotations

import pytest

from app.document.keys import ALL_KEYS, KEYS
from app.words.point_parts import where_words

POINT_KEYS = [key.name for key in ALL_KEYS if key.kind == "point"]
ROD = {"front.lower_arm": "link and strut rod"}


@pytest.mark.parametrize("key", POINT_KEYS)
def test_each_point_says_where_it_is_and_what_it_moves(key: str) -> None:
    words = where_words(key, {})
    assert words.startswith(("on the ", "joins the "))
    assert "; " in words
    assert words.startswith("on the body") <= (not KEYS[key].on_part)


def test_it_is_said_of_the_car_as_it_is_built() -> None:
    assert "strut rod" in where_words("front.lower_front", ROD)
    assert "lateral link" in where_words("front.right.lower_rear", ROD)
    assert "relay link" in where_words("front.tie_inner", {"front.steering.kind": "relay"})
    assert "upper arm" in where_words("front.spring_arm", {"front.spring.on": "upper arm"})
