"""The forms a sheet can take. A new one is a function in a file and a line here."""

from __future__ import annotations

from collections.abc import Callable

from refmatch.sheet.content import Content


def _pdf(content: Content, paper: str) -> bytes:
    from refmatch.sheet import pdf  # ReportLab is slow to import

    return pdf.write(content, paper)


def _text(content: Content, _: str) -> bytes:
    from refmatch.sheet import text

    return text.write(content).encode("utf-8")


FORMATS: dict[str, Callable[[Content, str], bytes]] = {
    "pdf": _pdf,
    "txt": _text,
}
"""By the file's ending: what writes a content, for a paper where the form has pages."""
