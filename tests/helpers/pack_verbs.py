"""What tests do to a pack: add, take out, move and change leaves."""

from __future__ import annotations

from dataclasses import replace

from geometry.leaf.pack import Leaf, LeafPack


def with_leaf(pack: LeafPack, leaf: Leaf, at: int) -> LeafPack:
    """Return the pack with a leaf added at a place in the stack (0 is the top)."""
    return replace(pack, leaves=(*pack.leaves[:at], leaf, *pack.leaves[at:]))


def without_leaf(pack: LeafPack, at: int) -> LeafPack:
    """Return the pack without one leaf."""
    return replace(pack, leaves=(*pack.leaves[:at], *pack.leaves[at + 1 :]))


def moved_leaf(pack: LeafPack, at: int, to: int) -> LeafPack:
    """Return the pack with one leaf taken out and put back elsewhere in the stack."""
    return with_leaf(without_leaf(pack, at), pack.leaves[at], to)


def shifted_leaf(pack: LeafPack, at: int, forward: float) -> LeafPack:
    """Return the pack with one leaf drilled so that it sits further forward [mm]."""
    leaf = pack.leaves[at]
    return replaced_leaf(
        pack, at, replace(leaf, front=leaf.front + forward, rear=leaf.rear - forward)
    )


def thinned_leaf(pack: LeafPack, at: int, thickness: float) -> LeafPack:
    """Return the pack with one leaf of another thickness [mm]."""
    return replaced_leaf(pack, at, replace(pack.leaves[at], thickness=thickness))


def replaced_leaf(pack: LeafPack, at: int, leaf: Leaf) -> LeafPack:
    """Return the pack with one leaf replaced by another."""
    return replace(pack, leaves=(*pack.leaves[:at], leaf, *pack.leaves[at + 1 :]))
