"""All that the page shows of checking: the photo on the table, the dab card, each puddle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.painting.record import PileNow
from refmatch.painting.rounds import Look, Round


@dataclass(frozen=True, eq=False)
class PhotoLaid:
    """A photo of dabs that is looked at now; ``key`` is the beginning of its SHA-256.

    ``flags`` are what was said of it when a dab in it was last judged, ``learnt`` the sentences of
    what the painting's box has learnt from it then. ``outlines`` (4, 2) are the windows of the dab
    card in it, in pixels, by the target's label.
    """

    key: str
    name: str
    width_px: int
    height_px: int
    flags: tuple[Flag, ...] = ()
    learnt: tuple[str, ...] = ()
    outlines: Mapping[str, Array] = field(default_factory=dict)


@dataclass(frozen=True)
class CardLaid:
    """The dab card as it was last laid out; ``flags`` tell what of it no longer holds.

    ``holds`` is False where none of its targets is one any more.
    """

    paper: str
    grey_lstar: float
    pages: int
    holds: bool
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class PuddleSeen:
    """The puddle of a target: its rounds, oldest first, and what is in it now.

    ``hole`` is the key by which the page knows the target. ``has_other_target`` is whether the
    target has another colour now than when its dab was last looked at. ``now`` is None where it has
    no recipe. ``at_hand`` is all that can be worked into it, by name, each with its kind as
    `swatch.pile.Ingredient` has it; ``flags`` are those of its dab in the photo judged last.
    ``now_lab`` (3,) is what the puddle is now believed to be, and how far off its target that is;
    None where no photo tells.
    """

    hole: str
    label: str
    rounds: tuple[Round, ...]
    has_other_target: bool
    now: PileNow | None
    at_hand: Mapping[str, str]
    flags: tuple[Flag, ...] = ()
    now_lab: Array | None = None
    now_delta_e_00: float | None = None


@dataclass(frozen=True, eq=False)
class CheckTable:
    """A painting's checks as they stand.

    ``looks`` are the photos of the record by SHA-256. ``has_same_light`` is whether the box knows
    a camera, so that a photo may be in the same light as its own. ``paints`` are the names of the
    box's "white" and "black", where it has them: as squeezed they can lie beside a dab.
    ``judged`` are the holes whose dabs were judged just now.
    """

    key: str
    revision: int
    photo: PhotoLaid | None
    card: CardLaid | None
    puddles: tuple[PuddleSeen, ...]
    looks: Mapping[str, Look]
    has_same_light: bool
    paints: Mapping[str, str]
    parts_by: str
    judged: tuple[str, ...] = ()
