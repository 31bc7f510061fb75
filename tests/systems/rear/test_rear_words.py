"""What is said of a rear: true to the figures, in the user's units, never that it is safe."""

import re
from dataclasses import replace

import numpy as np
import pytest

from app.document.edits import set_limit
from app.document.model import Change, FrozenMap, Leaf, Limit
from app.systems.cautions import cautions_of
from app.systems.limits import limit_checks
from app.systems.rear.compare import fitted_with
from app.systems.rear.pack_edits import KEY, added, given, moved, pack_of, refusal, removed
from app.systems.rear.pack_whatif import compared, pack_state, with_leaves
from app.systems.rear.system import REAR
from app.systems.rear.words.hop import layout_of, why_words
from app.systems.rear.words.telling import RearTelling
from app.systems.sentence import steer_words
from geometry.catalogue.rear import REAR_RESULTS
from geometry.leaf.pack import cutting_list
from geometry.modes.dampers import LAYOUTS, damper_arm
from tests.helpers.rear_cars import BARS, LEAVES, STAGGERED, both_setup, leaf_setup, link_setup
from tests.helpers.sheets import sample
from tests.helpers.telling import sentences

THIN = Change("Thin", sets=FrozenMap({KEY: (*LEAVES[:3], replace(LEAVES[3], thickness=5.0))}))
HEAVY = Change("Heavy", sets=FrozenMap({KEY: (*LEAVES, Leaf(8.0, 160.0, 190.0))}))
BLOCK = Change("Block", sets=FrozenMap({"rear.block": 30.0}))
TO_LINKS = Change("On links", sets=FrozenMap({"rear.kind": "five-link axle"}))
EYE_UP = Change("Eye", moves=FrozenMap({"rear.front_eye": (0.0, 0.0, 20.0)}))
SETUPS = {
    "measured": leaf_setup(),
    "staggered": leaf_setup(STAGGERED),
    "bars": leaf_setup(BARS),
    "thin": leaf_setup(THIN),
    "heavy": leaf_setup(HEAVY),
    "block": leaf_setup(BLOCK),
    "eye": leaf_setup(EYE_UP),
    "all": leaf_setup(STAGGERED, BARS, HEAVY, BLOCK),
    "light": leaf_setup(THIN, without=("car.mass",)),
    "links": link_setup(),
    "converted": both_setup(TO_LINKS),
    "inches": leaf_setup(HEAVY, BLOCK).having(units="in"),
}
every = pytest.mark.parametrize("name", SETUPS)


def said(setup, key):
    return [each.text for each in sentences(REAR.study(setup)) if each.result_key == key]


def numbers(text):
    return [float(word.replace("−", "-")) for word in re.findall(r"[−+]?\d+\.?\d*", text)]


@every
def test_sentences_are_whole_and_pressing_ones_come_first(name):
    order = {"wrong": 0, "watch": 1, "plain": 2}
    told = sentences(REAR.study(SETUPS[name]))
    ranks = [order[each.severity] for each in told]
    assert ranks == sorted(ranks)
    for each in told:
        assert re.fullmatch(r"[A-Z0-9].*\.", each.text), each.text
        assert not re.search(r"None|nan|inf\b|  |-\d", each.text), each.text
        assert each.result_key in {*REAR_RESULTS, ""}


@every
def test_nothing_says_that_a_car_is_safe(name):
    study = REAR.study(SETUPS[name])
    words = " ".join([*cautions_of([study]), *(each.text for each in sentences(study))])
    assert not re.search(r"\bsafe\b|\bsafely\b|roadworthy", words)


def test_a_decimal_comma_is_used_throughout():
    for each in sentences(REAR.study(SETUPS["all"]), ","):
        assert not re.search(r"\d\.\d", each.text), each.text


# --- springs --------------------------------------------------------------------------------------


def test_the_height_told_is_that_at_which_the_pack_carries_the_load():
    study = REAR.study(SETUPS["thin"])
    lower = study.unsettled.single["settled_travel"]
    assert lower > 1.0
    (text,) = said(SETUPS["thin"], "settled_travel")
    assert "lower" in text
    assert numbers(text)[0] == pytest.approx(lower, abs=0.06)


def test_a_leaf_past_its_limit_is_told_first_with_its_number():
    setup = leaf_setup(HEAVY, rear__pack__limit_stress=700.0)
    first = sentences(REAR.study(setup))[0]
    assert first.severity == "wrong"
    assert first.result_key == "stress_bump"
    leaf = REAR.study(setup).unsettled.leaf
    worst = pack_state(leaf).bump.worst
    number = int(np.argmax(worst)) + 1
    assert first.text.startswith(f"Leaf {number} is stressed to {worst.max():.0f} at full bump")


def test_a_leaf_of_its_own_limit_is_held_against_it():
    own = (*LEAVES[:3], replace(LEAVES[3], limit_stress=2000.0))
    setup = leaf_setup(rear__pack__leaf=own, rear__pack__limit_stress=500.0)
    told = [each for each in sentences(REAR.study(setup)) if each.result_key == "stress_bump"]
    assert not told[0].text.startswith("Leaf 4")
    assert "limit of 500" in told[0].text


def test_limits_of_rear_results_are_read_and_told():
    setup = set_limit(SETUPS["block"], "rear.roll_centre_height", Limit(maximum=100.0))
    (reading,) = limit_checks(REAR.study(setup))
    assert reading.held is False
    assert any("past its limit of 100" in text for text in said(setup, "roll_centre_height"))


# --- torque ---------------------------------------------------------------------------------------


def test_bars_that_touch_say_where_and_bars_that_do_not_say_so():
    (text,) = said(SETUPS["bars"], "bars_close_at")
    closes = REAR.study(SETUPS["bars"]).unsettled.single["bars_close_at"]
    assert numbers(text)[0] == pytest.approx(closes, abs=0.6)
    wide = Change("Wide", sets=BARS.sets.having("rear.traction_bar.gap", 60.0))
    (text,) = said(leaf_setup(wide), "bars_close_at")
    assert "don't touch" in text


def test_an_eye_load_that_turns_over_is_told():
    strong = leaf_setup(rear__drive__engine_torque=400e3, rear__drive__grip=1.5)
    assert REAR.study(strong).unsettled.single["eye_load_least"] < 0
    assert any("rear half is bent the other way" in text for text in said(strong, "eye_load_least"))
    assert not said(SETUPS["measured"], "eye_load_least")


# --- hop ------------------------------------------------------------------------------------------


def test_low_damping_is_told_of_the_motion_that_has_it():
    study = REAR.study(SETUPS["measured"])
    ratio = study.unsettled.single["wind_up_damping"]
    assert ratio < 0.08
    text = said(SETUPS["measured"], "wind_up_damping")[0]
    assert text.startswith("Wind-up: damping ratio about 0.0")
    assert "hardly dies out" in text


def test_why_names_where_the_dampers_stand():
    measured, staggered = (REAR.study(SETUPS[name]).proposed.hop for name in SETUPS_HOP)
    assert layout_of(measured.dampers) == LAYOUTS[0]
    assert layout_of(staggered.dampers) == LAYOUTS[2]
    assert "Both dampers stand 130 mm ahead of the axle" in why_words(measured, "mm")
    assert "Both dampers stand 5.1 in ahead of the axle" in why_words(measured, "in")
    assert "One damper stands ahead of the axle, one behind" in why_words(staggered, "mm")


SETUPS_HOP = ("measured", "staggered")


def test_the_shown_layouts_are_those_that_the_dampers_were_put_in():
    hop = REAR.study(SETUPS["measured"]).proposed.hop
    assert hop.own.damping == pytest.approx(hop.layouts[0].damping, abs=1e-9)


BUSHES = {f"rear__links__{name}_rate": 4000.0 for name in ("lower", "upper", "lateral")}
INWARDS = Change(
    "Dampers inwards",
    moves=FrozenMap({f"rear.damper_{end}": (0.0, -160.0, 0.0) for end in ("axle", "body")}),
)


def test_a_damper_moved_on_links_tells_what_tramp_does_and_why():
    """By the square of the arm on which the dampers work, nearly (its lean is counted)."""
    setup = link_setup(INWARDS, **BUSHES)
    study = REAR.study(setup)
    before, after = (car.single["tramp_damping"] for car in (study.measured, study.proposed))
    change, why = said(setup, "tramp_damping")
    assert numbers(change)[:2] == pytest.approx([before, after], abs=0.0051)
    assert change.startswith("Tramp: damping ratio from about")
    arm = numbers(why)[0]
    assert arm == pytest.approx(damper_arm(study.proposed.hop.dampers), abs=0.6)
    was = damper_arm(study.measured.hop.dampers)
    assert after / before == pytest.approx((arm / was) ** 2, rel=0.05)
    assert "bushes damps it more than the dampers do" in why


def test_wind_up_on_links_is_never_said_to_be_low():
    """What bushes damp isn't in it: their dampers' part alone is always next to none."""
    study = REAR.study(link_setup(**BUSHES))
    assert study.proposed.single["wind_up_damping"] < 0.08
    assert not said(link_setup(**BUSHES), "wind_up_damping")


def test_without_the_bushes_rates_wind_up_is_lacking_and_tramp_is_not():
    study = REAR.study(link_setup())
    assert "wind_up_frequency" not in study.proposed.single
    assert study.missing["wind_up_frequency"] == ("rear.links.lower_rate", "rear.links.upper_rate")
    assert "tramp_frequency" in study.proposed.single
    assert "aren't given" in why_words(study.proposed.hop, "mm")


@pytest.mark.parametrize("back", [False, True])
def test_a_conversion_tells_where_wind_up_goes_and_compares_no_damping(back):
    kind = "leaf axle" if back else "five-link axle"
    start = {"rear__kind": "five-link axle"} if back else {}
    setup = both_setup(Change("Other", sets=FrozenMap({"rear.kind": kind})), **BUSHES, **start)
    study = REAR.study(setup)
    (text,) = said(setup, "wind_up_frequency")
    frequencies = [car.single["wind_up_frequency"] for car in (study.measured, study.proposed)]
    assert numbers(text) == pytest.approx(frequencies, abs=0.051)
    assert ("leaves alone hold" if back else "the links hold") in text
    assert not any("from" in each for each in said(setup, "wind_up_damping"))


# --- path -----------------------------------------------------------------------------------------


def test_a_higher_front_eye_changes_roll_centre_and_steer_in_words():
    study = REAR.study(SETUPS["eye"])
    before, after = (
        float(car.rest.values["roll_steer"][0]) for car in (study.measured, study.proposed)
    )
    (text,) = said(SETUPS["eye"], "roll_steer")
    assert numbers(text)[:2] == pytest.approx([abs(before), abs(after)], abs=0.0006)
    assert ("oversteer" in text) == (after < 0)


def test_a_conversion_to_links_is_told_as_such():
    texts = [each.text for each in sentences(REAR.study(SETUPS["converted"]))]
    assert "The axle is held by five links instead of two leaf springs." in texts


def test_both_kinds_are_solved_from_one_setup_and_one_from_a_setup_of_one():
    both = SETUPS["converted"]
    leaf, links = fitted_with(both, "leaf axle"), fitted_with(both, "five-link axle")
    assert leaf.kind == "leaf axle"
    assert leaf.rest.values["roll_centre_height"] == pytest.approx(
        REAR.study(leaf_setup()).unsettled.rest.values["roll_centre_height"]
    )
    assert links.rest.values["anti_squat"] == pytest.approx(
        REAR.study(link_setup()).unsettled.rest.values["anti_squat"]
    )
    assert fitted_with(leaf_setup(), "five-link axle") is None


# --- cautions -------------------------------------------------------------------------------------


def test_cautions_belong_to_the_jobs_and_the_last_is_the_same_as_ever():
    assert cautions_of([REAR.study(SETUPS["measured"])]) == []
    springs = " ".join(cautions_of([REAR.study(SETUPS["heavy"])]))
    for words in ("store energy", "U-bolts", "Clamp the pack", "ride height", "in pairs"):
        assert words in springs
    assert "Traction bars" not in springs
    dampers = " ".join(cautions_of([REAR.study(SETUPS["staggered"])]))
    assert "Moved dampers" in dampers
    assert "Clamp the pack" not in dampers
    assert "never stacked" in " ".join(cautions_of([REAR.study(SETUPS["block"])]))
    assert cautions_of([REAR.study(SETUPS["bars"])])[-1].startswith(
        "Brakes, steering and suspension"
    )


def block_caution(**evidence):
    """The caution of a block 40 mm thicker, on leaves at a height against the wheel centre."""
    block = Change("Block", sets={"rear.block": 40.0})
    setup = leaf_setup(block, **evidence)
    words = " ".join(cautions_of([REAR.study(setup)]))
    return REAR.study(setup), words[words.index("Blocks and wedges") :]


def test_a_block_s_caution_follows_the_lever_of_wind_up():
    # Statics: couple on the seats = thrust times the leaf's height above the ground. On a leaf
    # under the axle a block brings the leaf 40 mm nearer to the ground.
    study, words = block_caution()
    heights = [car.leaf.thrust.height for car in (study.measured, study.proposed)]
    assert heights[1] - heights[0] == pytest.approx(-40.0, abs=0.5)
    assert study.proposed.single["wind_up_full"] < study.measured.single["wind_up_full"]
    assert "gets shorter" in words
    assert f"{heights[0]:.0f} mm to {heights[1]:.0f} mm" in words
    lifted, words = block_caution(rear__block=60.0)  # as measured: taken out by 20 mm
    assert lifted.proposed.single["wind_up_full"] > lifted.measured.single["wind_up_full"]
    assert "gets longer" in words
    wedge = cautions_of([REAR.study(leaf_setup(Change("Wedge", sets={"rear.wedge": 0.02})))])
    assert "lever" not in " ".join(wedge)


def test_a_job_at_the_front_brings_no_caution_of_the_rear():
    front = Change("Front", sets=FrozenMap({"front.spring.rate": 60.0}))
    assert cautions_of([REAR.study(leaf_setup(front))]) == []


# --- edits of a pack ------------------------------------------------------------------------------


def test_edits_say_what_they_do():
    assert added(LEAVES, 3, 110.0).words == "add leaf 5"
    assert removed(LEAVES, 3).words == "take out leaf 4"
    assert moved(LEAVES, 2, 1).words == "move leaf 3 up"
    words = given(LEAVES, 2, "thickness", 6.0, "mm", ".").words
    assert words == "leaf 3 from 6.5 to 6.0 mm thick"
    words = given(LEAVES, 2, "front", 380.0, "in", ",").words
    assert words == "leaf 3 from 15,748 to 14,961 in long at the front"
    assert given(LEAVES, 2, "clipped", True, "mm", ".").words == "clip leaf 3"
    assert given(LEAVES, 3, "contact", 20.0, "mm", ".").words == "leaf 4 touches at 20 mm of bump"


@pytest.mark.parametrize("above", range(4))
def test_an_added_leaf_can_always_be_a_leaf(above):
    edit = added(LEAVES, above, 110.0)
    assert refusal(leaf_setup(), edit.leaves, "mm", ".") == ""
    front, rear = ([getattr(leaf, end) for leaf in edit.leaves] for end in ("front", "rear"))
    assert front == sorted(front, reverse=True)
    assert rear == sorted(rear, reverse=True)


def test_a_leaf_longer_than_the_main_leaf_is_refused_in_words():
    longer = given(LEAVES, 1, "front", 700.0, "mm", ".").leaves
    assert "longer than the main leaf" in refusal(leaf_setup(), longer, "mm", ".")


# --- what if --------------------------------------------------------------------------------------


def test_what_a_leaf_is_worth_is_what_taking_it_out_does():
    setup = leaf_setup()
    study = REAR.study(setup)
    without = removed(LEAVES, 3).leaves
    now = study.unsettled.leaf
    found = compared(pack_state(now), pack_state(with_leaves(setup, without, now)))
    done = REAR.study(leaf_setup(Change("out", sets=FrozenMap({KEY: without}))))
    assert found.lower == pytest.approx(done.unsettled.single["settled_travel"], abs=1e-6)
    stress = done.unsettled.single["stress_bump"] / study.unsettled.single["stress_bump"]
    assert found.stress == pytest.approx(stress - 1.0, abs=1e-9)
    assert found.rate < pack_state(study.unsettled.leaf).rate


def test_a_leaf_half_as_thick_carries_an_eighth_and_the_pack_is_never_stiffer():
    """Bending stiffness goes with the cube of thickness (textbook beam theory)."""
    one = (Leaf(8.0, 600.0, 600.0),)
    thin = (Leaf(4.0, 600.0, 600.0),)
    setup = leaf_setup(rear__pack__leaf=one, without=("car.mass",))
    rear = REAR.study(setup).unsettled.leaf
    before, after = pack_state(rear), pack_state(with_leaves(setup, thin, rear))
    assert after.rate / before.rate == pytest.approx(1 / 8)
    assert compared(before, after).lower is None


def test_bars_of_one_pack_weigh_what_steel_of_their_size_does():
    """Volume times 7850 kg/m³ (density of steel, Engineering tables)."""
    pack = REAR.study(leaf_setup()).unsettled.leaf.car.pack
    for leaf, cut in zip(pack_of(leaf_setup()), cutting_list(pack), strict=True):
        metres = (leaf.front + leaf.rear) / 1e3 * pack.width / 1e3 * leaf.thickness / 1e3
        assert cut.mass == pytest.approx(7850.0 * metres)


@pytest.mark.parametrize(("wedge", "is_said"), [(0.0, False), (1.0, True)])
def test_a_body_that_pitches_alone_bends_no_joint(wedge, is_said):
    # The front is held 40 mm lower: the pinion turns nose down to the road, with the gearbox. A
    # wedge turns it against the gearbox, whatever the road angle is then.
    setup = sample("small_saloon")
    arch = setup.evidence["front.arch_height"]
    changes = (Change("Wedge", sets=FrozenMap({"rear.wedge": np.radians(wedge)})),) * is_said
    setup = setup.having(changes=changes, heights=FrozenMap({"front": arch - 40.0}))
    told = [text for key in ("pinion_angle", "pinion_turn") for text in said(setup, key)]
    assert bool(told) is is_said
    for text in told:
        assert "to the road, 1.00° nose up against the body" in text


def test_dampers_that_end_nearly_together_are_told_together():
    """The hill-climb car's links are a few mm apart left and right; its dampers are alike."""
    back = Change("Back", moves=FrozenMap({"rear.damper_body": (-200.0, 0.0, 10.0)}))
    study = REAR.study(sample("hillclimb_special").having(changes=(back,)))
    told = [each.text for each in sentences(study) if "open to " in each.text]
    told = [text for text in told if "from open to closed" not in text]
    assert len(told) == 2
    assert all(text.startswith("Both dampers are open to their ends") for text in told)


@pytest.mark.parametrize(
    ("gains", "words"),
    [
        ((0.012, -0.0003), ("0.012°/° understeer", "0.000°/°")),
        ((0.012, 0.02), ("0.012°/°", "0.020°/° understeer")),
        ((0.006, -0.006), ("0.006°/° understeer", "0.006°/° oversteer")),
    ],
)
def test_roll_steer_that_is_shown_as_nought_steers_no_way(gains, words):
    tell = RearTelling(REAR.study(leaf_setup()), ".")
    assert steer_words(tell, gains) == words
