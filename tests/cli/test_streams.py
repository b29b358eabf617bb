"""What happens to words on their way out, at a real shell's standard output."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

PROGRAM = (sys.executable, "-c", "from refmatch.cli.main import main; main()")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
@pytest.mark.parametrize("words", [("predict", "PB29=1"), ("predict", "PB29=1", "--json")])
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_full_disk_under_standard_output(words: tuple[str, ...], unbuffered: str) -> None:
    with Path("/dev/full").open("w") as full:
        ran = subprocess.run(
            [*PROGRAM, *words],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
        )
    assert ran.returncode == 1
    assert "Traceback" not in ran.stderr
    assert "Exception" not in ran.stderr
    said = [line for line in ran.stderr.splitlines() if not line.startswith("!")]
    assert len(said) == 1
    assert "disk is full" in said[0]


def test_a_reader_that_went_away_is_no_mistake() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    ran = subprocess.run(
        [*PROGRAM, "box", "list"], stdout=writing, stderr=subprocess.PIPE, text=True, check=False
    )
    os.close(writing)
    assert ran.returncode == 1
    assert ran.stderr == ""


def test_a_screen_without_the_letters_shows_the_rest() -> None:
    env = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    ran = subprocess.run(
        [*PROGRAM, "predict", "PB29=1"], capture_output=True, text=True, check=False, env=env
    )
    assert ran.returncode == 0
    assert "L* " in ran.stdout
    assert "?, blue" in ran.stdout  # value ½ has no ASCII letter


def test_a_screen_without_greek_shows_a_difference_all_the_same() -> None:
    env = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    ran = subprocess.run(
        [*PROGRAM, "mix", "62,14,38"], capture_output=True, text=True, check=False, env=env
    )
    assert ran.returncode == 0
    assert "expect dE00 " in ran.stdout
