"""What can be changed at the front's springs to hold a height."""

from __future__ import annotations

from collections.abc import Iterator

from app.document.moves import Numbers, proposed_settings
from app.systems.answers import Study
from app.systems.front.study import FrontAnswers
from app.systems.holding import Holder

FREE_LENGTH, PRELOAD = "front.spring.free_length", "front.spring.preload"


def front_holders(study: Study[FrontAnswers]) -> Iterator[Holder]:
    """Yield the coil's free length, with a packer instead, or the torsion bar's preload."""
    number = Numbers(proposed_settings(study.setup))
    spring = study.proposed.front.car.spring
    if spring is None or spring.rate is None:
        return
    if spring.kind == "torsion bar":
        yield from _torques(study, number.get(PRELOAD))
        return
    length, weighed = number.get(FREE_LENGTH), study.unsettled.front.fitted_spring()
    if length is not None:
        yield Holder(FREE_LENGTH, length, 1.0, has_packer=True)
    elif weighed is not None:
        # what a coil is compressed by without force is minus its length
        yield Holder(FREE_LENGTH, -float(weighed.free.mean()), 1.0, 0.0, True, is_weighed=True)


def _torques(study: Study[FrontAnswers], given: float | None) -> Iterator[Holder]:
    """Yield the torsion bars' torque at the measured height; as weighed where none is given."""
    weighed = study.unsettled.front.reference.force
    if given is not None:
        yield Holder(PRELOAD, given, 1e4, least=float("-inf"))
    elif weighed is not None:
        yield Holder(PRELOAD, float(weighed.mean()), 1e4, float("-inf"), is_weighed=True)
