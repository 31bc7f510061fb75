"""No leader runs through a label: every view of every sample, at three sizes of the window."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

pytest.importorskip("PySide6")

from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.board import canvas
from app.desk.window import Window
from app.document.files import read_setup
from app.drawing.layout import Layout
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from tests.helpers.long_cases import typical_of
from tests.helpers.project import SAMPLE_FOLDER

pytestmark = [pytest.mark.gui, pytest.mark.slow]

SIZES = ((1280, 720), (1600, 1000), (2560, 1440))
SAMPLES = {path.stem: path for path in sorted(SAMPLE_FOLDER.glob("*.toml"))}
KEPT = (
    ("taped_saloon", "mm", (1280, 720)),
    ("inch_sedan", "in", (1600, 1000)),
    ("hillclimb_special", "mm", (2560, 1440)),
)
SHARES = np.linspace(0.0, 1.0, 401)


def enters(leader: tuple[float, ...], box: tuple[float, ...]) -> bool:
    """Walk a leader in small steps, which is not the way of the code."""
    (x1, y1, x2, y2), (left, top, width, height) = leader, box
    x, y = x1 + SHARES * (x2 - x1), y1 + SHARES * (y2 - y1)
    across = (left + 0.5 < x) & (x < left + width - 0.5)
    return bool((across & (top + 0.5 < y) & (y < top + height - 0.5)).any())


def crossings(layout: Layout) -> list[str]:
    """Return which leaders run through which labels."""
    return [
        f"{one.text} through {other.text}"
        for one in layout.texts
        if one.leader is not None
        for other in layout.texts
        if other is not one and enters(one.leader, other.box)
    ]


@pytest.mark.parametrize(
    ("name", "units", "size"), typical_of(product(SAMPLES, ("mm", "in"), SIZES), KEPT)
)
def test_leaders_run_round_labels(
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    units: str,
    size: tuple[int, int],
) -> None:
    painted: list[Layout] = []
    paint = canvas.paint_drawing
    monkeypatch.setattr(
        canvas, "paint_drawing", lambda *given: painted.append(paint(*given)) or painted[-1]
    )
    session = Session(read_setup(SAMPLES[name], limit_kinds=LIMIT_KINDS).setup)
    session.set_units(units)  # type: ignore[arg-type]
    window = Window(session)
    window.filing.may_leave = lambda: True  # type: ignore[method-assign]
    qtbot.addWidget(window)
    window.resize(*size)
    window.show()
    leaders, crossed = 0, []
    for system in session.systems():
        session.show(system)
        QApplication.processEvents()
        for view in window.board.views.values():
            view.forget_slots()
            painted.clear()
            view.repaint()
            leaders += sum(text.leader is not None for text in painted[-1].texts)
            crossed += crossings(painted[-1])
    assert not crossed
    assert leaders > 3
