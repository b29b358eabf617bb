"""What is noted of a box in the making, and its saved form."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

import cattrs
from cattrs.errors import ForbiddenExtraKeysError
from cattrs.gen import make_dict_unstructure_fn

from refmatch.dabs.photographs import Mend
from refmatch.errors import BoxError
from refmatch.flag import Flag, flag_from_form, flag_to_form
from refmatch.photo.hole import Hole

FORMAT, VERSION = "refmatch-bench", 1
UNREADABLE = (cattrs.BaseValidationError, ForbiddenExtraKeysError, KeyError, TypeError, ValueError)


@dataclass(frozen=True)
class PhotoNote:
    """A photo: the file it is kept in, what the painter called it, and the page it shows."""

    file: str
    name: str
    page: int

    @property
    def key(self) -> str:
        """A digest of the photo's content."""
        return self.file.partition(".")[0]


@dataclass(frozen=True)
class MadeDab:
    """What the box has for the dab of a window: Lab seen and found, and the dE00 between."""

    window: int
    seen: tuple[float, ...]
    found: tuple[float, ...]
    miss: float


@dataclass(frozen=True)
class MadeNote:
    """What came of making the box: of which notes, and as which file, by their digests."""

    made_of: str
    box_digest: str
    dabs: tuple[MadeDab, ...]
    flags: tuple[Flag, ...]


@dataclass(frozen=True)
class Notes:
    """All that is noted. ``mends`` are by the number of the window, from 0."""

    photos: tuple[PhotoNote, ...] = ()
    mends: Mapping[int, Mend] = field(default_factory=dict)
    light: str | None = None
    made: MadeNote | None = None

    def with_mend(self, window: int, mend: Mend) -> Notes:
        """Note a mend; one that says nothing is struck out."""
        kept = {number: each for number, each in self.mends.items() if number != window}
        return replace(self, mends=kept if mend == Mend() else kept | {window: mend})

    def made_of(self, card: str) -> str:
        """Return a digest of all that a box made now would rest on; ``card`` is its layout."""
        mends = sorted((number, asdict(mend)) for number, mend in self.mends.items())
        photos = sorted(photo.key for photo in self.photos)
        told = json.dumps([card, photos, mends, self.light])
        return hashlib.sha256(told.encode("utf-8")).hexdigest()


def to_bytes(notes: Notes) -> bytes:
    """Return notes as JSON text."""
    content = {"format": FORMAT, "version": VERSION, **_converter().unstructure(notes)}
    text = json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1)
    return (text + "\n").encode("utf-8")


def from_bytes(data: bytes) -> Notes:
    """Read notes.

    Raises:
        BoxError: they are damaged, or from a newer refmatch.
    """
    try:
        raw: dict[str, Any] = json.loads(data)
        if raw.pop("format") != FORMAT or raw.pop("version") != VERSION:
            raise ValueError("another form")
        notes: Notes = _converter().structure(raw, Notes)
    except UNREADABLE as error:
        raise BoxError("bench_damaged") from error
    return notes


def _converter() -> cattrs.Converter:
    converter = cattrs.Converter(forbid_extra_keys=True, detailed_validation=False)
    converter.register_unstructure_hook(Flag, flag_to_form)
    nameless = make_dict_unstructure_fn(Hole, converter, _cattrs_omit_if_default=True)
    converter.register_unstructure_hook(Hole, nameless)
    converter.register_structure_hook(Flag, lambda form, _: flag_from_form(form))
    return converter
