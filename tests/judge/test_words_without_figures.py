"""Words that carry no figure say what the table of the car as found and as built says.

Generated: every sample, each of its changes alone, each end settling, held as measured, and held
between. What a word means is written here by hand, from what the quantity is (textbook senses: a
greater wheel rate is stiffer, anti-squat above what it was squats less), never read from the code.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from app.document.model import AS_MEASURED, SETTLES
from app.judge.balance import balances
from app.judge.whole_car import all_sentences
from app.shop.outcomes import outcomes
from app.systems.answers import Study
from app.systems.sides import wheel_value
from app.systems.study_results import result_named
from tests.judge.test_told_as_it_stands import EVERY, car_of, each_at_a_height

MORE = {  # words that mean a greater value as built, by result; of opposites the second is less
    "wheel_rate": ("stiffer", "softer"),
    "ride_frequency": ("quicker", "slower"),
    "roll_centre_height": ("higher above its road", "lower above its road"),
    "anti_squat": ("squats less", "squats more"),
    "wind_up_full": ("winds up more", "winds up less"),
    "stress_bump": ("more stress", "less stress"),
    "bump_steer_range": ("more toe change", "less toe change"),
}
SAID = {  # the same in sentences
    "roll_wheel_rate": ("holds up more", "holds up less"),
    "bump_steer_range": (" grows from", " falls from"),
}
LOWER = r"[\d./ ]+(?:mm|in) (lower|higher)"
SITS = re.compile(rf"the car sits {LOWER} at the|is held {LOWER} than found by")
HELD = re.compile(rf"by itself it would settle {LOWER} than found")


def moves(study: Study, key: str) -> list[float]:
    """Return by how much either wheel's value is greater as built than as found."""
    result = result_named(study, key)
    if result is None:
        return []
    pairs = [[wheel_value(car, result, side) for car in study.cars.values()] for side in (0, 1)]
    return [after - before for before, after in pairs if before is not None and after is not None]


def words_in(text: str, pairs: dict[str, tuple[str, str]], key: str) -> Iterator[float]:
    """Yield 1 for a word that means more of a result, -1 for one that means less."""
    for sign, word in zip((1.0, -1.0), pairs.get(key, ()), strict=False):
        if word in text:
            yield sign


@each_at_a_height
def test_an_outcomes_word_is_the_way_its_figures_go(name: str, change: str, choice: str) -> None:
    for study in car_of(name, change, choice):
        for outcome in outcomes(study):
            for sign in words_in(outcome.meaning, MORE, outcome.key):
                assert any(sign * move > 0.0 for move in moves(study, outcome.key)), outcome
            if outcome.meaning.startswith("much as it was"):
                (result,) = (r for r in study.results if r.key == outcome.key)
                sizes = [abs(wheel_value(study.measured, result, side) or 0.0) for side in (0, 1)]
                assert min(map(abs, moves(study, outcome.key))) <= 0.0101 * max(sizes)


@each_at_a_height
def test_a_sentences_word_is_the_way_the_table_goes(name: str, change: str, choice: str) -> None:
    car = car_of(name, change, choice)
    for study in car:
        for sentence in all_sentences(study, car):
            for sign in words_in(sentence.text, SAID, sentence.result_key):
                found = moves(study, sentence.result_key)
                assert any(sign * move > 0.0 for move in found), sentence.text
            sits = SITS.search(sentence.text)
            if sits is not None:
                lower = "lower" in sits.groups()
                assert (study.stands > 0.0) == lower, sentence.text
            held = HELD.search(sentence.text)
            if held is not None:
                settles = study.unsettled.single["settled_travel"]
                assert (settles > 0.0) == (held[1] == "lower"), sentence.text


@each_at_a_height
def test_the_tyre_and_the_body_lean_as_is_said(name: str, change: str, choice: str) -> None:
    car = car_of(name, change, choice)
    rolls = {each: balance.roll for each, balance in balances(car).items()}
    for study in car:
        for sentence in all_sentences(study, car):
            if "In a corner the body rolls" in sentence.text and study.changed:
                less = " rolls less" in sentence.text
                assert (rolls["proposed"] < rolls["measured"]) == less, sentence.text
            if sentence.text.startswith("Camber gain") and "the tyre " in sentence.text:
                lean = result_named(study, "roll_camber")
                assert lean is not None
                before, after = (abs(wheel_value(c, lean, 0) or 0.0) for c in study.cars.values())
                assert (after < before) == ("more upright" in sentence.text), sentence.text


def test_every_word_listed_here_is_said_of_some_sample() -> None:
    unsaid = {(key, word) for words in (MORE, SAID) for key, pair in words.items() for word in pair}
    for name, change in EVERY:
        for choice in (SETTLES, AS_MEASURED):
            if not unsaid:
                return
            car = car_of(name, change, choice)
            for study in car:
                texts = [(each.key, each.meaning) for each in outcomes(study)]
                texts += [(each.result_key, each.text) for each in all_sentences(study, car)]
                unsaid -= {
                    (key, word)
                    for key, word in unsaid
                    for at, text in texts
                    if key == at and word in text
                }
    assert unsaid == set()
