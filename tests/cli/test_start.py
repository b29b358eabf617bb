"""A command line that answers at once loads only what it needs."""

from __future__ import annotations

import subprocess
import sys

SLOW = ("numpy", "cv2", "scipy", "skimage", "colour", "reportlab", "imagecodecs", "PIL", "rich")


def loaded(*commands: tuple[str, ...]) -> set[str]:
    """Return what a process has loaded that ran these commands, one after the other."""
    program = (
        "import sys; from refmatch.cli.main import main\n"
        f"for words in {commands!r}:\n"
        "    sys.argv = ['refmatch', *words]\n"
        "    try: main()\n"
        "    except SystemExit as stop: assert not stop.code, words\n"
        "print('loaded:', *sorted({name.partition('.')[0] for name in sys.modules}))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return set(ran.stdout.rpartition("loaded:")[2].split())


def test_help_needs_nothing_slow() -> None:
    assert loaded(("--help",), ("mix", "--help"), ("--version",)).isdisjoint(SLOW)


def test_mixing_needs_only_numpy() -> None:
    commands = ("mix", "50,10,10"), ("predict", "PB29=1"), ("nudge", "PB29=1")
    assert loaded(*commands) & set(SLOW) == {"numpy"}
