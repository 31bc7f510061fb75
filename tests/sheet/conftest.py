"""Sheets that are printed once for all the tests that read them back."""

from __future__ import annotations

import pytest

pytest.importorskip("PySide6")

from tests.sheet.printed import PRINTED, Printed, print_and_read


@pytest.fixture(scope="session", params=PRINTED)
def printed(
    request: pytest.FixtureRequest, qapp: object, tmp_path_factory: pytest.TempPathFactory
) -> Printed:
    """Print a setup's sheet once, and read it back."""
    return print_and_read(request.param, tmp_path_factory.mktemp("sheet"))
