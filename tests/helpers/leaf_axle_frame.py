"""An axle on two arched leaf springs as a space frame in a finite-element package (PyNiteFEA).

The frame's X is forward, Y up, Z to the car's right. Small movements about the arched pose.
"""

from Pynite import FEModel3D

ELEMENTS = 30
MODULUS = 1.0e5


def axle_frame(loop, line, spring_base, stiffness, sideways=0.01):
    """Build the axle; `line` is the main leaf from front to rear eye, (2·ELEMENTS, 2).

    E·I of each half falls from `stiffness` at the clamp's edge to nothing at its eye; sideways and
    in twist it is `sideways` times as stiff.
    """
    model = FEModel3D()
    model.add_material("leaf", MODULUS, MODULUS, 0.3, 0.0)
    model.add_section("rigid", 1e7, 1e12, 1e12, 1e12)
    model.add_node("axle", *_middle(line), 0.0)
    model.def_support("axle")
    for side, z in (("left", -spring_base / 2), ("right", spring_base / 2)):
        _add_spring(model, loop, line, side, z, stiffness, sideways)
        model.add_member(f"{side} tube", "axle", f"{side} seat", "leaf", "rigid")
    return model


def _middle(line):
    half = len(line) // 2
    return (line[half - 1] + line[half]) / 2


def _add_spring(model, loop, line, side, z, stiffness, sideways):
    half = len(line) // 2
    model.add_node(f"{side} seat", *_middle(line), z)
    for i, (x, y) in enumerate(line):
        model.add_node(f"{side} {i}", x, y, z)
    for i in range(len(line) - 1):
        section = "rigid"
        name = f"{side} leaf {i}"
        if i != half - 1:
            nearest_eye = i if i < half else len(line) - 2 - i
            share = (nearest_eye + 0.5) / (half - 1)
            section = f"{name} section"
            bend = stiffness * share / MODULUS
            model.add_section(section, 1e6, sideways * bend, bend, sideways * bend)
        if i == half - 1:
            model.add_member(f"{name} a", f"{side} {i}", f"{side} seat", "leaf", section)
            model.add_member(f"{name} b", f"{side} seat", f"{side} {i + 1}", "leaf", section)
        else:
            model.add_member(name, f"{side} {i}", f"{side} {i + 1}", "leaf", section)
    model.def_support(f"{side} 0", True, True, True)
    last = f"{side} {len(line) - 1}"
    model.add_node(f"{side} pivot", *loop.shackle_pivot, z)
    model.def_support(f"{side} pivot", True, True, True, True, True, True)
    model.add_member(f"{side} shackle", last, f"{side} pivot", "leaf", "rigid")
    model.def_releases(f"{side} shackle", Rzi=True, Rzj=True)


def moved_axle(model, loads):
    """Displacement of the axle's middle under loads [(direction, value)]."""
    for direction, value in loads:
        model.add_node_load("axle", direction, value)
    model.analyze_linear(check_stability=False)
    node = model.nodes["axle"]
    return {name: getattr(node, name)["Combo 1"] for name in ("DX", "DY", "DZ", "RX", "RY", "RZ")}
