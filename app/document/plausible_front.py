"""Questions on the front's points that look mixed up when compared with each other."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees, hypot, sqrt
from typing import Final

from app.document.model import Setup, Vec
from app.document.plausible_side import (
    LEVEL,
    Doubt,
    Rule,
    Side,
    duplicates,
    ends_upside_down,
    part_lengths,
    side_doubts,
    sides_differ,
    sides_of,
    weights,
)

SAME_BY_NATURE: Final = (
    frozenset({"spring_body", "damper_body"}),
    frozenset({"spring_arm", "damper_arm"}),
    frozenset({"strut_joint", "lower_ball"}),
)
TYRE_WIDTH: Final = 165.0  # mm, where none is given
RIM: Final = 0.7  # of the tyre's radius: further out it is certainly tyre
CASTER: Final = (-4.0, 15.0)  # degrees
KINGPIN: Final = (-1.0, 20.0)  # degrees
STEERING_ARM: Final = (50.0, 250.0)  # mm, from the kingpin axis
LEAST_LEVER: Final = 0.3  # of the steering arm, that the tie rod pulls at
STEPS: Final = 40  # along an arm, when looking whether it runs through the tyre


def front_doubts(setup: Setup) -> Iterator[Doubt]:
    """Return the doubts that come from comparing points, side by side, then side with side."""
    left, right = sides_of(setup, "front")
    doubts = list(side_doubts((left, right), _RULES))
    yield from doubts
    yield from sides_differ(left, right, doubts)
    yield from weights(left)


def _duplicates(side: Side) -> Iterator[Doubt]:
    return duplicates(side, SAME_BY_NATURE)


def _front_and_rear(side: Side) -> Iterator[Doubt]:
    for arm in ("upper", "lower"):
        front, rear = f"{arm}_front", f"{arm}_rear"
        if not side.has(front, rear) or side.points[front][0] > side.points[rear][0]:
            continue
        gap = side.length(side.points[front][0] - side.points[rear][0])
        is_rod = arm == "lower" and side.setup.evidence.get("front.lower_arm") != "one piece"
        if is_rod:
            text = f"The strut rod's bush is {gap} behind the link's. Does the rod run rearwards?"
        else:
            text = f"The front pivot is {gap} behind the rear one. Front and rear swapped?"
        yield side.key(front), "order", text


def _upper_and_lower(side: Side) -> Iterator[Doubt]:
    for upper, lower in (
        ("upper_ball", "lower_ball"),
        ("upper_front", "lower_front"),
        ("upper_rear", "lower_rear"),
    ):
        if side.has(upper, lower) and side.points[upper][2] <= side.points[lower][2]:
            gap = side.length(side.points[upper][2] - side.points[lower][2])
            title = side.title(lower)
            yield (
                side.key(upper),
                "order",
                f"It is {gap} lower than the {title}. Upper and lower swapped?",
            )
    for what in ("spring", "damper"):
        yield from ends_upside_down(side, what, "arm")


def _inner_and_outer(side: Side) -> Iterator[Doubt]:
    for outer, inners in (
        ("upper_ball", ("upper_front", "upper_rear")),
        ("lower_ball", ("lower_front", "lower_rear")),
        ("tie_outer", ("tie_inner",)),
    ):
        for inner in inners:
            if side.has(outer, inner) and side.points[outer][1] <= side.points[inner][1]:
                gap = side.length(side.points[outer][1] - side.points[inner][1])
                title = side.title(inner)
                text = f"It lies {gap} inboard of the {title}. Inner and outer swapped?"
                yield side.key(outer), "order", text
                break


def _ends_of_tie_rod(side: Side) -> Iterator[Doubt]:
    if side.has("tie_inner", "tie_outer"):
        inner, outer = side.points["tie_inner"][0], side.points["tie_outer"][0]
        if inner * outer < 0.0 and abs(inner - outer) > 120.0:
            behind = "inner" if inner < 0.0 else "outer"
            text = f"Only its {behind} end is behind the axle line. Is a sign of x wrong?"
            yield side.key("tie_outer"), "sign", text


def _kingpin(side: Side) -> Iterator[Doubt]:
    if not side.has("upper_ball", "lower_ball"):
        return
    upper, lower = side.points["upper_ball"], side.points["lower_ball"]
    if upper[2] <= lower[2]:
        return  # asked already, and no angle to speak of
    height = upper[2] - lower[2]
    caster = degrees(atan2(lower[0] - upper[0], height))
    if not CASTER[0] <= caster <= CASTER[1]:
        text = f"With the lower ball joint that makes {caster:.0f}° of caster. Is x right in both?"
        yield side.key("upper_ball"), "range", text.replace("-", "−")
    lean = degrees(atan2(lower[1] - upper[1], height))
    if not KINGPIN[0] <= lean <= KINGPIN[1]:
        text = f"The line of the ball joints leans {lean:.0f}° inwards. Is y right in both?"
        yield side.key("upper_ball"), "range", text.replace("-", "−")


def _steering_arm(side: Side) -> Iterator[Doubt]:
    """Ask about a tie rod that pulls past the kingpin axis, or at hardly any lever."""
    if not side.has("upper_ball", "lower_ball", "tie_outer"):
        return
    lower, outer = side.points["lower_ball"], side.points["tie_outer"]
    axis = _between(lower, side.points["upper_ball"])
    length = sqrt(_dot(axis, axis))
    if length == 0.0:
        return
    arm = _cross(axis, _between(lower, outer))  # length times the steering arm, turned by 90°
    reach = sqrt(_dot(arm, arm)) / length
    if not STEERING_ARM[0] <= reach <= STEERING_ARM[1]:
        text = f"It is {side.length(reach)} from the line through the ball joints. Read x, y again."
        yield side.key("tie_outer"), "reach", text
    elif side.has("tie_inner"):
        rod = _between(outer, side.points["tie_inner"])
        lever = abs(_dot(arm, rod)) / (length * max(sqrt(_dot(rod, rod)), 1e-9))
        if lever < LEAST_LEVER * reach:
            text = "The tie rod runs along the steering arm: it can't turn the wheel. Ends right?"
            yield side.key("tie_outer"), "reach", text


def _wheel_centre(side: Side) -> Iterator[Doubt]:
    if not side.has("wheel_centre"):
        return
    x, y, z = side.points["wheel_centre"]
    radius = side.number("front.tyre_radius")
    if abs(x) > LEVEL:
        text = f"x is {side.length(x)} off the axle line, from which every x is measured."
        yield side.key("wheel_centre"), "disagree", text
    if radius is not None and abs(z - radius) > LEVEL and z > 0.0:
        text = f"Its height and the loaded tyre radius, {side.length(radius)}, should be the same."
        yield side.key("wheel_centre"), "disagree", text
    for name in ("upper_ball", "lower_ball"):
        if side.has(name) and side.points[name][1] > y > 0.0:
            gap = side.length(side.points[name][1] - y)
            text = f"It is {gap} outboard of the wheel's middle: through the wheel. Read y again."
            yield side.key(name), "wheel", text


def _through_tyre(side: Side) -> Iterator[Doubt]:
    radius = side.number("front.tyre_radius")
    if radius is None or not side.has("wheel_centre"):
        return
    for inner, outer in (
        ("upper_front", "upper_ball"),
        ("upper_rear", "upper_ball"),
        ("lower_front", "lower_ball"),
        ("lower_rear", "lower_ball"),
        ("tie_inner", "tie_outer"),
        ("spring_body", "spring_arm"),
        ("damper_body", "damper_arm"),
    ):
        if side.has(inner, outer) and _is_in_tyre(side, radius, inner, outer):
            width = side.number("front.tyre_width")
            size = "" if width else f", if the tyre is about {side.length(TYRE_WIDTH)} wide"
            text = f"From the {side.title(inner)} it runs through the tyre"
            yield side.key(outer), "wheel", f"{text}{size}. Read y again, and the wheel's."


def _is_in_tyre(side: Side, radius: float, inner: str, outer: str) -> bool:
    centre, a, b = (side.points[name] for name in ("wheel_centre", inner, outer))
    half = (side.number("front.tyre_width") or TYRE_WIDTH) / 2
    if b[1] >= centre[1]:
        return False  # asked already
    if max(a[1], b[1]) <= centre[1] - half:
        return False  # all of it is inboard of the tyre
    for step in range(STEPS + 1):
        if abs(a[1] + (b[1] - a[1]) * step / STEPS - centre[1]) >= half:
            continue  # beside the tyre
        x, z = (a[axis] + (b[axis] - a[axis]) * step / STEPS for axis in (0, 2))
        if RIM * radius < hypot(x - centre[0], z - centre[2]) < radius:
            return True
    return False


def _seat(side: Side) -> Iterator[Doubt]:
    arm = side.setup.evidence.get("front.spring.on")
    if side.setup.evidence.get("front.spring.kind") != "coil" or not side.has(
        "spring_arm", "upper_ball", "lower_ball"
    ):
        return
    height = side.points["spring_arm"][2]
    upper, lower = side.points["upper_ball"][2], side.points["lower_ball"][2]
    nearer = "upper arm" if abs(height - upper) < abs(height - lower) else "lower arm"
    if nearer != arm:
        text = f"The spring is said to stand on the {arm}, but this seat is by the {nearer}."
        yield side.key("spring_arm"), "disagree", text


_RULES: Final[tuple[Rule, ...]] = (
    _duplicates,
    _front_and_rear,
    _upper_and_lower,
    _inner_and_outer,
    _ends_of_tie_rod,
    _kingpin,
    _steering_arm,
    _wheel_centre,
    _through_tyre,
    _seat,
    lambda side: part_lengths(side, "arm"),
)


def _between(a: Vec, b: Vec) -> Vec:
    return b[0] - a[0], b[1] - a[1], b[2] - a[2]


def _dot(a: Vec, b: Vec) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vec, b: Vec) -> Vec:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
