"""Where a point is, and what it moves: for who rests the pointer on it."""

from __future__ import annotations

from typing import Final

from app.document.address import left_of
from app.document.keys import KEYS
from app.document.point_names import Evidence

_LINK: Final = "on the {place}; moves the {part}"
_WHERE: Final = {
    "front.upper_front": "on the body; moves the upper arm",
    "front.upper_rear": "on the body; moves the upper arm",
    "front.upper_ball": "joins the upper arm and the knuckle; moves both",
    "front.lower_front": "on the body; moves the lower arm",
    "front.lower_rear": "on the body; moves the lower arm",
    "front.lower_ball": "joins the lower arm and the knuckle; moves both",
    "front.strut_joint": "joins the strut rod and the lateral link; for the drawing alone",
    "front.tie_inner": "on the rack; moves the tie rod",
    "front.tie_outer": "on the steering arm; moves the tie rod",
    "front.wheel_centre": "on the knuckle; moves the wheel",
    "front.spring_body": "on the body; moves the spring's upper end",
    "front.spring_arm": "on the arm; moves the spring's lower end",
    "front.damper_body": "on the body; moves the damper's upper end",
    "front.damper_arm": "on the arm; moves the damper's lower end",
    "front.pitman_pivot": "on the body; moves the pitman arm",
    "front.pitman_end": "joins the pitman arm and the relay link; moves both",
    "front.idler_pivot": "on the body; moves the idler arm",
    "front.idler_end": "joins the idler arm and the relay link; moves both",
    "rear.front_eye": "on the body; moves the leaf spring, and the axle with it",
    "rear.rear_eye": "joins the leaf spring and the shackle; moves both",
    "rear.shackle_body": "on the body; moves the shackle",
    "rear.centre_bolt": "on the axle's seat; moves the axle along its springs",
    "rear.wheel_centre": "on the axle; moves the wheel",
    "rear.axle_centre": "on the axle; its middle",
    "rear.damper_body": "on the body; moves the damper's upper end",
    "rear.damper_axle": "on the axle; moves the damper's lower end",
    "rear.pinion": "on the axle; turns with it",
    "rear.gearbox_joint": "on the gearbox; moves the propshaft's front end",
    "rear.lower_body": _LINK.format(place="body", part="lower link"),
    "rear.lower_axle": _LINK.format(place="axle", part="lower link"),
    "rear.upper_body": _LINK.format(place="body", part="upper link"),
    "rear.upper_axle": _LINK.format(place="axle", part="upper link"),
    "rear.lateral_body": _LINK.format(place="body", part="lateral link"),
    "rear.lateral_axle": _LINK.format(place="axle", part="lateral link"),
    "rear.spring_body": "on the body; moves the coil's upper end",
    "rear.spring_axle": "on the axle; moves the coil's lower end",
    "rear.bar_axle": "on the axle's seat; moves the traction bar",
    "rear.bar_snubber": "on the traction bar; moves its snubber",
}
_OF_ROD: Final = {
    "front.lower_front": "on the body; moves the strut rod, and the link with it",
    "front.lower_rear": "on the body; moves the lateral link",
    "front.lower_ball": "joins the lateral link and the knuckle; moves both",
}


def where_words(key: str, evidence: Evidence) -> str:
    """Return where a point is on this car, and what it moves."""
    left = left_of(key)
    if evidence.get("front.lower_arm") == "link and strut rod" and left in _OF_ROD:
        return _OF_ROD[left]
    if left == "front.tie_inner" and evidence.get("front.steering.kind") == "relay":
        return "on the relay link; moves the tie rod"
    if left in ("front.spring_arm", "front.damper_arm"):
        spring = evidence.get("front.spring.on", "")
        arm = spring if left == "front.spring_arm" else evidence.get("front.damper.on", spring)
        return _WHERE[left].replace("the arm", f"the {arm}") if arm else _WHERE[left]
    return _WHERE.get(left, KEYS[key].purpose)
