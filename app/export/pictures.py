"""Drawings and curves as pictures, PNG or SVG; each file whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QBuffer, QIODevice, QPoint, QPointF, QRect, QRectF, QSize
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgGenerator

from app.document.atomic import write_whole
from app.document.plain_text import one_line
from app.drawing.strokes import Bounds, Drawing
from app.drawing.views import View, centred_frame
from app.paint.lettering import Lettering
from app.paint.painter import Medium, paint_drawing
from app.paint.palette import PALETTES
from app.paper.faces import DOTS
from app.paper.flow import height_of
from app.paper.ink import Ink
from app.paper.sizes import A4
from app.sheet.pdf import needs_application
from app.sheet.plots import curve_block, legend
from app.systems.answers import Study
from app.systems.shown import Options, Shown
from app.systems.study_results import result_named
from geometry.dataclass import dataclass

Target = str | os.PathLike[str]
Paint = Callable[[QPainter], None]

SCALE: Final = 0.75  # of a picture of the drawing [px/mm]
FINENESS: Final = 2  # dots of a PNG per pixel of its layout
AROUND: Final = 56.0  # paper around a view, for its figures [px]
TITLE: Final = 30.0  # [px]
DOTS_PER_MM: Final = 6.0  # of a picture of the curves


def write_drawing(
    study: Study[Any],
    path: Target,
    *,
    view: View | None = None,
    palette: str = "print",
    decimal: str = ".",
) -> None:
    """Write all views, or one, as PNG or SVG by the file's ending; at rest.

    Raises
    ------
    OSError
        The file can't be written; what was there is as it was.
    """
    needs_application()
    drawings = _drawings(study, decimal)
    chosen = {view: drawings[view]} if view is not None else drawings
    board = _Arrangement(chosen, study.setup.title, palette)
    _write_picture(Path(path), board.size(), board.paint, study.setup.title)


def _drawings(study: Study[Any], decimal: str) -> dict[View, Drawing]:
    measured = study.measured.rest if study.changed else None
    shown = Shown(study, study.proposed.rest, measured)
    return study.system.drawings(shown, Options(decimal=decimal))


def write_curves(
    study: Study[Any],
    path: Target,
    *,
    keys: Sequence[str] | None = None,
    decimal: str = ".",
) -> None:
    """Write curves over wheel travel as PNG or SVG by the file's ending.

    Raises
    ------
    KeyError
        No axle has a result of one of the keys.
    OSError
        The file can't be written; what was there is as it was.
    """
    needs_application()
    chosen_results = (result_named(study, key) for key in keys or ())
    results = tuple(result for result in chosen_results if result is not None)
    blocks = [
        legend(study.changed, A4, study.setup.units),
        curve_block(study.system.whole(study), A4, decimal, results),
    ]
    size = QSize(round(A4.width * DOTS_PER_MM), round((height_of(blocks) + 14.0) * DOTS_PER_MM))

    def paint(painter: QPainter) -> None:
        painter.fillRect(
            QRect(0, 0, size.width(), size.height()), PALETTES["print"].colour("paper")
        )
        painter.scale(DOTS_PER_MM / DOTS, DOTS_PER_MM / DOTS)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, top = Ink(painter), 7.0
        for block in blocks:
            block.paint(ink, top + block.gap)
            top += block.gap + block.height

    _write_picture(Path(path), size, paint, f"{study.setup.title}, curves")


@dataclass(frozen=True)
class _Arrangement:
    """Views in drawing arrangement: side beside front, top under it."""

    drawings: dict[View, Drawing]
    title: str
    palette: str

    def size(self) -> QSize:
        width, height = 0.0, TITLE
        for view in self.drawings:
            box = self._box(view)
            width, height = max(width, box.right()), max(height, box.bottom())
        return QSize(round(width), round(height))

    def paint(self, painter: QPainter) -> None:
        inks, size = PALETTES[self.palette], self.size()
        medium = Medium(inks, Lettering())
        painter.fillRect(QRect(QPoint(), size), inks.colour("paper"))
        painter.setPen(inks.colour("ink"))
        painter.setFont(medium.lettering.bold)
        painter.drawText(QPointF(12.0, 20.0), one_line(self.title))
        for view, drawing in self.drawings.items():
            box = self._box(view)
            frame = centred_frame(self._bounds(view), SCALE, box.width(), box.height())
            frame = frame.moved(box.x(), box.y())
            area = box.x(), box.y(), box.width(), box.height()
            paint_drawing(painter, drawing, frame, area, medium)

    def _bounds(self, view: View) -> Bounds:
        """Return a view's bounds with the height or the width that it shares with the front."""
        view_bounds, front = self.drawings[view].bounds, self.drawings.get(View.FRONT)
        assert view_bounds is not None
        if front is None or front.bounds is None or view is View.FRONT:
            return view_bounds
        shared = front.bounds
        if view is View.TOP:
            return Bounds(shared.left, view_bounds.bottom, shared.right, view_bounds.top)
        return Bounds(view_bounds.left, shared.bottom, view_bounds.right, shared.top)

    def _box(self, view: View) -> QRectF:
        bounds, alone = self._bounds(view), len(self.drawings) == 1
        width = SCALE * (bounds.right - bounds.left) + 2 * AROUND
        height = SCALE * (bounds.top - bounds.bottom) + 2 * AROUND
        if alone or view is View.FRONT:
            return QRectF(0.0, TITLE, width, height)
        front = self._box(View.FRONT)
        if view is View.SIDE:
            return QRectF(front.right(), TITLE, width, height)
        return QRectF(0.0, front.bottom(), width, height)


def _write_picture(path: Path, size: QSize, paint: Paint, title: str) -> None:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    if path.suffix.lower() == ".svg":
        _fill_svg(buffer, size, paint, title)
    else:
        _fill_png(buffer, size, paint)
    write_whole(path, bytes(buffer.data().data()))


def _fill_svg(buffer: QBuffer, size: QSize, paint: Paint, title: str) -> None:
    generator = QSvgGenerator()
    generator.setOutputDevice(buffer)
    generator.setResolution(96)  # one unit a pixel, as browsers count them
    generator.setSize(size)
    generator.setViewBox(QRect(QPoint(), size))
    generator.setTitle(one_line(title))
    with QPainter(generator) as painter:
        paint(painter)


def _fill_png(buffer: QBuffer, size: QSize, paint: Paint) -> None:
    image = QImage(size * FINENESS, QImage.Format.Format_RGB32)
    with QPainter(image) as painter:
        painter.scale(FINENESS, FINENESS)
        paint(painter)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
