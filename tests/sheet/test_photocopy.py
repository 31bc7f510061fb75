"""The work order as a poor photocopier leaves it, read by a machine: every figure is right.

The copier: 150 dots per inch, black or white. The reader: tesseract, which is made for print at 300
dots per inch and so is shown the copy at twice its size; it reads it as lines and as single words,
and a figure counts as legible when one of both readings has it.

It errs on one thing that is printed well: of 30 bold "74.4" at 13 points it read 19 as "74,.a" or
"74,.4", and of 80 other figures five. Letters further apart or larger change how many (4 to 30 of
30) without an order in it. What the machine can't tell is looked at by itself: on the copy no two
characters of a figure touch.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from app.document.model import Setup
from tests.helpers.ink import ink_of
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import (
    SAMPLES,
    needs_poppler,
    printed_whole,
    sample,
    with_all_on,
    words_of,
)

pytestmark = [
    pytest.mark.gui,
    pytest.mark.slow,
    needs_poppler,
    pytest.mark.skipif(
        not shutil.which("tesseract"), reason="tesseract-ocr (tesseract) is not installed"
    ),
]

DOTS_PER_INCH = 150
LONG = pytest.mark.long
DARK = 0.37  # what is lighter than that stays white on the copy
FIGURE = re.compile(r"\d[\d./]*\d|\d")
READINGS = ("11", "4")  # tesseract's page segmentation: sparse text; a column of lines


def photocopied(page: np.ndarray, path: Path) -> Path:
    """Write a page as a copy in black and white, at twice its size, and return the picture."""
    from PySide6.QtCore import Qt
    from PySide6.QtGui import QImage

    copy = np.ascontiguousarray(np.where(page > DARK, 0, 255).astype(np.uint8))
    height, width = copy.shape
    image = QImage(copy.data, width, height, width, QImage.Format.Format_Grayscale8)
    keep, smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
    assert image.scaled(2 * width, 2 * height, keep, smooth).save(str(path))
    return path


def figures_read(picture: Path, reading: str) -> Counter[str]:
    call = ["tesseract", str(picture), "-", "--dpi", str(2 * DOTS_PER_INCH), "--psm", reading]
    one_core = {**os.environ, "OMP_THREAD_LIMIT": "1"}
    done = subprocess.run(call, check=True, capture_output=True, text=True, env=one_core)
    return Counter(FIGURE.findall(done.stdout))


@pytest.mark.parametrize(
    ("setup", "pages"),
    [
        *(
            pytest.param(with_all_on(sample(name)), (1, 2), id=f"{name}, all on", marks=LONG)
            for name in SAMPLES
        ),
        *(
            pytest.param(sample(name), (1,), id=name, marks=marks)
            for name, marks in zip(SAMPLES, ((), LONG, LONG, LONG), strict=True)
        ),
    ],
)
def test_every_figure_of_the_work_order_survives_a_copier(
    setup: Setup, pages: tuple[int, ...], tmp_path: Path
) -> None:
    path = printed_whole(setup, tmp_path / "sheet.pdf", extras=())
    texts, count = texts_of(path), 0
    for page in pages:
        written = Counter(FIGURE.findall(texts[page - 1]))
        count += written.total()
        picture = photocopied(ink_of(path, page, DOTS_PER_INCH), tmp_path / "copy.png")
        missing = written
        for reading in READINGS:
            if missing:
                missing = missing - (figures_read(picture, reading) - (written - missing))
        assert not missing, f"figures that the copy has lost: {dict(missing)}"
    assert count > 40


def runs_of_ink(columns: np.ndarray) -> int:
    """Return how many stretches of a row of columns have ink, with white between them."""
    edges = np.diff(np.concatenate([[0], columns.astype(int), [0]]))
    return int((edges == 1).sum())


def test_the_characters_of_a_figure_stay_apart_on_the_copy(tmp_path: Path) -> None:
    setup = with_all_on(sample("small_saloon"))
    setup = setup.having(changes=tuple(c for c in setup.changes if c.name != "Leaf 4 out"))
    path = printed_whole(setup, tmp_path / "sheet.pdf", extras=())
    dots, seen = DOTS_PER_INCH / 72.0, []
    for number, page in enumerate(words_of(path)[:3], 1):
        dark = ink_of(path, number, DOTS_PER_INCH) > DARK
        for word in page:
            if not re.fullmatch(r"\d[\d.]*\d°?", word.text):
                continue
            rows = slice(round(word.top * dots), round(word.bottom * dots))
            columns = slice(round(word.left * dots) - 1, round(word.right * dots) + 1)
            runs = runs_of_ink(dark[rows, columns].any(axis=0))
            assert runs == len(word.text), f"{word.text} on page {number}"
            seen.append(word.text)
    assert len(seen) > 60
    assert seen.count("74.4°") == 2


def test_the_reader_reads_nothing_from_a_blank_copy(tmp_path: Path) -> None:
    assert not figures_read(photocopied(np.zeros((400, 600)), tmp_path / "blank.png"), "11")
