"""The command line: one screen for each command, no arithmetic."""

from refmatch.cli.main import main

__all__ = ["main"]
