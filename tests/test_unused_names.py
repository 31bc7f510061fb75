"""Every public name of the program is reached by the program, not by its tests alone."""

from __future__ import annotations

import pytest

from tests.helpers.project import ROOT
from tests.helpers.unused_names import (
    Trees,
    parsed,
    sources,
    unreached_methods,
    unreached_names,
)

ALLOWED_NAMES: dict[tuple[str, str], str] = {}
ALLOWED_METHODS = {
    ("SpokenPoint", "object"): "Qt's interface for screen readers calls it",
    ("SpokenCoordinate", "object"): "Qt's interface for screen readers calls it",
    ("SpokenPoint", "role"): "Qt's interface for screen readers calls it",
    ("SpokenCoordinate", "role"): "Qt's interface for screen readers calls it",
    # Steps on the way to results, which stand in the values so that another engine can judge them.
    ("AxleLines", "support_line"): "a construction by hand",
    ("HalfBending", "root_shares"): "a general beam solver and a textbook",
    ("PartRatios", "roll_ratio"): "a lever worked out by hand",
    ("RideRates", "link_force"): "differences of its own slope",
    ("RideRates", "roll_stiffness"): "a general multibody engine",
    ("TipContacts", "from_nip"): "a beam worked out by hand",
    ("TipContacts", "per_load"): "a general beam solver",
    ("TipContacts", "slip_per_travel"): "a general beam solver",
}


@pytest.fixture(scope="module")
def program() -> Trees:
    return parsed(sources(ROOT, ("app", "geometry")))


def test_no_public_name_is_there_for_tests_alone(program: Trees) -> None:
    assert unreached_names(program) - ALLOWED_NAMES.keys() == set()


def test_no_public_method_is_there_for_tests_alone(program: Trees) -> None:
    """Nor a field. Names as Qt writes them, childCount, are Qt's own, called from there."""
    pictures = parsed(sources(ROOT, ("docs",)))  # those of the docs are part of it
    found = {each for each in unreached_methods({**program, **pictures}) if each[1].islower()}
    assert found - ALLOWED_METHODS.keys() == set()


def test_a_name_that_only_unreached_names_mention_is_found() -> None:
    texts = {
        "app.a": "def kept(): ...\ndef lost(): return deeper()\ndef deeper(): return deeper()\n",
        "app.b": "from app.a import kept, lost\n__all__ = ['kept', 'lost']\n",
        "app.c": "from app import b\nfrom app.a import deeper as other\nprint(b.kept())\n",
        "app.d": "def shown():\n    from app.e import told\n    return told\nshown()\n",
        "app.e": "def told(): ...\nUNTOLD: int = 3\nclass Twice:\n    def said(self): ...\n",
        "app.f": "_HIDDEN = 1\nclass Pair:\n    one: int\n    two: int\nPair(1, 2).one\n",
    }
    assert unreached_names(parsed(texts)) == {
        ("app.a", "lost"),
        ("app.a", "deeper"),
        ("app.e", "UNTOLD"),
        ("app.e", "Twice"),
        ("app.f", "_HIDDEN"),
    }
    assert unreached_methods(parsed(texts)) == {("Twice", "said"), ("Pair", "two")}
