"""Setups of a rear to print: altered packs, conversions, too much of all, next to nothing."""

from __future__ import annotations

from app.document.model import Change, FrozenMap, Leaf, Setup, Value
from tests.helpers.one_end import only
from tests.helpers.sheets import LONG, sample, with_all_on, with_on

BARE = ("car.", "sheet", "rear.axle", "rear.damper", "rear.drive", "rear.tyre_rate", "rear.arch")


def without(setup: Setup, *heads: str) -> Setup:
    """Return the setup without the values whose keys begin so, and without limits."""
    kept = {key: value for key, value in setup.evidence.items() if not key.startswith(heads)}
    return setup.having(evidence=FrozenMap(kept), limits=FrozenMap({}))


def leaf_rear(*names: str) -> Setup:
    """A saloon's rear alone, on leaves, with the changes on of which names are given."""
    return with_on(only(sample("small_saloon"), "rear"), *names)


def link_rear() -> Setup:
    return only(sample("hillclimb_special"), "rear")


def bare_rear() -> Setup:
    """A rear that gives nothing but points and leaves."""
    return without(leaf_rear().having(changes=()), *BARE, "rear.pack.limit", "rear.travel")


def bare_links() -> Setup:
    setup = with_on(link_rear(), "Lateral")
    return without(setup, "car.", "rear.spring", "rear.damper", "rear.links", "rear.axle")


def longer_links() -> Setup:
    """Links made to other lengths, left and right apart."""
    moves = {
        "rear.lower_body": (30.0, 0.0, 0.0),
        "rear.upper_axle": (0.0, 0.0, 12.0),
        "rear.right.upper_axle": (0.0, 0.0, 9.0),
    }
    change = Change("Longer links", parts="made to fit", moves=FrozenMap(moves))
    return link_rear().having(changes=(change,))


def back_on_leaves() -> Setup:
    """A car that stands on links and goes back on leaves."""
    setup = only(sample("torsion_coupe"), "rear")
    links = FrozenMap({**setup.evidence, "rear.kind": "five-link axle"})
    change = Change("Leaves again", sets=FrozenMap({"rear.kind": "leaf axle"}))
    return setup.having(evidence=links, changes=(change,))


def crowded_rear() -> Setup:
    """Thirteen leaves in inches, every point moved along every axis, names that are too long."""
    leaves = tuple(
        Leaf(
            4.0,
            600.0 - 38.0 * place,
            720.0 - 46.0 * place,
            clipped=place in (1, 3, 5),
            nip=1.5 if place == 3 else None,
            note="from the old spring of the other car, eyes cut off" if place == 4 else "",
        )
        for place in range(13)
    )
    sets: dict[str, Value] = {
        "rear.pack.leaf": leaves,
        "rear.pack.free_arch": 150.0,
        "rear.wedge": -0.035,
    }
    points = ("front_eye", "shackle_body", "damper_body", "right.damper_body", "damper_axle")
    moves = {f"rear.{name}": (3.2, -1.0, 2.0) for name in points}
    return leaf_rear().having(
        title=f"Ferncote Linnet 1500 {'special touring estate with a long name ' * 3}",
        units="in",
        changes=(
            Change("Thirteen leaves instead of five", note=LONG, sets=FrozenMap(sets)),
            Change("Everything moved", moves=FrozenMap(moves)),
        ),
    )


def rear_setups() -> dict[str, Setup]:
    """Return what the sheet of a rear is tried with."""
    inches = with_on(sample("inch_sedan"), "Helpers", "Blocks", "Right damper")
    return {
        "saloon": sample("small_saloon"),
        "saloon, all on": with_all_on(sample("small_saloon")),
        "inches": inches,
        "onto links": with_on(sample("torsion_coupe"), "links", "Rack"),
        "links": with_all_on(sample("hillclimb_special")),
        "rear alone": leaf_rear("Right damper", "Traction", "Leaf 4"),
        "record": leaf_rear().having(changes=()),
        "longer links": longer_links(),
        "back on leaves": back_on_leaves(),
        "crowded": crowded_rear(),
        "bare": bare_rear(),
        "bare links": bare_links(),
    }
