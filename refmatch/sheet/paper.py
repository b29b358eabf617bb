"""The papers that can be printed on."""

from __future__ import annotations

from refmatch.errors import UsageError

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in millimetres (ISO 216; ANSI/ASME Y14.1)."""


def size_mm(paper: str) -> tuple[float, float]:
    """Return a paper's width and height.

    Raises:
        UsageError: no such paper.
    """
    if paper not in PAPERS:
        raise UsageError("no_such_paper", paper=paper, known=tuple(PAPERS))
    return PAPERS[paper]
