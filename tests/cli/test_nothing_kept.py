"""The same answer on every machine: nothing is kept in the home folder, nor needed from it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import SAMPLES

HOLES = ("--hole", "25%,60%", "--hole", "60%,50%")
COMMANDS = {
    "mix": ("mix", "62,14,38", "30,-12,-28", "--json"),
    "sheet": ("sheet", str(SAMPLES / "garden-table.jpg"), *HOLES, "--out", "sheet.json"),
}
"""Commands that solve for a new box; a sheet is written where the command runs."""


def run(command: str, home: Path, work: Path) -> str:
    """Run a command from ``work`` with this home folder; return what it printed or wrote."""
    work.mkdir()
    names = {name: str(home) for name in ("HOME", "LOCALAPPDATA", "XDG_CACHE_HOME", "TMPDIR")}
    ran = subprocess.run(
        [sys.executable, "-c", "from refmatch.cli.main import main; main()", *COMMANDS[command]],
        env={**os.environ, **names},
        cwd=work,
        capture_output=True,
        text=True,
        check=True,
    )
    sheet = work / "sheet.json"
    return sheet.read_text("utf-8") if sheet.exists() else ran.stdout


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_an_answer_leaves_nothing_and_comes_again(command: str, tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    first = run(command, home, tmp_path / "first")
    assert list(home.rglob("*")) == []
    nowhere = tmp_path / "file"
    nowhere.touch()  # no folder can be made in it, whoever runs the test
    assert run(command, nowhere / "home", tmp_path / "nowhere") == first
