"""A proposal that can't be built, on paper: nothing of it below the stop can be worked by."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.cli import run
from app.document.files import write_setup
from app.document.model import Change, FrozenMap, Setup
from app.document.units import NO_VALUE
from app.shop.extras import EXTRAS
from app.shop.results import result_rows
from app.shop.stops import is_stopped, stopped_ends
from app.systems.every import given_systems
from app.systems.rear.system import REAR
from tests.helpers.pdf_strokes import POINT, strokes_of
from tests.helpers.sheets import needs_poppler, printed_whole, sample, words_of

pytestmark = pytest.mark.gui

STOP = "Stop: this can't be as proposed"


def too_long() -> Setup:
    """The saloon with both rear dampers' body ends so high that the dampers come apart."""
    high = Change("Dampers up", moves=FrozenMap({"rear.damper_body": (0.0, 0.0, 200.0)}))
    setup = sample("small_saloon")
    return setup.having(changes=(*(replace(c, on=False) for c in setup.changes), high))


def test_the_end_that_stops_is_known_and_no_other() -> None:
    assert stopped_ends(too_long()) == {"rear"}
    assert not any(
        is_stopped(system.study(sample("small_saloon"))) for system in given_systems(too_long())
    )


def test_a_stopped_end_has_no_results_as_built() -> None:
    rows = result_rows(REAR.study(too_long()), is_stopped=True)
    assert rows
    assert all(row.proposed is None for row in rows)
    assert any(row.measured is not None for row in rows)


@needs_poppler
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_below_a_stop_is_a_figure_to_work_by(paper: str, tmp_path: Path) -> None:
    path = printed_whole(too_long(), tmp_path / "sheet.pdf", paper, extras=EXTRAS)
    texts = [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]
    assert STOP in texts[0]
    whole = " ".join(texts)
    assert "Drill template ·" not in whole
    assert "Spring order ·" not in whole
    assert "What it does" not in whole
    assert "Hop, tramp" not in whole
    study = REAR.study(too_long())
    title, targets = study.system.targets(study, ".")
    wanted = {figure for row in targets for figure in row.wanted} - {
        figure for row in targets for figure in row.found
    }
    order = " ".join(texts[: next(i for i, text in enumerate(texts) if "Points" in text)])
    readings = order.split(title)[1]
    assert wanted
    assert not [figure for figure in wanted if figure and f" {figure} " in readings]
    assert f" {NO_VALUE} " in readings


@needs_poppler
def test_jobs_under_a_stop_are_struck_through(tmp_path: Path) -> None:
    path = printed_whole(too_long(), tmp_path / "sheet.pdf")
    words, strokes = words_of(path)[0], strokes_of(path)[0]
    start = next(i for i, word in enumerate(words) if word.text == "200.0")
    assert [word.text for word in words[start : start + 3]] == ["200.0", "mm", "higher,"]
    for word in words[start : start + 3]:
        assert any(
            line.is_level
            and line.start[0] <= word.left * POINT
            and line.end[0] >= word.right * POINT - 0.6
            and word.top * POINT < line.start[1] < word.bottom * POINT
            for line in strokes.lines
        ), f"{word.text} isn't struck through"


@pytest.mark.parametrize("name", ["template.pdf", "template.dxf"])
def test_no_template_is_drawn_of_it(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_setup(tmp_path / "car.toml", too_long())
    assert run(["template", str(tmp_path / "car.toml"), "-o", str(tmp_path / name)], lambda _: 99)
    assert "the rear can't be as proposed, so that no hole is drilled" in capsys.readouterr().err
    assert not (tmp_path / name).exists()
