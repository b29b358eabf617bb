"""A painting at one moment, as every window is told of it."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.asked import AskedHole
from refmatch.painting.model import Painting
from refmatch.photo.light.balance import AskedLight, Balance
from refmatch.photo.photo import Photo


@dataclass(frozen=True, eq=False)
class Sitting:
    """A painting with what is at hand while it is worked on.

    ``key`` is the name by which the page knows it, never a path. ``shown`` names the photo that is
    looked at, "" the painting's own: ``photo`` is cut to its frame, ``whole_px`` is the width and
    height of the uncut one, ``balance`` its light as ``light`` asks for it, and ``look`` changes
    when its picture does. ``holes`` (those within the frame) run beside the painting's
    targets. ``box`` is what its recipes are mixed from.
    ``undo`` and ``redo`` say in words what these would do, None where there is nothing.
    ``flags`` are the painting's, and what was found when it was opened.
    """

    key: str
    painting: Painting
    photo: Photo
    whole_px: tuple[int, int]
    look: str
    light: AskedLight
    balance: Balance
    holes: tuple[AskedHole, ...]
    box: Box
    saved_at: str
    undo: str | None = None
    redo: str | None = None
    flags: tuple[Flag, ...] = ()
    shown: str = ""
