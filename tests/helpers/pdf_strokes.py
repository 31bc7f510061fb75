"""The strokes of a PDF's pages, from the content streams' own coordinates.

A stroke whose middle is cut off by a clip isn't seen and isn't counted.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
from pypdf import PdfReader
from pypdf.generic import ContentStream

POINT = 25.4 / 72.0  # mm
_WORDS = re.compile(rb"^BT$.*?^ET$", re.DOTALL | re.MULTILINE)
Place = tuple[float, float]


@dataclass(frozen=True)
class Straight:
    """A straight stroke [mm], from the page's top left corner."""

    start: Place
    end: Place
    weight: float
    is_dashed: bool

    @property
    def length(self) -> float:
        return float(np.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1]))

    @property
    def middle(self) -> Place:
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2

    @property
    def is_level(self) -> bool:
        return abs(self.start[1] - self.end[1]) < 1e-6

    @property
    def is_upright(self) -> bool:
        return abs(self.start[0] - self.end[0]) < 1e-6


@dataclass(frozen=True)
class Round:
    """A circle [mm]."""

    centre: Place
    radius: float
    is_dashed: bool


@dataclass(frozen=True)
class Strokes:
    """All strokes of one page."""

    lines: tuple[Straight, ...]
    circles: tuple[Round, ...]

    def crosses(self, arm: float) -> list[Place]:
        """Return the middles of crosses whose arms are as long as that."""
        size = 2 * arm
        level = [s for s in self.lines if s.is_level and abs(s.length - size) < 0.02]
        upright = [s for s in self.lines if s.is_upright and abs(s.length - size) < 0.02]
        return [
            a.middle
            for a in level
            if any(np.hypot(*np.subtract(a.middle, b.middle)) < 0.02 for b in upright)
        ]


def strokes_of(path: Path) -> list[Strokes]:
    """Return the strokes of each page."""
    reader = PdfReader(path)
    return [_page(page, reader) for page in reader.pages]


def _page(page: object, reader: PdfReader) -> Strokes:
    height = float(page.mediabox.height)  # type: ignore[attr-defined]
    matrix, stack = np.eye(3), []
    weight, dashed = 0.0, False
    clip = np.array([[-np.inf, -np.inf], [np.inf, np.inf]])
    paths: list[tuple[str, np.ndarray]] = []
    current: list[tuple[str, np.ndarray]] = []
    lines: list[Straight] = []
    circles: list[Round] = []

    def at(x: float, y: float) -> np.ndarray:
        place = np.array([x, y, 1.0]) @ matrix
        return np.array([place[0] * POINT, (height - place[1]) * POINT])

    for operands, operator in _without_words(page, reader).operations:
        name = operator.decode()
        numbers = [float(o) for o in operands] if name in ("cm", "w", "m", "l", "c", "re") else []
        match name:
            case "q":
                stack.append((matrix, weight, dashed, clip))
            case "Q":
                matrix, weight, dashed, clip = stack.pop()
            case "cm":
                a, b, c, d, e, f = numbers
                matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
            case "w":
                weight = numbers[0] * float(np.hypot(matrix[0, 0], matrix[0, 1])) * POINT
            case "d":
                dashed = bool(operands[0])
            case "m" | "l":
                current.append((name, at(*numbers)))
            case "c":
                current.append((name, at(*numbers[4:])))
            case "S":
                paths, current = current, []
                if _is_seen(paths, clip):
                    _sort(paths, weight, dashed, lines, circles)
            case "re":
                x, y, wide, high = numbers
                current += [("m", at(x, y)), ("l", at(x + wide, y + high))]
            case "W" | "W*":
                places = np.array([place for _, place in current])
                clip = np.array(
                    [np.maximum(clip[0], places.min(0)), np.minimum(clip[1], places.max(0))]
                )
            case "f" | "f*" | "n" | "B":
                current = []
    return Strokes(tuple(lines), tuple(circles))


def _without_words(page: object, reader: PdfReader) -> ContentStream:
    """Return what draws a page, without its words: they are most of it, and slow to read."""
    contents = ContentStream(page.get_contents(), reader)  # type: ignore[attr-defined]
    contents.set_data(_WORDS.sub(b"", contents.get_data()))
    return contents


def _is_seen(path: list[tuple[str, np.ndarray]], clip: np.ndarray) -> bool:
    places = np.array([place for _, place in path])
    middle = 0.5 * (places.min(0) + places.max(0))
    return bool((clip[0] - 0.1 <= middle).all() and (middle <= clip[1] + 0.1).all())


def _sort(
    path: list[tuple[str, np.ndarray]],
    weight: float,
    dashed: bool,
    lines: list[Straight],
    circles: list[Round],
) -> None:
    kinds = "".join(name for name, _ in path)
    places = [place for _, place in path]
    if kinds == "mcccc":
        corners = np.array(places[1:])
        centre = corners.mean(axis=0)
        radius = float(np.hypot(*(corners - centre).T).mean())
        circles.append(Round((float(centre[0]), float(centre[1])), radius, dashed))
        return
    for (_, a), (name, b) in pairwise(path):
        if name == "l":
            ends = (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))
            lines.append(Straight(*ends, weight, dashed))
