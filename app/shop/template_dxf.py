"""Drill templates as a DXF drawing at full size in mm, for a plotter or a cutter.

The library is loaded when a drawing is written, never at a start.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from app.document.atomic import write_whole
from app.document.model import Setup
from app.document.plain_text import one_line
from app.document.quantities import INCH
from app.shop.plane import Place
from app.shop.template import Template
from app.shop.template_marks import LETTERS, Circle, Label, Line, content_of, marks_of
from app.shop.template_words import MEASURE, TemplateWords
from app.shop.tiles import Box

if TYPE_CHECKING:
    from ezdxf.document import Drawing

VERSION: Final = "R2010"
MILLIMETRES: Final = 4  # $INSUNITS, by the DXF reference
METRIC: Final = 1  # $MEASUREMENT, by the same
DASH: Final = 8.0  # of the line types, whose patterns are for inches: gaps of about a millimetre
APART: Final = 30.0  # between two templates [mm]
HEAD: Final = 22.0  # room above a template for its name
FOOT: Final = 34.0  # room below it, for bars and words
NAME: Final = 5.0  # height of a name's capitals
LINE: Final = 4.2  # from one line of words to the next
WIDE: Final = 0.85  # width of a letter, in heights of capitals, for breaking lines
ARROW: Final = 12.0
BARS: Final = ((100.0, "100 mm"), (4 * INCH, "4 in"))
LAYERS: Final[dict[str, tuple[int, str]]] = {  # colour's number in the palette, line type
    "OLD_CENTRES": (8, "DASHED"),
    "OLD_HOLES": (8, "DASHED"),
    "NEW_CENTRES": (7, "CONTINUOUS"),
    "NEW_HOLES": (1, "CONTINUOUS"),
    "EDGE_DISTANCE": (3, "DASHED"),
    "PIVOT_AXES": (5, "DASHDOT"),
    "DATUM": (4, "CENTER"),
    "LINKS": (5, "CENTER"),
    "CHECK_BARS": (6, "CONTINUOUS"),
    "WORDS": (7, "CONTINUOUS"),
}


def write_dxf(setup: Setup, templates: Sequence[Template], path: Path, decimal: str = ".") -> None:
    """Write templates at full size, each below the one before, whole or not at all.

    Raises
    ------
    OSError
        The file can't be written; what was there is as it was.
    """
    text = StringIO()
    dxf_of(setup, templates, decimal).write(text)
    write_whole(path, text.getvalue().encode())


def dxf_of(setup: Setup, templates: Sequence[Template], decimal: str = ".") -> Drawing:
    """Return the drawing; `origins` tells where each template's first old centre stands in it."""
    from ezdxf.filemanagement import new

    drawing = new(VERSION, setup=["linetypes"], units=MILLIMETRES)
    drawing.header["$MEASUREMENT"] = METRIC
    drawing.header["$LTSCALE"] = DASH
    for name, (colour, kind) in LAYERS.items():
        drawing.layers.add(name, color=colour, linetype=kind)
    writer = _Writer(drawing.modelspace(), TemplateWords(setup.units, decimal))
    for template, origin in zip(templates, origins(templates), strict=True):
        writer.write(template, origin, one_line(setup.title))
    return drawing


def origins(templates: Sequence[Template]) -> Iterator[Place]:
    """Yield where the origin of each template's plane is in the drawing [mm]."""
    top = 0.0
    for template in templates:
        box = content_of(template)
        yield -box.left, top - HEAD - box.top
        top -= HEAD + box.height + FOOT + APART + LINE * 14


class _Writer:
    """Writes templates into a drawing's model space."""

    def __init__(self, space: Any, words: TemplateWords) -> None:
        self.space, self.words = space, words

    def write(self, template: Template, origin: Place, car: str) -> None:
        """Write one template with its first centre at a place."""
        for mark in marks_of(template, self.words):
            if isinstance(mark, Line):
                self._line(mark.layer, _shifted(mark.start, origin), _shifted(mark.end, origin))
            elif isinstance(mark, Circle):
                centre = _shifted(mark.centre, origin)
                self.space.add_circle(centre, mark.radius, {"layer": mark.layer})
            else:
                self._label(mark, origin)
        for hole in template.holes:
            if hole.old_at is not None:
                self._point("OLD_CENTRES", _shifted(hole.old_at, origin))
            if not hole.stays:
                self._point("NEW_CENTRES", _shifted(hole.new_at, origin))
        box = content_of(template)
        left, top = _shifted((box.left, box.top), origin)
        self._text((left, top + 12.0), template.name, NAME)
        self._text((left, top + 5.0), f"{car}. Full size, 1 : 1, mm.", LETTERS)
        self._below(template, box, _shifted((box.left, box.bottom), origin))

    def _below(self, template: Template, box: Box, corner: Place) -> None:
        """Write bars, arrows and words under a template."""
        left, bottom = corner
        self._text((left, bottom - 6.0), f"{MEASURE}:", LETTERS)
        for index, (length, name) in enumerate(BARS):
            y = bottom - 12.0 - 8.0 * index
            self._line("CHECK_BARS", (left, y), (left + length, y))
            for x in (left, left + length):
                self._line("CHECK_BARS", (x, y - 1.5), (x, y + 1.5))
            self._text((left + 46.0, y + 1.0), name, LETTERS)
        self._arrows(template, (left + BARS[1][0] + 30.0, bottom - 22.0))
        width = max(box.width, BARS[1][0] + 50.0)
        lines = [
            line
            for text in self.words.paragraphs(template)
            for line in _broken(text, int(width / (WIDE * LETTERS)))
        ]
        for index, line in enumerate(lines):
            self._text((left, bottom - FOOT - LINE * index), line, LETTERS)

    def _arrows(self, template: Template, corner: Place) -> None:
        words, way = self.words.right_arrow(template)
        x, y = corner
        self._arrow(corner, (x + way * ARROW, y))
        self._arrow(corner, (x, y + ARROW))
        self._text((x + way * (ARROW + 2.0), y - 1.0), words, LETTERS, "right" if way < 0 else "")
        self._text((x + 1.5, y + ARROW), self.words.up_arrow(template), LETTERS)

    def _arrow(self, start: Place, tip: Place) -> None:
        self._line("DATUM", start, tip)
        across, up = (tip[0] - start[0]) / ARROW, (tip[1] - start[1]) / ARROW
        for side in (-1.2, 1.2):
            end = tip[0] - 2.4 * across + side * up, tip[1] - 2.4 * up + side * across
            self._line("DATUM", end, tip)

    def _label(self, label: Label, origin: Place) -> None:
        align = "centre" if label.is_centred else ""
        self._text(_shifted(label.at, origin), label.words, LETTERS, align)

    def _text(self, at: Place, words: str, height: float, align: str = "") -> None:
        from ezdxf.enums import TextEntityAlignment

        text = self.space.add_text(words, height=height, dxfattribs={"layer": "WORDS"})
        alignment = {"centre": TextEntityAlignment.CENTER, "right": TextEntityAlignment.RIGHT}
        text.set_placement(at, align=alignment.get(align, TextEntityAlignment.LEFT))

    def _line(self, layer: str, start: Place, end: Place) -> None:
        self.space.add_line(start, end, {"layer": layer})

    def _point(self, layer: str, at: Place) -> None:
        self.space.add_point(at, {"layer": layer})


def _shifted(place: Place, by: Place) -> Place:
    return place[0] + by[0], place[1] + by[1]


def _broken(text: str, most: int) -> list[str]:
    """Return text in lines of so many letters at most."""
    from textwrap import wrap

    return wrap(text, max(20, most))
