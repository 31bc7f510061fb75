"""Invented axles on links, drawn from a seeded generator: no car is meant."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from geometry.links.axle import Coil, Link, LinkAxle, Point, Strut

AXLE_X = -2560.0


def plain_axle(**changes: object) -> LinkAxle:
    """An axle with plausible points, upper links that splay, and a lateral link behind."""
    axle = symmetric_link_axle(
        lower=Link((-2100.0, 480.0, 260.0), (-2575.0, 500.0, 240.0)),
        upper=Link((-2250.0, 330.0, 430.0), (-2530.0, 290.0, 440.0)),
        lateral=Link((-2660.0, -480.0, 330.0), (-2650.0, 470.0, 290.0)),
        wheel=(AXLE_X, 690.0, 305.0),
        tyre_radius=305.0,
        coil=Coil((-2550.0, 450.0, 600.0), (-2560.0, 470.0, 300.0), 30.0, 400.0),
        damper=Strut((-2660.0, 400.0, 640.0), (-2640.0, 480.0, 250.0)),
    )
    return replace(axle, **changes)


def parallel_axle(lateral: Link | None = None, **slopes: float) -> LinkAxle:
    """Links parallel to the car in plan view; ``lower`` and ``upper`` are rises of the axle end."""
    lower, upper = slopes.get("lower", 0.0), slopes.get("upper", 0.0)
    return plain_axle(
        lower_left=Link((-2100.0, 480.0, 240.0), (-2575.0, 480.0, 240.0 + lower)),
        lower_right=Link((-2100.0, -480.0, 240.0), (-2575.0, -480.0, 240.0 + lower)),
        upper_left=Link((-2250.0, 300.0, 440.0), (-2530.0, 300.0, 440.0 + upper)),
        upper_right=Link((-2250.0, -300.0, 440.0), (-2530.0, -300.0, 440.0 + upper)),
        lateral=lateral or Link((AXLE_X, -480.0, 300.0), (AXLE_X, 470.0, 300.0)),
    )


def invented_axle(seed: int, *, alike: bool = True) -> LinkAxle:
    """One of a family of axles: other points, other rates; sides alike or not."""
    random = np.random.default_rng(seed)

    def near(point: Point, spread: float = 30.0) -> Point:
        x, y, z = np.array(point) + random.uniform(-spread, spread, 3)
        return float(x), float(y), float(z)

    def link(body: Point, axle: Point) -> Link:
        return Link(near(body, 40.0), near(axle), float(random.uniform(800.0, 6000.0)))

    base = plain_axle()
    assert base.upper_left is not None
    axle = symmetric_link_axle(
        lower=link(base.lower_left.body, base.lower_left.axle),
        upper=link(base.upper_left.body, base.upper_left.axle),
        lateral=link(base.lateral.body, base.lateral.axle),
        wheel=base.wheel_left,
        tyre_radius=305.0,
        coil=base.coil_left,
        damper=base.damper_left,
    )
    if alike:
        return axle
    other = invented_axle(seed + 1000)
    return replace(axle, lower_right=other.lower_right, upper_right=other.upper_right)


def four_links(axle: LinkAxle) -> LinkAxle:
    """The same axle with its right upper link left out."""
    return replace(axle, upper_right=None)


def mirror_image(axle: LinkAxle) -> LinkAxle:
    """The axle with left and right swapped."""

    def swapped(link: Link | None) -> Link | None:
        if link is None:
            return None
        return replace(link, body=other_side(link.body), axle=other_side(link.axle))

    sides = {}
    for part in ("lower", "upper"):
        sides[f"{part}_left"] = swapped(getattr(axle, f"{part}_right"))
        sides[f"{part}_right"] = swapped(getattr(axle, f"{part}_left"))
    return replace(axle, **sides, lateral=swapped(axle.lateral))


def symmetric_link_axle(
    *,
    lower: Link,
    upper: Link,
    lateral: Link,
    wheel: Point,
    tyre_radius: float,
    coil: Coil,
    damper: Strut,
) -> LinkAxle:
    """Return an axle whose right side mirrors the left side given; the lateral link is as given."""
    return LinkAxle(
        lower_left=lower,
        lower_right=_mirrored_link(lower),
        upper_left=upper,
        upper_right=_mirrored_link(upper),
        lateral=lateral,
        wheel_left=wheel,
        wheel_right=other_side(wheel),
        tyre_radius=tyre_radius,
        coil_left=coil,
        coil_right=Coil(other_side(coil.body), other_side(coil.axle), coil.rate, coil.free_length),
        damper_left=damper,
        damper_right=Strut(other_side(damper.body), other_side(damper.axle)),
    )


def _mirrored_link(link: Link) -> Link:
    return Link(other_side(link.body), other_side(link.axle), link.rate, link.length)


def other_side(point: Point) -> Point:
    """Return the point on the other side of the car [mm]."""
    return point[0], -point[1], point[2]
