"""Envelopes on the drawing: outlines that hold the shape, and the gap of the pose shown."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from app.document.samples import sample_paths
from app.drawing.strokes import Drawing, Label, LineKind, Polyline
from app.drawing.views import View
from app.systems.answers import Pose, Study
from app.systems.clearance.clearances import clearances
from app.systems.clearance.drawing import outline
from app.systems.every import BY_KEY
from app.systems.shown import Options, Overlay, Shown
from tests.geometry.clearance.judges import KINDS, random_shapes
from tests.helpers.reading import parse

SAMPLE = next(path for path in sample_paths() if path.stem == "taped_saloon")


@cache
def study(end: str) -> Study:
    return BY_KEY[end].study(parse(SAMPLE.read_text()))


def drawn(end: str, pose: Pose, options: Options | None = None) -> dict[View, Drawing]:
    told = study(end)
    shown = Shown(told, told.proposed.at_pose(pose), None)
    return told.system.drawings(shown, options or Options())


def gap_labels(drawings: dict[View, Drawing]) -> list[str]:
    return [
        stroke.text
        for drawing in drawings.values()
        for stroke in drawing.strokes
        if isinstance(stroke, Label) and stroke.key.startswith("clearance ")
    ]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("view", View)
def test_an_outline_is_as_wide_as_the_shape_in_every_direction(kind: str, view: View) -> None:
    shape = random_shapes(kind, 3, 31)
    points = outline(shape, 1, view)
    for turn in np.linspace(0.0, 2.0 * np.pi, 9):
        direction = np.zeros(3)
        direction[list(view.value)] = np.cos(turn), np.sin(turn)
        reach = shape.furthest(np.tile(direction, (3, 1)))[1] @ direction + shape.ball[1]
        widest = (points @ [np.cos(turn), np.sin(turn)]).max()
        assert widest == pytest.approx(reach, rel=0.01, abs=1.0)  # circles have 36 corners


@pytest.mark.parametrize("end", ["front", "rear"])
def test_the_pose_of_the_least_distance_shows_it(end: str) -> None:
    check = clearances(study(end))[0]
    reading = check.proposed[0]
    steer, roll = (reading.driven, 0.0) if end == "front" else (0.0, reading.driven)
    labels = gap_labels(drawn(end, Pose(reading.travel, roll, steer)))
    gap = f"{reading.gap:.1f}" if reading.gap <= 50.0 else f"{reading.gap:.0f}"
    assert f"{gap} mm free" in labels


def test_each_gap_stands_in_one_view_and_at_rest_it_is_another() -> None:
    labels = gap_labels(drawn("front", Pose()))
    assert len(labels) == len(clearances(study("front")))
    assert labels != gap_labels(drawn("front", Pose(40.0, 0.0, 30.0)))


def test_outlines_are_quiet_named_and_go_with_construction_lines() -> None:
    def ghosts(drawing: Drawing) -> list[Polyline]:
        kind = LineKind.GHOST
        return [s for s in drawing.strokes if isinstance(s, Polyline) and s.kind is kind]

    front = drawn("front", Pose())[View.FRONT]
    assert len(ghosts(front)) == 2
    assert "chassis leg" in [s.text for s in front.strokes if isinstance(s, Label)]
    plain = drawn("front", Pose(), Options(construction=False, dimensions=False))
    assert not ghosts(plain[View.FRONT])
    assert not gap_labels(plain)


def test_a_mode_that_swings_has_no_gaps() -> None:
    assert not gap_labels(drawn("rear", Pose(), Options(overlay=Overlay(mode=0))))
