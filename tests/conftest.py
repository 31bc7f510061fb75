"""Tests draw offscreen unless told otherwise; a machine that lacks what Qt needs is told so at once.

No Qt import here: the kernel's tests also run where there is none.
"""

import os
import sys

import pytest

from app.system_check import explain, missing_libraries

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

if "pytestqt" in sys.modules and (advice := explain(missing_libraries(window=True))):
    pytest.exit(advice, returncode=1)
