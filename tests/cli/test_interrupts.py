"""Ctrl-C, SIGTERM and a closed standard output, from a command's first line to its last."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests import kills

SEED = 17
AT_EACH = 2
"""Moments for each signal; `tests.benchmarks.kills` strikes far more often."""
STRUCK = ("mix", "box", "sheet", "studio")

PROGRAM = (sys.executable, "-c", "from refmatch.cli.start import main; main()")


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return kills.lay_out(tmp_path_factory.mktemp("begun"))


@pytest.mark.skipif(os.name != "posix", reason="signals are sent as POSIX has them")
@pytest.mark.parametrize("name", STRUCK)
def test_a_command_that_is_stopped_says_nothing_and_leaves_no_half(
    begun: Path, tmp_path: Path, name: str
) -> None:
    job, chance = kills.JOBS[name], random.Random(f"{SEED} {name}")
    lasts_s = kills.lasts_s(job, begun, tmp_path / "whole")
    for number in range(AT_EACH):
        for how in (signal.SIGINT, signal.SIGTERM):
            after_s = chance.uniform(0.0, lasts_s)
            folder = tmp_path / f"{how.name} {number}"
            assert not kills.struck(job, begun, folder, after_s=after_s, how=how), after_s


COMMANDS = {
    "version": ("--version",),
    "help": ("--help",),
    "list": ("box", "list"),
    "mix": ("mix", "62,14,38"),
    "json": ("predict", "PB29=1", "--json"),
    "box": ("box", "new", "--tube", "PW6", "--out", "box.toml"),
    "usage": ("mix",),
}


@pytest.mark.parametrize("name", COMMANDS)
def test_nobody_reads_what_is_said(tmp_path: Path, name: str) -> None:
    """As before ``| head -0``: the reader is gone before the first word."""
    reading, writing = os.pipe()
    os.close(reading)
    ran = _run(tmp_path, name, stdout=writing)
    os.close(writing)
    assert "Traceback" not in ran.stderr
    assert "Exception" not in ran.stderr


@pytest.mark.skipif(os.name != "posix", reason="streams are closed as a POSIX shell does")
@pytest.mark.parametrize("name", COMMANDS)
def test_standard_streams_that_are_closed(tmp_path: Path, name: str) -> None:
    """As by ``>&-``: no file may take the place of standard output."""
    words = " ".join(COMMANDS[name])
    shell = f"exec {sys.executable} -c '{PROGRAM[2]}' {words} <&- >&-"
    ran = subprocess.run(
        ["/bin/sh", "-c", shell],
        cwd=tmp_path,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
        env=_environment(),
    )
    assert ran.returncode == (2 if name == "usage" else 0), ran.stderr
    assert "Traceback" not in ran.stderr
    assert "Exception" not in ran.stderr
    if name == "box":
        assert (tmp_path / "box.toml").read_text("utf-8").startswith("format")


def _run(folder: Path, name: str, **streams: int) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*PROGRAM, *COMMANDS[name]],
        cwd=folder,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
        env=_environment(),
        **streams,
    )


def _environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(kills.ROOT)}
