"""Breakages of what goes on paper: rows, and the cells that they are printed in.

Texts are as short as they can be told from all others in their file.
"""

from __future__ import annotations

from typing import Final

from tests.attack.breakage import CELLS, ROWS, WORK, breakages

PACK_TABLE: Final = "app/sheet/pack_table.py"
POINT_TABLE: Final = "app/sheet/point_table.py"
RESULT_TABLE: Final = "app/sheet/result_table.py"
REAR_TABLES: Final = "app/sheet/rear_tables.py"
WORK_ORDER: Final = "app/sheet/work_order.py"
LEAVES: Final = "app/systems/rear/shop/leaves.py"
TARGETS: Final = "app/systems/front/shop/targets.py"

POINTS: Final = breakages(
    (
        "points-always-in-mm",
        POINT_TABLE,
        "(ruled_number(part, units, decimal), face)",
        '(ruled_number(part, "mm", decimal), face)',
        CELLS,
    ),
    (
        "proposed-shows-measured",
        POINT_TABLE,
        "yield from _numbers(point.proposed,",
        "yield from _numbers(point.measured,",
        CELLS,
    ),
    (
        "proposed-row-holds-measured",
        "app/shop/points.py",
        "points.proposed.get(key, measured)",
        "measured",
        ROWS,
    ),
    (
        "right-hand-point-measured-on-the-left",
        "app/shop/points.py",
        "mirrored(cast(Vec, left))",
        "cast(Vec, left)",
        ROWS,
    ),
    (
        "right-hand-move-told-as-left",
        POINT_TABLE,
        "side = -1.0 if is_right else 1.0",
        "side = 1.0",
        CELLS,
    ),
    (
        "new-for-comes-off",
        "app/systems/rear/shop/points.py",
        "new=now - was",
        "new=was - now",
        ROWS,
    ),
    (
        "heads-of-points-swapped",
        POINT_TABLE,
        "ink.write(columns[3].x, top + 3.4, measured,",
        "ink.write(columns[7].x, top + 3.4, measured,",
        CELLS,
    ),
    (
        "within-of-another-point",
        "app/shop/points.py",
        "widest(setup.within[key])",
        "widest(next(iter(setup.within.values())))",
        ROWS,
    ),
)

RESULTS: Final = breakages(
    (
        "results-swapped",
        "app/shop/results.py",
        "value_told(study.measured, result, side),\n",
        "value_told(study.proposed, result, side),\n",
        ROWS,
    ),
    (
        "results-printed-in-swapped-columns",
        RESULT_TABLE,
        "ink.write(before, baseline, measured,",
        "ink.write(before, baseline, proposed,",
        CELLS,
    ),
    (
        "moves-sign",
        "app/shop/results.py",
        "return self.proposed - self.measured",
        "return self.measured - self.proposed",
        ROWS,
    ),
    (
        "results-of-the-right-wheel",
        "app/systems/answers.py",
        "return value_in(car.rest, result, side)",
        "return value_in(car.rest, result, 1)",
        ROWS,
    ),
    (
        "results-always-in-mm",
        RESULT_TABLE,
        "banded_number(value, within, result, units, plus=plus",
        'banded_number(value, within, result, "mm", plus=plus',
        CELLS,
    ),
    (
        "verdict-turned-round",
        "app/sheet/limits_table.py",
        'True: "kept", False: "NOT KEPT"',
        'False: "kept", True: "NOT KEPT"',
        WORK,
    ),
    (
        "two-things-of-one-key",
        "app/systems/study_results.py",
        "_by_identity(car.results).get(result.identity)",
        "next((each for each in car.results if each.key == result.key), None)",
        ROWS,
    ),
    (
        "csv-in-mm",
        "app/export/tables.py",
        '_number(value, "length", study, decimal, places)',
        '_number(25.4 * value, "length", study, decimal, places)',
        "tests/export/test_export.py::test_the_table_of_points_is_in_the_files_units",
    ),
)

SPRINGS: Final = breakages(
    (
        "leaf-ends-swapped",
        PACK_TABLE,
        "lengths = (leaf.front, leaf.rear, leaf_row.whole)",
        "lengths = (leaf.rear, leaf.front, leaf_row.whole)",
        CELLS,
    ),
    (
        "leaf-number-off-by-one",
        PACK_TABLE,
        'return "main" if place == 0 else str(place + 1)',
        'return "main" if place == 0 else str(place)',
        CELLS,
    ),
    (
        "thickness-in-mm",
        "app/systems/rear/shop/leaf_steps.py",
        'number_of(leaf.thickness, "length", units,',
        'number_of(leaf.thickness, "length", "mm",',
        CELLS,
    ),
    (
        "stress-at-ride-printed-of-the-stop",
        PACK_TABLE,
        "(*leaf.ride, *(leaf.bump or (None, None)))",
        "(*(leaf.bump or (None, None)), *leaf.ride)",
        CELLS,
    ),
    (
        "left-of-the-limit-at-ride",
        LEAVES,
        "float(bump.margin[place])",
        "float(ride.margin[place])",
        ROWS,
    ),
    (
        "eye-loads-swapped",
        "app/systems/rear/shop/torque.py",
        "front_eye=float(twist.eye_load[0, place])",
        "front_eye=float(twist.eye_load[1, place])",
        ROWS,
    ),
    (
        "pinion-without-wind-up",
        "app/systems/rear/shop/torque.py",
        "None if pinion is None else pinion + turn",
        "pinion",
        ROWS,
    ),
    (
        "body-falls-for-lifts",
        REAR_TABLES,
        "number_of(torque.lift,",
        "number_of(-torque.lift,",
        CELLS,
    ),
    (
        "modes-off-by-one",
        "app/systems/rear/shop/hop.py",
        "MODES: Final = (1, 2, 3)",
        "MODES: Final = (0, 1, 2)",
        ROWS,
    ),
    (
        "links-found-and-fitted-swapped",
        "app/systems/rear/shop/links.py",
        "_length(before.get(name)), _length(after.get(name))",
        "_length(after.get(name)), _length(before.get(name))",
        ROWS,
    ),
    (
        "longer-for-shorter",
        "app/systems/rear/shop/links.py",
        "self.fitted > self.found",
        "self.fitted < self.found",
        CELLS,
    ),
)

WORK_DONE: Final = breakages(
    (
        "higher-for-lower",
        "app/words/moves.py",
        '("higher", "lower")',
        '("lower", "higher")',
        "tests/shop/test_jobs.py",
    ),
    (
        "shims-outboard-for-inboard",
        "app/words/moves.py",
        '("outboard", "inboard")',
        '("inboard", "outboard")',
        "tests/shop/test_jobs.py",
    ),
    (
        "sum-of-one-order-is-its-last-move",
        "app/shop/orders.py",
        "total[key] = add(total.get(key, REST), move)",
        "total[key] = move",
        "tests/shop/test_orders.py",
    ),
    (
        "place-read-from-the-wrong-side-of-the-axle",
        "app/shop/places.py",
        "'ahead of' if step[0] > 0 else 'behind'",
        "'behind' if step[0] > 0 else 'ahead of'",
        "tests/shop/test_places.py",
    ),
    (
        "stress-models-swapped",
        "app/systems/rear/shop/leaves.py",
        "float(by_model[Model.COMMON_CURVATURE, place]),\n",
        "float(by_model[Model.POINT_CONTACT, place]),\n",
        ROWS,
    ),
    (
        "all-pages-for-a-range",
        "app/sheet/preview.py",
        "if ranges.isEmpty() or ranges.contains(page + 1)",
        "if ranges is not None",
        "tests/sheet/test_preview.py",
    ),
    ("jobs-counted-from-nought", WORK_ORDER, "enumerate(todo, 1)", "enumerate(todo, 0)", WORK),
    (
        "found-and-wanted-swapped",
        "app/sheet/targets_table.py",
        "_figures(ink, found_column, baseline, target.found,",
        "_figures(ink, found_column, baseline, target.wanted,",
        WORK,
    ),
    (
        "targets-not-settled",
        TARGETS,
        "self._sides(self.study.proposed.rest, key)",
        "self._sides(self.study.unsettled.rest, key)",
        WORK,
    ),
    (
        "arch-height-the-wrong-way",
        TARGETS,
        "float(arch) - by",
        "float(arch) + by",
        WORK,
    ),
    (
        "settles-higher-for-lower",
        "app/shop/work.py",
        "'lower' if by > 0 else 'higher'",
        "'higher' if by > 0 else 'lower'",
        WORK,
    ),
    (
        "outcomes-swapped",
        WORK_ORDER,
        "(outcome.before, TEXT)",
        "(outcome.after, TEXT)",
        WORK,
    ),
    (
        "drilled-holes-not-cautioned",
        "app/systems/front/words/cautions.py",
        "        yield _DRILLED\n",
        "        pass\n",
        "tests/systems/test_plain_words.py",
    ),
)
