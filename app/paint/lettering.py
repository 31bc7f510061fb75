"""The lettering of a drawing: fonts, and the sizes of words."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import (
    QFont,
    QFontInfo,
    QFontMetricsF,
    QGuiApplication,
    QStaticText,
    QTransform,
)

TEXT_HEIGHT: Final = 12.0  # of body text, in units
MOST_WORDS: Final = 2000  # remembered sizes; figures change all the time under a drag


class Lettering:
    """Plain, bold and small fonts of one size, with the sizes of words remembered."""

    def __init__(
        self, unit: float = 1.0, height: float = TEXT_HEIGHT, base: QFont | None = None
    ) -> None:
        base = base or QGuiApplication.font()
        self.plain = _font(base, height * unit)
        self.bold = _font(base, height * unit, bold=True)
        self.small = _font(base, 0.85 * height * unit)
        self._metrics = {font: QFontMetricsF(font) for font in (self.plain, self.bold)}
        self._sizes: dict[tuple[str, bool], tuple[float, float]] = {}
        self._set_up: dict[tuple[str, bool], QStaticText] = {}

    def font(self, bold: bool) -> QFont:
        """Return the bold or the plain font."""
        return self.bold if bold else self.plain

    def ascent(self, bold: bool) -> float:
        """Return the height of the baseline above which a text box begins."""
        return self._metrics[self.font(bold)].ascent()

    def measure(self, text: str, bold: bool) -> tuple[float, float]:
        """Return the width and height of a text."""
        size = self._sizes.get((text, bold))
        return size if size is not None else self._remember(text, bold)

    def set_up(self, text: str, bold: bool) -> QStaticText:
        """Return a text ready to be painted on a screen, in the font that is set then."""
        words = self._set_up.get((text, bold))
        if words is None:
            if len(self._set_up) > MOST_WORDS:
                self._set_up.clear()
            words = self._set_up[text, bold] = QStaticText(text)
            words.setTextFormat(Qt.TextFormat.PlainText)
            words.prepare(QTransform(), self.font(bold))
        return words

    def _remember(self, text: str, bold: bool) -> tuple[float, float]:
        if len(self._sizes) > MOST_WORDS:
            self._sizes.clear()
        metrics = self._metrics[self.font(bold)]
        size = metrics.horizontalAdvance(text), metrics.height()
        self._sizes[text, bold] = size
        return size


def screen_lettering() -> Lettering:
    """Return lettering in the size that the desktop asks for."""
    return Lettering(height=max(11.0, float(QFontInfo(QGuiApplication.font()).pixelSize())))


def _font(base: QFont, pixels: float, bold: bool = False) -> QFont:
    font = QFont(base)
    font.setPixelSize(max(1, round(pixels)))
    font.setBold(bold)
    return font
