"""A command line that answers at once loads only what it needs."""

from __future__ import annotations

import subprocess
import sys

import pytest

SLOW = ("numpy", "cv2", "scipy", "skimage", "colour", "reportlab", "imagecodecs", "PIL", "rich")


def loaded(*words: str) -> set[str]:
    program = (
        "import sys; from refmatch.cli.main import main\n"
        f"sys.argv = ['refmatch', *{list(words)!r}]\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print('loaded:', *sorted({name.partition('.')[0] for name in sys.modules}))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return set(ran.stdout.rpartition("loaded:")[2].split())


@pytest.mark.parametrize("words", [("--help",), ("mix", "--help"), ("--version",)])
def test_help_needs_nothing_slow(words: tuple[str, ...]) -> None:
    assert loaded(*words).isdisjoint(SLOW)


@pytest.mark.parametrize("words", [("mix", "50,10,10"), ("predict", "PB29=1"), ("nudge", "PB29=1")])
def test_mixing_needs_only_numpy(words: tuple[str, ...]) -> None:
    assert loaded(*words) & set(SLOW) <= {"numpy"}
