"""Drill templates as a shop gets them: every length from the PDF's own coordinates."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from app.document.model import Change, FrozenMap, Setup
from app.sheet.template_frame import REGISTER
from app.sheet.template_pdf import write_templates
from app.shop.extras import EXTRAS
from app.shop.template import Template, templates
from app.shop.template_marks import NEW_ARM, OLD_ARM
from tests.helpers.pdf_strokes import POINT, Strokes, strokes_of
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import (
    SAMPLES,
    TODAY,
    Word,
    clashes_of,
    needs_poppler,
    printed_whole,
    sample,
    with_all_on,
    words_of,
)

pytestmark = pytest.mark.gui

ON_LETTER = ("inches, half-inch holes", "small_saloon, all on", "higher than a page")
WIDTHS = {"a4": 210.0, "letter": 215.9}
BAR, CENTRE = 0.1, 0.05  # how near lengths of bars and places of centres must be [mm]


def drilled(setup: Setup, size: float) -> Setup:
    """Return a setup in which the holes have a size."""
    return setup.having(evidence=FrozenMap({**setup.evidence, "sheet.hole_diameter": size}))


def moved(setup: Setup, **moves: tuple[float, float, float]) -> Setup:
    """Return a setup whose one change moves points of the front."""
    change = Change("job", moves=FrozenMap({f"front.{k}": m for k, m in moves.items()}))
    return setup.having(changes=(change,))


SETUPS = {
    **{name: sample(name) for name in SAMPLES},
    **{f"{name}, all on": with_all_on(sample(name)) for name in SAMPLES},
    "inches, half-inch holes": drilled(with_all_on(sample("inch_sedan")), 12.7),
    "leaning": drilled(
        moved(
            sample("torsion_coupe"),
            upper_front=(0.0, -20.0, -20.0),
            upper_rear=(0.0, -20.0, -20.0),
        ),
        10.0,
    ),
    "level": moved(
        sample("torsion_coupe"), lower_front=(2.0, -30.0, 0.0), lower_rear=(2.0, -30.0, 0.0)
    ),
    "higher than a page": moved(sample("small_saloon"), damper_body=(0.0, 0.0, -160.0)),
}


def written(setup: Setup, folder: Path, paper: str) -> tuple[tuple[Template, ...], Path]:
    drills, path = templates(setup), folder / "template.pdf"
    write_templates(setup, drills, path, paper, today=TODAY, source="car.toml")  # type: ignore[arg-type]
    return drills, path


@dataclass(frozen=True)
class Sheet:
    """A page of a template: its strokes, and where its marks are by their names [mm]."""

    strokes: Strokes
    marks: dict[str, np.ndarray]


@dataclass(frozen=True)
class Printed:
    """Templates printed on a paper and read back: strokes, words and text of each page."""

    paper: str
    templates: tuple[Template, ...]
    strokes: list[Strokes]
    words: list[list[Word]]
    texts: list[str]

    def by_template(self) -> list[tuple[Template, list[Sheet]]]:
        """Return each template with its pages, in the order of its sheets."""
        names = [text.split("Drill template · ")[1] for text in self.texts]
        sheets = [
            Sheet(strokes, named_marks(strokes, words))
            for strokes, words in zip(self.strokes, self.words, strict=True)
        ]
        found = [
            (each, [s for n, s in zip(names, sheets, strict=True) if n.startswith(f"{each.name} ")])
            for each in self.templates
        ]
        assert sum(len(own) for _, own in found) == len(sheets)
        return found


def read_back(setup: Setup, folder: Path, paper: str) -> Printed:
    drills, path = written(setup, folder, paper)
    assert drills
    return Printed(paper, drills, strokes_of(path), words_of(path), texts_of(path))


@pytest.fixture(
    scope="module",
    params=[(name, "a4") for name in SETUPS] + [(name, "letter") for name in ON_LETTER],
    ids=lambda param: " on ".join(param),
)
def printed(
    request: pytest.FixtureRequest, qapp: object, tmp_path_factory: pytest.TempPathFactory
) -> Printed:
    """Print a setup's templates once for all tests that read them."""
    name, paper = request.param
    return read_back(SETUPS[name], tmp_path_factory.mktemp("template"), paper)


def named_marks(strokes: Strokes, words: list[Word]) -> dict[str, np.ndarray]:
    """Return the marks of a page by what is written beside them: "A to A of sheet 2"."""
    crosses, marks = strokes.crosses(REGISTER), {}
    for first, to, again, of in zip(words, words[1:], words[2:], words[3:], strict=False):
        if (to.text, of.text) == ("to", "of") and first.text == again.text:
            last = words[words.index(again) + 3]
            ends = [
                np.array([x, 0.5 * (first.top + first.bottom)]) for x in (first.left, last.right)
            ]
            near = min(
                crosses,
                key=lambda at: min(float(np.hypot(*(np.array(at) - e * POINT))) for e in ends),
            )
            marks[first.text] = np.array(near)
    assert len({tuple(at) for at in marks.values()}) == len(crosses)
    return marks


def joined(sheets: list[Sheet]) -> dict[str, np.ndarray]:
    """Tape sheets together by their marks and return old and new centres, left to right."""
    shifts = {0: np.zeros(2)}
    for index, sheet in enumerate(sheets[1:], 1):
        offsets = [
            shifts[before] + sheets[before].marks[name] - at
            for before in range(index)
            for name, at in sheet.marks.items()
            if name in sheets[before].marks
        ]
        assert len(offsets) >= 2, "a sheet has no seam with those before it"
        assert np.ptp(offsets, axis=0).max() <= CENTRE, "the marks of a seam don't meet"
        shifts[index] = np.mean(offsets, axis=0)
    return {
        kind: _placed([sheet.strokes for sheet in sheets], list(shifts.values()), arm)
        for kind, arm in (("old", OLD_ARM), ("new", NEW_ARM))
    }


def _placed(sheets: list[Strokes], shifts: list[np.ndarray], arm: float) -> np.ndarray:
    places: list[np.ndarray] = []
    for sheet, shift in zip(sheets, shifts, strict=True):
        for cross in sheet.crosses(arm):
            place = np.array(cross) + shift
            if all(np.hypot(*(place - other)) > 0.5 for other in places):
                places.append(place)
    return np.array(places)


def distances(places: np.ndarray) -> list[float]:
    return sorted(float(np.hypot(*(a - b))) for a, b in combinations(places, 2))


@needs_poppler
def test_bars_are_as_long_as_they_say_on_every_page(printed: Printed) -> None:
    for page in printed.strokes:
        for length in (100.0, 101.6):
            bars = [s for s in page.lines if abs(s.length - length) <= BAR and s.weight > 0.4]
            assert {(s.is_level, s.is_upright) for s in bars} >= {(True, False), (False, True)}
    for text in printed.texts:
        assert "Measure this before drilling" in text
        assert "mark the first hole from the car" in text


@needs_poppler
def test_centres_are_as_far_apart_as_on_the_car(printed: Printed) -> None:
    for drill, sheets in printed.by_template():
        centres = joined(sheets)
        for sheet in sheets:
            for x, y in sheet.strokes.crosses(OLD_ARM) + sheet.strokes.crosses(NEW_ARM):
                assert 14.0 <= x <= WIDTHS[printed.paper] - 14.0
                assert y >= 28.0
        olds = np.array([hole.old for hole in drill.holes])
        news = np.array([hole.new - np.array(hole.off) for hole in drill.holes if not hole.stays])
        assert len(centres["old"]) == len(olds)
        assert len(centres["new"]) == len(news)
        # distances in space, of points that lie in the template's plane
        assert distances(centres["old"]) == pytest.approx(distances(olds_in(drill)), abs=CENTRE)
        both = np.vstack([centres["old"], centres["new"]])
        space = np.vstack([olds, news])
        wanted = sorted(float(np.linalg.norm(a - b)) for a, b in combinations(space, 2))
        slant = max(abs(float(np.dot(hole.off, hole.off))) for hole in drill.holes)
        assert distances(both) == pytest.approx(wanted, abs=CENTRE + (0.05 if slant else 0.0))


def olds_in(drill: Template) -> np.ndarray:
    return np.array([hole.old_at for hole in drill.holes])


@needs_poppler
def test_holes_and_the_ring_to_keep_clear_are_true_to_size(printed: Printed) -> None:
    for drill, sheets in printed.by_template():
        radii = {round(c.radius, 3) for s in sheets for c in s.strokes.circles}
        radii.discard(round(0.6 * REGISTER, 3))
        if drill.diameter is None:
            assert not radii
        else:
            assert radii == {round(drill.diameter / 2, 3), round(2 * drill.diameter, 3)}


@needs_poppler
@pytest.mark.parametrize("paper", WIDTHS)
def test_right_is_the_mirror_image_of_left(paper: str, tmp_path: Path) -> None:
    read = read_back(sample("small_saloon"), tmp_path, paper)
    left, right = (joined(sheets) for _, sheets in read.by_template())
    for kind in ("old", "new"):
        mirror = left[kind] * [-1.0, 1.0]
        a, b = (np.array(sorted(map(tuple, x - x.mean(axis=0)))) for x in (mirror, right[kind]))
        np.testing.assert_allclose(a, b, atol=CENTRE)
    assert all("LEFT SIDE" in page for page in read.texts[:2])
    assert all("RIGHT SIDE" in page for page in read.texts[2:])


@needs_poppler
def test_no_words_overlap_and_none_is_cut_off(printed: Printed) -> None:
    for number, page in enumerate(printed.words, 1):
        level = [w for w in page if w.bottom - w.top < 40.0]
        clashes = clashes_of(level)
        assert not clashes, f"page {number}: {clashes[:5]}"
        assert not [w.text for w in page if "…" in w.text]


def test_templates_end_the_sheet_where_holes_move_unless_left_out(tmp_path: Path) -> None:
    from app.sheet.pdf import write_sheet
    from app.systems.every import given_systems

    setup = sample("small_saloon")
    names = texts_of(printed_whole(setup, tmp_path / "sheet.pdf", extras=EXTRAS))
    assert [("Drill template" in name) for name in names][-4:] == [True] * 4
    assert not any("Spring order" in name for name in names)
    studies = [system.study(setup) for system in given_systems(setup)]
    write_sheet(studies, tmp_path / "short.pdf", today=TODAY, extras=())
    assert len(PdfReader(tmp_path / "short.pdf").pages) == len(names) - 4


def test_what_nobody_would_tape_is_told_in_figures(tmp_path: Path) -> None:
    setup = moved(sample("small_saloon"), damper_body=(-3000.0, 0.0, -150.0))
    drills, path = written(setup, tmp_path, "a4")
    pages = texts_of(path)
    assert len(pages) == len(drills) == 2
    assert all("too far apart for a drawing" in page for page in pages)
    assert all("3000.0 mm rearward" in page for page in pages)


def test_the_properties_say_what_it_is(tmp_path: Path) -> None:
    _, path = written(sample("small_saloon"), tmp_path, "a4")
    info = PdfReader(path).metadata
    assert info is not None
    assert info.title == "Ferncote Linnet 1500, four-door saloon, 1963, drill template, revision A"
