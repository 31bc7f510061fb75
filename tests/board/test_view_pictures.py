"""What a view shows: inks, lined-up siblings, and what a screen reader is told."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QImage, QPainter
from PySide6.QtWidgets import QGridLayout, QWidget
from pytestqt.qtbot import QtBot

from app.board.links import ViewLinks
from app.board.view import BoardView
from app.drawing.strokes import Drawing, Grip
from app.drawing.views import View
from app.paint.painter import paint_drawing, paper_medium
from app.paint.palette import BLACK, LIGHT
from tests.helpers.demo_drawing import demo_drawing
from tests.helpers.views import BALL, key, pixel, wheel

pytestmark = pytest.mark.gui


# What is seen


def ink_count(image: QImage, is_wanted: Callable[[np.ndarray], np.ndarray]) -> int:
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4)
    return int(is_wanted(pixels[..., 2::-1].astype(int)).sum())


def darkness(view: BoardView) -> int:
    return ink_count(view.grab().toImage(), lambda rgb: rgb.sum(axis=-1) < 250)


def test_an_unreachable_pose_greys_the_drawing_and_says_why(view: BoardView) -> None:
    view.clearFocus()  # its ring is as dark as the ink
    fresh = darkness(view)
    view.set_unreachable("x")
    assert darkness(view) < fresh / 2
    view.set_unreachable("")
    assert darkness(view) == fresh


def test_dark_paper_is_dark(view: BoardView) -> None:
    view.set_palette_name("dark")
    image = view.grab().toImage()
    dark = ink_count(image, lambda rgb: rgb.sum(axis=-1) < 200)
    assert dark > 0.7 * image.width() * image.height()


def test_the_focus_and_the_selection_can_be_seen(view: BoardView) -> None:
    plain = view.grab().toImage()
    view.set_selection({BALL})
    selected = view.grab().toImage()
    key(view, Qt.Key.Key_BracketRight)
    walked = view.grab().toImage()
    view.clearFocus()
    assert plain != selected != walked != view.grab().toImage()


def test_a_view_too_small_for_its_drawing_and_an_empty_one_paint(view: BoardView) -> None:
    view.resize(view.minimumSizeHint())
    assert not view.grab().isNull()
    view.set_drawing(Drawing())
    assert not view.grab().isNull()


def test_a_picture_at_twice_the_resolution_shows_the_same_drawing(view: BoardView) -> None:
    sizes = []
    for factor in (1, 2):
        image = QImage(800 * factor, 600 * factor, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        medium = paper_medium(BLACK, 4.0 * factor)
        frame = view.frame.zoomed(factor, 0, 0)
        with QPainter(image) as painter:
            area = (0, 0, image.width(), image.height())
            paint_drawing(painter, view.drawing, frame, area, medium)
        sizes.append(ink_count(image, lambda rgb: rgb.sum(axis=-1) < 380) / factor**2)
    assert sizes[0] == pytest.approx(sizes[1], rel=0.15)


def test_the_light_paper_s_ink_is_on_the_picture(view: BoardView) -> None:
    want = np.array([int(LIGHT.ink[i : i + 2], 16) for i in (1, 3, 5)])
    found = ink_count(view.grab().toImage(), lambda rgb: (rgb == want).all(axis=-1))
    assert found > 200


# The siblings


@pytest.fixture
def board(qtbot: QtBot) -> Iterator[dict[View, BoardView]]:
    window = QWidget()
    qtbot.addWidget(window)
    grid, views = QGridLayout(window), {v: BoardView(v) for v in View}
    for place, v in ((0, 0), View.FRONT), ((0, 1), View.SIDE), ((1, 0), View.TOP):
        grid.addWidget(views[v], *place)
        views[v].set_drawing(demo_drawing(v))
    ViewLinks(*(views[v] for v in View))
    window.resize(1000, 900)
    with qtbot.waitExposed(window):
        window.show()
    yield views
    window.close()


def assert_lined_up(board: dict[View, BoardView]) -> None:
    front, side, top = (board[v] for v in View)
    assert front.frame.scale == pytest.approx(side.frame.scale)
    assert front.frame.scale == pytest.approx(top.frame.scale)
    assert pixel(front, BALL).y() == pytest.approx(pixel(side, BALL).y(), abs=1)
    assert pixel(front, BALL).x() == pytest.approx(pixel(top, BALL).x(), abs=1)


@pytest.mark.parametrize("leader", View)
def test_a_point_lines_up_across_the_views_whichever_is_moved(
    board: dict[View, BoardView], leader: View
) -> None:
    assert_lined_up(board)
    wheel(board[leader], QPoint(200, 150), 3)
    assert_lined_up(board)
    board[leader].pan(37, -21)
    assert_lined_up(board)
    key(board[leader], Qt.Key.Key_F)
    assert_lined_up(board)


def test_fitted_views_show_every_point(board: dict[View, BoardView]) -> None:
    for view in board.values():
        for item in view.aim.handles:
            assert view.paper_area().contains(view.place_of(item))


def test_a_fitted_board_stays_fitted_when_the_window_grows(board: dict[View, BoardView]) -> None:
    before = board[View.FRONT].frame.scale
    board[View.FRONT].window().resize(1500, 1300)
    assert board[View.FRONT].frame.scale > before
    assert_lined_up(board)


# A screen reader


def test_a_screen_reader_finds_each_point_with_its_coordinates(view: BoardView) -> None:
    spoken = QAccessible.queryAccessibleInterface(view)
    assert spoken.role() == QAccessible.Role.Canvas
    assert spoken.text(QAccessible.Text.Name) == "Front view"
    assert spoken.childCount() == len(view.aim.items)
    child = spoken.child(2)
    assert child.text(QAccessible.Text.Name) == "Upper ball joint, -12.0, 628.0, 560.0 mm"
    assert child.text(QAccessible.Text.Description) == "where it stands, as built"
    assert child.rect().contains(view.mapToGlobal(pixel(view, BALL)))
    view.set_selection({BALL})
    assert child.state().selected


def test_grips_are_found_too(view: BoardView) -> None:
    grips = [item for item in view.aim.items if isinstance(item, Grip)]
    spoken = QAccessible.queryAccessibleInterface(view)
    names = [spoken.child(i).text(QAccessible.Text.Name) for i in range(spoken.childCount())]
    assert [name.partition(",")[0] for name in names[-len(grips) :]] == ["Left wheel", "Ground"]
