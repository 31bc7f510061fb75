"""What the screen shows of one system of the car: its study, its cars in a pose, what else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from app.systems.answers import Answered, Pose, Study
from app.systems.shown import NOTHING, Overlay

REST: Final = Pose()


@dataclass
class Face:
    """One system on the screen; all of it stays while another one is shown.

    `measured` and `proposed` are both cars in the pose; `measured` is None where it can't be there.
    """

    study: Study[Any] | None = None
    measured: Answered | None = None
    proposed: Answered | None = None
    pose: Pose = REST
    settles: bool = False
    overlay: Overlay = NOTHING
    selection: tuple[str, ...] = ()
