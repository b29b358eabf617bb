"""What paintings and boxes are called: a key for the page, a title, a file's name."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from pathlib import Path


def key_of(path: Path) -> str:
    """Return a short digest of a path: the page learns nothing of the disk from it."""
    return hashlib.blake2b(str(path.resolve()).encode(), digest_size=8).hexdigest()


def title_of(name: str) -> str:
    """Return what a painting is called at first, by its photo's name."""
    words = Path(name).stem.replace("-", " ").replace("_", " ").strip()[:80] or "painting"
    return words[0].upper() + words[1:]


def plain(title: str) -> str:
    """Return a file name that every system takes."""
    latin = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", latin.lower()).strip("-")[:60] or "painting"
