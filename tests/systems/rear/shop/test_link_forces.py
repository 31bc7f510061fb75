"""Forces in the links as rows: those that the kernel has, in the order of its links."""

import numpy as np
import pytest

from app.cli.rear_tables import rear_object
from app.systems.rear.shop.link_forces import link_force_tables
from app.systems.rear.system import REAR
from tests.helpers.sheets import sample, with_on


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
    assert found["thrust_n"][1] > 0 > found["thrust_n"][2]
    # Pulling away pushes the lower links and stretches the upper ones, braking the other way.
    assert found["lower_left_link_n"][1] < 0 < found["lower_left_link_n"][2]
    assert found["upper_left_link_n"][2] < 0 < found["upper_left_link_n"][1]
