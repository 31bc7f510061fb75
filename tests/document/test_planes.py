"""Planes of one's own in a file and under edits: which points count from which."""

from __future__ import annotations

import pytest

from app.document.edits import correct_reading
from app.document.files import SaveError, read_setup, read_text, text_of
from app.document.model import Plane
from tests.helpers.project import SAMPLE_FOLDER

UPPER, OTHER = "front.upper_front", "front.upper_rear"
SALOON = read_setup(SAMPLE_FOLDER / "small_saloon.toml").setup
LEG = Plane("chassis leg", "z", 310.0, (UPPER, OTHER))


@pytest.mark.parametrize(
    ("planes", "words"),
    [
        ((LEG, Plane("sill", "z", 250.0, (OTHER,))), 'counts from "chassis leg" too'),
        ((Plane("sill", "z", 250.0, (OTHER, OTHER)),), "is here twice"),
    ],
)
def test_an_axis_counts_from_one_plane(planes: tuple[Plane, ...], words: str) -> None:
    with pytest.raises(SaveError, match=words):  # which reads what it wrote
        text_of(SALOON.having(planes=planes))
    apart = (LEG, Plane("sill", "y", 250.0, (OTHER,)))
    assert read_text(text_of(SALOON.having(planes=apart))).setup.planes == apart


def test_what_is_read_again_by_itself_counts_from_no_plane_along_that_axis() -> None:
    x, y, z = SALOON.readings[UPPER]  # type: ignore[misc]
    setup = SALOON.having(planes=(LEG,))
    assert correct_reading(setup, UPPER, (x, y + 1.0, z)).planes == (LEG,)
    assert correct_reading(setup, UPPER, (x, y, z + 1.0)).planes[0].points == (OTHER,)
