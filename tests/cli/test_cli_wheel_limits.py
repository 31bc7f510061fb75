"""A limit in the report's table is marked at the wheel that passes it."""

from math import radians

import pytest

from app.cli.report_text import report_text
from app.cli.terminal import Terminal
from app.document.edits import set_limit
from app.document.model import Limit
from tests.helpers.reports import FIRST, ends_of, load
from tests.helpers.setup_edits import set_evidence


@pytest.mark.parametrize(("left", "right"), [(0.5, 1.9), (1.9, 0.5)])
def test_the_mark_stands_in_the_row_of_the_wheel(left, right):
    setup = load(FIRST).having(changes=())
    for key, angle in (("front.camber", left), ("front.camber_right", right)):
        setup = set_evidence(setup, key, radians(angle))
    setup = set_limit(setup, "front.camber", Limit(maximum=radians(1.0)))
    lines = report_text(ends_of(setup), FIRST, Terminal(200)).splitlines()
    rows = {side: next(ln for ln in lines if f"Camber, {side}" in ln) for side in ("left", "right")}
    assert ("PAST" in rows["left"], "PAST" in rows["right"]) == (left > 1.0, right > 1.0)
