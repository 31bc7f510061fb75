"""How each point is found and measured, in words for a person under the car.

Common practice, no source.
"""

from __future__ import annotations

from typing import Final

from app.document.address import Point
from app.entry.part import Lesson

_PLUMB: Final = "Plumb it to the floor for x and y; z is the height of its centre over that mark."
_LESSONS: Final = {
    "wheel_centre": Lesson(
        "The centre of the hub, in the middle plane of the tyre.",
        "Height: from the floor to the middle of the hub. Sideways: straightedges against the "
        "tyre's inner and outer walls at hub height, and the middle of the two. x is 0: all the "
        "other points count from the axle line through the wheel centres.",
    ),
    "lower_ball": Lesson(
        "The centre of the ball, not the grease cap and not the end of the stud.",
        "It lies on the stud's axis, about where the housing is widest. Swing the steering a "
        f"little: the ball's centre is what stays in place. {_PLUMB}",
    ),
    "upper_ball": Lesson(
        "The centre of the ball, not the grease cap and not the end of the stud.",
        "It lies on the stud's axis, about where the housing is widest. "
        "A plumb bob beside the tyre gives x and y; take z from the floor with a square.",
    ),
    "lower_front": Lesson(
        "The middle of the front bush's length, on the line the arm swings about.",
        f"The line is the bolt's axis. Measure both ends of the bush and take the middle. {_PLUMB}",
    ),
    "lower_rear": Lesson(
        "The middle of the rear bush's length, on the line the arm swings about.",
        f"The line is the bolt's axis. Measure both ends of the bush and take the middle. {_PLUMB}",
    ),
    "upper_front": Lesson(
        "The middle of the front bush's length, on the upper arm's pivot line.",
        "On a shaft that is bolted to the body it is the shaft's axis, not the bolts that hold "
        "it. Measure both ends of the bush and take the middle. Where the floor is out of reach, "
        "take z from a plane you can reach and give that plane's height.",
    ),
    "upper_rear": Lesson(
        "The middle of the rear bush's length, on the upper arm's pivot line.",
        "As at the front pivot. The difference of the two matters most: check it once more "
        "directly, with a square between the two bolt heads.",
    ),
    "strut_joint": Lesson(
        "Where the strut rod is bolted to the lateral link; between two bolts, their middle.",
        f"It is only drawn: link and rod move as one arm. {_PLUMB}",
    ),
    "tie_outer": Lesson(
        "The centre of the outer tie-rod ball, on its stud's axis.",
        "Steer straight ahead first. This height decides on bump steer: 1 mm counts. "
        f"Measure it twice. {_PLUMB}",
    ),
    "tie_inner": Lesson(
        "The centre of the inner tie-rod joint: the ball in the rack's bellows, or the joint on "
        "the relay link.",
        "With a rack, feel for the ball through the bellows or push them back. This height "
        f"decides on bump steer: 1 mm counts. {_PLUMB}",
    ),
    "pitman_pivot": Lesson(
        "On the axis of the steering box's output shaft, at the height of the relay link's joint.",
        f"The nut on the arm is on the axis. y counts to the left; to the right it is −. {_PLUMB}",
    ),
    "pitman_end": Lesson(
        "The centre of the joint between pitman arm and relay link.",
        f"Steer straight ahead first. y counts to the left; to the right it is −. {_PLUMB}",
    ),
    "idler_pivot": Lesson(
        "On the idler arm's pivot axis, at the height of the relay link's joint.",
        f"It is on the side without the steering box; to the right y is −. {_PLUMB}",
    ),
    "idler_end": Lesson(
        "The centre of the joint between idler arm and relay link.",
        f"Steer straight ahead first. y counts to the left; to the right it is −. {_PLUMB}",
    ),
    "spring_arm": Lesson(
        "The centre of the last coil where it rests on the arm's seat.",
        "Take the middle of the seat, at the height where the coil touches it; with a rubber pad, "
        "its upper face on a lower seat. Never loosen anything that holds the spring.",
    ),
    "spring_body": Lesson(
        "The centre of the last coil where it rests against the body.",
        "Take the middle of the tower or pocket, at the height where the coil touches it. Often "
        "the damper's stem goes through its middle and shows where it is.",
    ),
    "damper_arm": Lesson(
        "The middle of the damper's eye or rubber on the arm.",
        "On a stem, the middle between the two rubbers. Leave it empty if the damper isn't of "
        "interest now.",
    ),
    "damper_body": Lesson(
        "The middle of the damper's eye or rubber on the body.",
        "On a stem, the middle between the two rubbers.",
    ),
}
_ROD: Final = {
    "lower_front": Lesson(
        "The strut rod's bush on the body: the middle of its rubbers, on the rod's axis.",
        f"Between two rubbers on either side of a bracket it is the bracket's plate. {_PLUMB}",
    ),
    "lower_rear": Lesson(
        "The lateral link's bush on the body: the middle of the bush's length, on its bolt.",
        f"Measure both ends of the bush and take the middle. {_PLUMB}",
    ),
}
PAGES: Final = {
    "wheel": "Static values with the car on its wheels, steering straight ahead. Radius: wheel "
    "centre to floor. Camber and toe may be typed as degrees or minutes, 0.5 or 30'.",
    "spring": "None of this is needed to draw the car; beside each value stands what it is for. "
    "A compressed spring holds enough energy to kill: take lengths in place, or have the spring "
    "removed as the workshop manual says.",
}


def lesson(point: str, lower_arm: str) -> Lesson:
    """Return the words for a point of a car with this kind of lower arm."""
    name = Point.at(point).name
    if lower_arm == "link and strut rod" and name in _ROD:
        return _ROD[name]
    return _LESSONS[name]
