"""Breakages of tape and trammel: the adjustment, its tests of readings, and what it moves."""

from __future__ import annotations

from typing import Final

from tests.attack.breakage import breakages

NUMBERS: Final = "tests/geometry/survey/test_adjustment.py tests/geometry/survey/test_doubt.py"
CAR: Final = "tests/judge/test_survey.py"

TAPED: Final = breakages(
    (
        "mirror-turned-off",
        "geometry/survey/adjustment.py",
        "np.where(self.mirrored[:, end], -1.0, 1.0)",
        "np.where(self.mirrored[:, end], 1.0, 1.0)",
        NUMBERS,
    ),
    (
        "distances-too-sure",
        "geometry/survey/adjustment.py",
        "bracket = weighted @ slopes.T + np.diag(noise)",
        "bracket = weighted @ slopes.T + 0.25 * np.diag(noise)",
        NUMBERS,
    ),
    (
        "standardised-by-the-reading",
        "geometry/survey/adjustment.py",
        "np.where(is_checked, self.corrected.diagonal(), 1.0)",
        "np.where(is_checked, np.square(self.deviations), 1.0)",
        NUMBERS,
    ),
    (
        "hidden-without-its-root",
        "geometry/survey/doubt.py",
        "DETECTED * adjustment.deviations / roots",
        "DETECTED * adjustment.deviations / roots**2",
        NUMBERS,
    ),
    (
        "half-of-chi-square",
        "geometry/survey/doubt.py",
        "half, is_odd = 0.5 * chi_square",
        "half, is_odd = chi_square",
        NUMBERS,
    ),
    (
        "expanded-taken-as-standard",
        "app/document/adjusting.py",
        "for key in keys]).reshape(-1, 3) / COVERAGE",
        "for key in keys]).reshape(-1, 3)",
        CAR,
    ),
    (
        "misread-told-the-wrong-way",
        "app/judge/survey.py",
        "off = -float(adjustment.residuals[reading]",
        "off = float(adjustment.residuals[reading]",
        CAR,
    ),
    (
        "adjusted-once-more-in-questions",
        "app/document/plausible.py",
        "within=FrozenMap(), tapes=())",
        "within=FrozenMap())",
        CAR,
    ),
)
