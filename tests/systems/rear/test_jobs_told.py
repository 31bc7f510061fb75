"""Jobs at the rear: their names, leaves that change places, and jobs that do nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.cli.report_text import _made  # the words of the report's list of changes
from app.document.leaf_pairs import paired
from app.document.model import Change, FrozenMap
from app.document.plausible import all_questions
from app.panels.lists.job_words import asks_toe, made_words, moves_points
from app.shop.idle import idle_notes
from app.shop.jobs import jobs
from app.systems.naming import title_of
from app.systems.rear.notes import rest_notes
from app.systems.rear.shop.leaf_steps import leaf_steps
from app.systems.rear.system import REAR
from app.systems.rear.words.sentences import rear_sentences
from app.words.changes import suggested_name
from tests.helpers.rear_studies import leaves, load

SALOON = load("small_saloon").having(changes=())
PACK = leaves(SALOON)
EXCHANGED = (*PACK[:2], PACK[3], PACK[2], *PACK[4:])
TO_END = (*PACK[:1], *PACK[2:], PACK[1])
COUPE = load("torsion_coupe")
ON_LINKS = Change("On links", sets=FrozenMap({"rear.kind": "five-link axle"}))
SHACKLES = Change("Longer shackles", sets=FrozenMap({"rear.shackle_length": 97.0}))


def set_pack(pack):
    return Change("", sets=FrozenMap({"rear.pack.leaf": pack}))


@pytest.mark.parametrize(
    ("pack", "name"),
    [
        ((*PACK[:2], replace(PACK[2], thickness=4.5), *PACK[3:]), "Leaf 3 at 4.5 mm"),
        ((*PACK[:2], replace(PACK[2], clipped=True), *PACK[3:]), "Leaf 3 altered"),
        ((*PACK[:3], *PACK[4:]), "Leaf 4 out"),
        ((*PACK, PACK[-1]), f"Leaf {len(PACK)} added"),
        (EXCHANGED, "Leaves 3 and 4 exchanged"),
        (PACK[:2], "Leaf pack of 2 leaves"),
    ],
)
def test_a_pack_s_change_is_named_by_its_one_step(pack, name):
    named = suggested_name(SALOON, set_pack(pack))
    assert named == name or (name.endswith("added") and named.endswith("added"))


def test_exchanged_leaves_are_told_as_exchanged_and_none_is_made_anew():
    steps = list(leaf_steps(PACK, EXCHANGED, "mm", "."))
    assert steps == ["exchange leaves 3 and 4"]
    assert all(None not in (pair.was, pair.now) for pair in paired(PACK, EXCHANGED))


def test_a_leaf_that_goes_to_another_place_is_put_there():
    steps = list(leaf_steps(PACK, TO_END, "mm", "."))
    assert steps == [f"put leaf 2 in place {len(PACK)} from the main leaf"]


def test_a_leaf_over_a_longer_one_is_asked_about_in_a_change_too():
    asked = [each.text for each in all_questions(SALOON.having(changes=(set_pack(EXCHANGED),)))]
    assert any("longer" in text and "exchanged" in text for text in asked)


@pytest.mark.parametrize("key", ["rear.block", "rear.shackle_length"])
def test_parts_and_toe_are_asked_where_they_mean_something(key):
    block = Change("", sets=FrozenMap({key: 30.0}))
    assert not moves_points(block)
    assert not asks_toe(block)
    assert made_words(block) == ""
    assert _made(block) == "new values"
    damper = Change("", moves=FrozenMap({"rear.damper_axle": (0.0, 0.0, 5.0)}))
    assert made_words(damper) == "same parts, moved holes"
    pivot = Change("", moves=FrozenMap({"front.upper_front": (0.0, 0.0, 5.0)}))
    assert made_words(pivot).endswith("; toe reset")
    assert made_words(Change("")) == "same parts, moved holes; toe reset"


def test_a_job_on_an_axle_that_isn_t_there_is_said_to_do_nothing():
    setup = COUPE.having(changes=(ON_LINKS, SHACKLES))
    study = REAR.study(setup)
    words = "“Longer shackles” does nothing at the rear: the axle as built is on links."
    assert words in [each.text for each in rear_sentences(study, ".")]
    assert not any("shackles" in job.title for job in jobs((study,)))
    assert idle_notes((study,)) == (words,)
    alone = REAR.study(COUPE.having(changes=(SHACKLES,)))
    assert not any("does nothing" in each.text for each in rear_sentences(alone, "."))


def test_notes_name_no_result_that_the_other_axle_has_too():
    study = REAR.study(COUPE.having(changes=(ON_LINKS,)))
    notes = " ".join(rest_notes(study, study.measured, title_of))
    assert "Not of an axle on leaf springs" in notes
    assert "Wheel rate in roll" not in notes
