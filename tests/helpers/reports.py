"""Shared by the tests of the report: samples, and reports read back."""

import json
from functools import cache, lru_cache

import pytest

from app.cli import run
from app.cli.files import solve
from app.document.files import read_setup
from app.document.samples import first_sample, sample_paths
from app.systems.every import LIMIT_KINDS

PATHS = {path.stem: path for path in sample_paths()}

FIRST = first_sample()

every_sample = pytest.mark.parametrize("path", PATHS.values(), ids=PATHS)


@cache
def load(path):
    return read_setup(path, limit_kinds=LIMIT_KINDS).setup


@lru_cache(maxsize=64)
def ends_of(setup, axle=None):
    return solve(setup, FIRST, axle)


def no_board(path):
    raise AssertionError("a report opens no window")


def as_json(capsys, *words):
    assert run(["report", *map(str, words), "--json"], no_board) == 0
    return json.loads(capsys.readouterr().out)
