"""Axes, signs and tolerances.

Axes follow ISO 8855: X forward, Y left, Z up, origin on the ground under the front axle's centre at
the measured ride height. Inside the kernel everything is mm, N, rad and kg. Every formula is for a
left wheel; a right wheel is handled as its mirror image (y and the rack's travel change sign).
"""

from __future__ import annotations

from typing import Final

GRAVITY: Final = 9.80665
"""Standard acceleration of free fall [m/s²] (ISO 80000-3); kg times this is N."""

TRAVEL_TOLERANCE: Final = 5e-10
"""Newton step that counts as none, as wheel travel [mm]; the rods' lengths are exact anyway."""

HEIGHT_TOLERANCE: Final = 1e-6
"""Height that a solved pose may be off what was asked for [mm]."""

MAX_ITERATIONS: Final = 20
"""Newton steps before a pose counts as not found; two do in ordinary cases, a dozen at a fold."""

MAX_SWING: Final = 1.4
"""Largest arm angle from the design pose that is searched [rad]; no car comes near."""

TURN_PLATE_ANGLE: Final = 0.3490658503988659
"""Steer at which caster is read and toe-out on turns is quoted [rad]: 20°, common practice."""
