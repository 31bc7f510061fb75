"""Construction lines of an axle on links: the side-view centre, the support line, the roll axis."""

from __future__ import annotations

import numpy as np

from geometry.dataclass import dataclass
from geometry.links.axle import Link
from geometry.links.poses import placed
from geometry.links.results import LinkAxleResults, axle_frame
from geometry.vectors import Array


@dataclass(frozen=True)
class AxleLines:
    """Lines to draw in one pose, in body axes [mm]; a line is its two ends, shape (2, 3).

    Parameters
    ----------
    side_centre
        Side-view instant centre on the axle's middle plane, shape (3,); None at infinity.
    lower_line, upper_line
        From the mean axle end of the lower and upper links to that centre; along the links for the
        reach asked for when it is at infinity. They meet there when left and right are alike and
        the pose has no roll.
    support_line
        From the contact point on the middle plane towards the side-view centre: its slope is the
        axle's support against squat and lift.
    roll_centre
        On the middle plane at the axle, shape (3,).
    roll_axis
        From the roll centre forward for the reach asked for.
    crossing
        Where the lateral link's line meets the middle plane, on the roll axis, shape (3,).
    """

    side_centre: Array | None
    lower_line: Array
    upper_line: Array
    support_line: Array
    roll_centre: Array
    roll_axis: Array
    crossing: Array


def axle_lines(results: LinkAxleResults, index: int, reach: float) -> AxleLines:
    """Return the construction lines of one reachable pose.

    Parameters
    ----------
    results
        Results of a batch of poses.
    index
        Which of them.
    reach
        Length along X of lines that have no end of their own, such as the wheelbase [mm].
    """
    poses, axle = results.poses, results.poses.axle
    forward, _, up = (unit[index] for unit in axle_frame(poses))
    middle = poses.centre[index]
    contact = middle - axle.tyre_radius * up
    axis_start = contact + results.roll.roll_centre_height[index] * up
    axis_slope = float(np.tan(results.roll.roll_axis_slope[index]))
    x, z = results.side.centre[index]
    side_centre = np.array([x, middle[1], z]) if np.isfinite(x) else None
    support = np.array([1.0, 0.0, results.side.support[index]])
    uppers = [link for link in (axle.upper_left, axle.upper_right) if link is not None]
    return AxleLines(
        side_centre=side_centre,
        lower_line=_link_line(results, index, [axle.lower_left, axle.lower_right], reach),
        upper_line=_link_line(results, index, uppers, reach),
        support_line=_line(contact, side_centre, support * reach),
        roll_centre=axis_start,
        roll_axis=np.stack([axis_start, axis_start + reach * (forward + axis_slope * up)]),
        crossing=results.roll.crossing[index],
    )


def _link_line(results: LinkAxleResults, index: int, links: list[Link], reach: float) -> Array:
    """Return the line of a pair of links in side view, laid in the axle's middle plane."""
    poses = results.poses
    end = np.mean([placed(poses, link.axle)[index] for link in links], axis=0)
    along = np.mean([link.body for link in links], axis=0) - end
    end[1], along[1] = poses.centre[index, 1], 0.0
    x, z = results.side.centre[index]
    centre = np.array([x, end[1], z]) if np.isfinite(x) else None
    return _line(end, centre, along * (reach / abs(along[0])))


def _line(start: Array, end: Array | None, otherwise: Array) -> Array:
    return np.stack([start, start + otherwise if end is None else end])
