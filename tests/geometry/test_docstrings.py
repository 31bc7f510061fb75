"""Public functions of the kernel say of each parameter what it is, in which unit and shape."""

from __future__ import annotations

from pathlib import Path

from tests.helpers.documented import undocumented
from tests.helpers.project import ROOT


def test_every_parameter_of_two_and_more_is_documented() -> None:
    assert list(undocumented(ROOT / "geometry")) == []


def test_a_parameter_that_is_left_out_is_found(tmp_path: Path) -> None:
    (tmp_path / "module.py").write_text(
        '''class Part:
    def turn(self, angle, about):
        """Turn it.

        Parameters
        ----------
        angle
            [rad].

        Returns
        -------
        about
            Not what was given.
        """

    def of(self, one):
        """Take one."""


def add(a, *, b):
    """Add.

    Parameters
    ----------
    a, b
        [mm].
    """


def _private(a, b): ...
'''
    )
    assert list(undocumented(tmp_path)) == [f"{tmp_path.name}/module.Part.turn: about"]
