"""Breakages of where a car stands, what holds it there, and what the road makes of it.

Texts are as short as they can be told from all others in their file.
"""

from __future__ import annotations

from typing import Final

from tests.attack.breakage import breakages

TESTS: Final = "tests/systems/test_standing.py"
JUDGED: Final = "tests/judge"
HEIGHTS: Final = "tests/document/test_heights.py tests/panels/test_panels_pose.py"

SQUARE: Final = "tests/systems/rear/test_rear_square.py"

STANDING: Final = breakages(
    (
        "wheels-swapped-where-they-differ",
        "app/systems/sides.py",
        "return float(each[side])",
        "return float(each[1 - side])",
        "tests/systems/front/test_worse_wheel.py",
    ),
    (
        "lean-shared-the-other-way",
        "geometry/balance.py",
        "np.divide(own, own + other)",
        "np.divide(other, own + other)",
        SQUARE,
    ),
    (
        "right-spring-settles-as-the-left-one",
        "geometry/leaf/sides.py",
        "moved=right.moved",
        "moved=car.moved",
        SQUARE,
    ),
    (
        "bars-that-touch-taken-for-open",
        "geometry/leaf/snubbers.py",
        "closed = closing > -TOUCHES\n    push",
        "closed = closing > TOUCHES\n    push",
        "tests/geometry/leaf/test_snubbers.py",
    ),
    (
        "two-models-compared",
        "app/systems/rear/two_models.py",
        "and not is_one_model(study)",
        "and is_one_model(study)",
        "tests/systems/rear/test_torque_stress.py",
    ),
    (
        "pitch-the-other-way",
        "app/systems/standing.py",
        "arctan((front - rear)",
        "arctan((rear - front)",
        TESTS,
    ),
    (
        "arch-less-height-swapped",
        "app/systems/standing.py",
        "return arch - choice",
        "return choice - arch",
        TESTS,
    ),
    (
        "caster-turned-the-wrong-way",
        "geometry/front/standing.py",
        'at_road["caster"] = caster - pitch',
        'at_road["caster"] = caster + pitch',
        TESTS,
    ),
    (
        "contact-slope-without-the-hub",
        "geometry/standing.py",
        "hub * np.cos(pitch) + np.sin(pitch) + contact - hub",
        "contact",
        TESTS,
    ),
    (
        "pinion-to-the-body",
        "geometry/standing.py",
        "at_road[key] = values[key] - pitch",
        "at_road[key] = values[key]",
        TESTS,
    ),
    (
        "toe-set-at-the-measured-height",
        "app/systems/front/study.py",
        "aligned = stood(front, stand)",
        "aligned = front",
        TESTS,
    ),
    (
        "travel-from-the-measured-height",
        "geometry/front/standing.py",
        'values["wheel_travel"] - stand.travel',
        'values["wheel_travel"]',
        TESTS,
    ),
    (
        "held-on-the-springs-it-has",
        "app/systems/front/study.py",
        "    if stand.is_held:\n        aligned = held",
        "    if False:\n        aligned = held",
        TESTS,
    ),
    (
        "packer-below-instead-of-above",
        "app/systems/holding.py",
        "by = value - holder.now",
        "by = holder.now - value",
        f"{TESTS} tests/shop/test_held_jobs.py",
    ),
    (
        "centre-of-gravity-rises",
        "app/judge/balance.py",
        "height - car.stand.drop",
        "height + car.stand.drop",
        JUDGED,
    ),
    (
        "smallest-consequence-first",
        "app/systems/sentences.py",
        "-each[1]))",
        "each[1]))",
        JUDGED,
    ),
    (
        "curves-shifted-twice",
        "app/systems/curves.py",
        'if in_body and driver == "travel" else sweep.at',
        'if driver == "travel" else sweep.at',
        "tests/panels/curves tests/systems/test_curves.py",
    ),
    (
        "same-place-in-the-body-the-wrong-way",
        "app/systems/pose.py",
        "travel=pose.travel - stands",
        "travel=pose.travel + stands",
        "tests/session",
    ),
    (
        "nearest-height-beyond-the-stop",
        "app/document/heights.py",
        "return max(middle - cast(float, up), _LEAST)",
        "return max(middle - cast(float, down), _LEAST)",
        HEIGHTS,
    ),
)
LOADS: Final = breakages(
    (
        "no-load-transfer",
        "geometry/full_loads.py",
        "return 1.0 / car.leverage if car.leverage else 0.0",
        "return 0.0",
        "tests/geometry/leaf tests/systems/rear",
    ),
    (
        "brakes-of-the-front",
        "geometry/full_loads.py",
        "brakes = car.brake_share * total",
        "brakes = (1.0 - car.brake_share) * total",
        "tests/geometry/leaf tests/systems/rear",
    ),
    (
        "gap-taken-twice",
        "geometry/leaf/snubbers.py",
        "seat_angle)) + bars.gap",
        "seat_angle)) + 2.0 * bars.gap",
        "tests/geometry/leaf",
    ),
    (
        "gap-as-measured-where-it-stands",
        "geometry/leaf/rear.py",
        "        if self.car.gap_as_measured and not self.pressed:",
        "        if self.car.gap_as_measured and self.pressed:",
        "tests/geometry/leaf/test_snubbers.py",
    ),
    (
        "damper-ratio-without-the-snubbers",
        "geometry/leaf/housing.py",
        "        if snubbers is not None:\n            nose_rate",
        "        if snubbers is None:\n            nose_rate",
        "tests/geometry/leaf/test_snubbers.py",
    ),
    (
        "wound-up-without-the-lift",
        "geometry/leaf/rear.py",
        "path.seat.z + rise + forward",
        "path.seat.z + forward",
        "tests/systems/rear/test_rear_pinion.py",
    ),
    (
        "closed-anti-squat-pitched-the-other-way",
        "geometry/leaf/single.py",
        "contact_slope_to_road(hub, contact, pitch)",
        "contact_slope_to_road(hub, contact, -pitch)",
        "tests/geometry/leaf/test_snubbers.py",
    ),
    (
        "stops-of-the-found-car",
        "app/systems/curves.py",
        "(stop - stands) / size",
        "(stop + stands) / size",
        "tests/systems/test_curves.py",
    ),
    (
        "right-spring-sagged-for-the-left",
        "geometry/leaf/sides.py",
        "loaded_arch(left) - loaded_arch(right)",
        "loaded_arch(right) - loaded_arch(left)",
        "tests/systems/rear/test_rear_square.py",
    ),
    (
        "pinion-at-braking-for-drive",
        "app/systems/rear/shop/pinion.py",
        "    for share in (1.0, -1.0):",
        "    for share in (-1.0, 1.0):",
        "tests/systems/rear/test_rear_pinion.py",
    ),
    (
        "damper-turned-with-the-nose-down",
        "geometry/dampers.py",
        "x, z = c * x - s * z, s * x + c * z",
        "x, z = c * x + s * z, c * z - s * x",
        "tests/systems/rear",
    ),
)
