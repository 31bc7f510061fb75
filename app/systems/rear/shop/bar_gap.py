"""What the traction bars' gap needs once all other work at the rear is done. No Qt."""

from __future__ import annotations

from collections.abc import Iterator

from app.systems.answers import Study
from app.systems.jobs import Job
from app.systems.rear.answers import RearAnswers
from app.systems.targets import shop_length


def bar_gap_jobs(study: Study[RearAnswers], decimal: str) -> Iterator[Job]:
    """Say that the gap is set again where the car would rest on its bars."""
    leaf, units = study.proposed.leaf, study.setup.units
    bars = None if leaf is None else leaf.bars
    if leaf is None or bars is None or not leaf.pressed:
        return
    gap, pressed = (shop_length(size, units, decimal, 1) for size in (bars.gap, leaf.pressed))
    title = f"Set the gap of both traction bars again, to {gap} at ride height."
    yield Job(title, (f"Left as they are, the springs would press their snubbers {pressed} in.",))
