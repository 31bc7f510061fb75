"""Places labels so that they overlap no line, no handle and no other label.

All places are device units with y down. Each label has the same slots around its anchor: sixteen
directions at growing distances. A leader crosses a label only for want of room. Labels choose in
order of priority, and keep last frame's slot as long as it is free, so they stay put under a drag.
Where a leader then crosses a label, one of the two looks for a better place among more slots.
Where there is no room at all, a label of priority 0 is left out and one of higher priority stands
where it crosses the fewest lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import replace
from functools import lru_cache
from itertools import islice
from typing import Final

import numpy as np
from numpy.typing import NDArray

from app.drawing.crossings import (
    SOLID,
    Area,
    Candidates,
    Field,
    Floats,
    lines_met,
    lines_met_by_one,
)
from app.drawing.shapes import clipped
from app.drawing.strokes import Side
from geometry.dataclass import dataclass

Point = tuple[float, float]

DISTANCES: Final = (5.0, 16.0, 34.0, 62.0, 95.0, 140.0)  # from anchor to the box, in units
BETWEEN_THEM: Final = (10.0, 24.0, 48.0, 78.0, 117.0, 165.0, 195.0)  # for labels in the way
LEADER_FROM: Final = 12.0  # beyond this distance a leader joins box and anchor, in units
CLEARANCE: Final = 3.0  # between a box and what it avoids, in units
KEPT_CLEARANCE: Final = 1.0  # the same for last frame's slot
KEEPING: Final = 4.0  # what crossing a line less must save to leave last frame's slot
EIGHT: Final[list[Point]] = [(1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1)]
BETWEEN: Final[list[Point]] = [(1, -0.5), (1, 0.5), (-1, -0.5), (-1, 0.5)]
ASIDE: Final[list[Point]] = [(0.5, -1), (-0.5, -1), (0.5, 1), (-0.5, 1)]
SIXTEEN: Final[list[Point]] = EIGHT + BETWEEN + ASIDE
QUARTERS: Final[list[Point]] = [(x, y) for x in (1, -1) for y in (0.25, -0.25, 0.75, -0.75)]
ALL_ROUND: Final[list[Point]] = [*SIXTEEN, *QUARTERS, *((y, x) for x, y in QUARTERS)]
FAR_OFF: Final = (*DISTANCES, *BETWEEN_THEM)  # by ring
RINGS: Final = (SIXTEEN, EIGHT, *(SIXTEEN,) * 4, *(ALL_ROUND,) * len(BETWEEN_THEM))  # directions
DIRECTIONS: Final = np.array([place for ring in RINGS for place in ring], dtype=float)
RING: Final = np.repeat(np.arange(len(RINGS)), [len(ring) for ring in RINGS])
OUTWARD: Final = DIRECTIONS * (np.abs(DIRECTIONS) == 1) * np.array(FAR_OFF)[RING][:, None]
STEPS: Final = list(zip(DIRECTIONS.tolist(), OUTWARD.tolist(), RING.tolist(), strict=True))
NEAR_SLOTS: Final = 24  # those of the first two distances; the far ones are tried only if need be
NEAR: Final = np.arange(NEAR_SLOTS)
SLOTS: Final = len(RING)  # a slot's number plus this: the same one, taken although lines cross it
NOWHERE: Final = -1  # the slot of a label that found no room
FAR: Final = np.flatnonzero((len(DISTANCES) > RING) & (np.arange(SLOTS) >= NEAR_SLOTS))
NOTHING: Final = np.empty((0, 4))  # no lines, no boxes
MOST_TRIED: Final = 120  # slots of a label, the cheapest first
LEADER_CROSSING: Final = 40.0  # cost of a label under a leader: more than of the farthest slot
CROSSING: Final = 3.0  # cost of each line under a label, where there is no room without
SIDES: Final[dict[Side, tuple[float, float]]] = {
    "right": (1, 0),
    "left": (-1, 0),
    "above": (0, -1),
    "below": (0, 1),
}


@dataclass(frozen=True, slots=True)
class Request:
    """A label that wants a place: its anchor, its size and the side it would like."""

    key: str
    anchor: Point
    size: tuple[float, float]
    prefer: Side = "right"
    priority: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Obstacles:
    """What labels avoid: `segments` shape (m, 4) as x1 y1 x2 y2, `boxes` (b, 4) as x y w h."""

    segments: Floats
    boxes: Floats


@dataclass(frozen=True, slots=True)
class Placed:
    """A label's slot, its box (x, y, w, h), and whether a leader joins it to its anchor."""

    slot: int
    box: Area
    leader: bool


def place_labels(
    requests: Sequence[Request],
    obstacles: Obstacles,
    area: Area,
    unit: float = 1.0,
    previous: Mapping[str, int] | None = None,
    moving: bool = False,
) -> dict[str, Placed]:
    """Return the place of each label by key; one without room has none.

    In a drawing that is moving, leaders may cross labels: to disentangle them takes too long.
    Labels that crossed lines or found no room in the `previous` slots make do with that.
    """
    inside = [r for r in requests if _within(r.anchor, area)]
    waiting = sorted(inside, key=lambda request: -request.priority)
    habit = previous or {}
    field = Field(obstacles.segments, obstacles.boxes, area, unit)
    habitual = [r for r in waiting if habit.get(r.key, NOWHERE) != NOWHERE]
    kept = _still_free(habitual, [habit[r.key] for r in habitual], field)
    placed = dict(kept)
    anchors = {request.key: request.anchor for request in inside}
    waiting = [r for r in waiting if habit.get(r.key) != NOWHERE]
    for slots, may_cross in ((NEAR, False), (FAR, False), (NEAR + SLOTS, True)):
        waiting = [r for r in waiting if r.key not in placed and (r.priority > 0 or not may_cross)]
        if not waiting:
            break
        field = replace(field, boxes=_with_taken(obstacles.boxes, placed))
        taken = _taken(placed, anchors)
        places = _candidates(waiting, slots % SLOTS, unit)
        crossed = lines_met(places, CLEARANCE * unit, field)
        placed |= _chosen(waiting, slots, places, crossed, taken, CLEARANCE * unit, habit)
    if moving:
        return placed
    staying = kept.keys() - _tangled(kept, anchors, KEPT_CLEARANCE * unit)
    return _untangled(inside, placed, staying, replace(field, boxes=obstacles.boxes))


def _untangled(
    requests: Sequence[Request], placed: dict[str, Placed], staying: Set[str], field: Field
) -> dict[str, Placed]:
    """Return the places after labels have got out of leaders' way, and leaders out of labels'.

    Those that are `staying` get out of nothing's way; a plain one goes for want of room.
    """
    anchors = {request.key: request.anchor for request in requests}
    by_key = {request.key: request for request in requests}
    free, crossing = np.arange(SLOTS), np.arange(2 * SLOTS)
    margin = CLEARANCE * field.unit
    places: dict[str, Candidates] = {}
    lines: dict[str, NDArray[np.int_]] = {}  # that each place meets: labels move, these don't
    for slots in (free, free, crossing):  # over a line in the end, as where there is no room
        tangled = [key for key in _tangled(placed, anchors) if key not in staying]
        if slots is crossing:
            tangled = [key for key in tangled if by_key[key].priority > 0]
        if not tangled:
            break
        for key in tangled:
            if key not in places:
                places[key] = _candidates([by_key[key]], free, field.unit)
                lines[key] = lines_met(places[key], margin, field)
            others = {other: place for other, place in placed.items() if other != key}
            taken = _taken(others, anchors)
            labels = replace(field, segments=NOTHING, boxes=_with_taken(NOTHING, others))
            crossed = lines[key] + lines_met(places[key], margin, labels)
            again = len(slots) // SLOTS  # the same places once more, with lines under them
            found = _chosen(
                [by_key[key]],
                slots,
                places[key].repeated(again),
                np.tile(crossed, again),
                taken,
                margin,
                {},
            )
            better = found.get(key)
            crossings = taken.crossings(anchors[key], placed[key])
            if better is not None and taken.crossings(anchors[key], better) < crossings:
                placed[key] = better
    plain = sorted((r.key for r in requests if r.priority == 0), key=lambda key: key in staying)
    for key in plain:  # goes, as where there is no room
        if key in _tangled(placed, anchors):
            del placed[key]
    return placed


def _tangled(
    placed: Mapping[str, Placed], anchors: Mapping[str, Point], margin: float = 0.0
) -> list[str]:
    """Return the labels whose leader crosses another label, then those under a leader.

    A leader that comes no further than `margin` into a label doesn't cross it.
    """
    pairs = [
        (key, other)
        for key, place in placed.items()
        if place.leader
        for other, under in placed.items()
        if other != key
        and clipped(_leader(anchors[key], place.box), _shrunk(under.box, margin)) is not None
    ]
    return list(dict.fromkeys([*(key for key, _ in pairs), *(other for _, other in pairs)]))


def _shrunk(box: Area, margin: float) -> Area:
    left, top, width, height = box
    return left + margin, top + margin, width - 2 * margin, height - 2 * margin


def _taken(placed: Mapping[str, Placed], anchors: Mapping[str, Point]) -> _Taken:
    boxes = [place.box for place in placed.values()]
    leaders = [_leader(anchors[key], place.box) for key, place in placed.items() if place.leader]
    return _Taken(boxes, leaders)


def places_of(
    requests: Sequence[Request], slots: Mapping[str, int], area: Area, unit: float
) -> dict[str, Placed] | None:
    """Return the places that slots come to, unchecked; None where a label has none yet."""
    placed: dict[str, Placed] = {}
    for request in requests:
        slot = slots.get(request.key)
        if slot is None:
            return None
        if slot != NOWHERE and _within(request.anchor, area):
            placed[request.key] = _place_in(request, slot, unit)
    return placed


def _place_in(request: Request, slot: int, unit: float) -> Placed:
    (x, y), (width, height) = request.anchor, request.size
    (across, down), (right, below), ring = STEPS[slot % SLOTS]
    x += (across - 1.0) * width / 2 + unit * right
    y += (down - 1.0) * height / 2 + unit * below
    return Placed(slot, (x, y, width, height), FAR_OFF[ring] > LEADER_FROM)


def slots_of(requests: Iterable[Request], placed: Mapping[str, Placed]) -> dict[str, int]:
    """Return the slot of each label, to be handed in as `previous` for the next frame."""
    return {r.key: placed[r.key].slot if r.key in placed else NOWHERE for r in requests}


def looking_again(slots: Mapping[str, int]) -> dict[str, int]:
    """Return slots with which labels that cross lines or found no room look for a better place."""
    return {key: slot % SLOTS for key, slot in slots.items() if slot != NOWHERE}


def _still_free(
    requests: Sequence[Request], slots: Sequence[int], field: Field
) -> dict[str, Placed]:
    """Return those of last frame's places that are still free, as most are."""
    if not requests:
        return {}
    margin = KEPT_CLEARANCE * field.unit
    rows = np.array(slots)[:, None]
    centres, halves, _ = _candidates(requests, rows % SLOTS, field.unit)
    taken = _Taken([], [])
    crossed = lines_met_by_one(centres[:, 0], halves, margin, field).tolist()
    placed: dict[str, Placed] = {}
    for i, (request, slot) in enumerate(zip(requests, slots, strict=True)):
        if crossed[i] >= (SOLID if slot >= SLOTS else 1):
            continue
        place = _placed(slot, centres[i, 0], halves[i])
        if any(_meet(place.box, other.box, margin) for other in placed.values()):
            continue
        taken.add(request.anchor, place)
        placed[request.key] = place
    return placed


@dataclass(frozen=True, slots=True, eq=False)
class _Taken:
    """What placed labels take up: their boxes, and the leaders that join some to their anchors."""

    boxes: list[Area]
    leaders: list[Area]

    def crossings(self, anchor: Point, place: Placed, most: int | None = None) -> int:
        """Return how many labels a place's leader crosses, and how many leaders the place.

        Beyond `most` nobody asks for more.
        """
        pairs = [(leader, place.box) for leader in self.leaders]
        if place.leader:
            leader = _leader(anchor, place.box)
            pairs += [(leader, box) for box in self.boxes]
        return sum(islice((1 for each in pairs if clipped(*each) is not None), most))

    def add(self, anchor: Point, place: Placed) -> None:
        """Take up a place."""
        self.boxes.append(place.box)
        if place.leader:
            self.leaders.append(_leader(anchor, place.box))


def _leader(anchor: Point, box: Area) -> Area:
    """Return the line from the edge of a box to its anchor."""
    (x, y), (left, top, width, height) = anchor, box
    if left < x < left + width:
        return x, top if y < top else top + height, x, y
    return min(max(x, left), left + width), top + height / 2, x, y


def _meet(one: Area, other: Area, margin: float) -> bool:
    """Tell whether two boxes x, y, w, h come nearer to each other than `margin`."""
    return (
        one[0] < other[0] + other[2] + margin
        and other[0] < one[0] + one[2] + margin
        and one[1] < other[1] + other[3] + margin
        and other[1] < one[1] + one[3] + margin
    )


def _with_taken(boxes: Floats, placed: Mapping[str, Placed]) -> Floats:
    return np.vstack([boxes, np.array([p.box for p in placed.values()]).reshape(-1, 4)])


def _chosen(
    requests: Sequence[Request],
    slots: NDArray[np.int_],
    places: Candidates,
    crossed: NDArray[np.int_],
    taken: _Taken,
    margin: float,
    habit: Mapping[str, int],
) -> dict[str, Placed]:
    """Return the places found among `slots` (k,), in the order of the requests.

    Of slots that lines may cross, those of the `habit` are preferred. `crossed` says how many lines
    each place (n, k) meets.
    """
    crossing, numbers = slots >= SLOTS, slots % SLOTS
    centres, halves, costs = places
    costs[crossed >= np.where(crossing, SOLID, 1)] = np.inf
    if crossing.any():
        habitual = np.array([[habit.get(r.key, NOWHERE) % SLOTS] for r in requests])
        costs += CROSSING * crossed - KEEPING * (numbers == habitual)
    placed: dict[str, Placed] = {}
    for i, request in enumerate(requests):
        best, least = -1, np.inf
        for j in costs[i].argsort(kind="stable")[:MOST_TRIED].tolist():
            if costs[i, j] >= least:
                break
            place = _placed(int(slots[j]), centres[i, j], halves[i])
            most = None if best < 0 else int((least - costs[i, j]) / LEADER_CROSSING) + 1
            cost = costs[i, j] + LEADER_CROSSING * taken.crossings(request.anchor, place, most)
            if cost < least:
                best, least, placed[request.key] = j, cost, place
        if best >= 0:
            taken.add(request.anchor, placed[request.key])
            _bar(costs, centres, halves, (i, best), margin)
    return placed


def _placed(slot: int, centre: Floats, half: Floats) -> Placed:
    (x, y), (w, h) = centre.tolist(), half.tolist()
    away = FAR_OFF[RING[slot % SLOTS]] > LEADER_FROM
    return Placed(slot, (x - w, y - h, 2 * w, 2 * h), away)


def _within(place: Point, area: Area) -> bool:
    x, y, width, height = area
    return x <= place[0] <= x + width and y <= place[1] <= y + height


@lru_cache(maxsize=4)
def _costs(prefer: Side) -> Floats:
    """Return what each slot (k,) costs: turning from the side preferred, and being far off."""
    preferred = np.array(SIDES[prefer])
    turn = 1.0 - DIRECTIONS @ preferred / np.linalg.norm(DIRECTIONS, axis=1)
    slanted = (np.abs(DIRECTIONS) % 1.0 != 0.0).any(axis=1)
    far_off = np.interp(np.array(FAR_OFF)[RING], DISTANCES, np.arange(len(DISTANCES)))
    cost: Floats = turn + 0.2 * slanted + 2.0 * far_off
    return cost


def _candidates(requests: Sequence[Request], slots: NDArray[np.int_], unit: float) -> Candidates:
    """Return the places of labels in slots, (k,) for all of them or (n, k)."""
    slots = np.broadcast_to(slots, (len(requests), slots.shape[-1]))
    halves = np.array([r.size for r in requests]) / 2
    anchors = np.array([r.anchor for r in requests])
    directions = DIRECTIONS[slots]
    centres = anchors[:, None, :] + directions * halves[:, None, :] + unit * OUTWARD[slots]
    costs = np.array([_costs(r.prefer)[row] for r, row in zip(requests, slots, strict=True)])
    return Candidates(centres, halves, costs)


def _bar(
    costs: Floats, centres: Floats, halves: Floats, chosen: tuple[int, int], margin: float
) -> None:
    """Make the candidates infinitely dear that meet the chosen one, (label, slot)."""
    apart = np.abs(centres - centres[chosen])
    near = apart < (halves + halves[chosen[0]] + margin)[:, None, :]
    costs[near[..., 0] & near[..., 1]] = np.inf
