"""How the halves of a pack bend when the leaves touch at their tips only.

Each leaf bears on the nearest leaf above that reaches as far, at its own tip. Equal deflection
there gives one linear equation a leaf. The softer of two models that bracket the truth;
`geometry.leaf.bending` has the stiffer one, and what both return.

References
----------
Cantilever deflections: textbook beam theory; the tip equations are derived.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.leaf.bending import HalfBending
from geometry.leaf.pack import Ends, LeafPack
from geometry.numeric import solved
from geometry.vectors import Array

# Distance from a parabolic leaf's tip below which its thickness stops falling [mm].
_TIP: Final = 1e-9
# What a shaped end adds to the deflection and the turn of its own tip, of length³ and length²:
# ∫ u²·(1/u^p - 1) du and ∫ u·(1/u^p - 1) du from 0 to 1, p 1 for a pointed end, 1.5 for a thin one.
_END_GIVES: Final[dict[Ends, float]] = {"square": 0.0, "diamond": 1 / 6, "tapered": 1 / 3}
_END_TURNS: Final[dict[Ends, float]] = {"square": 0.0, "diamond": 1 / 2, "tapered": 3 / 2}


@dataclass(frozen=True)
class TipContacts:
    """Forces between the leaves of both halves, one contact for each leaf but the main leaf.

    Parameters
    ----------
    per_load
        Force at the tip of leaves 2 to n per N of eye load, shape (2, n - 1).
    from_nip
        The same in the assembled, unloaded pack [N], shape (2, n - 1).
    slip_per_travel
        Sliding of the two faces over each other per mm of eye deflection, shape (2, n - 1).
    nip_stresses
        Bending stress of the assembled, unloaded pack [MPa], shape (2, n).
    bending
        Rates and stresses of the halves.
    """

    per_load: Array
    from_nip: Array
    slip_per_travel: Array
    nip_stresses: Array
    bending: HalfBending


def point_contact(pack: LeafPack) -> TipContacts:
    """Bend both halves with each leaf touching the one above at its own tip.

    Parameters
    ----------
    pack
        The pack, helpers included from the start.

    Notes
    -----
    With X_0 = 1 at the eye and X_k at the tip of leaf k, the tips' deflections against the leaves
    they bear on are A·X; they equal the nips (k >= 1), and A_0·X is the eye's deflection.
    """
    tips = pack.half_lengths
    signs = _signs(tips)
    bend = _flexibility(pack, tips) * signs[:, :, None, :]
    matrix = np.einsum("hik,hikj->hkj", signs, bend)
    right = np.stack([-matrix[:, 1:, 0], np.broadcast_to(_nips(pack), tips[:, 1:].shape)], axis=-1)
    forces = np.concatenate([[[[1.0, 0.0]]] * 2, solved(matrix[:, 1:, 1:], right)], axis=1)
    load, nip = forces[..., 0], forces[..., 1]
    rates = 1 / np.einsum("hj,hj->h", matrix[:, 0], load)
    root = _moments(tips, signs, load)[:, :, 0]
    bending = HalfBending(rates, _stresses(pack, tips, signs, load), root / tips[:, :1])
    slip = _slip(pack, tips, signs, load) * rates[:, None]
    return TipContacts(
        per_load=load[:, 1:],
        from_nip=nip[:, 1:],
        slip_per_travel=slip[:, 1:],
        nip_stresses=_stresses(pack, tips, signs, nip),
        bending=bending,
    )


def _nips(pack: LeafPack) -> Array:
    return np.array([leaf.nip for leaf in pack.leaves[1:]])


def _signs(tips: Array) -> Array:
    """+1 where leaf i carries force k at its own tip, -1 where leaf k bears on it, (2, i, k)."""
    count = tips.shape[1]
    above = np.tri(count, k=-1, dtype=bool).T & (tips[:, :, None] >= tips[:, None, :] - _TIP)
    nearest = count - 1 - np.argmax(above[:, ::-1, :], axis=1)
    bears_on = (np.arange(count)[:, None] == nearest[:, None, :]) & above
    signs: Array = np.eye(count) - bears_on
    return signs


def _flexibility(pack: LeafPack, tips: Array) -> Array:
    """Deflection of leaf i at tip k per N at tip j [mm/N], shape (2, i, k, j)."""
    near = np.minimum(tips[:, :, None], tips[:, None, :])[:, None]
    far = np.maximum(tips[:, :, None], tips[:, None, :])[:, None]
    bend = near**2 * (3 * far - near) / 6
    if pack.parabolic.any():
        tapered = _tapered_flexibility(tips[:, :, None, None], near, far)
        bend = np.where(pack.parabolic[:, None, None], tapered, bend)
    ends = pack.end_lengths
    if ends.any():  # what the end gives more: ∫ u²·(I_0/I - 1) du from the tip
        bend = bend + _at_own_tip(tips) * (ends**3 * _END_GIVES[pack.ends])[:, :, None, None]
    result: Array = bend / pack.bending_stiffness[:, None, None]
    return result


def _at_own_tip(tips: Array) -> NDArray[np.bool_]:
    """Whether force j and tip k are both at or beyond the tip of leaf i, (2, i, k, j)."""
    beyond = tips[:, None, :] >= tips[:, :, None] - _TIP
    result: NDArray[np.bool_] = beyond[:, :, :, None] & beyond[:, :, None, :]
    return result


def _tapered_flexibility(length: Array, near: Array, far: Array) -> Array:
    """∫ (near - y)(far - y)/((l - y)/l)^1.5 dy from 0 to `near`, with w = l - y [mm³]."""
    a, b = near - length, far - length
    inner, outer = np.sqrt(np.maximum(-a, _TIP)), np.sqrt(length)
    upper = outer**3 / 1.5 + 2 * (a + b) * outer - 2 * a * b / outer
    lower = inner**3 / 1.5 + 2 * (a + b) * inner - 2 * a * b / inner
    result: Array = length**1.5 * (upper - lower)
    return result


def _rotations(pack: LeafPack, tips: Array) -> Array:
    """Rotation of leaf i at tip k per N at tip j [rad/N], shape (2, i, k, j)."""
    at, load = tips[:, None, :, None], tips[:, None, None, :]
    near = np.minimum(at, load)
    turn = load * near - near**2 / 2
    if pack.parabolic.any():
        length = tips[:, :, None, None]
        inner, outer = np.sqrt(np.maximum(length - near, _TIP)), np.sqrt(length)
        tapered = 2 * (outer - inner) - 2 * (load - length) * (1 / outer - 1 / inner)
        turn = np.where(pack.parabolic[:, None, None], length**1.5 * tapered, turn)
    ends = pack.end_lengths
    if ends.any():  # ∫ u·(I_0/I - 1) du
        turn = turn + _at_own_tip(tips) * (ends**2 * _END_TURNS[pack.ends])[:, :, None, None]
    result: Array = turn / pack.bending_stiffness[:, None, None]
    return result


def _moments(tips: Array, signs: Array, forces: Array) -> Array:
    """Moment in leaf i at the clamp (0) and at tip k (k + 1) [N·mm], shape (2, i, n + 1)."""
    sections = np.concatenate([np.zeros((2, 1)), tips], axis=1)
    arms = np.maximum(tips[:, None, :] - sections[:, :, None], 0.0)
    moments: Array = np.einsum("hij,hkj,hj->hik", signs, arms, forces)
    return moments


def _stresses(pack: LeafPack, tips: Array, signs: Array, forces: Array) -> Array:
    """Largest bending stress of each leaf, with its sign [MPa], shape (2, n)."""
    moments = _moments(tips, signs, forces)
    modulus = np.broadcast_to((pack.width * pack.thicknesses**2 / 6)[:, None], moments.shape)
    if pack.parabolic.any():  # the section modulus falls as the distance to the tip
        sections = np.concatenate([np.zeros((2, 1)), tips], axis=1)
        remaining = np.maximum(1 - sections[:, None, :] / tips[:, :, None], _TIP)
        modulus = np.where(pack.parabolic[:, None], modulus * remaining, modulus)
        moments = np.where(np.abs(moments) < _TIP, 0.0, moments)
    stresses = moments / modulus
    worst = np.argmax(np.abs(stresses), axis=2)[..., None]
    return np.take_along_axis(stresses, worst, axis=2)[..., 0]


def _slip(pack: LeafPack, tips: Array, signs: Array, forces: Array) -> Array:
    """Sliding at each tip per N of eye load: half-thickness times rotation, of both leaves."""
    turned = np.einsum("hikj,hij,hj->hik", _rotations(pack, tips), signs, forces)
    slip: Array = np.einsum("hik,i,hik->hk", np.abs(signs), pack.thicknesses / 2, turned)
    return slip
