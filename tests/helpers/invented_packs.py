"""Invented leaf packs, symmetric and not, always the same ones."""

import numpy as np

from geometry.leaf.pack import Leaf, LeafPack


def invented_pack(seed: int) -> LeafPack:
    """A pack of one to seven leaves of falling length, sizes common on cars."""
    draw = np.random.default_rng(seed)
    count = int(draw.integers(1, 8))
    front = draw.uniform(480, 720)
    rear = front if seed % 4 == 0 else draw.uniform(500, 820)
    clamp = 0.0 if seed % 5 == 0 else draw.uniform(60, 130)
    steps = np.sort(draw.uniform(0.25, 0.95, count))[::-1]
    steps[0] = 1.0
    if count > 3 and seed % 3 == 0:
        steps[1] = 1.0  # a second leaf at full length
    leaves = tuple(
        Leaf(
            thickness=float(draw.uniform(5.5, 8.0)),
            front=float(front * step),
            rear=float(rear * (step if seed % 2 else step**0.8)),
            modulus=40e3 if count == 1 and seed % 2 else None,
        )
        for step in steps
    )
    return LeafPack(leaves, width=float(draw.uniform(45, 75)), clamp=float(clamp))


def textbook_pack(lengths, thickness, width=63.5, modulus=206e3):
    """A symmetrical pack without clamp."""
    leaves = tuple(Leaf(thickness, float(length), float(length)) for length in lengths)
    return LeafPack(leaves, width=width, modulus=modulus)
