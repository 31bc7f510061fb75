"""The inks can be read: on light paper, on dark paper, in print, and by colour-blind eyes."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from app.drawing.strokes import LineKind
from app.paint.palette import BLACK, DARK, LIGHT, PALETTES
from app.paint.pens import STYLES
from tests.helpers.contrast import contrast

pytestmark = pytest.mark.gui

# Full protanopia and deuteranopia in linear RGB: Machado, Oliveira and Fernandes, "A
# physiologically-based model for simulation of color vision deficiency", IEEE TVCG 15 (2009),
# table 1 [from memory].
PROTAN = np.array(
    [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ]
)
DEUTAN = np.array(
    [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ]
)


def linear(colour: str) -> np.ndarray:
    parts = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIE 1976 L*a*b* (D65) of linear sRGB, IEC 61966-2-1."""
    to_xyz = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    x, y, z = np.cbrt(np.array(to_xyz) @ np.clip(rgb, 0, 1) / [0.9505, 1.0, 1.089])
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def test_contrast_of_black_on_white_is_21_as_wcag_says():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # a well-known border


@pytest.mark.parametrize("name", PALETTES)
def test_lines_have_three_to_one_and_words_four_and_a_half(name):
    inks = PALETTES[name]
    under = [inks.paper, inks.wash, inks.margin]
    for paper, style in itertools.product(under, STYLES.values()):
        assert contrast(getattr(inks, style.ink), paper) >= 3.0
        assert contrast(getattr(inks, style.words), paper) >= 4.5


@pytest.mark.parametrize("inks", [LIGHT, DARK])
@pytest.mark.parametrize("sight", [np.eye(3), PROTAN, DEUTAN], ids=["all", "protan", "deutan"])
def test_the_inks_and_the_accent_differ_for_all_eyes(inks, sight):
    colours = (inks.ink, inks.second, inks.accent, inks.other)
    seen = [lab(sight @ linear(c)) for c in colours]
    for one, other in itertools.combinations(seen, 2):
        assert np.linalg.norm(one - other) > 20  # ten times a just noticeable difference


def test_measured_and_proposed_differ_without_any_colour():
    assert BLACK.ink == BLACK.second == BLACK.accent == BLACK.other
    looks = {
        kind: (STYLES[kind].width, STYLES[kind].dashes)
        for kind in (
            LineKind.PROPOSED,
            LineKind.MEASURED,
            LineKind.CONSTRUCTION,
            LineKind.AXIS,
            LineKind.SECOND_CAR,
        )
    }
    assert len(set(looks.values())) == len(looks)


def test_thick_lines_are_at_least_twice_as_wide_as_thin_ones():
    # ISO 128-2: two widths on a drawing, in the ratio 2 to 1 [from memory]
    assert STYLES[LineKind.PROPOSED].width >= 2 * STYLES[LineKind.MEASURED].width
