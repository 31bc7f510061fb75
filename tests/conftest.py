"""Tests draw offscreen unless told otherwise; a machine without what Qt needs is told so at once.

No Qt import here: the kernel's tests also run where there is none.
"""

import os

import pytest

from app.qt.system_check import explain, missing_libraries

pytest_plugins = ["tests.helpers.gui_tests"]

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    advice = explain(missing_libraries(window=True))
    if advice and config.pluginmanager.hasplugin("pytest-qt"):
        pytest.exit(advice, returncode=1)
