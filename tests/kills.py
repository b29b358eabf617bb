"""A command that is stopped at some moment, and what it leaves behind.

Python's own start, some 20 ms, is not ours to answer for: a moment is counted from the first line
of refmatch on.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PIL import Image
from pypdf import PdfReader

from refmatch.paint.box_file import read_box
from refmatch.painting.history import read_history
from refmatch.painting.store import open_folder
from refmatch.web.shelf import Shelf

RUN = """
import os, signal
signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background job ignores it
from refmatch.cli.start import main
os.write(2, b"begun\\n")
main()
"""
PHOTO = "pears.jpg"
ROOT = Path(__file__).parents[1]
SAMPLE = ROOT / "sample_images" / "garden-table.jpg"
HANGS_S = 60.0

HALF = re.compile(r"\..+\.[0-9a-f]{8}")
"""How a file that is being written is called."""

TOLD = {signal.SIGINT: 130, signal.SIGTERM: 143}
"""The exit code as a shell tells it: 128 and the signal's number (POSIX, Shell 2.8.2)."""


@dataclass(frozen=True)
class Job:
    """A command's words, run in a folder that holds a painting and a small photo; its check."""

    words: tuple[str, ...]
    check: Callable[[Path], object] = lambda folder: None


def _box(folder: Path) -> None:
    if (folder / "box.toml").exists():
        read_box(folder / "box.toml")


def _sheet(folder: Path) -> None:
    if (folder / "sheet.pdf").exists():
        assert len(PdfReader(folder / "sheet.pdf").pages) >= 1
    _painting(folder)


def _painting(folder: Path) -> None:
    painting = open_folder(folder / "painting").painting
    read_history(folder / "painting", painting.step)


def _begun(folder: Path) -> None:
    if (folder / "new" / "painting.json").exists():
        open_folder(folder / "new")


JOBS = {
    "list": Job(("box", "list")),
    "mix": Job(("mix", "62,14,38", "--json")),
    "box": Job(("box", "new", "--tube", "PW6", "--tube", "PB29", "--out", "box.toml"), _box),
    "sheet": Job(
        ("sheet", "painting", "--title", "New", "--out", "sheet.pdf", "--painting", "painting"),
        _sheet,
    ),
    "begin": Job(
        ("sheet", PHOTO, "--hole", "80,60,20=pear", "--out", "pear.txt", "--painting", "new"),
        _begun,
    ),
    "studio": Job(("studio", "--no-browser", "--paintings", "shelf"), _painting),
}


def lay_out(folder: Path) -> Path:
    """Make a folder with a small photo and a painting of it, and return it."""
    folder.mkdir(parents=True, exist_ok=True)
    with Image.open(SAMPLE) as whole:
        whole.resize((160, 120)).save(folder / PHOTO)
    shelf = Shelf(folder / "shelf")
    key = shelf.new_from_photo(folder / PHOTO)
    desk = shelf.open(key)
    desk.change(desk.sitting().painting.revision, "punch", {"x_px": 80.0, "y_px": 60.0})
    shelf.folder_of(key).rename(folder / "painting")
    return folder


def lasts_s(job: Job, begun: Path, folder: Path) -> float:
    """Return how long a command takes from its first line on where nobody stops it."""
    shutil.copytree(begun, folder)
    with _started(job, folder) as process:
        began = time.monotonic()
        if "studio" in job.words:
            assert process.stdout is not None
            process.stdout.readline()
            process.kill()
        process.communicate(timeout=HANGS_S)
    return time.monotonic() - began


def _started(job: Job, folder: Path) -> subprocess.Popen[bytes]:
    process = subprocess.Popen(
        [sys.executable, "-c", RUN, *job.words],
        cwd=folder,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert process.stderr is not None
    assert process.stderr.readline() == b"begun\n"
    return process


def struck(job: Job, begun: Path, folder: Path, *, after_s: float, how: signal.Signals) -> str:
    """Stop a command so many seconds after its first line; return what is wrong with it, or "".

    ``begun`` is the folder to begin with, which is copied to ``folder``.
    """
    shutil.copytree(begun, folder)
    process = _started(job, folder)
    time.sleep(after_s)
    process.send_signal(how)
    try:
        _, errors = process.communicate(timeout=HANGS_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()
        return "it hangs"
    code = process.returncode if process.returncode >= 0 else 128 - process.returncode
    if how != signal.SIGKILL:
        said = [line for line in errors.decode().splitlines() if not line.startswith("!")]
        if said:
            return f"it says {said[-1]!r}"
        if code not in (0, TOLD[how]):
            return f"exit code {code}"
        halves = [path.name for path in folder.rglob("*") if HALF.fullmatch(path.name)]
        if halves:
            return f"half a file is left: {halves}"
    try:
        job.check(folder)
    except Exception as error:
        return f"what it left cannot be read: {error!r}"
    return ""
