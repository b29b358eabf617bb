"""How a painting knows a file of its folder."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SavedFile:
    """A file of the folder, by its name from the folder, and the SHA-256 of its bytes (hex)."""

    file: str
    sha256: str
