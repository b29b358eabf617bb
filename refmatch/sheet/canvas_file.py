"""The canvas beside its reference as a file of its own."""

from __future__ import annotations

from pathlib import Path

from refmatch.disk import check_folder_of, write_whole
from refmatch.errors import UsageError
from refmatch.painting.model import Painting
from refmatch.painting.outputs import check_replaceable
from refmatch.painting.store import read_pictures
from refmatch.sheet.canvas_content import shown


def check_page(out: Path, *, replace: bool) -> None:
    """Refuse, before the photo is looked at, what cannot be written.

    Raises:
        UsageError: not a .pdf. OutputError: another file is there, or no folder.
    """
    if out.suffix.lower() != ".pdf":
        raise UsageError("canvas_page_is_pdf", name=out.with_suffix(".pdf").name)
    check_replaceable(out, replace=replace)
    check_folder_of(out)


def write_page(painting: Painting, folder: Path, out: Path) -> None:
    """Write the page of the last sitting.

    Raises:
        PaintingError: its pictures are gone. OutputError: it cannot be written.
    """
    from refmatch.sheet.canvas_page import write  # ReportLab is slow to import

    canvas = shown(painting, read_pictures(folder, painting))
    if canvas is not None:
        write_whole(out, write(canvas, painting.title))
