"""The page Alignment: every figure read back from the PDF against the alignment itself."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import asin, degrees, radians, sin
from pathlib import Path

import pytest

from app.document.model import Setup
from app.document.plans import Adjuster, Aim, Gauge
from app.judge.align import aligned
from app.judge.aligning_work import taken, turned
from app.judge.alignment import Alignment
from app.judge.known_alignment import remember
from app.paper.flow import flow
from app.paper.sizes import PAPERS, PaperName
from app.sheet.alignment_page import EFFECTS, READS, TITLE, WORK, alignment_sections
from app.sheet.extra_pages import extra_sections
from app.sheet.heads import BODY, FOOT, imprint_of
from app.sheet.pages import SetupSheet
from app.sheet.pdf import needs_application, pdf_of
from app.shop.extras import EXTRAS
from app.shop.subject import subject_of
from app.systems.front.system import FRONT
from tests.helpers.aligning import AIMS, ALL, UPPER, car_to_align
from tests.helpers.printed_cells import Sheet, Word, texts_of
from tests.helpers.sheets import clashes_of, needs_poppler, words_of

pytestmark = pytest.mark.gui

INCH = 25.4
INCH_SHIMS = Adjuster(
    UPPER,
    True,
    (INCH / 8, 3 * INCH / 16),
    (INCH / 8, 5 * INCH / 32),
    (INCH / 32, INCH / 16, INCH / 8),
    (),
    5 * INCH / 8,
    INCH / 4,
)
INCH_GAUGE = {
    "front.left": Gauge(radians(0.8), radians(1.1), None, 2.0),
    "front.right": Gauge(radians(-0.2), radians(2.4), None, -1.0),
}
CARS: dict[str, dict[str, object]] = {
    "small_saloon": {"adjusters": ALL},
    "inch_sedan": {
        "adjusters": {
            "front.upper_shims": INCH_SHIMS,
            "front.lower_eccentric": Adjuster(("front.lower_front",), reach=(-6.0, 6.0)),
            "front.tie_rod": Adjuster(reach=(-10.0, 10.0), pitch=1.5875),
        },
        "aims": {
            "front.camber": Aim(radians(-0.25), radians(0.1), "angle"),
            "front.caster": Aim(radians(4.0), radians(0.2), "angle"),
            "front.toe_total_mm": Aim(1.6, 0.8, "plain"),
        },
        "gauge": INCH_GAUGE,
    },
}


@cache
def told(name: str) -> Alignment:
    alignment = aligned(car_to_align(name, **CARS[name]))
    remember(alignment)
    return alignment


def page_of(setup: Setup, path: Path, paper: PaperName = "a4", decimal: str = ".") -> Path:
    """Print the page alone."""
    needs_application()
    size = PAPERS[paper]
    pages = [
        (name, page)
        for name, blocks in alignment_sections(setup, size, decimal)
        for page in flow(blocks, BODY, size.height - FOOT)
    ]
    sheet = SetupSheet(imprint_of(setup, None, "car.toml", decimal), size, tuple(pages))
    path.write_bytes(pdf_of(sheet))
    return path


@pytest.fixture(name="printed", params=sorted(CARS))
def _printed(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Alignment, Sheet]:
    alignment = told(request.param)
    return alignment, Sheet(page_of(alignment.setup, tmp_path / "page.pdf"))


def shown(value: float, places: int) -> str:
    number = round(value + 0.0, places)
    return f"{abs(number):.{places}f}" if number >= 0.0 else f"−{abs(number):.{places}f}"


def rows(sheet: Sheet, heading: str) -> list[list[Word]]:
    return sheet.under(TITLE, heading)


def length(text: str, units: str) -> float:
    """Return a printed length in mm: a number, or a fraction of an inch with a whole before."""
    if units == "mm":
        return float(text)
    return INCH * float(sum(Fraction(part) for part in text.split()))


def pack(text: str, units: str) -> list[float]:
    """Return the shims of "2 × 3.0 + 2.0"."""
    shims: list[float] = []
    for part in text.split(" + "):
        count, _, size = part.rpartition(" × ")
        shims += [length(size, units)] * int(count or 1)
    return shims


def test_packs_turns_and_their_order(printed: tuple[Alignment, Sheet]) -> None:
    alignment, sheet = printed
    units, lines = alignment.setup.units, rows(sheet, WORK)
    starts = [i for i, line in enumerate(lines) if line[0].text[:1].isdigit() and line[0].left < 25]
    order = alignment.order("left")
    assert len(starts) == len(order)
    middle = next(word.left for line in lines for word in line if word.text == "right wheel") - 1.0
    for number, (start, key) in enumerate(zip(starts, order, strict=True), start=1):
        stop = [*starts, len(lines)][number]
        block = [word for line in lines[start:stop] for word in line if word.left < 500]
        assert block[0].text.startswith(f"{number} ")
        cells = [w for w in block if w.left > 70.0]
        for side, wheel in alignment.wheels.items():
            own = [w.text for w in cells if (w.left < middle) is (side == "left")]
            words = " ".join(own)
            if key in wheel.packs:
                fitted, new = alignment.fitted(key, side), sum(wheel.packs[key])
                assert length(own[0], units) == pytest.approx(fitted, abs=1e-3)
                if new == pytest.approx(fitted):
                    assert own[1:] == ["stays"]
                    continue
                assert length(own[1], units) == pytest.approx(new, abs=1e-3)
                inwards = (new > fitted) is alignment.knobs[key].inboard
                assert own[2] == ("inboard" if inwards else "outboard")
                more, _, made = " ".join(own[3:]).partition(": ")
                size, _, way = more.rpartition(f" {units} ")
                assert way == ("more" if new > fitted else "less")
                assert length(size, units) == pytest.approx(abs(new - fitted), abs=1e-3)
                assert sorted(pack(made, units)) == pytest.approx(sorted(wheel.packs[key]))
            elif abs(wheel.moves[key]) < 0.005:
                assert words == "stays"
            elif key in wheel.turns:
                assert words.startswith(f"{abs(wheel.turns[key]):.2f} turns")
                assert ("longer" in words) is (wheel.moves[key] > 0.0)
            else:
                assert ("inboard" in words) is (wheel.moves[key] > 0.0)
                assert f"{degrees(abs(asin(wheel.moves[key] / 6.0))):.0f}°" in words


def test_readings_have_targets_and_boxes(printed: tuple[Alignment, Sheet]) -> None:
    alignment, sheet = printed
    lines = {line[0].text.rpartition(",")[0]: line for line in rows(sheet, READS)}
    for name, title in (
        ("camber", "Camber"),
        ("caster", "Caster"),
        ("toe", "Toe-in, each wheel"),
    ):
        _, target, within, *figures = (word.text for word in lines[title])
        assert target == shown(degrees(alignment.aims.values[name]), 2)
        assert within == f"± {shown(degrees(alignment.aims.within[name]), 2)}"
        expected = []
        for wheel in alignment.wheels.values():
            missed = abs(wheel.remaining[name]) > alignment.aims.within[name] * 1.000001
            mark = "! " if missed else ""
            expected += [shown(degrees(wheel.read[name]), 2)]
            expected += [mark + shown(degrees(wheel.reached[name]), 2)]
        assert figures == expected


def test_a_total_is_told_as_its_target_is(printed: tuple[Alignment, Sheet]) -> None:
    alignment, sheet = printed
    (line,) = (line for line in rows(sheet, READS) if line[0].text.startswith("Toe-in, total"))
    _, target, _, read, then = (word.text for word in line)
    wheels = alignment.wheels.values()
    if alignment.setup.units == "mm":
        sums = [sum(degrees(wheel.read["toe"]) for wheel in wheels)]
        sums += [sum(degrees(wheel.reached["toe"]) for wheel in wheels)]
        assert [target, read, then] == [shown(0.2, 2), *(shown(each, 2) for each in sums)]
        return
    assert "over 15 in" in line[0].text
    over = 15.0 * INCH
    assert read == shown((2.0 - 1.0) / INCH, 3)  # as was typed, in mm
    reached = sum(sin(wheel.reached["toe"]) * over for wheel in wheels)
    assert [target, then] == [shown(1.6 / INCH, 3), shown(reached / INCH, 3)]


def test_what_one_does(printed: tuple[Alignment, Sheet]) -> None:
    alignment, sheet = printed
    own = [line for line in rows(sheet, EFFECTS) if len(line) in (4, 8)]  # in two columns
    lines = [*(line[:4] for line in own), *(line[4:] for line in own if len(line) == 8)]
    for line, each in zip(lines, alignment.effects, strict=True):
        share = 1.0 if each.per != "mm" or alignment.setup.units == "mm" else INCH / 32
        told_angles = [degrees(a) * share for a in (each.camber, each.caster, each.toe)]
        for word, angle in zip(line[1:], told_angles, strict=True):
            assert float(word.text.replace("−", "-")) == pytest.approx(angle, abs=0.00501)
        if each.per == "shim":
            text = line[0].text.rpartition(", ")[2].split(" ")[0]
            assert length(text, alignment.setup.units) == pytest.approx(each.size, abs=1e-3)


def test_it_says_whether_a_job_is_the_same_work(tmp_path: Path) -> None:
    alignment = told("small_saloon")
    setup = alignment.setup
    after = taken(alignment, setup)
    other = turned(after, "front.upper_shims upper_front", ("left",), 0.5)
    for car, words in (
        (setup, ""),
        (after, "“Alignment” on the work order is this work: do it once."),
        (other, "“Alignment” on the work order isn't what comes out here"),
    ):
        (text,) = texts_of(page_of(car, tmp_path / "page.pdf"))
        assert words in text
        assert ("on the work order is" in text) is bool(words)


def test_it_is_there_where_adjusters_and_targets_are_and_can_be_left_out() -> None:
    whole = told("small_saloon").setup

    def names(setup: Setup, extras: tuple[str, ...] = EXTRAS) -> list[str]:
        subject = subject_of([FRONT.study(setup)], "work")
        sections = extra_sections(subject, PAPERS["a4"], 200.0, ".", extras)  # type: ignore[arg-type]
        return [name for name, _ in sections]

    assert names(whole)[0] == TITLE
    assert TITLE not in names(whole, ("template", "spring-order"))
    assert TITLE not in names(whole.having(adjusters={}))
    assert TITLE not in names(whole.having(aims={}))


def test_cautions_come_first_and_defer_to_the_manual(tmp_path: Path) -> None:
    (text,) = texts_of(page_of(told("small_saloon").setup, tmp_path / "page.pdf"))
    start = text.index("Before a bolt is undone")
    assert start < text.index(WORK)
    assert "workshop manual" in text[start : text.index(WORK)]
    for words in ("as left", "aligned by, date", "bolts and lock nuts checked by, date"):
        assert words in text


@needs_poppler
@pytest.mark.parametrize(("name", "paper"), [("small_saloon", "a4"), ("inch_sedan", "letter")])
def test_it_is_one_page_without_overlaps_and_nothing_is_cut(
    name: str, paper: PaperName, tmp_path: Path
) -> None:
    (words,) = words_of(page_of(told(name).setup, tmp_path / "page.pdf", paper))
    assert not clashes_of(words)
    assert not [word.text for word in words if "…" in word.text]
    left, right = 13.9 / INCH * 72, (PAPERS[paper].width - 13.9) / INCH * 72
    assert all(left <= word.left and word.right <= right for word in words)


def test_no_gauge_is_said_on_the_page(tmp_path: Path) -> None:
    setup = car_to_align(
        adjusters={"front.tie_rod": ALL["front.tie_rod"]},
        gauge={},
        aims={
            "front.toe_total": AIMS["front.toe_total"],
        },
    )
    (text,) = texts_of(page_of(setup, tmp_path / "page.pdf"))
    assert "No gauge was read" in text
