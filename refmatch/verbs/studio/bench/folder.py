"""A box in the making on the disk: what belongs to it, each file written whole or not at all."""

from __future__ import annotations

import contextlib
from pathlib import Path

from refmatch.card.form import card_to_json, read_card_file
from refmatch.card.layout import Card
from refmatch.disk import write_whole
from refmatch.errors import BoxError, OutputError
from refmatch.paint.box import Box
from refmatch.paint.box_file import read_box, write_box
from refmatch.verbs.studio.bench.making import digest_of_text
from refmatch.verbs.studio.bench.notes import Notes, from_bytes, to_bytes
from refmatch.verbs.studio.shelf import MADE

START, CARD, NOTES, PHOTOS = "start.toml", "card.json", "bench.json", "photos"


class Folder:
    """The files of one box in the making."""

    def __init__(self, path: Path) -> None:
        self.path = Path(path)

    @property
    def made_path(self) -> Path:
        """Where the box lies once it is made."""
        return self.path / MADE

    def begin(self, box: Box, card: Card) -> None:
        """Lay out a new folder; the card comes last, since by it a folder is known.

        Raises:
            OutputError: it cannot be written.
        """
        make_folder(self.path / PHOTOS)
        write_box(self.path / START, box)
        self.write_card(card)

    def box(self) -> Box:
        """Return the box that the card was made for.

        Raises:
            BoxError: it cannot be read.
        """
        return read_box(self.path / START)

    def card(self) -> Card:
        """Return the card.

        Raises:
            CardError: it cannot be read.
        """
        return read_card_file(self.path / CARD)

    def write_card(self, card: Card) -> None:
        """Keep a card's layout."""
        write_whole(self.path / CARD, card_to_json(card).encode("utf-8"))

    def notes(self) -> Notes:
        """Return what was noted last, by whatever window.

        Raises:
            BoxError: it is damaged.
        """
        try:
            return from_bytes((self.path / NOTES).read_bytes())
        except FileNotFoundError:
            return Notes()
        except OSError as error:
            raise BoxError("bench_unreadable") from error

    def write_notes(self, notes: Notes) -> None:
        """Keep notes, and throw away photos that they no longer name."""
        write_whole(self.path / NOTES, to_bytes(notes))
        named = {photo.file for photo in notes.photos}
        for path in (self.path / PHOTOS).iterdir():
            if path.name not in named:
                with contextlib.suppress(OSError):
                    path.unlink()

    def photo(self, file: str) -> Path:
        """Return where a photo is kept."""
        return self.path / PHOTOS / file

    def made(self, digest: str) -> Box | None:
        """Return the box that was made, or None where it is not the one of that digest."""
        try:
            text = self.made_path.read_text("utf-8")
            return read_box(self.made_path) if digest_of_text(text) == digest else None
        except (OSError, BoxError):
            return None


def make_folder(path: Path) -> None:
    """Make a folder and those above it.

    Raises:
        OutputError: it cannot be made.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError("shelf_not_made", folder=str(path)) from error
