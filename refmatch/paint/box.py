"""A box: the tubes one painter owns, and how each of them absorbs and scatters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.errors import BoxError, UnknownTube
from refmatch.flag import Flag
from refmatch.paint.kubelka_munk import GLOSS, Surface
from refmatch.paint.library import (
    ConvenienceMixture,
    Pigment,
    find_paint,
    find_pigment,
    key_of,
    keys_named,
    mixtures,
    names_of,
    pigments,
    short_name,
)
from refmatch.paint.makers import doubt_in_colours, spread_of
from refmatch.paint.names import words_of

# The camera that a box's dabs were photographed by: what their photo told of it, kept.
#
# Camera and paints are found together, so whoever has the paints has the camera too. A later photo
# by the same phone in the same light then needs only to show how it was exposed.

DIGITS = 5
"""To so many digits it is written: far finer than anything is known of it."""


@dataclass(frozen=True, eq=False)
class CameraBelief:
    """``weights`` (31, 3), reflectance to linear sRGB with white at 1, and ``ways`` (m, 31, 3).

    A camera is weights + sum z_j ways_j, z_j independent about 0 with standard deviation 1. A box
    holds that of the camera, under the light of then, that its dabs were photographed by.
    """

    weights: Array
    ways: Array


def camera_row(camera: CameraBelief) -> dict[str, Any]:
    """Return a camera as a table of a box file."""
    return {
        "weights": np.round(camera.weights, DIGITS).tolist(),
        "ways": np.round(camera.ways, DIGITS).reshape(-1, 3 * BANDS).tolist(),
    }


def camera_of(row: object, where: str) -> CameraBelief | None:
    """Return the camera of a box file's table, None where it holds none.

    Raises:
        BoxError: its numbers are not such.
    """
    if row is None:
        return None
    try:
        assert isinstance(row, dict)
        weights = np.array(row["weights"], dtype=float).reshape(BANDS, 3)
        ways = np.array(row["ways"], dtype=float).reshape(-1, BANDS, 3)
        if not (np.all(np.isfinite(weights)) and np.all(np.isfinite(ways))):
            raise ValueError("not finite")
    except (AssertionError, KeyError, OverflowError, TypeError, ValueError) as error:
        raise BoxError("box_camera_damaged", where=where) from error
    return CameraBelief(weights, ways)


GRADE_STRENGTH = {"artist": 1.0, "student": 0.6}
"""Share of pigment by grade; student paints are extended (from memory)."""

GRADE_DOUBT = {"artist": 0.0, "student": 0.3}
"""Standard error of ln strength that a grade brings besides: a student's line has a third to nearly
all of the pigment that an artist's has (from memory)."""

NEIGHBOUR, NOTHING_KNOWN = "neighbour", "unknown"
"""The source of a tube that is only taken to be as another pigment; and where none is named."""

WHITES = frozenset({"titanium-white", "zinc-white", "lead-white"})
BLACKS = frozenset({"ivory-black", "mars-black", "carbon-black", "lamp-black"})


GENERIC_SOURCES = ("built-in", "mixture", NEIGHBOUR)


def _no_modes() -> Array:
    return np.empty((0, 2 * BANDS))


@dataclass(frozen=True, eq=False)
class Tube:
    """One tube of paint: a name of the painter's own, its pigments, and its K and S.

    ``absorption`` and ``scattering``, shape (31,), are per part as squeezed, with
    grade and strength already in them. ``doubt`` is the relative standard error
    of the tube's strength, ``doubt_in_colours`` that of a black's in a mix all of colour, where it
    is known in white. Of a tube that was measured, ``modes`` (m, 62) are the
    independent ways in which ln K (31) and ln S (31) may still be off, each by one standard
    error; ``residual_delta_e_00`` is how far its own
    swatches are missed (root mean square), ``swatches`` how many there were, and
    ``flags`` what to beware of. ``pigments`` are as the label writes them, and may be none, or such
    as nobody here knows; ``keys`` then hold them as written. A tube that was not measured is taken
    to be as its ``neighbour``, a known pigment, but may be far from it.
    """

    name: str
    pigments: tuple[str, ...]
    keys: tuple[str, ...]
    source: str
    absorption: Array
    scattering: Array
    doubt: float
    grade: str = "artist"
    strength: float = 1.0
    portions: tuple[tuple[str, float], ...] = ()
    modes: Array = field(default_factory=_no_modes)
    doubt_in_colours: float = 0.0
    residual_delta_e_00: float | None = None
    swatches: int = 0
    flags: tuple[Flag, ...] = ()
    neighbour: str = ""

    @property
    def is_known(self) -> bool:
        """Whether all its pigments are known: how they dry, last, and may harm."""
        return bool(self.keys) and all(key in pigments() for key in self.keys)

    @property
    def paints(self) -> tuple[str, ...]:
        """The key of the one pigment or ready mixture that it is; none of a mixture of its own."""
        if len(self.keys) == 1:
            return self.keys
        held = dict(self.portions)
        return tuple(key for key, ready in mixtures().items() if held == dict(ready.portions))

    @property
    def is_generic(self) -> bool:
        """Whether nobody has measured this tube."""
        return self.source in GENERIC_SOURCES

    @property
    def curves_from(self) -> tuple[str, ...]:
        """What the curves of a tube that nobody measured come from, of `library.MEDIA`."""
        if not self.is_generic:
            return ()
        named = (*self.keys, *([key_of(self.neighbour)] if self.neighbour else []))
        taken_for = [key for key in named if key in pigments()]
        return tuple(dict.fromkeys(pigments()[key].medium for key in taken_for))

    @property
    def is_white(self) -> bool:
        """Whether all its pigments are whites, or what it is taken for is."""
        if self.source == NEIGHBOUR and key_of(self.neighbour) in WHITES:
            return True
        return bool(self.keys) and all(key in WHITES for key in self.keys)


@dataclass(frozen=True, eq=False)
class Box:
    """The tubes on this painter's table; ``parts`` is "volume" or "mass".

    ``camera`` is the one that their dabs were photographed by, None where none was.
    """

    name: str
    tubes: tuple[Tube, ...]
    parts: str = "volume"
    surface: Surface = GLOSS
    camera: CameraBelief | None = None

    def tube(self, name: str) -> Tube:
        """Return the tube that a painter means: by its name, its pigment, or words of its name.

        "French ultramarine" finds a tube of PB29 under any name, and "white" the only tube with
        that word in its name or its pigment's.

        Raises:
            UnknownTube: no such tube. BoxError: several may be meant.
        """
        exact = name.strip().lower()
        for tube in self.tubes:
            if tube.name.lower() == exact:
                return tube
        wanted = words_of(name)
        ways: tuple[Callable[[Tube], bool], ...] = (
            lambda tube: words_of(tube.name) == wanted,
            lambda tube: key_of(name) in tube.paints,
            lambda tube: not keys_named(name).isdisjoint(tube.paints),
            lambda tube: set(wanted.split()) <= _words(tube),
        )
        for way in ways:
            meant = [tube for tube in self.tubes if way(tube)] if wanted else []
            if len(meant) == 1:
                return meant[0]
            if meant:
                raise BoxError("tube_name_shared", label=name, tubes=tuple(t.name for t in meant))
        spelt = {
            words: tube.name
            for tube in self.tubes
            for paint in tube.paints
            for words in names_of(paint)
        }
        raise UnknownTube(name, [t.name for t in self.tubes], self.name, spelt)

    @property
    def white(self) -> Tube:
        """The white of the box: titanium where there is one, else the first white.

        Raises:
            BoxError: there is no white.
        """
        whites = [tube for tube in self.tubes if tube.is_white]
        if not whites:
            raise BoxError("box_without_white", box=self.name)
        return next((tube for tube in whites if tube.keys == ("titanium-white",)), whites[0])

    @property
    def black(self) -> Tube | None:
        """The first tube that holds nothing but blacks, None where there is none."""
        return next(
            (tube for tube in self.tubes if tube.keys and BLACKS.issuperset(tube.keys)), None
        )

    def without(self, names: Sequence[str]) -> Box:
        """Return the box with some tubes held out."""
        held_out = {self.tube(name).name for name in names}
        return replace(self, tubes=tuple(t for t in self.tubes if t.name not in held_out))


def _words(tube: Tube) -> set[str]:
    """Return the words by which a painter may shorten a tube: of its name and of its one paint."""
    return {word for name in (tube.name, *tube.paints) for word in words_of(name).split()}


def built_in_tube(
    pigment: str, name: str | None = None, grade: str = "artist", strength: float = 1.0
) -> Tube:
    """Return a tube of a built-in pigment or convenience mixture, under any name.

    Raises:
        UnknownTube: no such pigment. BoxError: an ambiguous name, an unknown grade.
    """
    found = find_paint(pigment)
    if isinstance(found, ConvenienceMixture):
        return mixed_tube(name or found.name, found.portions, grade, strength)
    known = found if isinstance(found, Pigment) else find_pigment(pigment)
    return _tube(name or pigment, [(known, 1.0)], "built-in", grade, strength)


def mixed_tube(
    name: str,
    portions: Sequence[tuple[str, float]],
    grade: str = "artist",
    strength: float = 1.0,
) -> Tube:
    """Return a convenience tube: parts of built-in pigments, mixed by the model.

    Raises:
        UnknownTube: no such pigment. BoxError: an ambiguous name, an unknown grade.
    """
    parts = [(find_pigment(pigment), parts) for pigment, parts in portions]
    tube = _tube(name, parts, "mixture", grade, strength)
    return replace(tube, portions=tuple((pigment, float(share)) for pigment, share in portions))


def _tube(
    name: str, parts: Sequence[tuple[Pigment, float]], source: str, grade: str, strength: float
) -> Tube:
    if grade not in GRADE_STRENGTH:
        raise BoxError("unknown_grade", tube=name, grade=grade)
    if not strength > 0.0:
        raise BoxError("strength_not_above_zero", tube=name, strength=strength)
    factor = GRADE_STRENGTH[grade] * strength
    shares = np.array([share for _, share in parts])
    shares = factor * shares / shares.sum()
    return Tube(
        name=name,
        pigments=tuple(short_name(pigment) for pigment, _ in parts),
        keys=tuple(pigment.key for pigment, _ in parts),
        source=source,
        absorption=shares @ np.stack([pigment.absorption for pigment, _ in parts]),
        scattering=shares @ np.stack([pigment.scattering for pigment, _ in parts]),
        doubt=spread_of(pigment for pigment, _ in parts).level,
        doubt_in_colours=doubt_in_colours(pigment for pigment, _ in parts),
        grade=grade,
        strength=strength,
    )


# How strong a measured tube is beside what was assumed of it, and whether that is certain.

NINE_IN_TEN = 1.645
"""Standard errors of a normal distribution within which nine of ten lie."""


@dataclass(frozen=True)
class Strength:
    """Tinting strength over the strength assumed, and its relative standard error."""

    ratio: float
    doubt: float

    @property
    def is_certain(self) -> bool:
        """Whether the tube differs by more than nine of ten errors would make it."""
        return abs(float(np.log(self.ratio))) > NINE_IN_TEN * self.doubt


def strength_beside(tube: Tube, assumed: Tube) -> Strength:
    """Compare all the light that two tubes take away, a part of each in much of the same white.

    In white, K alone tells how strong a tint is, and its sum over the spectrum how much light
    is lost; the tube's own ways of being off say how sure that sum is.
    """
    absorption = tube.absorption.sum()
    weights = tube.absorption / absorption
    errors = tube.modes[:, :BANDS] @ weights
    return Strength(
        ratio=float(absorption / assumed.absorption.sum()),
        doubt=float(np.sqrt((errors**2).sum())),
    )
