from __future__ import annotations

import pytest

from tests.cli.running import Shell


@pytest.fixture
def refmatch(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(monkeypatch, capsys)
