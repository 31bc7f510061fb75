"""A drawing cut into sheets: all of it is there, and the seams are where both sheets say."""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.shop.tiles import OVERLAP, Box, tiled

SIZE = st.floats(30.0, 1200.0)
MOST = st.tuples(st.floats(120.0, 260.0), st.floats(60.0, 250.0))


@given(SIZE, SIZE, MOST, st.floats(-3000.0, 3000.0))
def test_sheets_cover_the_drawing_and_fit_the_page(
    width: float, height: float, most: tuple[float, float], left: float
) -> None:
    content = Box(left, -height, left + width, 0.0)
    tiling = tiled(content, most, [])
    for sheet in tiling.sheets:
        assert sheet.width <= most[0] + 1e-6
        assert sheet.height <= most[1] + 1e-6
    steps = [part / 20.0 for part in range(21)]
    for x in steps:
        for y in steps:
            place = content.left + x * width, content.bottom + y * height
            assert any(sheet.has(place, -1e-9) for sheet in tiling.sheets)
    fewest = [
        1 if size <= room else ceil((size - OVERLAP) / (room - OVERLAP) - 1e-9)
        for size, room in ((width, most[0]), (height, most[1]))
    ]
    assert [tiling.columns, tiling.rows] == fewest


@given(SIZE, SIZE, MOST)
def test_a_seams_marks_are_on_both_of_its_sheets(
    width: float, height: float, most: tuple[float, float]
) -> None:
    tiling = tiled(Box(0.0, 0.0, width, height), most, [])
    names = [name for seam in tiling.seams for name in seam.names]
    assert len(names) == len(set(names))
    wanted = tiling.rows * (tiling.columns - 1) + tiling.columns * (tiling.rows - 1)
    assert len(tiling.seams) == wanted
    for seam in tiling.seams:
        for sheet in seam.sheets:
            assert all(tiling.sheets[sheet].has(mark, -1e-6) for mark in seam.marks)


def test_seams_stay_away_from_holes() -> None:
    content = Box(0.0, 0.0, 260.0, 60.0)
    tiling = tiled(content, (182.0, 100.0), [(130.0, 30.0)])
    (seam,) = tiling.seams
    assert abs(seam.start[0] - 130.0) >= 35.0


def test_what_fits_is_one_sheet_of_its_own_size() -> None:
    tiling = tiled(Box(-10.0, 5.0, 100.0, 60.0), (182.0, 100.0), [])
    assert tiling.sheets == (Box(-10.0, 5.0, 100.0, 60.0),)
    assert tiling.seams == ()
    assert tiling.sheets[0].width == pytest.approx(110.0)
