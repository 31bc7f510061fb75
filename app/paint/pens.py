"""The pen of each line kind: weight and dashes after ISO 128-2, ink from the palette."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPen

from app.drawing.strokes import LineKind
from app.paint.palette import Inks
from geometry.dataclass import dataclass

THIN: Final = 1.0  # in units: a pixel on the screen, 0.25 mm on paper
THICK: Final = 2.0

# Lengths in line widths, ISO 128-2:2020 [from memory]; dots are drawn as 1.5, since the half
# width of the standard vanishes on a screen.
DASHED: Final = (12.0, 3.0)
LONG_DASH_DOT: Final = (24.0, 3.0, 1.5, 3.0)
LONG_DASH_TWO_DOTS: Final = (24.0, 3.0, 1.5, 3.0, 1.5, 3.0)
DOTTED: Final = (1.5, 3.0)
CONTINUOUS: Final[tuple[float, ...]] = ()


@dataclass(frozen=True, slots=True)
class Style:
    """How a kind of line is drawn, and the ink of words of that kind."""

    ink: str
    width: float = THIN
    dashes: tuple[float, ...] = CONTINUOUS
    words: str = "ink"


STYLES: Final[Mapping[LineKind, Style]] = {
    LineKind.PROPOSED: Style("ink", 2.25),
    LineKind.PROPOSED_THIN: Style("ink", 1.25),
    LineKind.MEASURED: Style("second", THIN, DASHED, "second"),
    LineKind.CENTRELINE: Style("second", THIN, LONG_DASH_DOT, "second"),
    LineKind.CONSTRUCTION: Style("accent", THIN, LONG_DASH_DOT, "accent"),
    LineKind.CONSTRUCTION_WAS: Style("second", THIN, LONG_DASH_DOT, "second"),
    LineKind.AXIS: Style("ink", THIN, DOTTED),
    LineKind.PATH: Style("accent", THIN, CONTINUOUS, "accent"),
    LineKind.GROUND: Style("ink", 1.75),
    LineKind.DIMENSION: Style("ink"),
    LineKind.MOVE: Style("accent", THIN, CONTINUOUS, "accent"),
    LineKind.RESULT: Style("ink", 1.5, DOTTED),
    LineKind.HIDDEN: Style("soft", THIN, DASHED),
    LineKind.FAR: Style("soft", THIN),
    LineKind.WHEEL: Style("soft", THIN),
    LineKind.SPRING: Style("soft", THICK),
    LineKind.DAMPER: Style("soft", THIN),
    LineKind.ROOM: Style("soft", THIN),
    LineKind.GHOST: Style("soft", THIN, LONG_DASH_TWO_DOTS),
    LineKind.SECOND_CAR: Style("other", THIN, LONG_DASH_TWO_DOTS, "other"),
}


class Pens:
    """Pens and colours in some inks at the size of a unit, each mixed once."""

    def __init__(self, inks: Inks, unit: float) -> None:
        self.inks, self.unit = inks, unit
        self._kinds: dict[LineKind, QPen] = {}
        self._plain: dict[tuple[str, float], QPen] = {}
        self._colours: dict[tuple[str, float], QColor] = {}

    def of(self, kind: LineKind) -> QPen:
        """Return the pen of a line kind."""
        pen = self._kinds.get(kind)
        if pen is None:
            pen = self._kinds[kind] = _pen(kind, self.inks, self.unit)
        return pen

    def plain(self, ink: str, width: float = THIN) -> QPen:
        """Return a continuous pen; `width` is in units."""
        pen = self._plain.get((ink, width))
        if pen is None:
            pen = self._plain[ink, width] = QPen(self.colour(ink), width * self.unit)
        return pen

    def colour(self, ink: str, cover: float = 1.0) -> QColor:
        """Return an ink that covers what is under it, or a share of it."""
        colour = self._colours.get((ink, cover))
        if colour is None:
            colour = self._colours[ink, cover] = self.inks.colour(ink)
            colour.setAlphaF(cover)
        return colour


def _pen(kind: LineKind, inks: Inks, unit: float) -> QPen:
    """Return the pen of a line kind: flat caps where it is dashed, round ones where it isn't.

    Wide lines on a screen end square, which can't be seen there and is painted five times as fast.
    """
    style = STYLES[kind]
    made = QPen(inks.colour(style.ink), style.width * unit)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if style.dashes:
        made.setCapStyle(Qt.PenCapStyle.FlatCap)
        made.setDashPattern(list(style.dashes))
    elif style.width > THIN and unit <= THIN:
        made.setCapStyle(Qt.PenCapStyle.SquareCap)
    else:
        made.setCapStyle(Qt.PenCapStyle.RoundCap)
    return made
