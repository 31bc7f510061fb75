"""The unit of the display changes words: neither a result nor a verdict."""

from __future__ import annotations

from math import radians

import pytest

from app.document.edits import set_limit, switch_change
from app.document.files import read_setup
from app.document.model import Limit
from app.document.samples import sample_paths
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from app.systems.limits import limit_checks
from tests.helpers.panel_windows import saloon

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_a_change_of_display_changes_no_result(qapp: object, path: object) -> None:
    session = Session(read_setup(path, limit_kinds=LIMIT_KINDS).setup)  # type: ignore[arg-type]
    before = [dict(study.proposed.single) for study in session.studies()]
    windows = [study.ranges.window for study in session.studies()]
    session.set_units("in" if session.units == "mm" else "mm")
    assert [dict(study.proposed.single) for study in session.studies()] == before
    assert [study.ranges.window for study in session.studies()] == windows


def test_a_change_of_display_changes_no_verdict(qapp: object) -> None:
    # the saloon lowered changes its toe by 0.32 deg over 50 mm, which it would by 0.33 over 2 in
    lowered = switch_change(saloon(), 0, True)
    limit = Limit(maximum=radians(0.325), kind="angle")
    session = Session(set_limit(lowered, "front.bump_steer_range", limit))

    def verdict() -> tuple[bool | None, ...]:
        assert session.study is not None
        return tuple(check.held for check in limit_checks(session.study))

    in_mm = verdict()
    session.set_units("in")
    assert verdict() == in_mm
    session.set_units("mm")
    assert session.shown_setup is session.setup
