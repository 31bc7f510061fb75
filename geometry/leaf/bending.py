"""How the halves of a pack bend when all leaves share one curvature at every section.

The stiffer of two models that bracket the truth; `geometry.leaf.contact` has the softer one.

References
----------
The stepped cantilever of the spring handbooks (SAE HS-788, from memory of the source).
"""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.leaf.pack import Ends, LeafPack
from geometry.vectors import Array


@dataclass(frozen=True)
class HalfBending:
    """Both halves of a pack under a unit load at the eye.

    Parameters
    ----------
    rates
        Stiffness at the front and the rear eye against the clamp [N/mm], shape (2,).
    stresses
        Largest bending stress in each leaf, per N of eye load [MPa/N], shape (2, n).
    root_shares
        Share of the moment at the clamp's edge that each leaf carries, shape (2, n).
    """

    rates: Array
    stresses: Array
    root_shares: Array


def _quadrature(points: int) -> tuple[Array, Array]:
    """Nodes and weights on 0..1 for ∫ f(v²)·2v dv: smooth where a parabolic leaf starts."""
    nodes, weights = np.polynomial.legendre.leggauss(points)
    v = (nodes + 1) / 2
    return v**2, weights * v


# Three points are exact for uniform leaves (degree 5 in v); sixteen leave 1e-9 for parabolic ones.
_UNIFORM: Final = _quadrature(3)
_TAPERED: Final = _quadrature(16)
END_POWER: Final[dict[Ends, float]] = {"square": 0.0, "diamond": 1.0, "tapered": 1.5}
"""Power of the distance from the tip that I of a shaped end grows with: width, or thickness³."""
# Sections of a stretch in which stress is looked for where its greatest may lie inside.
_SECTIONS: Final = np.linspace(0.0, 1.0, 65)[1:]

# E·I of no leaf at all, outside the eye, where the moment is zero too [N·mm²].
_NOTHING: Final = 1e-30


def bending_stiffness_at(pack: LeafPack, distance: Array) -> Array:
    """Sum of E·I of the leaves present at a section of each half.

    Parameters
    ----------
    pack
        The pack.
    distance
        From the eye [mm], shape (2, m), one row per half; between 0 and the clamp's edge.

    Returns
    -------
    Array
        [N·mm²], shape (2, m); at a tip, the section just outside it.
    """
    total: Array = _leaf_stiffness(pack, pack.half_lengths, distance).sum(axis=2)
    return total


def _leaf_stiffness(pack: LeafPack, halves: Array, distance: Array) -> Array:
    """E·I of each leaf at sections `distance` from the eye, shape (2, m, n)."""
    from_tip = distance[..., None] - (halves[:, :1] - halves)[:, None, :]
    present = from_tip > 0
    stiffness: Array = present * pack.bending_stiffness
    if pack.parabolic.any():
        ratio = np.where(present & pack.parabolic, from_tip / halves[:, None, :], 1.0)
        stiffness = stiffness * ratio**1.5  # I ~ t³, t ~ sqrt(s)
    ends = pack.end_lengths
    if ends.any():
        shaped = present & (ends > 0)[:, None, :]
        ratio = np.minimum(from_tip / np.where(ends > 0, ends, 1.0)[:, None, :], 1.0)
        stiffness = stiffness * np.where(shaped, ratio, 1.0) ** END_POWER[pack.ends]
    return stiffness


def common_curvature(pack: LeafPack) -> HalfBending:
    """Bend both halves with all leaves at one curvature.

    Parameters
    ----------
    pack
        The pack, helpers included from the start.

    References
    ----------
    1/k = (1/3E)·Σ (s_(i+1)³ - s_i³)/(I_1 + … + I_i), s_i the distance from the eye to the tip of
    leaf i: the stepped cantilever of the spring handbooks (from memory of the source). A parabolic
    leaf has I = I_0·(s/l)^1.5, so that alone it gives k = 1.5·E·I_0/l³ (derived).
    """
    halves = pack.half_lengths
    edges = _segment_edges(halves)
    sections = _stress_sections(pack, edges)
    stiffness = _leaf_stiffness(pack, halves, sections)
    total = np.maximum(stiffness.sum(axis=2), _NOTHING)
    root = stiffness[:, -1, :] / total[:, -1, None]
    depth = 0.5 * pack.moduli * pack.thicknesses * np.where(stiffness > 0, 1.0, 0.0)
    if pack.parabolic.any() or pack.ends == "tapered":
        depth = depth * np.cbrt(stiffness / pack.bending_stiffness)
    stresses = (depth * (sections / total)[..., None]).max(axis=1)  # σ = E·(t/2)·M/ΣEI
    return HalfBending(1 / _eye_compliance(pack, halves, edges), stresses, root)


def _stress_sections(pack: LeafPack, edges: Array) -> Array:
    """Distances from the eye at which stress is worked out, the clamp's edge last, shape (2, m).

    Moment over stiffness grows along uniform leaves, so their ends do; tapered ones are looked
    through.
    """
    if not pack.parabolic.any() and not pack.end_lengths.any():
        return edges[:, 1:]
    widths = np.diff(edges, axis=1)[..., None]
    inside: Array = (edges[:, :-1, None] + widths * _SECTIONS).reshape(2, -1)
    return inside


def _segment_edges(halves: Array) -> Array:
    """Distances from the eye at which a leaf starts, and the clamp's edge, shape (2, n + 1)."""
    starts = np.sort(halves[:, :1] - halves, axis=1)
    return np.concatenate([starts, halves[:, :1]], axis=1)


def _eye_compliance(pack: LeafPack, halves: Array, edges: Array) -> Array:
    """∫ s²/ΣEI ds from the eye to the clamp's edge [mm/N], shape (2,)."""
    is_tapered = pack.parabolic.any() or pack.end_lengths.any()
    nodes, weights = _TAPERED if is_tapered else _UNIFORM
    widths = np.diff(edges, axis=1)[..., None]
    sections = (edges[:, :-1, None] + widths * nodes).reshape(2, -1)
    total = np.maximum(_leaf_stiffness(pack, halves, sections).sum(axis=2), _NOTHING)
    compliance: Array = np.sum(sections**2 / total * (widths * weights).reshape(2, -1), axis=1)
    return compliance
