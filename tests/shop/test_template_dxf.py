"""Templates as DXF: read back by the library, and its picture laid over the PDF's."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import ezdxf
import numpy as np
import pytest
from ezdxf.document import Drawing
from numpy.typing import NDArray

from app.document.files import write_setup
from app.document.model import Change, FrozenMap, Setup
from app.shop.template import EDGE, Template, templates
from app.shop.template_dxf import LAYERS, dxf_of, origins, write_dxf
from tests.helpers.ink import ink_of
from tests.helpers.known_setups import exact
from tests.helpers.long_cases import LONG
from tests.helpers.project import ROOT
from tests.helpers.sheets import (
    SAMPLES,
    TODAY,
    needs_poppler,
    sample,
    with_all_on,
    words_of,
)

DOTS = 10  # per mm, in pictures
Written = tuple[tuple[Template, ...], Drawing]
SETUPS = {name: with_all_on(sample(name)) for name in SAMPLES}


def one_hole() -> Setup:
    """A setup with one hole that moves, on either side, and its size."""
    setup = sample("small_saloon")
    change = Change("", moves=FrozenMap({"front.lower_front": (0.0, 6.0, -24.0)}))
    evidence = FrozenMap({**setup.evidence, "sheet.hole_diameter": 10.0})
    return setup.having(evidence=evidence, changes=(change,))


def pair() -> Setup:
    """A setup with a pair too long for a page, turned or not, and the size of its holes."""
    setup = sample("inch_sedan")
    return setup.having(evidence=FrozenMap({**setup.evidence, "sheet.hole_diameter": 11.0}))


def read_back(setup: Setup) -> Written:
    with TemporaryDirectory() as folder:
        drills, path = templates(setup), Path(folder) / "template.dxf"
        write_dxf(setup, drills, path)
        return drills, ezdxf.readfile(path)


@pytest.fixture(scope="module", params=SETUPS.values(), ids=SETUPS.keys())
def written(request: pytest.FixtureRequest) -> Written:
    """Return a sample's templates and their file as the library reads it."""
    return read_back(request.param)


def places(drawing: Drawing, layer: str) -> list[tuple[float, float]]:
    return [
        (point.dxf.location.x, point.dxf.location.y)
        for point in drawing.modelspace().query(f'POINT[layer=="{layer}"]')
    ]


def test_it_is_a_sound_drawing_in_mm_with_named_layers(written: Written) -> None:
    _, drawing = written
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes
    assert drawing.dxfversion == "AC1024"  # R2010
    assert drawing.units == ezdxf.units.MM
    assert {layer.dxf.name for layer in drawing.layers} >= set(LAYERS)
    assert {entity.dxf.layer for entity in drawing.modelspace()} <= set(LAYERS)


def test_centres_and_holes_are_where_the_car_has_them(written: Written) -> None:
    drills, drawing = written
    olds, news = places(drawing, "OLD_CENTRES"), places(drawing, "NEW_CENTRES")
    for drill, (x, y) in zip(drills, origins(drills), strict=True):
        for hole in drill.holes:
            there = (x + hole.new_at[0], y + hole.new_at[1])
            if hole.old is None or hole.old_at is None:
                assert any(np.hypot(*np.subtract(there, at)) < 1e-6 for at in news)
                continue
            here = (x + hole.old_at[0], y + hole.old_at[1])
            assert any(np.hypot(*np.subtract(here, at)) < 1e-6 for at in olds)
            assert any(np.hypot(*np.subtract(there, at)) < 1e-6 for at in news) or hole.stays
            space = np.subtract(hole.new, hole.old) - hole.off
            assert np.hypot(*np.subtract(there, here)) == pytest.approx(np.linalg.norm(space))
    circles = [c for c in drawing.modelspace().query("CIRCLE") if c.dxf.layer != "DATUM"]
    sized = [drill for drill in drills if drill.diameter is not None]
    wanted = {
        (layer, factor * drill.diameter)
        for drill in sized
        for layer, factor in (("OLD_HOLES", 0.5), ("NEW_HOLES", 0.5), ("EDGE_DISTANCE", EDGE))
        if not (drill.is_new and layer == "OLD_HOLES")
    }
    assert {(c.dxf.layer, c.dxf.radius) for c in circles} == wanted


def test_bars_and_words_are_in_it(written: Written) -> None:
    drills, drawing = written
    space = drawing.modelspace()
    lengths = [
        (line.dxf.end - line.dxf.start).magnitude
        for line in space.query('LINE[layer=="CHECK_BARS"]')
    ]
    for length in (100.0, 101.6):
        assert sum(abs(each - length) < 1e-9 for each in lengths) == len(drills)
    words = [text.dxf.text for text in space.query('TEXT[layer=="WORDS"]')]
    for drill in drills:
        assert drill.name in words
    assert words.count("Measure this before drilling:") == len(drills)
    whole = " ".join(words)
    assert whole.count("mark the first hole from the car") == len(drills)


def picture(drawing: Drawing, layers: set[str]) -> tuple[NDArray[np.bool_], tuple[float, float]]:
    """Let the library draw some layers, lines unbroken; with the place of the top left corner."""
    from ezdxf import bbox
    from ezdxf.addons.drawing import Frontend, RenderContext, layout, svg
    from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration, LinePolicy
    from PySide6.QtCore import QByteArray
    from PySide6.QtGui import QImage, QPainter
    from PySide6.QtSvg import QSvgRenderer

    space = drawing.modelspace()

    def is_asked(entity: Any) -> bool:
        return entity.dxf.layer in layers and entity.dxftype() != "POINT"

    backend = svg.SVGBackend()
    style = Configuration(
        background_policy=BackgroundPolicy.WHITE,
        color_policy=ColorPolicy.BLACK,
        line_policy=LinePolicy.SOLID,
    )
    Frontend(RenderContext(drawing), backend, config=style).draw_layout(space, filter_func=is_asked)
    box = bbox.extents([entity for entity in space if is_asked(entity)])
    page = layout.Page(0, 0, layout.Units.mm, layout.Margins.all(0))
    text = backend.get_string(page, settings=layout.Settings(scale=1))
    size = [round(DOTS * part) for part in (box.size.x, box.size.y)]
    image = QImage(*size, QImage.Format.Format_Grayscale8)
    image.fill(255)
    with QPainter(image) as painter:
        QSvgRenderer(QByteArray(text.encode())).render(painter)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(size[1], image.bytesPerLine())
    return rows[:, : size[0]] < 200, (box.extmin.x, box.extmax.y)


def spread(dark: NDArray[np.bool_], by: int) -> NDArray[np.bool_]:
    """Return a picture whose ink is wider by so many dots."""
    wide = dark.copy()
    for _ in range(by):
        grown = wide.copy()
        grown[1:] |= wide[:-1]
        grown[:-1] |= wide[1:]
        grown[:, 1:] |= wide[:, :-1]
        grown[:, :-1] |= wide[:, 1:]
        wide = grown
    return wide


def part(
    dark: NDArray[np.bool_], corner: tuple[float, float], size: tuple[float, float]
) -> NDArray[np.bool_]:
    """Return a part of a picture, its corner and size in mm; beyond the picture there is none."""
    out = np.zeros((round(DOTS * size[1]), round(DOTS * size[0])), bool)
    row, column = round(DOTS * corner[1]), round(DOTS * corner[0])
    source = dark[max(row, 0) : row + out.shape[0], max(column, 0) : column + out.shape[1]]
    down, across = max(-row, 0), max(-column, 0)
    out[down : down + source.shape[0], across : across + source.shape[1]] = source
    return out


@pytest.mark.gui
@pytest.mark.slow
@needs_poppler
@pytest.mark.parametrize(
    "setup", [one_hole(), pytest.param(pair(), marks=LONG)], ids=["single", "pair"]
)
def test_its_picture_lies_over_the_pdfs(setup: Setup, tmp_path: Path) -> None:
    from app.sheet.template_pdf import write_templates
    from app.shop.template_marks import OLD_ARM
    from tests.helpers.pdf_strokes import strokes_of

    drills, drawing = read_back(setup)
    write_templates(setup, drills, tmp_path / "template.pdf", today=TODAY)
    paper = ink_of(tmp_path / "template.pdf", 1, round(25.4 * DOTS)) > 0.3
    for word in words_of(tmp_path / "template.pdf")[0]:
        box = [round(side * 25.4 / 72 * DOTS) for side in (word.left, word.top, word.right)]
        paper[box[1] - 6 : round(word.bottom * 25.4 / 72 * DOTS) + 6, box[0] - 6 : box[2] + 6] = 0
    hole_on_paper = strokes_of(tmp_path / "template.pdf")[0].crosses(OLD_ARM)[0]
    origin = next(origins(drills))
    # around the first hole, well inside the frame
    before, size = (-20.0, -17.0), (70.0, 52.0)
    on_paper = part(paper, tuple(np.add(hole_on_paper, before)), size)  # type: ignore[arg-type]
    shown: dict[str, NDArray[np.bool_]] = {}
    geometry = set(LAYERS) - {"WORDS", "CHECK_BARS"}
    for name, layers in (("all", geometry), ("solid", {"NEW_CENTRES", "NEW_HOLES"})):
        dark, (left, top) = picture(drawing, layers)
        corner = origin[0] - left + before[0], top - origin[1] + before[1]
        shown[name] = part(dark, corner, size)
    assert on_paper.sum() > 2000
    assert not (on_paper & ~spread(shown["all"], 3)).any(), "ink of the PDF that the DXF hasn't"
    stray = shown["solid"] & ~spread(on_paper, 3)
    covered = part(spread(paper, 12), tuple(np.add(hole_on_paper, before)), size)  # type: ignore[arg-type]
    assert shown["solid"].sum() > 500
    assert not (stray & ~covered).any(), "lines of the DXF that the PDF hasn't"


@pytest.mark.gui
def test_a_start_and_a_report_load_no_drawing_library() -> None:
    script = (
        "import sys\n"
        "from app.cli import run\n"
        "import app.shop.template_dxf, app.desk.window, app.desk.printing\n"
        "run(['report', sys.argv[1]], lambda _: 1)\n"
        "assert not any(name.partition('.')[0] == 'ezdxf' for name in sys.modules)\n"
    )
    call = [sys.executable, "-c", script, str(ROOT / "sample_setups" / "small_saloon.toml")]
    done = subprocess.run(call, capture_output=True, text=True, cwd=ROOT, timeout=120)
    assert done.returncode == 0, done.stderr


def test_a_dxf_is_written_where_qt_cannot_be_loaded(tmp_path: Path) -> None:
    script = (
        "import sys\n"
        "sys.modules['PySide6'] = None\n"
        "from app.cli import run\n"
        "sys.exit(run(['template', sys.argv[1], '-o', sys.argv[2]], lambda _: 1))\n"
    )
    file, path = tmp_path / "car.toml", tmp_path / "t.dxf"
    write_setup(file, exact(sample("small_saloon")))
    call = [sys.executable, "-c", script, str(file), str(path)]
    done = subprocess.run(call, capture_output=True, text=True, cwd=ROOT, timeout=120)
    assert done.returncode == 0, done.stderr
    assert len(places(ezdxf.readfile(path), "NEW_CENTRES")) == 4


def test_titles_that_are_no_plain_text_are_written() -> None:
    setup = sample("small_saloon").having(title="Ä %%c\nline {\\L two}")
    drawing = dxf_of(setup, templates(setup))
    assert not drawing.audit().errors
