"""The studio as a painter starts it: a process of its own, with a link, that may be killed."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

LINK = re.compile(r"http://127\.0\.0\.1:(\d+)/enter\?\S+")
PATIENCE_S = 5
REFMATCH = (sys.executable, "-c", "from refmatch.cli.start import main; main()")


class Server:
    """One server after another on the same paintings and the same port."""

    def __init__(self, paintings: Path) -> None:
        self.paintings = paintings
        self.port = 0
        self.link = ""
        self.cookies: list[Any] = []
        self._process: subprocess.Popen[str] | None = None

    @property
    def is_running(self) -> bool:
        return self._process is not None

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://127.0.0.1:{self.port}/"

    def start(self, *opening: str) -> None:
        """Start it and wait for its link, which lets one browser in, once.

        ``opening`` is a photo or a painting's folder to begin with. The cookies that a server
        before it gave are good no more.
        """
        self.cookies = []
        words = [*REFMATCH, "studio", *opening, "--no-browser"]
        words += ["--port", str(self.port), "--paintings", str(self.paintings)]
        env = {**os.environ, "PYTHONUNBUFFERED": "1"}
        self._process = subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=env)
        assert self._process.stdout
        for line in self._process.stdout:
            if found := LINK.search(line):
                self.link, self.port = found[0], int(found[1])
                return
        self.stop()
        raise AssertionError("the studio ended before it said where it is")

    def processor_s(self) -> float:
        """Return the processor time that it has used, in seconds: the same on a busy machine."""
        assert self._process
        stat = Path(f"/proc/{self._process.pid}/stat").read_text("utf-8")
        used = stat.rpartition(")")[2].split()[11:13]
        return sum(map(int, used)) / os.sysconf("SC_CLK_TCK")

    def use_link(self) -> str:
        """Return the link and forget it: it is good once."""
        link, self.link = self.link, ""
        return link

    def kill(self) -> None:
        """End it as a power cut would (SIGKILL)."""
        assert self._process
        self._process.kill()
        self._wait()

    def stop(self) -> None:
        """End it as Ctrl-C does, in time."""
        if self._process:
            self._process.terminate()
            self._wait()

    def _wait(self) -> None:
        assert self._process
        assert self._process.stdout
        try:
            self._process.wait(PATIENCE_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
            raise
        finally:
            self._process.stdout.close()
            self._process = None


@contextmanager
def studio(folders: pytest.TempPathFactory) -> Iterator[Server]:
    """Start a studio with nothing on its shelf, and end it."""
    server = Server(folders.mktemp("shelf") / "paintings")
    server.start()
    try:
        yield server
    finally:
        server.stop()
