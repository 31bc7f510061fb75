"""Breakages of the numbers, of the document, and of what hands do to it.

Texts are as short as they can be told from all others in their file.
"""

from __future__ import annotations

from typing import Final

from tests.attack.breakage import ROWS, STRESS, breakages

SESSION: Final = "app/session/session.py"

KERNEL: Final = breakages(
    (
        "camber-sign",
        "geometry/front/wheel.py",
        "camber = np.arcsin(-axle[2])",
        "camber = np.arcsin(axle[2])",
        "tests/geometry/front/test_front_results.py",
    ),
    (
        "anti-dive-divisor",
        "geometry/front/centres.py",
        "factor * locked[0] / locked[2]",
        "factor * locked[0] / rolling[2]",
        "tests/geometry/front/test_front_properties.py",
    ),
    (
        "eye-shares-swapped",
        "geometry/leaf/load.py",
        "np.array([self.rear_arm, self.front_arm]) / self.length",
        "np.array([self.front_arm, self.rear_arm]) / self.length",
        "tests/geometry/leaf/test_wind_up.py tests/geometry/leaf/test_leaf_load.py",
    ),
    (
        "leaf-roll-steer-sign",
        "geometry/leaf/steer.py",
        "kinematic=eye.real / eye.imag",
        "kinematic=-eye.real / eye.imag",
        "tests/geometry/leaf/test_leaf_roll.py tests/geometry/leaf/test_leaf_axle.py",
    ),
    (
        "roll-lever-of-a-lean",
        "geometry/modes/dampers.py",
        "e_z * y - e_y * z",
        "e_z * y + e_y * z",
        "tests/geometry/links/test_link_hop.py",
    ),
    (
        "links-forces-stiffen-the-wrong-way",
        "geometry/links/hop.py",
        "[part(coil, -push)",
        "[part(coil, push)",
        "tests/geometry/links/test_link_hop.py",
    ),
    (
        "stress-at-ride-is-at-the-stop",
        "geometry/leaf/on_car.py",
        "rear.stresses(float(ride.pack_load[0])),",
        "rear.stresses(float((bump or ride).load[0])),",
        f"{STRESS} {ROWS}",
    ),
    (
        "stress-at-ride-at-zero-travel",
        "geometry/leaf/on_car.py",
        "    ride = rear.ride\n",
        "    ride = rear.on_car(np.zeros(1), Model.COMMON_CURVATURE)\n",
        f"{STRESS} {ROWS}",
    ),
    (
        "stress-at-the-stop-of-an-unknown-height",
        "geometry/leaf/on_car.py",
        "full_bump is not None and rear.settled_travel is not None:",
        "full_bump is not None:",
        STRESS,
    ),
)

DOCUMENT: Final = breakages(
    (
        "within-in-inches",
        "app/document/cells.py",
        "return from_inside(within, kind, setup.units)",
        'return from_inside(within, kind, "mm")',
        "tests/document/test_rewriting.py",
    ),
    (
        "fault-line-off-by-one",
        "app/document/toml_layout.py",
        "return bisect_right(self._starts, offset)",
        "return bisect_right(self._starts, offset) + 1",
        "tests/document/test_faults.py",
    ),
    (
        "limit-s-magnitude",
        "app/document/model.py",
        "return cls(-most, most, kind, by)",
        "return cls(most, most, kind, by)",
        "tests/document/test_rewriting.py",
    ),
    (
        "mirror-keeps-y",
        "app/document/address.py",
        "return (place[0], 0.0 - place[1], place[2])",
        "return (place[0], place[1], place[2])",
        f"tests/document/test_moves.py {ROWS}",
    ),
    (
        "undo-two-steps",
        "app/document/history.py",
        "max(self.index - 1, 0)",
        "max(self.index - 2, 0)",
        "tests/document/test_history.py",
    ),
    (
        "save-in-place",
        "app/document/atomic.py",
        "os.replace(beside, target)",
        "target.write_bytes(data)",
        "tests/document/test_saving.py",
    ),
    (
        "typed-minus-is-a-step",
        "app/document/entries.py",
        "number - present if corrected else number",
        "number",
        "tests/board/test_rear_board.py",
    ),
)

HANDS: Final = breakages(
    (
        "a-view-waits-though-the-hand-let-go",
        "app/board/board.py",
        "self.points.commit()\n        self._catch_up()",
        "self.points.commit()",
        "tests/board/test_turns.py",
    ),
    (
        "a-view-waits-though-the-hand-rests",
        "app/board/board.py",
        "self._rest.stop()\n        self._painted.start()",
        "self._rest.stop()",
        "tests/board/test_turns.py",
    ),
    (
        "figures-stay-behind-the-hand",
        "app/session/between_frames.py",
        "self._turn.start(max(0, round(1000 * wait)))",
        "self._turn.start(0) if wait < 0.0 else None",
        "tests/session/test_between_frames.py",
    ),
    (
        "commit-without-a-step",
        SESSION,
        "self.history = self.history.push(setup, words, token)",
        "self.preview_setup = setup",
        "tests/gestures/test_move_points.py",
    ),
    (
        "undo-leaves-the-active-change-behind",
        SESSION,
        "self.history = history\n            self._keep_active_valid()",
        "self.history = history",
        "tests/session/test_active_change.py",
    ),
    (
        "snap-forgets-the-move-before",
        "app/gestures/move_points.py",
        "round((old + new) / step) * step - old if new",
        "round(new / step) * step if new",
        "tests/gestures/test_move_points.py",
    ),
    (
        "escape-leaves-the-preview",
        "app/gestures/move_points.py",
        "        held, self._held = self._held, None\n        self.session.cancel()",
        "        held, self._held = self._held, None",
        "tests/gestures/test_move_points.py",
    ),
    (
        "curve-of-the-wrong-wheel",
        "app/systems/curves.py",
        "row = values[side] if values.ndim == 2",
        "row = values[0] if values.ndim == 2",
        "tests/panels/curves tests/systems/test_curves.py",
    ),
    (
        "leaf-moved-to-the-wrong-place",
        "app/systems/rear/pack_edits.py",
        "other_leaves.insert(to, leaves[at])",
        "other_leaves.insert(to - 1, leaves[at])",
        "tests/systems/rear/test_pack_edits.py",
    ),
)
