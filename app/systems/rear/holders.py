"""What can be changed at the rear's springs to hold a height."""

from __future__ import annotations

from collections.abc import Iterator

from app.document.moves import Numbers, proposed_settings
from app.systems.answers import Study
from app.systems.holding import Holder
from app.systems.rear.answers import RearAnswers

BLOCK, ARCH, FREE_LENGTH = "rear.block", "rear.pack.free_arch", "rear.spring.free_length"


def rear_holders(study: Study[RearAnswers]) -> Iterator[Holder]:
    """Yield the block and the arch of leaf springs, or the coils' free length."""
    number = Numbers(proposed_settings(study.setup))
    car = study.unsettled
    if car.leaf is not None:
        yield Holder(BLOCK, number.get(BLOCK) or 0.0, 1.0, moves_axle=True)
        arch = car.leaf.free_arch
        if arch is not None:
            is_weighed = car.leaf.car.pack.free_arch is None
            yield Holder(ARCH, arch, 1.0, least=float("-inf"), is_weighed=is_weighed)
    elif car.links is not None and car.links.car.has_coils:
        length = number.get(FREE_LENGTH)
        weighed = car.links.car.axle.coil_left.free_length
        now = weighed if length is None else length
        yield Holder(FREE_LENGTH, now, 1.0, 0.0, True, is_weighed=length is None)
