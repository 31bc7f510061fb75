"""The ruled paper under a view: fine, middle and heavy lines, and figures at two edges."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

import numpy as np
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from app.document.quantities import INCH
from app.drawing.views import Frame
from app.paint.lettering import Lettering
from app.paint.palette import Inks
from geometry.dataclass import dataclass

Units = Literal["mm", "in"]
LEFT_MARGIN: Final = 40  # the strip of figures at the left edge, in pixels
BOTTOM_MARGIN: Final = 18
CLOSEST: Final = 5.0  # fine lines are at least this far apart, in pixels
FIGURES_APART: Final = 44.0


@dataclass(frozen=True, slots=True)
class Ruling:
    """Steps [mm] of the fine, middle and heavy lines and of the figures, and mm per figure."""

    fine: float
    middle: float
    heavy: float
    figures: float
    per_figure: float


# In each unit: fine, middle, heavy. 10, 50 and 100 mm is the everyday one.
MM_STEPS: Final = tuple((f, 5 * f, 10 * f) for f in (1.0, 10.0, 100.0, 1000.0))
INCH_STEPS: Final = (
    (0.0625, 0.25, 1.0),
    (0.25, 0.5, 1.0),
    (0.5, 1.0, 6.0),
    (1.0, 3.0, 12.0),
    (3.0, 12.0, 36.0),
    (12.0, 36.0, 120.0),
)
# Between figures, where the lines allow them.
MM_FIGURES: Final = tuple(step * 10.0**power for power in range(6) for step in (1.0, 2.0, 5.0))
INCH_FIGURES: Final = (0.0625, 0.25, 0.5, 1.0, 2.0, 3.0, 6.0, *(12.0, 24.0, 36.0, 60.0, 120.0))


def ruling(scale: float, units: Units) -> Ruling:
    """Return the ruling for a scale in pixels per mm."""
    per = 1.0 if units == "mm" else INCH
    steps = MM_STEPS if units == "mm" else INCH_STEPS
    open_enough = [s for s in steps if s[0] * per * scale >= CLOSEST] or [steps[-1]]
    fine, middle, heavy = (step * per for step in open_enough[0])
    round_steps = (step * per for step in (MM_FIGURES if units == "mm" else INCH_FIGURES))
    figures = heavy
    while figures * scale < FIGURES_APART:
        figures *= 2
    standing = (s for s in round_steps if s * scale >= FIGURES_APART and _is_whole(s / fine))
    return Ruling(fine, middle, heavy, min(figures, next(standing, figures)), per)


def _is_whole(number: float) -> bool:
    return number >= 1.0 - 1e-9 and abs(number - round(number)) < 1e-9


def paint_grid(
    painter: QPainter,
    frame: Frame,
    size: tuple[int, int],
    inks: Inks,
    lettering: Lettering,
    units: Units,
) -> None:
    """Paint the paper, its ruling and the figures along the left and the bottom edge."""
    width, height = size
    painter.fillRect(QRectF(0, 0, width, height), inks.colour("paper"))
    rule = ruling(frame.scale, units)
    for step, ink in ((rule.fine, "grid_fine"), (rule.middle, "grid_middle")):
        _paint_lines(painter, frame, size, step, inks, ink)
    _paint_lines(painter, frame, size, rule.heavy, inks, "grid_heavy")
    painter.fillRect(QRectF(0, 0, LEFT_MARGIN, height), inks.colour("margin"))
    painter.fillRect(QRectF(0, height - BOTTOM_MARGIN, width, BOTTOM_MARGIN), inks.colour("margin"))
    _paint_figures(painter, frame, size, rule, inks, lettering)


def _steps(low: float, high: float, step: float) -> Iterator[float]:
    yield from (np.arange(np.ceil(low / step), np.floor(high / step) + 1) * step).tolist()


def _paint_lines(
    painter: QPainter, frame: Frame, size: tuple[int, int], step: float, inks: Inks, ink: str
) -> None:
    width, height = size
    left, top = frame.to_paper(0, 0)
    right, bottom = frame.to_paper(width, height)
    upright = (_crisp(frame.to_device((u, 0))[0]) for u in _steps(left, right, step))
    level = (_crisp(frame.to_device((0, v))[1]) for v in _steps(bottom, top, step))
    painter.setPen(QPen(inks.colour(ink), 1))
    painter.drawLines([QLineF(x, 0, x, height) for x in upright])
    painter.drawLines([QLineF(0, y, width, y) for y in level])


def _crisp(pixel: float) -> float:
    return round(pixel - 0.5) + 0.5


def _paint_figures(
    painter: QPainter,
    frame: Frame,
    size: tuple[int, int],
    rule: Ruling,
    inks: Inks,
    lettering: Lettering,
) -> None:
    """Write the car's coordinates at the edges, where they don't run into the corners."""
    width, height = size
    left, top = frame.to_paper(LEFT_MARGIN, 0)
    right, bottom = frame.to_paper(width, height - BOTTOM_MARGIN)
    painter.setPen(inks.colour("second"))
    painter.setFont(lettering.small)
    corner = QRectF(0, height - BOTTOM_MARGIN, LEFT_MARGIN - 5, BOTTOM_MARGIN)
    right_middle = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    painter.drawText(corner, right_middle, "mm" if rule.per_figure == 1.0 else "in")
    half = QFontMetricsF(lettering.small).height() / 2
    for u in _steps(left, right, rule.figures):
        x = frame.to_device((u, 0))[0]
        if LEFT_MARGIN + 14 < x < width - 18:
            box = QRectF(x - 30, height - BOTTOM_MARGIN, 60, BOTTOM_MARGIN)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, _figure(u / rule.per_figure))
    for v in _steps(bottom, top, rule.figures):
        y = frame.to_device((0, v))[1]
        if half < y < height - BOTTOM_MARGIN - half:
            box = QRectF(0, y - half, LEFT_MARGIN - 5, 2 * half)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight, _figure(v / rule.per_figure))


def _figure(value: float) -> str:
    return f"{round(value, 3) + 0.0:g}".replace("-", "−")
