"""Leaves as files, PNG, SVG or PDF by the file's ending, each whole or not at all; or a picture."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRect, QSize, QSizeF
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter, QPdfWriter
from PySide6.QtSvg import QSvgGenerator

from app import VERSION
from app.document.atomic import write_whole
from app.document.plain_text import one_line
from app.document.quantities import INCH
from app.export.leaf import Leaf
from app.paper.faces import DOTS
from app.paper.ink import WHITE, Ink
from app.paper.spaces import with_plain_spaces
from app.sheet.pdf import DPI

PICTURE_DPI: Final = 220  # of a PNG and of a picture on the clipboard


def write_leaf(leaf: Leaf, path: Path) -> None:
    """Write a leaf in the format that the file's ending says; PNG for any other.

    Raises
    ------
    OSError
        The file can't be written; what was there is as it was.
    """
    makers = {".svg": svg_of, ".pdf": pdf_of}
    write_whole(path, makers.get(path.suffix.lower(), png_of)(leaf))


def image_of(leaf: Leaf) -> QImage:
    """Return a leaf as a picture that knows its size on paper."""
    per_mm = PICTURE_DPI / INCH
    image = QImage(round(leaf.width * per_mm), round(leaf.height * per_mm), _RGB)
    image.setDotsPerMeterX(round(1000 * per_mm))
    image.setDotsPerMeterY(round(1000 * per_mm))
    image.fill(WHITE)
    with QPainter(image) as painter:
        painter.scale(per_mm / DOTS, per_mm / DOTS)
        _paint(leaf, painter)
    return image


def png_of(leaf: Leaf) -> bytes:
    """Return the bytes of a PNG."""
    buffer = _opened()
    image_of(leaf).save(buffer, "PNG")  # type: ignore[call-overload]
    return bytes(buffer.data().data())


def svg_of(leaf: Leaf) -> bytes:
    """Return the bytes of an SVG in millimetres, whose words stay words."""
    buffer = _opened()
    generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)  # it cuts views off
    generator.setOutputDevice(buffer)
    size = QSize(round(leaf.width * DOTS), round(leaf.height * DOTS))
    generator.setResolution(round(DOTS * INCH))  # so that it knows its size on paper
    generator.setSize(size)
    generator.setViewBox(QRect(0, 0, size.width(), size.height()))
    generator.setTitle(one_line(leaf.title))
    with QPainter(generator) as painter:
        painter.fillRect(QRect(0, 0, size.width(), size.height()), WHITE)
        _paint(leaf, painter)
    return bytes(buffer.data().data())


def pdf_of(leaf: Leaf) -> bytes:
    """Return the bytes of a PDF of one page, to the scale that it states."""
    buffer = _opened()
    writer = QPdfWriter(buffer)
    writer.setResolution(DPI)
    size = QPageSize(QSizeF(leaf.height, leaf.width), QPageSize.Unit.Millimeter)
    none, unit = QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter
    writer.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Landscape, none, unit))
    writer.setTitle(one_line(leaf.title))
    writer.setCreator(f"Wishboard {VERSION}")
    with QPainter(writer) as painter:
        painter.scale(DPI / INCH / DOTS, DPI / INCH / DOTS)
        _paint(leaf, painter)
    return with_plain_spaces(bytes(buffer.data().data()))


_RGB: Final = QImage.Format.Format_RGB32


def _paint(leaf: Leaf, painter: QPainter) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    leaf.paint_all(Ink(painter))


def _opened() -> QBuffer:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    return buffer
