"""Sheets printed once for all tests that read their cells."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app.document.model import Setup
from tests.helpers.expected_tables import studies_of
from tests.helpers.printed_cells import Sheet
from tests.helpers.sheets import SAMPLES, printed_whole, sample, with_all_on
from tests.shop.setups import SETUPS

SECTIONS = {"front": "Front suspension", "rear": "Rear suspension"}


def _in_other_units(setup: Setup) -> Setup:
    return setup.having(units="mm" if setup.units == "in" else "in")


def _printed_setups() -> dict[str, Setup]:
    found: dict[str, Setup] = {}
    for name in SAMPLES:
        setup = sample(name)
        found[f"{name}, all on"] = with_all_on(setup)
        found[f"{name}, all on, other units"] = _in_other_units(with_all_on(setup))
        found[f"{name}, all off"] = setup.having(changes=())
    for name in ("one side", "one link longer", "back on leaves", "weighed later", "bare"):
        found[name] = SETUPS[name]
    return found


PRINTED = _printed_setups()


@dataclass(frozen=True)
class Printed:
    """A setup, its studies that go on paper, by end, and the sheet read back."""

    setup: Setup
    studies: dict[str, Any]
    sheet: Sheet

    @property
    def units(self) -> str:
        return self.setup.units

    def ends(self) -> list[tuple[str, str, Any]]:
        """Return end, section and study of what is on the sheet."""
        return [(end, SECTIONS[end], study) for end, study in self.studies.items()]


def print_and_read(name: str, folder: Path) -> Printed:
    setup = PRINTED[name]
    studies = studies_of(setup)
    worked = {end: study for end, study in studies.items() if study.has_work}
    path = printed_whole(setup, folder / "sheet.pdf")
    return Printed(setup, worked or studies, Sheet(path))
