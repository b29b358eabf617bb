"""The progress bar: on standard error, where somebody looks, and gone when the work is done."""

from __future__ import annotations

import io
import sys

import pytest

from refmatch.cli.asking import WIDTH, bar


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
