"""Tests draw offscreen unless told otherwise; a machine without what Qt needs is told so at once.

No Qt import here: the kernel's tests also run where there is none.
"""

import gc
import os
from collections.abc import Iterator
from itertools import groupby
from random import Random

import pytest
from hypothesis import HealthCheck, settings

from app.qt.system_check import explain, missing_libraries

pytest_plugins = ["tests.helpers.gui_tests"]

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

SEARCHED = (20_000, 20, 20)  # after how many new objects; Python's 700 take a tenth of the time
UNTIMED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("same", UNTIMED, derandomize=True)  # a change that lands meets no chance
settings.register_profile("seeking", UNTIMED)  # by chance: `--hypothesis-profile seeking`
settings.load_profile("same")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    gc.disable()  # while tests are collected, which all stay
    advice = explain(missing_libraries(window=True))
    if advice and config.pluginmanager.hasplugin("pytest-qt"):
        pytest.exit(advice, returncode=1)


def pytest_addoption(parser: pytest.Parser) -> None:
    words = "run the files, and the tests in each, in another order: `reversed`, or by this seed"
    parser.addoption("--shuffle", default="", metavar="SEED", help=words)
    parser.addoption("--long", action="store_true", help="also what is marked `long`")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if not config.getoption("long"):
        long = [item for item in items if item.get_closest_marker("long")]
        config.hook.pytest_deselected(items=long)
        items[:] = [item for item in items if item not in long]
    order = config.getoption("shuffle")
    if order:
        files = [list(tests) for _, tests in groupby(items, lambda item: item.path)]
        for sequence in (files, *files):
            sequence.reverse() if order == "reversed" else Random(order).shuffle(sequence)
        items[:] = [item for file in files for item in file]


def pytest_collection_finish() -> None:
    gc.enable()
    gc.freeze()  # thousands of tests and their modules stay to the end: no use to search them
    gc.set_threshold(*SEARCHED)


@pytest.fixture(scope="session", autouse=True)
def bytecode_of_processes(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Give processes that tests start a folder for bytecode, if they may leave none beside us.

    Else each of a hundred would compile all of the program.
    """
    with pytest.MonkeyPatch.context() as patch:
        if os.environ.get("PYTHONDONTWRITEBYTECODE"):
            folder = tmp_path_factory.getbasetemp()
            of_all_workers = folder.parent if "PYTEST_XDIST_WORKER" in os.environ else folder
            patch.delenv("PYTHONDONTWRITEBYTECODE")
            patch.setenv("PYTHONPYCACHEPREFIX", str(of_all_workers / "bytecode"))
        yield


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config: pytest.Config) -> int | None:
    """Start no second process for one file: that takes longer than most files; else one a core."""
    files = {argument.partition("::")[0] for argument in config.args}
    return 0 if len(files) == 1 and files.pop().endswith(".py") else None
