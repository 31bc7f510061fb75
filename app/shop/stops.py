"""Whether a proposal can't be made or can't stand, so that nobody works by its figures. No Qt."""

from __future__ import annotations

from typing import Any, Final

from app.document.model import Setup
from app.systems.answers import Study
from app.systems.every import given_systems
from app.systems.sentences import stop_texts

STOPPED: Final = "As built it can't be made, or can't stand, as proposed"
NO_FIGURES: Final = f"{STOPPED}: the lines with !! say why. Its figures are of no real car."
OF_NO_CAR: Final = "Figures as built are of no real car."
LEFT_OUT: Final = (
    "What it would come to is left out here, as are drawing, curves, spring orders and drill "
    "templates: none of it is of a car that can be built."
)


def is_stopped(study: Study[Any]) -> bool:
    """Tell whether what is proposed at an end can't be made, or can't stand, as it is."""
    return bool(stop_texts(study))


def stopped_ends(setup: Setup) -> frozenset[str]:
    """Return the keys of the ends of a setup of which that is so."""
    studies = [system.study(setup) for system in given_systems(setup)]
    return frozenset(study.system.key for study in studies if is_stopped(study))
