"""Working angles of a propshaft's joints at a live axle that moves."""

from __future__ import annotations

import numpy as np

from geometry.dampers import HousingMove, Results, carried
from geometry.dataclass import dataclass
from geometry.vectors import Array, Scalar, Vector


@dataclass(frozen=True)
class Propshaft:
    """The gearbox's end of a propshaft and, where both joints are known, the shaft itself.

    Parameters
    ----------
    gearbox
        Slope of the gearbox's output in the measured pose [rad], + front end up.
    pinion_joint, gearbox_joint
        Joints at the axle and at the gearbox in the measured pose [mm], None where not known.
    has_pinion
        Whether the pinion's angle was measured; else only the gearbox's joint is known.
    """

    gearbox: Scalar
    pinion_joint: Vector | None = None
    gearbox_joint: Vector | None = None
    has_pinion: bool = True

    def results(self, pinion: Array, middle: Vector, move: HousingMove) -> Results:
        """Return the pinion against the gearbox and both working angles by key, shape (n,).

        Parameters
        ----------
        pinion
            Its angle in body axes [rad], + nose up, shape (n,).
        middle
            Between the wheel centres as measured [mm].
        move
            Of the housing since.

        Notes
        -----
        In side view. Both angles are counted from the shaft: pinion - shaft and gearbox - shaft,
        + where the front end is up. Ones of equal size leave the pinion's speed even, the
        yokes in phase (common practice).
        """
        values: Results = {}
        has_pinion = np.all(self.has_pinion)  # many cars at once are alike in what they have
        if has_pinion:
            values["pinion_to_gearbox"] = pinion - self.gearbox
        if self.pinion_joint is None or self.gearbox_joint is None:
            return values
        x, _, z = carried(self.pinion_joint, middle, move)
        ahead, _, above = self.gearbox_joint
        shaft = np.arctan2(above - z, ahead - x)
        if has_pinion:
            values["pinion_joint_angle"] = pinion - shaft
        values["gearbox_joint_angle"] = self.gearbox - shaft
        return values
