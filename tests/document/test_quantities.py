"""Factors of units against scipy.constants (CODATA and the definitions it carries)."""

import math
import subprocess
import sys

import pytest
import scipy.constants as known

from app.document.quantities import QUANTITIES, from_inside, to_inside

MM = 1e-3
FACTORS = {  # what one unit of an inch file is in SI, made of scipy's constants
    "length": (known.inch, MM),
    "angle": (known.degree, 1.0),
    "mass": (known.pound, 1.0),
    "force": (known.pound_force, 1.0),
    "spring rate": (known.pound_force / known.inch, 1.0 / MM),
    "torque": (known.pound_force * known.foot, MM),
    "torsional rate": (known.pound_force * known.foot / known.degree, MM),
    "damping": (known.pound_force / known.inch, 1.0 / MM),
    "inertia": (known.pound * known.foot**2, MM**2),
    "stress": (known.psi, 1.0 / MM**2),
    "angle per length": (known.degree / known.inch, 1.0 / MM),
    "length per angle": (known.inch / known.degree, MM),
    "per length": (1.0 / known.inch, 1.0 / MM),
}


@pytest.mark.parametrize("kind", FACTORS)
def test_inch_factors_are_those_of_scipy(kind: str) -> None:
    size, inside = FACTORS[kind]
    assert QUANTITIES[kind].factor("in") == pytest.approx(size / inside, rel=1e-14)


@pytest.mark.parametrize(
    ("kind", "size", "inside"),
    [
        ("angle", known.degree, 1.0),
        ("torque", 1.0, MM),
        ("torsional rate", 1.0 / known.degree, MM),
        ("inertia", 1.0, MM**2),
        ("stress", 1e6, 1.0 / MM**2),
    ],
)
def test_metric_factors_are_those_of_scipy(kind: str, size: float, inside: float) -> None:
    assert QUANTITIES[kind].factor("mm") == pytest.approx(size / inside, rel=1e-14)


@pytest.mark.parametrize("kind", QUANTITIES)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_there_and_back_changes_nothing_that_matters(kind: str, units: str) -> None:
    for number in (1.0, 22.0 / 7.0, 1e-6, 123456.789):
        back = from_inside(to_inside(number, kind, units), kind, units)  # type: ignore[arg-type]
        assert math.isclose(back, number, rel_tol=1e-15)


def test_reading_a_setup_imports_neither_scipy_nor_numpy_nor_qt() -> None:
    script = (
        "import sys; import app.document.files, app.document.recovery, app.words.changes;"
        "import app.document.entries;"
        "print([m for m in ('scipy', 'numpy', 'PySide6', 'tomlkit') if m in sys.modules])"
    )
    answer = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert answer.stdout.strip() == "[]"
