"""Breakages of what is judged: bands, find, align, compare, and what turns the floor takes out."""

from __future__ import annotations

from typing import Final

from tests.attack.breakage import breakages

SENTENCES: Final = "tests/panels/test_bands_shown.py"
BANDS: Final = "tests/judge/test_bands.py"
FIND: Final = (
    "tests/judge/test_find.py tests/judge/test_find_walls.py tests/judge/test_find_steps.py"
)
ALIGN: Final = "tests/judge/test_align.py tests/judge/test_shared_packs.py tests/cli/test_align.py"
COMPARE: Final = (
    "tests/judge/test_compare.py tests/cli/test_compare.py tests/desk/test_comparing.py"
)

JUDGED: Final = breakages(
    (
        "open-sign-where-it-is-sure",
        "app/systems/sentence.py",
        "within is not None and abs(value) < within",
        "within is not None and abs(value) > within",
        SENTENCES,
    ),
    (
        "marks-left-on-the-floor",
        "app/document/levelling.py",
        "{key.removeprefix(MARK): turned[key] for key in marks}",
        "{key.removeprefix(MARK): place for key, place in marks.items()}",
        "tests/document/test_levelling.py",
    ),
    (
        "cars-that-stand-nowhere-stay",
        "geometry/front/many_standing.py",
        "standing = fronts.sound & np.isfinite(stands.travel + stands.pitch + stands.drop)",
        "standing = fronts.sound & (stands.travel == stands.travel[0])",
        "tests/systems/test_many_standing.py",
    ),
    (
        "compare-tells-the-first-row",
        "app/cli/compare.py",
        "(each for each in cells if each[1].value is not None), cells[0])",
        "(each for each in cells), cells[0])",
        COMPARE,
    ),
    (
        "residual-the-wrong-way-in-the-list",
        "app/panels/lists/tapes_table.py",
        "enumerate((row.tape.length, row.residual))",
        "enumerate((row.tape.length, -row.residual))",
        "tests/panels/lists/test_tapes_panel.py tests/desk/test_tapes_in_window.py",
    ),
    (
        "a-want-missed-on-one-side-only",
        "app/judge/wanted.py",
        "max(self.low - value, value - self.high, 0.0)",
        "max(value - self.high, 0.0)",
        FIND,
    ),
    (
        "bounds-told-at-the-other-end",
        "app/judge/prices.py",
        "is_most = is_high == (freedom.sign > 0.0)",
        "is_most = is_high != (freedom.sign > 0.0)",
        FIND,
    ),
    (
        "pieces-without-number",
        "app/judge/shared_packs.py",
        "shims = refitted(fitted, packs, sizes, have)",
        "shims = refitted(fitted, packs, sizes, ())",
        ALIGN,
    ),
    (
        "best-is-the-worst",
        "app/judge/compare.py",
        "return -max(values) if limit.minimum is None else min(values)",
        "return max(values) if limit.minimum is None else min(values)",
        COMPARE,
    ),
    (
        "measured-again-with-no-gain",
        "app/judge/again.py",
        "rest_share = min(1.0, (CLOSER / uncertainty) ** 2) if uncertainty else 1.0",
        "rest_share = min(1.0, CLOSER / uncertainty) if uncertainty else 1.0",
        BANDS,
    ),
    (
        "nothing-drilled-where-all-is-kept",
        "app/judge/drilling.py",
        "if any(limit.kept is not None and limit.kept < SURE for limit in limits_told):",
        "if any(limit.kept is not None and limit.kept > SURE for limit in limits_told):",
        BANDS,
    ),
    (
        "an-arms-place-turned-over",
        "geometry/front/carried.py",
        "return add(foot, scale(cross(arm.axis, radius), seat.up))",
        "return add(foot, scale(cross(radius, arm.axis), seat.up))",
        "tests/geometry/front/test_carried.py",
    ),
    (
        "right-wheel-as-left-on-the-owners-page",
        "app/shop/proposals.py",
        "text = cell.text(row.result, units, int(is_right), decimal)",
        "text = cell.text(row.result, units, 0, decimal)",
        "tests/shop/test_proposals.py",
    ),
    (
        "second-car-in-its-own-units",
        "app/session/second_car.py",
        "setup = self.laid.setup.having(units=self.session.units)",
        "setup = self.laid.setup",
        "tests/desk/test_laying_over.py",
    ),
    (
        "band-of-the-other-car",
        "app/cli/report_text.py",
        '_figure(study, "built", result, after, side, plain)',
        '_figure(study, "found", result, after, side, plain)',
        "tests/cli/test_report_within.py",
    ),
    (
        "steered-one-way-only",
        "app/systems/front/envelopes.py",
        "zip(shares, (low, right), (high, left), strict=True)",
        "zip(shares, (low, right), (high, right), strict=True)",
        "tests/systems/clearance",
    ),
    (
        "gap-from-a-holes-middle",
        "app/shop/hole_gaps.py",
        "hole.step - diameter, keep - diameter)",
        "hole.step - 0.5 * diameter, keep - diameter)",
        "tests/shop/test_hole_gaps.py",
    ),
)
