"""`wishboard template`: the holes of the changes that are on, as PDF or DXF."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import ezdxf
import pytest

from app.cli import run
from app.document.files import write_setup
from app.document.model import Change, FrozenMap, Setup
from app.judge import compare_bands
from tests.helpers.known_setups import exact
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import sample

FILE = "car.toml"
SALOON = exact(sample("small_saloon"))  # bands are of no matter here, and take time
PIVOTS = ("front.upper_front", "front.upper_rear")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def call(setup: Setup, *words: str) -> int:
    Path(FILE).unlink(missing_ok=True)
    write_setup(Path(FILE), setup)
    return run(["template", FILE, *words], lambda _: 99)


def test_a_dxf_has_the_side_that_is_asked_for(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert call(SALOON, "-o", "t.dxf", "--side", "left") == 0
    assert capsys.readouterr().err == "t.dxf written: Upper arm pivots, left side.\n"
    texts = [text.dxf.text for text in ezdxf.readfile("t.dxf").modelspace().query("TEXT")]
    assert "Upper arm pivots, left side" in texts
    assert "Upper arm pivots, right side" not in texts


@pytest.mark.gui
def test_a_pdf_is_on_the_paper_that_is_asked_for(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from pypdf import PdfReader

    assert call(SALOON, "-o", "t.pdf", "--paper", "letter") == 0
    assert "Upper arm pivots, right side" in capsys.readouterr().err
    pages = PdfReader("t.pdf").pages
    assert len(pages) == 2
    assert float(pages[0].mediabox.width) == pytest.approx(612.0)


@pytest.mark.gui
def test_the_sheet_is_printed_without_what_is_left_out(folder: Path) -> None:
    from pypdf import PdfReader

    write_setup(Path(FILE), SALOON)
    counts = []
    for words in ((), ("--without", "spring-order"), ("--without", "template")):
        assert run(["sheet", FILE, "-o", "s.pdf", *words], lambda _: 99) == 0
        counts.append(len(PdfReader("s.pdf").pages))
    assert counts == [counts[0], counts[0], counts[0] - 2]


@pytest.mark.gui
def test_the_owners_page_comes_where_the_file_names_proposals(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.cli.sheet.with_bands", lambda study: study)  # it has none of them
    monkeypatch.setattr(compare_bands, "banded", partial(compare_bands.banded, samples=0))
    only = ("--with", "proposals", "--without", "template")
    setup = SALOON.having(together=SALOON.together[:2])
    write_setup(Path(FILE), setup)
    assert run(["sheet", FILE, "-o", "s.pdf", *only], lambda _: 99) == 0
    text = " ".join(texts_of(Path("s.pdf")))
    assert all(f"{together.name}" in text for together in setup.together)
    Path(FILE).unlink()
    write_setup(Path(FILE), setup.having(together=()))
    assert run(["sheet", FILE, "-o", "s.pdf", *only], lambda _: 99) == 1
    assert "car.toml names no proposals to lay side by side" in capsys.readouterr().err


def test_nothing_to_drill_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(SALOON.having(changes=()), "-o", "t.dxf") == 1
    assert (
        "car.toml has no hole to drill: taken together, the changes that are on"
        in capsys.readouterr().err
    )
    assert call(SALOON.having(changes=()), "-o", "t.dxf", "--side", "left") == 1
    assert "no hole to drill on the left" in capsys.readouterr().err
    assert not Path("t.dxf").exists()


@pytest.mark.parametrize(
    ("output", "status", "words"),
    [
        ("t.svg", 2, "A template is a PDF or a DXF and can't be called t.svg"),
        ("nowhere/t.dxf", 1, "nowhere/t.dxf can't be written: the folder is not there."),
        (FILE, 2, "A template is a PDF or a DXF"),
    ],
)
def test_a_wrong_name_is_refused(
    folder: Path, capsys: pytest.CaptureFixture[str], output: str, status: int, words: str
) -> None:
    assert call(SALOON, "-o", output) == status
    assert words in capsys.readouterr().err


def test_a_car_that_cannot_be_built_is_not_drilled(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    setup = SALOON
    far = Change("far", moves=FrozenMap(dict.fromkeys(PIVOTS, (0.0, 0.0, 400.0))))
    broken = setup.having(changes=(far,))
    assert call(broken, "-o", "t.dxf") == 1
    assert "as proposed can't be built" in capsys.readouterr().err
    assert not Path("t.dxf").exists()
