"""Sheets that are printed once for all the tests that read them back."""

from __future__ import annotations

import pytest

pytest.importorskip("PySide6")

from tests.helpers.long_cases import typical_of
from tests.sheet.printed import PRINTED, Printed, print_and_read

KEPT = (  # what the suite prints: leaves, links, inches, one side, little and much
    "small_saloon, all on",
    "inch_sedan, all on",
    "hillclimb_special, all on",
    "torsion_coupe, all on, other units",
    "small_saloon, all off",
    "one side",
    "one link longer",
    "weighed later",
    "bare",
)


@pytest.fixture(scope="session", params=typical_of(PRINTED, KEPT))
def printed(
    request: pytest.FixtureRequest, qapp: object, tmp_path_factory: pytest.TempPathFactory
) -> Printed:
    """Print a setup's sheet once, and read it back."""
    return print_and_read(request.param, tmp_path_factory.mktemp("sheet"))
