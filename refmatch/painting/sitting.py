"""A sitting: one painting as it stands on the painter's page at this moment."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box
from refmatch.painting.asked import AskedHole
from refmatch.painting.model import Painting, TubeOnTable
from refmatch.photo.mask import Sample
from refmatch.photo.photo import Photo
from refmatch.recipe.model import Answer


@dataclass(frozen=True, eq=False)
class Sitting:
    """A painting with what is at hand while it is worked on.

    ``key`` is the name by which the page knows it, never a path. ``photo`` is cut to the
    frame; ``whole_px`` is the width and height of the uncut one. ``look`` changes when
    the picture of the photo does. ``holes`` (those within the frame) run beside the painting's
    targets. ``box`` is what its recipes are mixed from.
    ``undo`` and ``redo`` say in words what these would do, None where there is nothing.
    """

    key: str
    painting: Painting
    photo: Photo
    whole_px: tuple[int, int]
    look: str
    holes: tuple[AskedHole, ...]
    box: Box
    saved_at: str
    undo: str | None = None
    redo: str | None = None


@dataclass(frozen=True, eq=False)
class Reading:
    """The colour at a place that is only looked at; ``answer`` where recipes were asked for."""

    sample: Sample
    answer: Answer | None
    box: Box
    table: tuple[TubeOnTable, ...]


@dataclass(frozen=True, eq=False)
class Card:
    """A painting on the shelf; ``colours`` are the Labs of its first targets."""

    key: str
    title: str
    date: str
    saved_at: str
    holes: int
    colours: tuple[Array, ...]
