"""A point of a link and a strut rod is called after the part it holds, and so everywhere."""

from __future__ import annotations

import pytest

from app.document.keys import points_of
from app.document.model import Change, FrozenMap
from app.document.point_names import point_title, point_words, workshop_words
from app.drawing.strokes import Handle
from app.drawing.views import View
from app.export.tables import points_table
from app.shop.points import point_rows
from app.systems.answers import Pose
from app.systems.front.system import FRONT
from app.systems.pose import posed_cars
from app.systems.shown import Options, Shown
from app.words.changes import suggested_name
from app.words.errors import geometry_words
from geometry.errors import TooFarApart
from tests.helpers.sheets import sample

pytestmark = pytest.mark.gui

ROD = {"front.lower_front": "Strut rod, body bush", "front.lower_rear": "Lateral link, body bush"}


@pytest.mark.parametrize("key", ROD)
def test_names_follow_how_the_lower_arm_is_built(key: str) -> None:
    rod, arm = ({"front.lower_arm": kind} for kind in ("link and strut rod", "one piece"))
    assert point_title(key, rod) == ROD[key]
    assert point_title(key.replace("front.", "front.right.", 1), rod) == f"{ROD[key]}, right"
    assert point_title(key, arm).startswith("Lower arm")
    assert point_words(key, rod) == ROD[key][0].lower() + ROD[key][1:]
    assert workshop_words(key, rod).endswith("'s body bush")
    assert workshop_words(key, arm).startswith("the lower arm's")
    assert point_title("rear.lateral_body", rod) == point_title("rear.lateral_body", arm)


def test_board_table_shop_change_and_errors_say_the_same() -> None:
    setup = sample("small_saloon")
    study = FRONT.study(setup)
    names = {key: point_title(key, setup.evidence) for key in points_of(setup, "front")}
    assert names.items() >= ROD.items()
    measured, proposed = posed_cars(study, Pose(), False)
    shown = Shown(study, proposed, measured, frozenset(), frozenset())
    drawing = FRONT.drawings(shown, Options(), [View.SIDE])[View.SIDE]
    handles = {s.key: s.name for s in drawing.strokes if isinstance(s, Handle)}
    assert {key: handles[key] for key in ROD} == ROD
    assert {row.key: row.title for row in point_rows(study)}.items() >= ROD.items()
    assert {row[0] for row in points_table(study)} >= set(ROD.values())
    moved = Change("", moves=FrozenMap({"front.lower_front": (0.0, 0.0, -5.0)}))
    assert suggested_name(setup, moved) == "Strut rod, body bush 5 mm lower"
    error = TooFarApart("front.lower_front", "front.lower_rear", 1e6)
    words = geometry_words(error, "mm", evidence=setup.evidence)
    assert words.startswith("Strut rod, body bush and lateral link, body bush")
