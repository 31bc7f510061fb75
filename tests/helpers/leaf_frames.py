"""Leaf springs as plane frames in a general-purpose finite-element package (PyNiteFEA).

The frame's X is forward and its Y up. Linear and small: straight leaves, mm, N, MPa.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from Pynite import FEModel3D

from geometry.leaf.pack import Leaf, LeafPack

MODULUS = 1.0e5
AREA = 1.0e6
RIGID = 1.0e14
STEPS_PER_TAPER = 40


class PlaneFrame:
    """A frame that moves in its own plane only."""

    def __init__(self):
        self.model = FEModel3D()
        self.model.add_material("leaf", MODULUS, MODULUS, 0.3, 0.0)
        self.nodes = {}
        self.members = 0

    def node(self, name, x, y=0.0):
        if name not in self.nodes:
            self.model.add_node(name, x, y, 0.0)
            self.nodes[name] = [False, False, True, True, True, False]
        return name

    def hold(self, name, x=False, y=False, turn=False):
        held = self.nodes[name]
        held[0], held[1], held[5] = held[0] or x, held[1] or y, held[5] or turn

    def beam(self, start, end, stiffness, pinned=False):
        name = f"m{self.members}"
        self.members += 1
        self.model.add_section(name, AREA, stiffness / MODULUS, stiffness / MODULUS, 1.0e6)
        self.model.add_member(name, start, end, "leaf", name)
        if pinned:
            self.model.def_releases(name, Rzi=True, Rzj=True)
        return name

    def solve(self, cases):
        """Displacements under load cases {name: [(node, direction, value), ...]}."""
        for name, held in self.nodes.items():
            self.model.def_support(name, *held)
        for case, loads in cases.items():
            for node, direction, value in loads:
                self.model.add_node_load(node, direction, value, case)
            self.model.add_load_combo(case, {case: 1.0})
        self.model.analyze_linear(check_stability=False)
        return self.model


def leaf_stiffness(pack: LeafPack, leaf: Leaf, half: float, from_bolt: float) -> float:
    """E·I of one leaf at a section of one half, by the pack's definition."""
    if from_bolt > half:
        return 0.0
    modulus = pack.modulus if leaf.modulus is None else leaf.modulus
    thickness = leaf.thickness
    if leaf.parabolic:
        thickness *= ((half - from_bolt) / (half - pack.clamp / 2)) ** 0.5
    return modulus * pack.width * thickness**3 / 12


def sections(pack: LeafPack, end: str) -> list[float]:
    """Stations from the clamp's edge to the eye at which to put nodes."""
    lengths = {getattr(leaf, end) for leaf in pack.leaves}
    tapers = [getattr(leaf, end) for leaf in pack.leaves if leaf.parabolic]
    for half in tapers:
        # closer together towards the tip, where the taper is steep
        parts = np.linspace(0.0, 1.0, STEPS_PER_TAPER) ** 2
        lengths |= set(half - (half - pack.clamp / 2) * parts[::-1])
    return sorted({pack.clamp / 2} | {round(length, 9) for length in lengths})


def pressed_spring(pack: LeafPack) -> PlaneFrame:
    """A whole spring with its leaves at one curvature: front eye pinned, rear eye on a roller."""
    frame = PlaneFrame()
    frame.node("seat", 0.0)
    for end, sign in (("front", 1.0), ("rear", -1.0)):
        stations = sections(pack, end)
        last = "seat"
        if stations[0] > 0:
            last = frame.node(f"{end}0", sign * stations[0])
            frame.beam("seat", last, RIGID)
        for i, (inner, outer) in enumerate(pairwise(stations), start=1):
            middle = (inner + outer) / 2
            stiffness = sum(
                leaf_stiffness(pack, leaf, getattr(leaf, end), middle) for leaf in pack.leaves
            )
            node = frame.node(f"{end}{i}", sign * outer)
            frame.beam(last, node, stiffness)
            last = node
        frame.hold(last, x=end == "front", y=True)
    return frame


def seat_compliance(pack: LeafPack) -> np.ndarray:
    """Rise and turn of the seat (rows) under 1 N up and 1 N·mm nose up (columns)."""
    model = pressed_spring(pack).solve(
        {"lift": [("seat", "FY", 1000.0)], "twist": [("seat", "MZ", 1.0e6)]}
    )
    seat = model.nodes["seat"]
    return np.array(
        [
            [seat.DY["lift"] / 1000.0, seat.DY["twist"] / 1.0e6],
            [seat.RZ["lift"] / 1000.0, seat.RZ["twist"] / 1.0e6],
        ]
    )


@dataclass(frozen=True)
class StackedHalf:
    """One half as separate leaves touching at their tips, under 1 kN at the eye."""

    rate: float
    contact_forces: list[float]
    rotations: list[tuple[float, float]]
    root_moments: list[float]


def stacked_half(pack: LeafPack, end: str) -> StackedHalf:
    """Solve one half of a pack of falling lengths with point contact, leaf below leaf."""
    frame = PlaneFrame()
    links = []
    inner = pack.clamp / 2
    halves = [getattr(leaf, end) for leaf in pack.leaves]
    for i, (leaf, half) in enumerate(zip(pack.leaves, halves, strict=True)):
        stops = sorted({inner, half, *([halves[i + 1]] if i + 1 < len(halves) else [])})
        names = [frame.node(f"{i}:{stop}", stop, -20.0 * i) for stop in stops]
        frame.hold(names[0], x=True, y=True, turn=True)
        for start, stop in pairwise(names):
            frame.beam(start, stop, leaf_stiffness(pack, leaf, half, inner))
        if i:
            above, own = f"{i - 1}:{half}", f"{i}:{half}"
            links.append((frame.beam(above, own, RIGID, pinned=True), above, own))
    eye = f"0:{halves[0]}"
    model = frame.solve({"load": [(eye, "FY", -1000.0)]})
    return StackedHalf(
        rate=-1000.0 / model.nodes[eye].DY["load"],
        contact_forces=[model.members[name].max_axial("load") for name, *_ in links],
        rotations=[
            (-model.nodes[above].RZ["load"], -model.nodes[own].RZ["load"])
            for _, above, own in links
        ],
        root_moments=[model.nodes[f"{i}:{inner}"].RxnMZ["load"] for i in range(len(halves))],
    )
