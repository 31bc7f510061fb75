"""Drill templates as a shop gets them: every length from the PDF's own coordinates."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from app.document.address import SIDES
from app.document.model import Change, FrozenMap, Setup
from app.sheet.template_frame import REGISTER
from app.shop.extras import EXTRAS
from app.shop.template import Hole, Template, templates
from app.shop.template_marks import AXLE_ARM, NEW_ARM, OLD_ARM, axle_at
from app.shop.template_words import TemplateWords
from tests.helpers.long_cases import LONG
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import (
    SAMPLES,
    TODAY,
    clashes_of,
    needs_poppler,
    printed_whole,
    sample,
    with_all_on,
    with_on,
)
from tests.sheet.read_templates import CENTRE, Printed, distances, joined, read_back, written

pytestmark = pytest.mark.gui

ON_LETTER = ("inches, half-inch holes", "small_saloon, all on", "higher than a page")
WIDTHS = {"a4": 210.0, "letter": 215.9}
BAR = 0.1  # how near lengths of bars must be [mm]


def drilled(setup: Setup, size: float) -> Setup:
    """Return a setup in which the holes have a size."""
    return setup.having(evidence=FrozenMap({**setup.readings, "sheet.hole_diameter": size}))


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
    "higher than a page": moved(
        sample("small_saloon"), upper_front=(0.0, 0.0, 120.0), upper_rear=(0.0, 0.0, -160.0)
    ),
    "far from the old hole": moved(sample("small_saloon"), damper_body=(-60.0, -20.0, -190.0)),
}


PAPERED = [*((name, "a4") for name in SETUPS), *((name, "letter") for name in ON_LETTER)]
LIKE_OTHERS = (
    *((name, "a4") for name in ("inch_sedan", "torsion_coupe", "hillclimb_special")),
    *((f"{name}, all on", "a4") for name in ("small_saloon", "inch_sedan")),
    ("inches, half-inch holes", "a4"),
    ("higher than a page", "letter"),
)


@pytest.fixture(
    scope="module",
    params=[pytest.param(case, marks=LONG) if case in LIKE_OTHERS else case for case in PAPERED],
    ids=lambda param: " on ".join(param),
)
def printed(
    request: pytest.FixtureRequest, qapp: object, tmp_path_factory: pytest.TempPathFactory
) -> Printed:
    """Print a setup's templates once for all tests that read them."""
    name, paper = request.param
    return read_back(SETUPS[name], tmp_path_factory.mktemp("template"), paper)


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
        olds = np.array([h.old for h in olds_on(drill)]).reshape(-1, 3)
        news = np.array([h.new - np.array(h.off) for h in news_on(drill)]).reshape(-1, 3)
        assert len(centres["old"]) == len(olds)
        assert len(centres["new"]) == len(news)
        # distances in space, of points that lie in the template's plane
        assert distances(centres["old"]) == pytest.approx(distances(olds_in(drill)), abs=CENTRE)
        both = np.vstack([each for each in centres.values() if len(each)])
        space = np.vstack([olds, news])
        wanted = sorted(float(np.linalg.norm(a - b)) for a, b in combinations(space, 2))
        slant = max(abs(float(np.dot(hole.off, hole.off))) for hole in drill.holes)
        assert distances(both) == pytest.approx(wanted, abs=CENTRE + (0.05 if slant else 0.0))


def olds_on(drill: Template) -> list[Hole]:
    return [h for h in drill.holes if h.old is not None and drill.shows != "new"]


def news_on(drill: Template) -> list[Hole]:
    return [h for h in drill.holes if not h.stays and drill.shows != "old"]


def olds_in(drill: Template) -> np.ndarray:
    return np.array([hole.old_at for hole in olds_on(drill)])


@needs_poppler
def test_holes_and_the_ring_to_keep_clear_are_true_to_size(printed: Printed) -> None:
    for drill, sheets in printed.by_template():
        radii = {round(c.radius, 3) for s in sheets for c in s.strokes.circles}
        radii.discard(round(0.6 * REGISTER, 3))
        radii -= {round(0.5 * AXLE_ARM, 3)} if axle_at(drill) else set()
        if drill.diameter is None:
            assert not radii
        else:
            ring = {round(2 * drill.diameter, 3)} if news_on(drill) else set()
            assert radii == {round(drill.diameter / 2, 3)} | ring


@needs_poppler
@pytest.mark.parametrize("paper", WIDTHS)
def test_new_mounts_of_links_stand_beside_what_is_measured_from(paper: str, tmp_path: Path) -> None:
    """Each new centre is drawn true to the axle's centre, and its figures stand on its page."""
    setup = with_on(sample("torsion_coupe"), "links")
    read = read_back(setup, tmp_path, paper)
    found = {each.name: sheets for each, sheets in read.by_template()}
    values = setup.evidence
    for link in ("lower", "upper"):
        for end in ("body", "axle"):
            assert {f"{link.capitalize()} link, {end} end, {side} side" for side in SIDES} <= set(
                found
            )
    assert {"Lateral link, body end", "Lateral link, axle end"} <= set(found)
    for side, way in (("left", -1.0), ("right", 1.0)):  # forward on paper
        (sheet,) = found[f"Lower link, axle end, {side} side"]
        (new,), (axle,) = sheet.strokes.crosses(NEW_ARM), sheet.strokes.crosses(AXLE_ARM)
        step = np.subtract(values["rear.lower_axle"], values["rear.wheel_centre"])  # type: ignore[arg-type]
        assert np.subtract(new, axle) == pytest.approx((way * step[0], -step[2]), abs=CENTRE)
    text = " ".join(read.texts)
    for key in ("rear.lower_body", "rear.upper_body", "rear.lateral_axle"):
        _, y, z = values[key]  # type: ignore[misc]
        assert f"{abs(y):.1f} mm from the car's centre line" in text
        assert f"{z:.1f} mm above the ground" in text
    assert "can't be known from the figures" in text


@needs_poppler
@pytest.mark.parametrize("paper", WIDTHS)
def test_right_is_the_mirror_image_of_left(paper: str, tmp_path: Path) -> None:
    read = read_back(sample("small_saloon"), tmp_path, paper)
    left, right = (joined(sheets) for _, sheets in read.by_template())
    for kind in ("old", "new"):
        mirror = left[kind] * [-1.0, 1.0]
        a, b = (np.array(sorted(map(tuple, x - x.mean(axis=0)))) for x in (mirror, right[kind]))
        np.testing.assert_allclose(a, b, atol=CENTRE)
    assert len(read.texts) == 2  # 210 mm from hole to hole go on one page, turned
    assert "LEFT SIDE" in read.texts[0]
    assert "RIGHT SIDE" in read.texts[1]


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
    assert [("Drill template" in name) for name in names][-2:] == [True] * 2
    assert not any("Spring order" in name for name in names)
    studies = [system.study(setup) for system in given_systems(setup)]
    write_sheet(studies, tmp_path / "short.pdf", today=TODAY, extras=())
    assert len(PdfReader(tmp_path / "short.pdf").pages) == len(names) - 2


@needs_poppler
@pytest.mark.parametrize(("name", "most"), [("torsion_coupe", 9), ("hillclimb_special", 5)])
def test_small_templates_share_pages(name: str, most: int, tmp_path: Path) -> None:
    """All changes on: both sides of a mount stand beside each other."""
    read = read_back(with_all_on(sample(name)), tmp_path, "a4")
    assert len(read.texts) <= most < len(read.templates)


def test_what_nobody_would_tape_is_told_in_figures(tmp_path: Path) -> None:
    setup = moved(
        sample("small_saloon"), upper_front=(0.0, 0.0, -5.0), upper_rear=(-3000.0, 0.0, -150.0)
    )
    _, path = written(setup, tmp_path, "a4")
    pages = texts_of(path)
    assert len(pages) == 2
    assert all("too far apart for a drawing" in page for page in pages)


@needs_poppler
@pytest.mark.parametrize("paper", WIDTHS)
def test_holes_far_apart_have_a_sheet_each_and_what_is_between_them(
    paper: str, tmp_path: Path
) -> None:
    move = (-410.0, 20.0, -30.0)
    change = Change("job", moves=FrozenMap({"rear.right.damper_body": move}))
    read = read_back(sample("small_saloon").having(changes=(change,)), tmp_path, paper)
    (text,) = read.texts
    old, new = (sheet for _, (sheet,) in read.by_template())
    for sheet, arms in ((old, (1, 0)), (new, (0, 1))):
        counts = len(sheet.strokes.crosses(OLD_ARM)), len(sheet.strokes.crosses(NEW_ARM))
        assert counts == arms
    assert f"{np.linalg.norm(move):.1f} mm straight from centre to centre" in text
    assert f"{np.hypot(410.0, 30.0):.1f} mm of it in this plane" in text
    assert "30.0 mm lower, 20.0 mm inboard and 410.0 mm rearward" in text


@needs_poppler
def test_a_line_on_each_sheet_points_to_the_other_hole(tmp_path: Path) -> None:
    """Laid on the car, the lines of both sheets are one: that through both centres."""
    read = read_back(SETUPS["far from the old hole"], tmp_path, "a4")
    for drill, (sheet,) in read.by_template():
        (hole,) = drill.holes
        step = np.subtract(hole.new_at, hole.old_at) * [1.0, -1.0]  # type: ignore[arg-type]
        way = step / np.hypot(*step) * (1.0 if drill.shows == "old" else -1.0)
        (centre,) = sheet.strokes.crosses(OLD_ARM if drill.shows == "old" else NEW_ARM)
        ends = [
            np.subtract(end, start)
            for line in sheet.strokes.lines
            for start, end in ((line.start, line.end), (line.end, line.start))
            if np.allclose(start, centre, atol=CENTRE)
        ]
        assert any(end @ way == pytest.approx(np.hypot(*end), abs=CENTRE) for end in ends)


def test_centres_of_a_pair_far_from_the_old_ones_are_found_by_trammel() -> None:
    setup = moved(
        sample("small_saloon"), upper_front=(-30.0, 5.0, -190.0), upper_rear=(0.0, 0.0, -190.0)
    )
    left = templates(setup)[0]
    words = " ".join(TemplateWords("mm").paragraphs(left.parted[1]))
    front, rear = (setup.readings[f"front.upper_{end}"] for end in ("front", "rear"))
    new = np.add(front, (-30.0, 5.0, -190.0)), np.add(rear, (0.0, 0.0, -190.0))  # type: ignore[arg-type]
    for words_of_it, ends in (
        ("new, front {:.1f} mm from old, rear", (new[0], rear)),
        ("new, rear {:.1f} mm from old, front", (new[1], front)),
        ("new {:.1f} mm apart", new),
    ):
        assert words_of_it.format(np.linalg.norm(np.subtract(*ends))) in words


def test_what_nobody_would_tape_for_one_hole_is_two_small_drawings(tmp_path: Path) -> None:
    setup = moved(sample("small_saloon"), damper_body=(-3000.0, 0.0, -150.0))
    drills, path = written(setup, tmp_path, "a4")
    (page,) = texts_of(path)
    assert len(drills) == 2
    assert "3000.0 mm rearward" in page


def test_the_properties_say_what_it_is(tmp_path: Path) -> None:
    _, path = written(sample("small_saloon"), tmp_path, "a4")
    info = PdfReader(path).metadata
    assert info is not None
    assert info.title == "Ferncote Linnet 1500, four-door saloon, 1963, drill template, revision A"


@needs_poppler
def test_the_order_of_an_axle_on_links_says_lengths_holes_coils_and_where_templates_are(
    tmp_path: Path,
) -> None:
    setup = with_on(sample("torsion_coupe"), "links")
    path = printed_whole(setup, tmp_path / "sheet.pdf", extras=EXTRAS)
    order = " ".join(PdfReader(path).pages[0].extract_text().split())
    for link in ("lower", "upper", "lateral"):
        body, axle = (setup.evidence[f"rear.{link}_{end}"] for end in ("body", "axle"))
        length = float(np.linalg.norm(np.subtract(body, axle)))  # type: ignore[arg-type]
        assert f"{link} {length:.1f} mm" in order
    assert "Holes for the links' bolts: 12.0 mm." in order
    assert "Coils: rate 16.0 N/mm, free length 336.0 mm." in order
    assert "drill templates, last pages" in order
    short = printed_whole(setup, tmp_path / "short.pdf", extras=())
    assert "drill templates, last pages" not in PdfReader(short).pages[0].extract_text()
