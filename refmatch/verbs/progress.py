"""How far long work has come: a verb tells, the shell shows."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[int, int, str], None]
"""Called with what is done, of how much, and what is being done."""


def silent(done: int, of: int, doing: str) -> None:
    """Show nothing."""
