"""The rear on the sheet, read back as text and ink."""

from __future__ import annotations

from itertools import product
from math import dist
from pathlib import Path
from typing import cast

import pytest

from app.document.model import Change, FrozenMap, Setup, Vec
from app.sheet.pages import setup_sheet
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from tests.helpers.ink import bare_edges, dark_of, dark_runs, ink_of, inks_of, ring_shares
from tests.helpers.long_cases import typical_of
from tests.helpers.printed_cells import texts_of
from tests.helpers.rear_sheets import back_on_leaves, leaf_rear, longer_links, rear_setups
from tests.helpers.sheets import (
    clashes_of,
    needs_poppler,
    printed_whole,
    sample,
    with_all_on,
    with_on,
    words_of,
)

pytestmark = pytest.mark.gui

MARGIN = 11.5  # no ink nearer to an edge than common printers reach, with room [mm]
SETUPS = rear_setups()
FEW = ("saloon, all on", "onto links", "rear alone", "crowded", "bare links")
KEPT = [("inches", "letter"), ("links", "letter"), *((name, "a4") for name in FEW)]


def pages_of(setup: Setup, tmp_path: Path, paper: str = "a4", decimal: str = ".") -> list[str]:
    return texts_of(printed_whole(setup, tmp_path / "sheet.pdf", paper, decimal))


def text_of(setup: Setup, tmp_path: Path, decimal: str = ".") -> str:
    return " ".join(pages_of(setup, tmp_path, decimal=decimal))


@pytest.mark.parametrize(
    ("name", "count"), [("rear alone", 7), ("record", 5), ("saloon", 5), ("longer links", 6)]
)
def test_there_are_as_many_pages_as_needed_and_they_count_themselves(
    name: str, count: int, tmp_path: Path
) -> None:
    pages = pages_of(SETUPS[name], tmp_path)
    assert len(pages) == count
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {count}" in text


def test_a_rear_alone_prints_nothing_of_a_front(tmp_path: Path) -> None:
    text = text_of(leaf_rear("Right damper"), tmp_path)
    assert "Front suspension" not in text
    assert "Set the alignment to" not in text
    for words in (
        "Work order",
        "Set and read at the rear",
        "Shackle to the line of the eyes",
        "Damper bolts, at ride height: torque to the workshop manual",
        "Rear suspension · drawing",
        "Rear damper, body end, right",
        "410 rearward",
        "Leaf pack, left as it is",
        "Stress of each leaf",
        "Load on one spring, N",
        "Couple on both seats, N·m",
        "Under torque",
        "If one ahead, one behind",
        "A linear indication",
        "Limits",
        "The owner wants the upper pivots lowered.",
    ):
        assert words in text


def test_both_ends_share_one_work_order(tmp_path: Path) -> None:
    pages = pages_of(with_all_on(sample("small_saloon")), tmp_path)
    orders = [text for text in pages if " Work order" in text]
    order = " ".join(orders)
    assert pages[: len(orders)] == orders
    for words in (
        "Re-drill the upper arm pivots 22.0 mm lower, both sides.",
        "Move the rear damper's body end 410.0 mm rearward, right side.",
        "Set the alignment to",
        "Set and read at the rear",
        "What it does at the front",
        "What it does at the rear",
    ):
        assert words in order
    # the cautions of both ends, that for all of them once and last
    assert "Springs store energy: cage or compress them" in order
    assert "Leaf springs store energy: unload them fully" in order
    assert order.count("This is a calculation, not an approval") == 1
    ends = ["Front" if "Front suspension" in text else "Rear" for text in pages[len(orders) :]]
    assert ends == sorted(ends)


@pytest.mark.parametrize(
    "words",
    [
        "before the last U-bolt or shackle bolt comes off",
        "Clamp the pack in a vice or with long clamps before its centre bolt is taken out",
        "New U-bolts and nuts every time",
        "no heat or weld comes near a leaf",
        "Torque eye and shackle bolts with the car on its wheels at ride height",
        "brake hose, handbrake cable, propshaft plunge and joint angles",
        "full droop, full bump and full wind-up both ways",
        "springs are altered in pairs",
        "licensed engineer or inspector decide",
    ],
)
def test_the_cautions_for_springs_are_there(words: str, tmp_path: Path) -> None:
    # habits of the trade: common practice, no source
    assert words in text_of(leaf_rear("Leaf 4"), tmp_path)


def test_only_the_end_with_work_is_printed_and_both_where_both_have_it(tmp_path: Path) -> None:
    setup = sample("small_saloon")
    alone = setup_sheet([FRONT.study(setup)], extras=()).pages
    whole = setup_sheet([FRONT.study(setup), REAR.study(setup)], extras=()).pages
    assert [name for name, _ in whole] == [name for name, _ in alone]
    assert "Set and read at the rear" not in text_of(setup, tmp_path)
    both = with_all_on(setup)
    names = [name for name, _ in setup_sheet([FRONT.study(both), REAR.study(both)]).pages]
    assert any(name.startswith("Front") for name in names)
    assert any(name.startswith("Rear") for name in names)
    none = setup.having(changes=())
    pages = setup_sheet([FRONT.study(none), REAR.study(none)]).pages
    assert len(pages) > len(alone)


def test_the_cutting_list_adds_up(tmp_path: Path) -> None:
    text = text_of(leaf_rear("Leaf 4"), tmp_path)
    assert "Leaf pack as found" in text
    assert "Leaf pack to build up" in text
    assert "was leaf 5" in text
    # 7.85e-6 kg/mm³ of steel: 57 · 5.5 · 1320 mm³ are 3.25 kg
    assert "main 5.50 600.0 720.0 1320.0 3.25 to the eyes" in text
    assert "2 5.50 510.0 610.0 1120.0 2.76 clipped" in text


def test_a_helper_and_a_taper_are_told_in_fractions(tmp_path: Path) -> None:
    text = text_of(with_on(sample("inch_sedan"), "Helpers"), tmp_path)
    assert "helper, touches at 1 1/2 in of bump" in text
    assert "helper, touches at 2 in of bump altered" in text
    assert "main 0.470 25 29 54" in text
    assert "tapered, parabolic" in text


def test_links_are_as_long_as_their_ends_are_apart(tmp_path: Path) -> None:
    setup = longer_links()
    x, y, z = cast(Vec, setup.evidence["rear.lower_body"])
    axle = cast(Vec, setup.evidence["rear.lower_axle"])
    before, after = dist((x, y, z), axle), dist((x + 30.0, y, z), axle)
    words = f"Lower left link {before:.1f} {after:.1f} {after - before:.1f} longer"
    assert words in text_of(setup, tmp_path)


def test_an_axle_of_another_kind_says_what_comes_and_what_goes(tmp_path: Path) -> None:
    text = text_of(SETUPS["onto links"], tmp_path)
    for words in ("Leaf pack that comes off", "comes off", "Lower links", "Coil motion ratio"):
        assert words in text
    assert "Stress of each leaf" not in text
    back = text_of(back_on_leaves(), tmp_path)
    assert "Links that come off" in back
    assert "Leaf pack to fit" in back
    assert "New U-bolts and nuts" in back


def test_what_is_missing_is_said_and_nothing_is_made_up(tmp_path: Path) -> None:
    text = text_of(SETUPS["bare"], tmp_path)
    assert "What is missing" in text
    assert "needs mass as driven" in text
    assert "Couple on both seats" not in text
    assert text.count("Pinion angle") == 1  # it wasn't measured: told among what is missing
    assert "needs pinion, nose up" in text
    assert "Traction bars close at" not in text
    assert "how far it settles isn't known" in text


def test_the_decimal_sign_is_the_users(tmp_path: Path) -> None:
    text = text_of(leaf_rear("Leaf 4"), tmp_path, ",")
    assert "main 5,50 600,0 720,0 1320,0 3,25" in text
    assert not [word for word in text.split() if word.count(".") == 1 and word[:-1].isdigit()]


def test_everything_of_a_crowded_rear_is_there(tmp_path: Path) -> None:
    text = text_of(SETUPS["crowded"], tmp_path)
    assert "Build both leaf springs up anew, of 13 leaves" in text
    assert "Leaf 5: from the old spring of the other car, eyes cut off" in text
    assert "+1/8, −0.039, +5/64" in text
    assert "…" not in text


@needs_poppler
@pytest.mark.parametrize(("name", "paper"), typical_of(product(SETUPS, ("a4", "letter")), KEPT))
def test_ink_keeps_off_the_edges_and_words_off_each_other(
    name: str, paper: str, tmp_path: Path
) -> None:
    path = printed_whole(SETUPS[name], tmp_path / "sheet.pdf", paper)
    inks = inks_of(path, 50)
    for number, (page, ink) in enumerate(zip(words_of(path), inks, strict=True), 1):
        level = [w for w in page if w.bottom - w.top < 40.0]  # the bars' figures stand upright
        clashes = clashes_of(level)
        assert not clashes, f"page {number}: {clashes[:5]}"
        assert bare_edges(ink > 0.2, MARGIN, 50), f"ink in the margin of page {number}"


@needs_poppler
def test_the_side_view_is_true_to_its_scale(tmp_path: Path) -> None:
    # a tyre of 292 mm loaded radius is a circle of 58.4 mm at 1 : 10
    path = printed_whole(leaf_rear().having(changes=()), tmp_path / "sheet.pdf")
    assert "Side view, left side, 1 : 10" in texts_of(path)[1]
    dark = ink_of(path, 2, 127) > 0.3  # 5 dots per mm

    def share(radius: float) -> float:
        return float(ring_shares(dark, radius, range(250, 500), range(300, 650, 2)).max())

    assert share(5 * 29.2) > 0.6
    assert share(5 * 29.2 * 0.97) < 0.4


@needs_poppler
def test_the_bars_on_the_rears_page_are_as_long_as_they_say(tmp_path: Path) -> None:
    path = printed_whole(leaf_rear().having(changes=()), tmp_path / "sheet.pdf")
    dark = dark_of(path, 2, 508)  # 20 dots per mm
    for lines in (dark, dark.T):
        runs = dark_runs(lines, 1900)
        assert min(abs(run / 20.0 - 100.0) for run in runs) <= 0.1
        assert min(abs(run / 20.0 - 101.6) for run in runs) <= 0.1


def test_double_letters_are_found_in_a_search(tmp_path: Path) -> None:
    text = text_of(leaf_rear("Traction", "Leaf 4"), tmp_path)
    assert "stiffness" in text
    assert not set(text) & set("ﬀﬁﬂﬃﬄ")


def test_a_sheet_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="needs at least one system"):
        setup_sheet([])


def test_the_rear_is_shown_from_above_where_something_moves_forward_or_sideways(
    tmp_path: Path,
) -> None:
    assert "From above · scale 1 :" in text_of(leaf_rear("Right damper"), tmp_path)
    assert "From above" not in text_of(leaf_rear("Leaf 4"), tmp_path)


def test_the_front_is_shown_from_above_for_a_right_hand_move_alone(tmp_path: Path) -> None:
    setup = sample("hillclimb_special")
    for move, is_shown in (((0.0, 0.0, -3.0), False), ((4.0, 0.0, 0.0), True)):
        change = Change("right", moves=FrozenMap({"front.right.tie_inner": move}))
        told = text_of(setup.having(changes=(change,)), tmp_path)
        assert ("Top view" in told) == is_shown


def test_the_helper_bears_after_what_is_left_from_where_the_car_stands(tmp_path: Path) -> None:
    # a block takes the body down and leaves the spring as it is: 1 1/2 in of bump as before
    text = text_of(with_on(sample("inch_sedan"), "Blocks"), tmp_path)
    assert "helper bears after 1 1/2 in" in text


def test_only_bolts_that_the_work_undoes_are_torqued(tmp_path: Path) -> None:
    damper = text_of(leaf_rear("Right damper"), tmp_path)
    assert "Damper bolts, at ride height" in damper
    assert "U-bolt nuts, new: torque" not in damper
    leaf = text_of(leaf_rear("Leaf 4"), tmp_path)
    assert "U-bolt nuts, new: torque" in leaf
    assert "Damper bolts, at ride height" not in leaf
    record = text_of(leaf_rear().having(changes=()), tmp_path)
    assert "torque to the" not in record
    assert "set to" not in record
