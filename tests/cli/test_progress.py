"""The progress bar: on standard error, where somebody looks, and gone when the work is done."""

from __future__ import annotations

import io
import sys
import threading

import pytest

from refmatch.cli.progress import WIDTH, bar, busy


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_where_nobody_looks_nothing_is_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    pipe = io.StringIO()
    monkeypatch.setattr(sys, "stderr", pipe)
    with bar() as progress:
        progress(1, 2, "mixing pear")
    assert pipe.getvalue() == ""


def test_a_terminal_sees_how_far_the_work_has_come(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with bar() as progress:
        for done in range(3):
            progress(done, 2, "mixing pear")
    drawn = terminal.getvalue()
    assert drawn.count("mixing pear") == 3
    assert f"[{'.' * WIDTH}]" in drawn
    assert f"[{'#' * WIDTH}]" in drawn


def test_the_bar_is_wiped_even_where_the_work_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    """ECMA-48: CSI 2 K erases the whole line."""
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)

    def fail() -> None:
        with bar() as progress:
            progress(1, 2, "mixing pear")
            raise ValueError("no paint")

    with pytest.raises(ValueError, match="no paint"):
        fail()
    assert terminal.getvalue().endswith("\r\x1b[2K")


def test_long_work_says_what_it_does_and_short_work_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr("refmatch.cli.progress.SOON_S", 0.0)
    with busy("reading the photo"):
        threading.Event().wait(0.2)
    assert "reading the photo ..." in terminal.getvalue()
    assert terminal.getvalue().endswith("\r\x1b[2K")
    monkeypatch.setattr("refmatch.cli.progress.SOON_S", 60.0)
    with busy("mixing"):
        pass
    assert "mixing" not in terminal.getvalue()
