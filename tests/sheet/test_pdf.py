"""The sheet as a file: read back as text, properties and ink, as a shop's printer would get it."""

from __future__ import annotations

import re
from itertools import pairwise, product
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from app.document.model import Change, FrozenMap
from app.sheet.pdf import write_sheet
from app.systems.front.system import FRONT
from tests.helpers.ink import bare_edges, dark_of, dark_runs, ink_of, inks_of, ring_shares
from tests.helpers.long_cases import typical_of
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import (
    SAMPLES,
    TODAY,
    bare,
    clashes_of,
    crowded,
    needs_poppler,
    printed,
    printed_whole,
    sample,
    with_all_on,
    words_of,
)

pytestmark = pytest.mark.gui

SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN = 11.5  # no ink nearer to an edge than common printers reach, with room [mm]
SETUPS = {
    **{name: sample(name) for name in SAMPLES},
    "all on": with_all_on(sample("small_saloon")),
    "inches, all on": with_all_on(sample("inch_sedan")),
    "no change": sample("small_saloon").having(changes=()),
    "bare": bare(),
    "crowded": crowded(),
}
FEW = ("all on", "hillclimb_special", "no change", "bare", "crowded")
KEPT = [("crowded", "letter"), ("inches, all on", "letter"), *((name, "a4") for name in FEW)]
papers = pytest.mark.parametrize(("name", "paper"), typical_of(product(SETUPS, SIZES), KEPT))


def page_with(path: Path, words: str) -> int:
    """Return the number of the first page that says something."""
    return next(number for number, text in enumerate(texts_of(path), 1) if words in text)


def text_of(path: Path) -> str:
    return " ".join(texts_of(path))


def test_the_work_order_says_what_to_do_and_what_to_set(tmp_path: Path) -> None:
    text = text_of(printed(sample("small_saloon"), tmp_path / "sheet.pdf"))
    for words in (
        "Ferncote Linnet 1500, four-door saloon, 1963",
        "revision A",
        "24 Nov 2026",
        "page 1 of 5",
        "Re-drill the upper arm pivots 22.0 mm lower, both sides.",
        "Drill four new holes in the towers; plate the old ones.",
        "Set the alignment to",
        "left as built",
        "Before you start",
        "licensed engineer or inspector decide",
        "done by, date",
        "scale 1 : 10",
        "Upper arm, front pivot",
        "22 lower",
        "Limits",
        "Asked: is it worth it, and what else does it move?",
        "car.toml",
        "measured 12 Oct 2026, ± 1.5 mm",
    ):
        assert words in text


@needs_poppler
def test_a_job_has_a_box_for_each_part_of_it(tmp_path: Path) -> None:
    dots = 12  # to the mm
    for rear, count in ((-22.0, 2), (-21.0, 3)):  # and one for the alignment
        moves = {"front.upper_front": (0.0, 0.0, -22.0), "front.upper_rear": (0.0, 0.0, rear)}
        setup = sample("small_saloon").having(changes=(Change("", moves=FrozenMap(moves)),))
        ink = ink_of(printed(setup, tmp_path / "sheet.pdf"), 1, round(25.4 * dots)) > 0.3
        edges = ink[:, round(14.0 * dots) - 2 : round(14.0 * dots) + 3].any(axis=1)
        heights = np.array(dark_runs(edges[None], 4 * dots)) / dots
        assert np.count_nonzero(abs(heights - 5.6) < 0.5) == count


def test_what_cannot_be_stands_across_the_top_of_the_order(tmp_path: Path) -> None:
    moves = {"front.upper_front": (6.0, 0.0, -22.0), "front.upper_rear": (-7.0, 0.0, -22.0)}
    stretched = sample("small_saloon").having(changes=(Change("", moves=FrozenMap(moves)),))
    words = texts_of(printed(stretched, tmp_path / "sheet.pdf"))[0]
    at = words.index("Stop: this can't be as proposed. Ask before any work starts.")
    assert at < words.index("The bushes of an arm in one piece") < words.index("Work to do")
    assert words.count("of an arm in one piece") == 1
    assert "Stop:" not in text_of(printed(sample("small_saloon"), tmp_path / "plain.pdf"))


def test_a_limit_names_the_wheel_where_the_two_are_not_alike(tmp_path: Path) -> None:
    alike = text_of(printed(sample("small_saloon"), tmp_path / "alike.pdf"))
    assert "Camber, right" not in alike
    assert "Camber, left" not in alike
    moves = {"front.lower_rear": (0.0, 0.0, 5.0), "front.right.lower_rear": (0.0, 3.0, 9.0)}
    unlike = sample("small_saloon").having(changes=(Change("", moves=FrozenMap(moves)),))
    text = text_of(printed(unlike, tmp_path / "unlike.pdf"))
    assert "Camber, right" in text or "Camber, left" in text
    assert "Lateral link, body bush, right" in text


def test_a_limit_that_is_not_kept_is_said_in_words(tmp_path: Path) -> None:
    held = sample("small_saloon").having(heights={"front": "as measured"})
    assert "NOT KEPT" in text_of(printed(held, tmp_path / "sheet.pdf"))


def test_the_properties_carry_title_author_and_date(tmp_path: Path) -> None:
    setup = sample("small_saloon")
    setup = setup.having(evidence=setup.evidence.having("sheet.made_by", "A. Maker"))  # type: ignore[attr-defined]
    info = PdfReader(printed(setup, tmp_path / "sheet.pdf")).metadata
    assert info is not None
    assert info.title == "Ferncote Linnet 1500, four-door saloon, 1963, setup sheet, revision A"
    assert info.author == "A. Maker"
    assert info.creator is not None
    assert info.creator.startswith("Wishboard ")
    assert info.creation_date is not None


def test_every_font_is_in_the_file(tmp_path: Path) -> None:
    reader = PdfReader(printed(sample("inch_sedan"), tmp_path / "sheet.pdf"))
    fonts = [
        font.get_object() for page in reader.pages for font in page["/Resources"]["/Font"].values()
    ]
    assert fonts
    for font in fonts:
        descendant = font["/DescendantFonts"][0].get_object()
        descriptor = descendant["/FontDescriptor"].get_object()
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)
        assert "/ToUnicode" in font


def test_a_space_is_a_space_when_the_text_is_searched(tmp_path: Path) -> None:
    path = printed(sample("small_saloon"), tmp_path / "sheet.pdf")
    text = PdfReader(path, strict=True).pages[0].extract_text()
    assert "Ferncote Linnet 1500, four-door saloon, 1963" in text
    assert "\t" not in text


@papers
def test_pages_have_the_papers_size_and_count_themselves(
    name: str, paper: str, tmp_path: Path
) -> None:
    path = printed(SETUPS[name], tmp_path / "sheet.pdf", paper)
    texts = texts_of(path)
    for index, (page, text) in enumerate(zip(PdfReader(path).pages, texts, strict=True), 1):
        size = [float(part) * 25.4 / 72 for part in (page.mediabox.width, page.mediabox.height)]
        assert size == pytest.approx(SIZES[paper], abs=0.3)  # whole points
        assert f"page {index} of {len(texts)}" in text


@needs_poppler
@papers
def test_no_ink_is_near_the_edges(name: str, paper: str, tmp_path: Path) -> None:
    path = printed(SETUPS[name], tmp_path / "sheet.pdf", paper)
    for page, ink in enumerate(inks_of(path, 50), 1):
        assert bare_edges(ink > 0.2, MARGIN, 50), f"ink in the margin of page {page}"


@needs_poppler
@papers
def test_no_words_overlap(name: str, paper: str, tmp_path: Path) -> None:
    path = printed(SETUPS[name], tmp_path / "sheet.pdf", paper)
    for number, page in enumerate(words_of(path), 1):
        level = [w for w in page if w.bottom - w.top < 40.0]  # the bars' figures stand upright
        clashes = clashes_of(level)
        assert not clashes, f"page {number}: {clashes[:5]}"


@needs_poppler
def test_the_bars_are_as_long_as_they_say(tmp_path: Path) -> None:
    path = printed(sample("small_saloon"), tmp_path / "sheet.pdf")
    resolution = 508  # 20 dots per mm
    dark = dark_of(path, page_with(path, "Views"), resolution)
    for lines in (dark, dark.T):
        lengths = {round(run / 20.0, 2) for run in dark_runs(lines, 1900)}
        assert any(abs(length - 100.0) <= 0.1 for length in lengths), lengths
        assert any(abs(length - 101.6) <= 0.1 for length in lengths), lengths


@needs_poppler
def test_the_drawing_is_true_to_its_scale(tmp_path: Path) -> None:
    # the tyre in side view: a circle of twice the loaded radius, 584 mm, at 1 : 10
    setup = sample("small_saloon").having(changes=())
    path = printed(setup, tmp_path / "sheet.pdf")
    assert "scale 1 : 10" in text_of(path)
    dark = ink_of(path, page_with(path, "Views"), 254) > 0.3  # 10 dots per mm
    radius = 292.0
    wanted = 2 * radius
    middle = tyre_centre(dark, radius)
    assert middle is not None
    row = dark[middle[0]]
    left, right = middle[1] - radius, middle[1] + radius
    assert row[int(left) - 4 : int(left) + 5].any()
    assert row[int(right) - 4 : int(right) + 5].any()
    assert right - left == pytest.approx(wanted)


def tyre_centre(dark: np.ndarray, radius: float) -> tuple[int, int] | None:
    """Return the place around which most of a circle of that radius [dots] is dark."""
    rows, columns = range(500, 1400, 2), range(1000, 1700, 2)
    shares = ring_shares(dark, radius, rows, columns)
    row, column = np.unravel_index(np.argmax(shares), shares.shape)
    return (rows[row], columns[column]) if shares.max() > 0.5 else None


def test_long_texts_are_all_there(tmp_path: Path) -> None:
    setup = crowded()
    text = text_of(printed(setup, tmp_path / "sheet.pdf"))
    for index in range(30):
        assert f"Paragraph {index}:" in text
    for index in range(4, 8):
        assert f"Job {index} with a name that is longer" in text
    assert "continued" in text
    assert "Remark" in text
    assert "C, third after the second measuring" in text


def test_what_is_missing_is_said_with_what_would_tell(tmp_path: Path) -> None:
    text = text_of(printed(bare(), tmp_path / "sheet.pdf"))
    assert "What is missing" in text
    assert "needs wheelbase" in text
    assert "how far it settles isn't known" in text


def test_without_a_change_the_sheet_is_a_record(tmp_path: Path) -> None:
    text = text_of(printed(sample("small_saloon").having(changes=()), tmp_path / "sheet.pdf"))
    assert "this sheet records the car as it was measured" in text
    assert "proposed" not in text


def test_the_decimal_sign_is_the_users(tmp_path: Path) -> None:
    text = text_of(printed(sample("small_saloon"), tmp_path / "sheet.pdf", decimal=","))
    assert "22,0 mm lower" in text
    assert "2,69°" in text


def test_a_date_in_the_setup_goes_before_todays(tmp_path: Path) -> None:
    setup = sample("small_saloon")
    setup = setup.having(evidence=setup.evidence.having("sheet.date", "2026-12-01"))  # type: ignore[attr-defined]
    text = text_of(printed(setup, tmp_path / "sheet.pdf"))
    assert "1 Dec 2026" in text
    assert "24 Nov 2026" not in text


def test_a_file_that_cant_be_written_is_left_as_it_was(tmp_path: Path) -> None:
    done = FRONT.study(sample("small_saloon"))
    with pytest.raises(FileNotFoundError, match="nowhere"):
        write_sheet([done], tmp_path / "nowhere" / "sheet.pdf", today=TODAY)
    path = tmp_path / "sheet.pdf"
    path.mkdir()
    with pytest.raises(OSError, match=r"sheet\.pdf"):
        write_sheet([done], path, today=TODAY)
    assert path.is_dir()
    assert list(tmp_path.iterdir()) == [path]


@needs_poppler
@pytest.mark.parametrize("name", ["torsion_coupe", "inch_sedan"])
def test_fractions_beside_each_other_are_two_figures(name: str, tmp_path: Path) -> None:
    """What lies between two coordinates is wider than the blank in "15 53/64"."""
    setup = with_all_on(sample(name)).having(units="in")
    path = printed_whole(setup, tmp_path / "sheet.pdf", "letter")
    page = next(page for page in words_of(path) if any(w.text == "Points," for w in page))
    gaps = [
        (after.left - before.right, before.text, after.text)
        for before, after in pairwise(sorted(page, key=lambda w: (round(w.bottom), w.left)))
        if re.fullmatch(r"\d+/\d+", before.text)
        and re.fullmatch(r"[−\d]\d*(/\d+)?", after.text)
        and abs(after.bottom - before.bottom) < 1.0
    ]
    assert len(gaps) > 15
    assert min(gaps)[0] >= 4.5, min(gaps)
