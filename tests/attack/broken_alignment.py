"""Breakages of an alignment taken to the board, the work order and its page."""

from __future__ import annotations

from typing import Final

from tests.attack.breakage import breakages

JOB: Final = "tests/shop/test_alignment_job.py"

ALIGNED: Final = breakages(
    (
        "shims-counted-the-other-way",
        "app/judge/aligning_work.py",
        "across * inwards * (1.0 if knob.inboard else -1.0)",
        "across * inwards * (-1.0 if knob.inboard else 1.0)",
        "tests/judge/test_aligning_work.py",
    ),
    (
        "arrow-of-a-shim-turned-round",
        "app/shop/alignment.py",
        "inwards = 1 if (more > 0.0) == self.alignment.knobs[key].inboard else -1",
        "inwards = 1 if (more > 0.0) != self.alignment.knobs[key].inboard else -1",
        "tests/sheet/test_alignment_page.py",
    ),
    (
        "an-eccentric-is-drilled",
        "app/shop/orders.py",
        "if change.on and change not in own and (change.moves or change.sets)",
        "if change.on and (change.moves or change.sets)",
        JOB,
    ),
    (
        "right-packs-as-the-left",
        "app/judge/adjuster_words.py",
        'return self.adjuster.packs(side == "right")',
        'return self.adjuster.packs(side == "left")',
        JOB,
    ),
    (
        "tie-rods-from-the-models-toe",
        "app/judge/aligning_work.py",
        "was = tie_lengths(with_amounts(base, knobs, done, toe_read(setup)))",
        "was = tie_lengths(with_amounts(base, knobs, done, toe_in(base)))",
        "tests/judge/test_aligning_work.py",
    ),
    (
        "gauged-again-counts-twice",
        "app/judge/aligning_work.py",
        "key: move + alignment.done(key, side)",
        "key: move + 2.0 * alignment.done(key, side)",
        "tests/judge/test_aligning_work.py",
    ),
    (
        "a-limit-is-no-wall",
        "app/judge/drawn_walls.py",
        "self.at = self._found(before, place, left, car)",
        "self.at = None",
        "tests/judge/test_drawn_walls.py",
    ),
    (
        "total-toe-on-each-wheel",
        "app/document/typed_alignment.py",
        "0.5 * number if is_total else number",
        "number",
        "tests/document/test_typed_alignment.py",
    ),
)
