"""Sheets that are printed once for all the tests that read them back."""

from __future__ import annotations

import pytest

pytest.importorskip("PySide6")

from tests.helpers.long_cases import typical
from tests.sheet.printed import PRINTED, Printed, print_and_read

ALIKE = (  # as others, which the suite prints
    "hillclimb_special, all on, other units",
    "torsion_coupe, all on, other units",
    "inch_sedan, all off",
    "torsion_coupe, all off",
)


@pytest.fixture(scope="session", params=typical(PRINTED, lambda name: name not in ALIKE))
def printed(
    request: pytest.FixtureRequest, qapp: object, tmp_path_factory: pytest.TempPathFactory
) -> Printed:
    """Print a setup's sheet once, and read it back."""
    return print_and_read(request.param, tmp_path_factory.mktemp("sheet"))
