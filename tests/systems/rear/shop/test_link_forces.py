"""Forces in the links as rows: those that the kernel has, in the order of its links."""

import numpy as np
import pytest

from app.cli.rear_tables import rear_object
from app.document.model import FrozenMap
from app.systems.rear.shop.link_forces import link_force_tables
from app.systems.rear.system import REAR
from app.systems.study_results import result_named, value_of
from tests.helpers.sheets import sample, with_on

BOLT = "rear.links.bolt_diameter"


@pytest.mark.parametrize(
    ("name", "change", "cars", "cases"),
    [
        ("torsion_coupe", "links", ["as built"], 3),
        ("hillclimb_special", "Upper links", ["as found", "as built"], 1),
        ("small_saloon", "Leaf 4", [], 0),
    ],
)
def test_each_car_on_links_has_its_forces(name, change, cars, cases):
    study = REAR.study(with_on(sample(name), change))
    tables = link_force_tables(study)
    assert [table.car for table in tables] == cars
    for table in tables:
        car = study.measured if table.car == "as found" else study.proposed
        assert len(table.cases) == cases
        forces = np.array([row.forces for row in table.rows])
        for place, case in enumerate(car.link_forces):
            assert forces[0, place] == case.thrust
            np.testing.assert_array_equal(forces[1:6, place], case.links)
            np.testing.assert_array_equal(forces[6:, place], case.coils)


def test_other_programs_read_the_same_forces():
    car = REAR.study(with_on(sample("torsion_coupe"), "links")).proposed
    found = rear_object(car)["link_forces"]
    assert found["case"] == ["standing", "full drive", "full braking"]
    assert found["lower_left_link_n"] == [float(each.links[0]) for each in car.link_forces]
    assert found["bolt_shear_n_per_mm2"] == list(link_force_tables_of("links")[0].shear)
    assert found["thrust_n"][1] > 0 > found["thrust_n"][2]
    # Pulling away pushes the lower links and stretches the upper ones, braking the other way.
    assert found["lower_left_link_n"][1] < 0 < found["lower_left_link_n"][2]
    assert found["upper_left_link_n"][2] < 0 < found["upper_left_link_n"][1]


def without(key: str):
    setup = with_on(sample("torsion_coupe"), "links")
    kept = {each: value for each, value in setup.evidence.items() if each != key}
    return setup.having(evidence=FrozenMap(kept))


def link_force_tables_of(change: str):
    return link_force_tables(REAR.study(with_on(sample("torsion_coupe"), change)))


def test_the_most_loaded_bolt_is_in_double_shear():
    """Force over twice the bolt's area, by hand: 12 mm are 113.1 mm² on each side of the link."""
    (table,) = link_force_tables_of("links")
    forces = np.array([row.forces for row in table.rows if row.name.endswith("link")])
    assert forces.shape == (5, 3)
    np.testing.assert_allclose(table.shear, np.abs(forces).max(axis=0) / (2 * 113.097), rtol=1e-5)
    assert "indication" in table.note
    assert "brackets, welds and fatigue aren't judged" in table.note


def test_without_the_bolts_diameter_no_shear_is_told():
    study = REAR.study(without(BOLT))
    (table,) = link_force_tables(study)
    assert table.shear == ()
    assert "shear" not in table.note
    assert rear_object(study.proposed)["link_forces"]["bolt_shear_n_per_mm2"] is None


def test_thrust_and_braking_of_the_table_are_the_results():
    """A page gives one thrust, one braking force and one force of a coil, wherever it stands."""
    study = REAR.study(with_on(sample("torsion_coupe"), "links"))
    _, drive, braking = study.proposed.link_forces
    for key, force in (("full_thrust", drive.thrust), ("full_braking", -braking.thrust)):
        result = result_named(study, key)
        assert value_of(study.proposed, result) == force
        assert value_of(study.measured, result) == pytest.approx(force, rel=0.01)


@pytest.mark.parametrize("key", ["car.cg_height", "car.wheelbase"])
def test_load_transfer_that_is_left_out_is_said_to_be(key):
    (whole,) = link_force_tables_of("links")
    assert "load transfer in it" in whole.note
    (table,) = link_force_tables(REAR.study(without(key)))
    assert len(table.cases) == 3
    assert "load transfer in it" not in table.note
    assert "The load that pulling away brings to the rear axle" in table.note
    assert "is left out of both" in table.note
