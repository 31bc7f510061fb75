"""How each point of a rear is found and measured, in words for a person under the car.

Common practice, no source.
"""

from __future__ import annotations

from typing import Final

from app.document.address import Point
from app.entry.part import Lesson

_PLUMB: Final = "Plumb it to the floor for x and y; z is the height of its centre over that mark."
_BEHIND: Final = "x is minus: it counts back from the front axle line."
_LESSONS: Final = {
    "wheel_centre": Lesson(
        "The centre of the rear hub, in the middle plane of the tyre.",
        f"As at the front: height from the floor, the middle between straightedges on both walls. "
        f"{_BEHIND} It is the wheelbase where both sides agree.",
    ),
    "front_eye": Lesson(
        "The centre of the front eye's bolt, at the middle of the bush's length.",
        f"The bolt's axis, not the leaf's end. {_PLUMB} {_BEHIND}",
    ),
    "rear_eye": Lesson(
        "The shackle's pin in the spring's rear eye, at the middle of the bush's length.",
        f"The pin that goes through the spring, not the one on the body. {_PLUMB}",
    ),
    "shackle_body": Lesson(
        "The shackle's pin on the body, at the middle of its bush.",
        f"Usually above the spring's own pin. {_PLUMB} Measure between both pins too: that is the "
        "shackle's length.",
    ),
    "centre_bolt": Lesson(
        "The main leaf where the centre bolt goes through, at the middle of the seat.",
        "Its head sits in a hole of the axle's spring seat. x and y are the bolt's axis; z is the "
        "middle of the main leaf's thickness there. With a block between, the leaf counts.",
    ),
    "axle_centre": Lesson(
        "The middle of the axle tube's section, above or below the spring seat.",
        "Measure over the tube with a caliper and take the middle. Leave it empty where the tube "
        "runs through the wheel centre.",
    ),
    "damper_body": Lesson(
        "The middle of the damper's eye or rubber on the body.",
        "On a stem, the middle between the two rubbers. Leave it empty if the damper isn't of "
        "interest now.",
    ),
    "damper_axle": Lesson(
        "The middle of the damper's eye or rubber on the axle or the spring plate.",
        "Its place ahead of or behind the axle decides on what it does to tramp and wind-up. "
        "Where both sides differ, choose left and right on the first page.",
    ),
    "pinion": Lesson(
        "The centre of the propshaft's rear joint: where the cross's axes meet.",
        "y is nought where it lies in the middle; to the right it is minus. Chock the wheels "
        "before going near the propshaft.",
    ),
    "gearbox_joint": Lesson(
        "The centre of the propshaft's front joint, behind the gearbox.",
        "Only for the joints' working angles. With a two-piece shaft, the joint behind the centre "
        "bearing.",
    ),
    "bar_axle": Lesson(
        "The middle of the traction bar's bolts at the spring seat.",
        "Only where traction bars are fitted.",
    ),
    "bar_snubber": Lesson(
        "The tip of the traction bar's snubber, where it touches.",
        "Only where traction bars are fitted. The gap to what it touches is asked with the "
        "figures.",
    ),
    "lower_body": Lesson(
        "The lower link's bush on the body: the middle of its length, on its bolt.",
        f"Measure both ends of the bush and take the middle. {_PLUMB} {_BEHIND}",
    ),
    "lower_axle": Lesson(
        "The lower link's bush on the axle: the middle of its length, on its bolt.",
        f"Measure both ends of the bush and take the middle. {_PLUMB}",
    ),
    "upper_body": Lesson(
        "The upper link's bush on the body: the middle of its length, on its bolt.",
        f"Measure both ends of the bush and take the middle. {_PLUMB}",
    ),
    "upper_axle": Lesson(
        "The upper link's bush on the axle: the middle of its length, on its bolt.",
        f"Measure both ends of the bush and take the middle. {_PLUMB}",
    ),
    "lateral_body": Lesson(
        "The lateral link's bush on the body, wherever across the car that is.",
        f"y counts to the left; to the right of the middle it is minus. {_PLUMB}",
    ),
    "lateral_axle": Lesson(
        "The lateral link's bush on the axle, wherever across the car that is.",
        f"y counts to the left; to the right of the middle it is minus. {_PLUMB}",
    ),
    "spring_body": Lesson(
        "The centre of the last coil where it rests against the body.",
        "The middle of the pocket, at the height where the coil touches it.",
    ),
    "spring_axle": Lesson(
        "The centre of the last coil where it rests on the axle or its link.",
        "The middle of the seat, at the height where the coil touches it. Never loosen anything "
        "that holds the spring.",
    ),
}
PAGES: Final = {
    "rear wheel": "Static values with the car on its wheels. Radius: wheel centre to floor.",
    "rear pack": "The pack as a whole, with a caliper and a tape. Free arch: with the spring out, "
    "from the line through both eyes to the main leaf at the centre bolt; a flat spring has 0. "
    "Clamped length: how much of the pack the plates and U-bolts hold still. A spring under load "
    "is taken out only as the workshop manual says.",
    "rear leaves": "One row a leaf, the main leaf first, down to the shortest; a helper last. "
    "Thickness with a caliper beside the clamp, clean of rust. Halves: along the leaf from the "
    "centre bolt to each tip, of the main leaf to the middle of each eye. Clipped: held to the "
    "main leaf by a clip. Tapered: forged or ground thinner towards the tips. A helper touches "
    "only after some bump travel: say after how much. Nip: "
    "the gap to the leaf above before the bolt draws it up.",
    "rear springs": "None of this is needed to draw the car; beside each value stands what it is "
    "for. A compressed spring holds enough energy to kill: take lengths in place.",
    "rear axle": "None of this is needed to draw the car. Pinion angle: a level on a machined face "
    "of the pinion nose; nose up is plus. Inertias are estimated where no bench is there: see "
    "“Measuring a car” under Help.",
    "rear drive": "What turns the axle: the engine's greatest torque, the gear it pulls away in, "
    "the final drive. Only for what the axle does under power.",
    "rear bars": "Only where traction bars are fitted: leave all of it empty otherwise.",
}


def lesson(point: str) -> Lesson:
    """Return the words for a point of a rear."""
    return _LESSONS[Point.at(point).name]
