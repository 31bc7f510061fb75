"""Bands on the screen: under figures, behind curves, around points, in sentences."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from app.document.model import Change, FrozenMap, Limit
from app.drawing.rings import ringed
from app.drawing.strokes import Drawing, Handle, HandleShape, Mark
from app.entry.verdict import Look
from app.judge.banded import with_bands
from app.judge.unsure import again_first, ringed_points
from app.judge.whole_car import all_sentences
from app.paint.palette import PALETTES
from app.panels.curves.curve_sheet import CurveSheet
from app.panels.figures import NOTHING
from app.panels.lists.result_rows import Row, lines_of, said_by, why_nothing
from app.panels.lists.sentences import SentencesPanel
from app.session.session import Session
from app.shop.outcomes import outcomes
from app.systems.answers import Pose, Study
from app.systems.curves import curve_chart
from app.systems.front.study import FrontAnswers
from app.systems.front.system import FRONT
from geometry.catalogue.front import BY_KEY
from tests.helpers.front_setups import front_setup
from tests.helpers.known_setups import LOWERED, known, through_infinity

pytestmark = pytest.mark.gui

HEIGHT = BY_KEY["roll_centre_height"]


@pytest.fixture(scope="module")
def study() -> Study[FrontAnswers]:
    return with_bands(FRONT.study(known(LOWERED)))


def banded_session(study: Study[FrontAnswers]) -> Session:
    session = Session(study.setup)
    session.take_bands("front", study.setup, study.bands)
    return session


def test_a_curve_has_its_band_on_both_sides_as_wide_as_it_is_known(
    study: Study[FrontAnswers],
) -> None:
    chart = curve_chart(study, "travel", HEIGHT, "mm")
    assert [band.look for band in chart.bands] == ["measured", "proposed"]
    for band, line in zip(chart.bands, chart.series, strict=True):
        middle = (band.low + band.high) / 2.0
        assert middle == pytest.approx(line.values)
        assert (band.high > band.low).all()
    assert study.bands is not None
    rest = study.bands.within("built", HEIGHT)
    built = chart.bands[1]
    at_rest = np.interp(0.0, built.at, (built.high - built.low) / 2.0)
    assert rest == pytest.approx(float(at_rest), rel=0.02)
    assert curve_chart(replace(study, bands=None), "travel", HEIGHT, "mm").bands == ()


def test_handles_of_what_to_measure_again_are_ringed(study: Study[FrontAnswers]) -> None:
    keys = ringed_points(study)
    assert 1 <= len(keys) <= 3
    first = again_first(study)[0].reading.rpartition(".")[0]
    assert first in keys
    handles = [Handle(key, (1.0, 2.0), HandleShape.CIRCLE, key) for key in (first, "front.other")]
    drawing = ringed(Drawing(tuple(handles)), keys)
    assert [stroke.at for stroke in drawing.strokes if isinstance(stroke, Mark)] == [(1.0, 2.0)]


def test_what_stays_open_is_said(study: Study[FrontAnswers]) -> None:
    texts = [each.text for each in all_sentences(study, [study])]
    assert any("may be either" in text for text in texts)
    assert not any(
        "may be either" in each.text for each in all_sentences(replace(study, bands=None), [study])
    )


def test_no_sentence_claims_what_is_open(study: Study[FrontAnswers]) -> None:
    """Where the band reaches past nought or a limit, nothing is said of the side it is on."""
    limits = FrozenMap({"front.bump_steer_range": Limit(maximum=radians(3.0), kind="angle")})
    tie_up = Change("tie rod", moves=FrozenMap({"front.tie_outer": (0.0, 0.0, 8.0)}))
    limited = FRONT.study(known(tie_up).having(limits=limits))
    assert study.bands is not None
    for chance, claims in ((0.7, False), (0.99, True)):
        bands = replace(study.bands, kept={"bump_steer_range": chance})
        texts = [s.text for s in all_sentences(replace(limited, bands=bands), [limited])]
        assert any("inside its limit" in text for text in texts) is claims
        assert any("may or may not be kept" in text for text in texts) is not claims
    front = {**study.bands.cars["built"].rest}
    for within, claims in ((1.0, False), (1e-6, True)):
        rest = {**front, "roll_steer": np.full(2, within)}
        cars = {**study.bands.cars, "built": replace(study.bands.cars["built"], rest=rest)}
        bands = replace(study.bands, cars=cars)
        texts = [s.text for s in all_sentences(replace(limited, bands=bands), [limited])]
        assert any("wheels steer" in text for text in texts) is claims
        assert any(text.startswith("Roll steer, ") for text in texts) is not claims


def test_a_row_says_each_figure_with_its_band_and_no_digit_more(
    qtbot: QtBot, study: Study[FrontAnswers]
) -> None:
    session = banded_session(study)
    rows = {
        line.result.key: line for line in lines_of(session, frozenset()) if isinstance(line, Row)
    }
    row = rows["roll_centre_height"]
    assert row.banded
    said = said_by(row, session, 0)
    assert all(words.startswith("±") for words in said.within)
    for figure, within in zip((said.measured, said.proposed), said.within, strict=False):
        assert len(figure.partition(".")[2]) <= len(within.partition(".")[2])
    session.set_pose(Pose(travel=20.0))
    there = said_by(row, session, 0)
    assert there.within[1].startswith("±")
    assert there.within[2] == ""  # the change is known at rest alone
    session.set_pose(Pose(travel=20.0, roll=0.02))
    assert said_by(row, session, 0).within == ("", "", "")


def test_a_reading_to_take_again_leads_to_its_point(
    qtbot: QtBot, study: Study[FrontAnswers]
) -> None:
    session = banded_session(study)
    panel = SentencesPanel(session)
    qtbot.addWidget(panel)
    panel._follow()
    line = next(label for label in panel.words.shown() if "Measure again first" in label.text())
    panel.words.chosen.emit(line.line.key)
    assert session.selection == (again_first(study)[0].reading.rpartition(".")[0],)


def test_without_uncertainties_nothing_is_said_of_them(qtbot: QtBot) -> None:
    session = Session(front_setup())
    rows = [line for line in lines_of(session, frozenset()) if isinstance(line, Row)]
    assert not any(row.banded for row in rows)


def test_a_curves_head_and_the_sheets_first_figures_have_no_digit_more(
    qtbot: QtBot, study: Study[FrontAnswers]
) -> None:
    assert study.bands is not None
    within = study.bands.within("found", HEIGHT)
    assert within is not None
    assert within > 2.0  # so that tenths of a millimetre mean nothing
    panel = CurveSheet(banded_session(study), "travel", PALETTES["light"])
    qtbot.addWidget(panel)
    panel.heads[0].show_result(HEIGHT)
    panel.heads[0].read(81.3, 89.6)
    assert "as found 81, as built 90 mm" in panel.heads[0].spoken()
    asked = {outcome.key: outcome for outcome in outcomes(study)}
    assert "." not in asked["roll_centre_height"].before + asked["roll_centre_height"].after
    bare = {outcome.key: outcome for outcome in outcomes(replace(study, bands=None))}
    assert "." in bare["roll_centre_height"].before


def test_what_may_be_anywhere_has_no_figure_and_says_why(
    study: Study[FrontAnswers], qtbot: QtBot
) -> None:
    session = banded_session(through_infinity(study, "swing_arm_length"))
    rows = [line for line in lines_of(session, frozenset({"Centres"})) if isinstance(line, Row)]
    row = next(each for each in rows if each.result.key == "swing_arm_length")
    said = said_by(row, session, 0)
    assert (said.measured, said.moves) == (NOTHING, NOTHING)
    assert said.proposed != NOTHING
    assert said.within[0] == said.within[2] == ""
    assert "through infinity" in why_nothing(row, session)
    assert "–" in Look(row.result, 2500.0).words("mm", ".", session.bands)


def test_bands_that_come_during_a_drag_are_not_told_where_no_place_is_kept_for_them(
    study: Study[FrontAnswers],
) -> None:
    session = Session(study.setup)

    def heights() -> list[Row]:
        lines = lines_of(session, frozenset())
        return [each for each in lines if isinstance(each, Row) and each.result == HEIGHT]

    (laid_out,) = heights()
    session.take_bands("front", study.setup, study.bands)
    assert said_by(laid_out, session, 0).within == ("", "", "")
    (anew,) = heights()
    assert all(said_by(anew, session, 0).within)
