"""Springs solved as elastica, and measured as a workshop would, for comparison with the loop."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from geometry.leaf.fit import loop_from_points
from geometry.leaf.pack import LeafPack
from tests.helpers.elastica import Elastica, equilibria
from tests.helpers.leaf_frames import leaf_stiffness

ROOT = 206e3 * 63.5 * 5 * 6.5**3 / 12
DESIGN = -20.0
STEPS_OUT = np.arange(0.0, 101.0, 20.0)


@dataclass(frozen=True)
class Exact:
    """Equilibria against travel of the seat; angle from design."""

    travel: np.ndarray
    x: np.ndarray
    angle: np.ndarray
    eye_x: np.ndarray
    load: np.ndarray

    @property
    def design_load(self):
        return float(self.load[len(STEPS_OUT) - 1])


def graduated_spring(front, rear, clamp, pivot, free_curvature=4e-4):
    """An ideal pack: stiffness falls evenly to nothing at each eye."""

    def falling(share):
        return ROOT * share

    spring = Elastica(
        (0.0, 0.0), pivot, 90.0, front, rear, clamp, free_curvature, (falling, falling)
    )
    return spring, 3000.0


def five_leaf_spring(pack: LeafPack, free_curvature=4e-4):
    """A stepped pack, all leaves at one curvature."""

    def stepped(end):
        length = getattr(pack.main, end)

        @cache
        def stiffness(share):
            from_bolt = length - share * (length - pack.clamp / 2)
            return sum(
                leaf_stiffness(pack, leaf, getattr(leaf, end), from_bolt) for leaf in pack.leaves
            )

        return stiffness

    spring = Elastica(
        front_eye=(0.0, 0.0),
        pivot=(-1325.0, 80.0),
        shackle=90.0,
        front=pack.main.front - pack.clamp / 2,
        rear=pack.main.rear - pack.clamp / 2,
        clamp=pack.clamp,
        free_curvature=free_curvature,
        stiffness=(stepped("front"), stepped("rear")),
    )
    return spring, 4000.0


@cache
def measured(spring: Elastica, load_guess: float):
    """The loop through the points of the pose at design, and the equilibria on both sides of it."""
    up = equilibria(spring, DESIGN + STEPS_OUT, load_guess)
    down = equilibria(spring, DESIGN - STEPS_OUT, load_guess)
    design = (up.x[0], up.z[0])
    loop, angle = loop_from_points(
        spring.front_eye, design, (up.eye_x[0], up.eye_z[0]), spring.pivot, design, spring.clamp
    )

    def joined(name):
        return np.concatenate([getattr(down, name)[:0:-1], getattr(up, name)])

    exact = Exact(
        travel=joined("z") - design[1],
        x=joined("x"),
        angle=joined("angle") - up.angle[0] + angle,
        eye_x=joined("eye_x"),
        load=joined("load"),
    )
    return loop, exact
