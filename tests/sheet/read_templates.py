"""Templates read back from their PDF: strokes, words, marks, sheets taped together."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from app.document.model import Setup
from app.paper.sizes import PAPERS
from app.sheet.heads import BODY, FOOT
from app.sheet.template_frame import REGISTER
from app.sheet.template_page import on_sheets
from app.sheet.template_pdf import write_templates
from app.shop.template import Template, templates
from app.shop.template_marks import NEW_ARM, OLD_ARM, content_of
from app.shop.template_words import TemplateWords
from tests.helpers.pdf_strokes import POINT, Strokes, strokes_of
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import (
    TODAY,
    Word,
    words_of,
)

CENTRE = 0.05  # how near places of centres must be [mm]


def written(setup: Setup, folder: Path, paper: str) -> tuple[tuple[Template, ...], Path]:
    drills, path = templates(setup), folder / "template.pdf"
    write_templates(setup, drills, path, paper, today=TODAY, source="car.toml")  # type: ignore[arg-type]
    return drills, path


@dataclass(frozen=True)
class Sheet:
    """A page of a template: its strokes, and where its marks are by their names [mm]."""

    strokes: Strokes
    marks: dict[str, np.ndarray]


@dataclass(frozen=True)
class Printed:
    """Templates printed on a paper and read back: strokes, words and text of each page."""

    paper: str
    templates: tuple[Template, ...]
    sheets: tuple[Template, ...]
    strokes: list[Strokes]
    words: list[list[Word]]
    texts: list[str]

    def by_template(self) -> list[tuple[Template, list[Sheet]]]:
        """Return each template with its pages, in the order of its sheets."""
        heads = [text.split("Drill template · ")[1] for text in self.texts]
        pages = list(zip(heads, self.strokes, self.words, strict=True))
        own = {
            each.name: [p for p in pages if p[0].startswith(f"{each.name} ")]
            for each in self.sheets
        }
        found = [
            (
                each,
                [
                    Sheet(strokes, named_marks(strokes, words))
                    for _, strokes, words in own[each.name]
                ],
            )
            for each in self.sheets
            if own[each.name]
        ]
        lone = {id(page) for group in own.values() for page in group}
        for head, strokes, _ in (page for page in pages if id(page) not in lone):
            found += self._shared(head, strokes)
        assert sorted(each.name for each, _ in found) == sorted(e.name for e in self.sheets)
        assert sum(len(group) for group in own.values()) + sum(
            id(page) not in lone for page in pages
        ) == len(pages)
        return found

    def _shared(self, head: str, strokes: Strokes) -> list[tuple[Template, list[Sheet]]]:
        """Return the templates of one page that has several, each with what is in its frame."""
        titles = re.split(r" revision | 24 Nov 2026 ", head)[0].split("; ")
        order = [
            each for title in titles for each in self.sheets if title in (each.title, each.thing)
        ]
        found, taken = [], set()
        for each in order:
            box = content_of(each)
            corners = sorted(
                (round(min(y for _, y in ends), 2), round(min(x for x, _ in ends), 2))
                for ends in ((line.start, line.end) for line in strokes.lines)
                if np.abs(np.subtract(*ends)) == pytest.approx((box.width, box.height), abs=0.01)
            )  # a rectangle is read as the stroke from corner to corner
            y, x = next(corner for corner in corners if corner not in taken)
            taken.add((y, x))
            found.append((each, [Sheet(within(strokes, x, y, box.width, box.height), {})]))
        return found


def within(strokes: Strokes, x: float, y: float, width: float, height: float) -> Strokes:
    """Return the strokes in a rectangle of a page."""

    def has(place: tuple[float, float]) -> bool:
        return x - 0.1 <= place[0] <= x + width + 0.1 and y - 0.1 <= place[1] <= y + height + 0.1

    return Strokes(
        tuple(line for line in strokes.lines if has(line.middle)),
        tuple(circle for circle in strokes.circles if has(circle.centre)),
    )


def read_back(setup: Setup, folder: Path, paper: str) -> Printed:
    drills, path = written(setup, folder, paper)
    assert drills
    return Printed(
        paper,
        drills,
        sheets_of(setup, drills, paper),
        strokes_of(path),
        words_of(path),
        texts_of(path),
    )


def sheets_of(setup: Setup, drills: Sequence[Template], paper: str) -> tuple[Template, ...]:
    """Return templates as they go on sheets: some with old and new centres apart."""
    size = PAPERS[paper]  # type: ignore[index]
    room = size.height - FOOT - BODY
    return tuple(on_sheets(drills, TemplateWords(setup.units), size, room))


def named_marks(strokes: Strokes, words: list[Word]) -> dict[str, np.ndarray]:
    """Return the marks of a page by what is written beside them: "A to A of sheet 2"."""
    crosses, marks = strokes.crosses(REGISTER), {}
    for first, to, again, of in zip(words, words[1:], words[2:], words[3:], strict=False):
        if (to.text, of.text) == ("to", "of") and first.text == again.text:
            last = words[words.index(again) + 3]
            ends = [
                np.array([x, 0.5 * (first.top + first.bottom)]) for x in (first.left, last.right)
            ]
            near = min(
                crosses,
                key=lambda at: min(float(np.hypot(*(np.array(at) - e * POINT))) for e in ends),
            )
            marks[first.text] = np.array(near)
    assert len({tuple(at) for at in marks.values()}) == len(crosses)
    return marks


def joined(sheets: list[Sheet]) -> dict[str, np.ndarray]:
    """Tape sheets together by their marks and return old and new centres, left to right."""
    shifts = {0: np.zeros(2)}
    for index, sheet in enumerate(sheets[1:], 1):
        offsets = [
            shifts[before] + sheets[before].marks[name] - at
            for before in range(index)
            for name, at in sheet.marks.items()
            if name in sheets[before].marks
        ]
        assert len(offsets) >= 2, "a sheet has no seam with those before it"
        assert np.ptp(offsets, axis=0).max() <= CENTRE, "the marks of a seam don't meet"
        shifts[index] = np.mean(offsets, axis=0)
    return {
        kind: _placed([sheet.strokes for sheet in sheets], list(shifts.values()), arm)
        for kind, arm in (("old", OLD_ARM), ("new", NEW_ARM))
    }


def _placed(sheets: list[Strokes], shifts: list[np.ndarray], arm: float) -> np.ndarray:
    places: list[np.ndarray] = []
    for sheet, shift in zip(sheets, shifts, strict=True):
        for cross in sheet.crosses(arm):
            place = np.array(cross) + shift
            if all(np.hypot(*(place - other)) > 0.5 for other in places):
                places.append(place)
    return np.array(places)


def distances(places: np.ndarray) -> list[float]:
    return sorted(float(np.hypot(*(a - b))) for a, b in combinations(places, 2))
