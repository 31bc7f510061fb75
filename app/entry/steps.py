"""The steps of measuring a car: the car as a whole, and what each of its systems brings."""

from __future__ import annotations

from typing import Final

from app.document.address import is_right
from app.document.edits import tapes_without
from app.document.leaf_parts import within_without
from app.document.model import FrozenMap, Setup, Value, frozen
from app.document.plan_edits import kept_plans
from app.document.plausible import Question
from app.entry.own_planes import texts_of
from app.entry.part import Step
from app.entry.parts import PARTS, given_parts, part_of
from app.entry.typed import Draft

CAR: Final = (
    "car.wheelbase",
    "car.mass",
    "car.front_share",
    "car.front_unsprung",
    "car.rear_unsprung",
    "car.cg_height",
    "car.front_brake_share",
    "front.tyre_rate",
    "sheet.measured_within",
)
LESSONS: Final = {
    "car": "Stand the car on level ground, on its wheels, tyres at pressure, with the load it is "
    "driven with; roll it back and forth so that nothing is wound up. Mark on the floor the "
    "centreline, and the axle line square to it below the wheel centres. Chock the wheels. Never "
    "go under a car that stands on a jack alone.",
    "weights": "None of this is needed to draw the car; beside each value stands what it is for. "
    "Weighing each wheel on a scale is better than any table.",
}


def new_draft() -> Draft:
    """Return a car of which nothing is known but what most such cars have."""
    evidence: dict[str, Value] = {
        "front.kind": "double wishbone",
        "front.lower_arm": "one piece",
        "front.steering.kind": "rack",
        "front.spring.kind": "coil",
        "front.spring.on": "lower arm",
        "rear.kind": "leaf axle",
    }
    return Draft(Setup("", evidence=FrozenMap(evidence)))


def draft_of(setup: Setup, decimal: str = ".") -> Draft:
    """Return a draft that begins with what a setup holds, and with what counts from its planes."""
    evidence = frozen(setup.readings)
    given = [part for part in PARTS if any(map(part.system.is_own, evidence))]
    for part in given or PARTS[:1]:
        for key, value in part.assumed.items():
            if key not in evidence:
                evidence = evidence.having(key, value)
    kinds = {"rear.front_eye", "rear.lower_body"}
    return Draft(
        setup.having(evidence=evidence),
        FrozenMap(texts_of(setup, decimal)),
        both_sides=any(map(is_right, evidence)),
        converts=kinds <= evidence.keys(),
    )


def steps_of(draft: Draft) -> tuple[Step, ...]:
    """Return the steps that this car needs."""
    own = (step for part in given_parts(draft) for step in part.steps(draft))
    return (
        Step("car", "What car it is", "car", group="The car"),
        *own,
        Step("weights", "Weights and brakes", "numbers", CAR, "The whole car"),
        Step("tapes", "Tape and trammel", "tapes", group="The whole car", optional=True),
        Step("last", "Look it over", "last", group="The whole car"),
    )


def lesson_of(step: str) -> str:
    """Return the words over a page of numbers."""
    part = part_of(step)
    return LESSONS[step] if part is None else part.lessons[step]


def concerns(question: Question, draft: Draft) -> bool:
    """Tell whether a question is about what the guide leads through."""
    return any(part.system.concerns(question.key) for part in given_parts(draft))


def needed_part(draft: Draft, setup: Setup) -> Setup:
    """Return a setup without what this kind of car hasn't: a rack's car has no pitman arm."""
    foreign_keys = [key for key in setup.readings if _is_foreign(key, draft)]
    if not foreign_keys:
        return setup
    less = setup.having(
        evidence=frozen(setup.readings).without(*foreign_keys),
        within=within_without(setup.within, *foreign_keys),
        tapes=tapes_without(setup, *foreign_keys),
        point_notes=frozen(setup.point_notes).without(*foreign_keys),
    )
    return kept_plans(less)


def _is_foreign(key: str, draft: Draft) -> bool:
    if key == "front.tyre_rate":  # asked with the weights
        return False
    return any(part.system.is_own(key) and part.is_foreign(key, draft) for part in PARTS)
