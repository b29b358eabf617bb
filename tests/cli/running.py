"""Run a command as a painter would, and read what it says."""

from __future__ import annotations

import io
import json
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any, NamedTuple
from unittest.mock import patch

from refmatch.cli.main import app, main
from refmatch.painting.model import Painting
from refmatch.painting.store import read_painting

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "sample_images"


class Ran(NamedTuple):
    code: int
    out: str
    err: str

    def json(self) -> dict[str, Any]:
        found: dict[str, Any] = json.loads(self.out)
        return found


class Shell:
    """A prompt: call it with the words after ``refmatch``."""

    def __call__(self, *words: object) -> Ran:
        out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8", newline="") for _ in range(2))
        code = 0
        typed = patch.object(sys, "argv", ["refmatch", *map(str, words)])
        with typed, redirect_stdout(out), redirect_stderr(err):
            try:
                main()
            except SystemExit as stop:
                code = stop.code if isinstance(stop.code, int) else int(bool(stop.code))
        return Ran(code, _written(out), _written(err))


def _written(stream: io.TextIOWrapper) -> str:
    stream.seek(0)
    return stream.read()


def planned(folder: Path, *words: object) -> Painting:
    """Plan a painting at the prompt, keep it in a folder, and return it."""
    out = folder.with_name(f"{folder.name}.txt")
    given = ["sheet", *words, "--out", out, "--painting", folder]
    app([str(word) for word in given], standalone_mode=False)
    return read_painting(folder)
