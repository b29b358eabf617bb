"""A box: the tubes one painter owns, and how each of them absorbs and scatters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.errors import BoxError, UnknownTube
from refmatch.flag import Flag
from refmatch.paint.box_camera import BoxCamera
from refmatch.paint.kubelka_munk import GLOSS, Surface
from refmatch.paint.library import Pigment, find_pigment, mixtures, short_name

GRADE_STRENGTH = {"artist": 1.0, "student": 0.6}
"""Share of pigment by grade; student paints are extended (from memory)."""

WHITES = frozenset({"titanium-white", "zinc-white", "lead-white"})
BLACKS = frozenset({"ivory-black", "mars-black", "carbon-black", "lamp-black"})


def _no_modes() -> Array:
    return np.empty((0, 2 * BANDS))


@dataclass(frozen=True, eq=False)
class Tube:
    """One tube of paint: a name of the painter's own, its pigments, and its K and S.

    ``absorption`` and ``scattering``, shape (31,), are per part as squeezed, with
    grade and strength already in them. ``doubt`` is the relative standard error
    of the tube's strength. Of a tube that was measured, ``modes`` (m, 62) are the
    independent ways in which ln K (31) and ln S (31) may still be off, each by one standard
    error; ``doubt_in_colours`` is the relative error of its strength in a mix all of colour,
    where it was measured in white (blacks); ``residual_delta_e_00`` is how far its own
    swatches are missed (root mean square), ``swatches`` how many there were, and
    ``flags`` what to beware of.
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

    @property
    def is_white(self) -> bool:
        """Whether all its pigments are whites."""
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
    camera: BoxCamera | None = None

    def tube(self, name: str) -> Tube:
        """Return the tube of that name, or of that pigment where only one tube holds it alone.

        Raises:
            UnknownTube: no such tube.
        """
        wanted = name.strip().lower()
        for tube in self.tubes:
            if tube.name.lower() == wanted:
                return tube
        by_pigment = [t for t in self.tubes if len(t.keys) == 1 and wanted in _names(t)]
        if len(by_pigment) == 1:
            return by_pigment[0]
        raise UnknownTube(name, [t.name for t in self.tubes], self.name)

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


def _names(tube: Tube) -> set[str]:
    return {tube.keys[0], tube.keys[0].replace("-", " "), tube.pigments[0].lower()}


def built_in_tube(
    pigment: str, name: str | None = None, grade: str = "artist", strength: float = 1.0
) -> Tube:
    """Return a tube of a built-in pigment or convenience mixture, under any name.

    Raises:
        UnknownTube: no such pigment. BoxError: an ambiguous name, an unknown grade.
    """
    key = pigment.strip().lower().replace(" ", "-")
    if key in mixtures():
        return mixed_tube(name or mixtures()[key].name, mixtures()[key].portions, grade, strength)
    found = find_pigment(pigment)
    return _tube(name or pigment, [(found, 1.0)], "built-in", grade, strength)


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
        doubt=max(pigment.doubt for pigment, _ in parts),
        grade=grade,
        strength=strength,
    )
