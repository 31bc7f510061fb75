"""The documentation against the program: links, pictures, names, and the guide's figures."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

import pytest

from app.document.edits import set_parts, switch_change
from app.document.files import read_setup
from app.document.model import Setup
from app.document.samples import first_sample
from app.systems.answers import value_at_rest
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.words.results import result_text
from geometry.catalogue.front import RESULTS
from geometry.catalogue.rear import REAR_RESULTS
from tests.helpers.project import DOCS, ROOT
from tests.helpers.telling import sentences

PAGES = sorted([*DOCS.glob("*.md"), ROOT / "README.md", ROOT / "DEVELOPERS.md"])
GUIDE = (DOCS / "guide.md").read_text(encoding="utf-8")
LARGEST = 200_000  # bytes of a picture


def headings_of(page: Path) -> set[str]:
    """Anchors of a page, as a web view of Markdown makes them."""
    titles = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.M)
    plain = (re.sub(r"[^\w\- ]", "", title.lower()) for title in titles)
    return {title.strip().replace(" ", "-") for title in plain}


def links_of(page: Path) -> list[str]:
    text = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.S)
    return re.findall(r"\]\(([^)\s]+)\)", text)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_leads_somewhere(page: Path) -> None:
    for link in links_of(page):
        if link.startswith(("http:", "https:")):
            continue
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        assert target.exists(), f"{page.name}: {link}"
        if anchor:
            assert anchor in headings_of(target), f"{page.name}: {link}"


def test_every_page_is_on_the_index() -> None:
    listed = set(links_of(DOCS / "index.md"))
    assert {page.name for page in DOCS.glob("*.md")} - {"index.md"} <= listed


def test_every_picture_is_used_and_small() -> None:
    shown = {(page.parent / link).resolve() for page in PAGES for link in links_of(page)}
    pictures = set((DOCS / "images").resolve().iterdir())
    assert pictures <= shown
    assert all(picture.stat().st_size <= LARGEST for picture in pictures)


def test_nomenclature_is_what_its_script_makes() -> None:
    page = (DOCS / "nomenclature.md").read_text(encoding="utf-8")
    assert runpy.run_path(str(DOCS / "make_nomenclature.py"))["made"](page) == page


def test_every_result_is_in_the_nomenclature() -> None:
    page = (DOCS / "nomenclature.md").read_text(encoding="utf-8")
    for result in (*RESULTS, *REAR_RESULTS.values()):
        assert f"**{result.title}** `{result.key}`" in page


def test_every_source_of_a_result_is_listed() -> None:
    page = (DOCS / "sources.md").read_text(encoding="utf-8").lower()
    named = {result.source for result in (*RESULTS, *REAR_RESULTS.values())}
    parts = {part.strip() for source in named for part in source.split(";")}
    names = {re.split(r"[,:(]| ch\. | eq\. | \d+\.", part)[0].strip() for part in parts}
    for name in names:
        words = [word for word in re.findall(r"\w+", name.lower()) if word != "textbook"]
        assert all(word in page for word in words), name


# The guide's figures


@pytest.fixture(scope="module")
def sample() -> Setup:
    return read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup


def with_only(setup: Setup, *names: str) -> Setup:
    for index, change in enumerate(setup.changes):
        setup = switch_change(setup, index, change.name in names)
    assert sum(change.on for change in setup.changes) == len(names)
    return setup


def front_text(setup: Setup, title: str, car: str) -> str:
    found = FRONT.whole(FRONT.study(setup))
    result = next(each for each in RESULTS if each.title == title)
    answers = found.measured if car == "measured" else found.proposed
    return result_text(value_at_rest(answers, result), result, "mm")


def rows_under(head: str) -> list[list[str]]:
    """Cells of the rows of the guide's table with that head."""
    after = GUIDE.split(head)[1].splitlines()[2:]
    rows = []
    for line in after:
        if not line.strip().startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip().strip("|").split("|")])
    return rows


def test_what_the_first_drag_does_is_what_the_guide_says(sample: Setup) -> None:
    rows = rows_under("| | measured | pivots 22 mm lower |")
    lower = with_only(sample, "Upper pivots 22 mm lower")
    assert len(rows) == 4
    for title, before, after in rows:
        assert before == front_text(lower, title, "measured")
        assert after == front_text(lower, title, "proposed")


def test_same_parts_and_new_parts_differ_as_the_guide_says(sample: Setup) -> None:
    rows = rows_under("| | measured | same parts | new parts |")
    kept = with_only(sample, "Upper pivots 22 mm lower")
    made = set_parts(kept, 0, "made to fit")
    assert len(rows) == 6
    for title, before, same, new in rows:
        assert before == front_text(kept, title, "measured")
        assert same == front_text(kept, title, "proposed")
        assert new == front_text(made, title, "proposed")


def test_the_tie_rod_ends_mend_the_bump_steer_as_the_guide_says(sample: Setup) -> None:
    both = with_only(sample, "Upper pivots 22 mm lower", "Outer tie rod ends 2 mm higher")
    found = front_text(both, "Bump steer, toe range", "proposed")
    assert f"Bump steer, toe range goes to {found}" in GUIDE


def test_what_settling_does_is_what_the_guide_says(sample: Setup) -> None:
    lower = FRONT.study(with_only(sample, "Upper pivots 22 mm lower"))
    told = " ".join(sentence.text for sentence in sentences(FRONT.whole(lower)))
    for words in ("24 mm lower", "51 mm of bump", "of 75 mm", "+0.10°"):
        assert words in told
    held = FRONT.study(lower.setup.having(heights={"front": "as measured"}))
    assert "to +0.66°" in " ".join(sentence.text for sentence in sentences(held))
    text = " ".join(GUIDE.split())
    assert "settles 24 mm lower, which leaves 51 mm of its 75 mm of bump" in text
    assert "camber ends at +0.10° instead of +0.66°" in text


def rear_texts(setup: Setup, name: str, key: str) -> tuple[str, str]:
    found, result = REAR.study(with_only(setup, name)), REAR_RESULTS[key]
    cars = found.measured, found.proposed
    before, after = (result_text(value_at_rest(car, result), result, "mm") for car in cars)
    return before, after


@pytest.mark.parametrize(
    ("name", "key", "words"),
    [
        ("Leaf 4 out", "wheel_rate", "wheel rate in bounce from {0} to {1}"),
        ("Leaf 4 out", "settled_travel", "{1} lower at the same load"),
        ("Leaf 4 out", "wind_up_full", "wind-up at full thrust from {0} to {1}"),
        ("Traction bars", "wind_up_full", "the axle turns {1} instead of {0}"),
        ("Traction bars", "lift_full", "lifts the body {1} instead of {0}"),
        ("Right damper behind the axle", "wind_up_damping", "wind-up's damping ratio is {0}"),
        ("Right damper behind the axle", "wind_up_damping", "One damper behind makes it {1}"),
    ],
)
def test_the_rears_figures_are_what_the_guide_says(
    sample: Setup, name: str, key: str, words: str
) -> None:
    before, after = rear_texts(sample, name, key)
    said = words.format(before, after)
    bare = words.format(before.removesuffix(" N/mm"), after)
    text = " ".join(GUIDE.split())
    assert said in text or bare in text, said


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_file_that_is_named_exists(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    named = re.findall(r"`((?:app|geometry|tests|docs|sample_setups)/[\w./-]+)`", text)
    assert [name for name in named if not (ROOT / name).exists()] == []
