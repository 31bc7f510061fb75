"""A small sign at what is turned or shimmed to align the front."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from app.document.ends import name_in_end, split_key
from app.drawing.space import Vec, minus, plus_scaled
from app.drawing.strokes import LineKind, Mark, MarkShape, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.front.drawing.scene import Scene

ALONG: Final = 0.16  # of a rod, from the end that is screwed
RODS: Final = {"strut_rod": ("lower_front", "strut_joint"), "tie_rod": ("tie_outer", "tie_inner")}


def adjuster_strokes(scene: Scene, flat: Flat) -> Iterator[Stroke]:
    """Yield the signs, on the near side and where it is drawn on the far one."""
    if scene.options.far_side and flat.view is not View.SIDE:
        yield from _of_side(scene, flat, scene.now.right.points, LineKind.FAR)
    yield from _of_side(scene, flat, scene.now.left.points, LineKind.DIMENSION)


def _of_side(scene: Scene, flat: Flat, at: Mapping[str, Vec], kind: LineKind) -> Iterator[Stroke]:
    for key, adjuster in scene.setup.adjusters.items():
        end, name = split_key(key)
        if end != "front":
            continue
        if name in RODS:
            screwed, other = (at.get(point) for point in RODS[name])
            if screwed is not None and other is not None:
                place = plus_scaled(screwed, minus(other, screwed), ALONG)
                yield Mark(flat.place(place), MarkShape.THREAD, kind)
            continue
        shape = MarkShape.SHIMS if adjuster.sizes else MarkShape.ECCENTRIC
        for point in adjuster.at:
            if (pivot := at.get(name_in_end(point))) is not None:
                yield Mark(flat.place(pivot), shape, kind)
