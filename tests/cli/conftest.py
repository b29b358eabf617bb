from __future__ import annotations

import pytest

from tests.cli.running import Shell


@pytest.fixture
def refmatch() -> Shell:
    return Shell()
