"""What the painter asked for: the few words and places from which all else is reckoned.

Kept apart from what was found out, so that a step can be taken back by going back
to what was asked before it, and nothing else need be remembered.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from refmatch.photo.crop import Frame

SAVED = "saved"
"""The light of a painting that was planned elsewhere, kept as it was found."""


@dataclass(frozen=True)
class SavedLight:
    """A balance found earlier, its ``matrix`` row by row; see `Balance`."""

    method: str
    matrix: tuple[float, ...]
    words: str
    cast_kelvin: float | None = None
    cast_duv: float | None = None
    exposure_factor: float = 1.0


@dataclass(frozen=True)
class AskedLight:
    """How the light is to be taken out.

    ``method`` is one of the balance methods, or `SAVED` for ``saved``. The spot, for
    "neutral" and "white", is in pixels of the whole upright photo, and ``lstar`` is how
    light the thing there is (None for the usual). ``kelvin`` and ``duv`` are for
    "temperature". ``keep_light`` is the part of the cast that stays, 0 to 100.
    """

    method: str = "as-shot"
    x_px: float | None = None
    y_px: float | None = None
    diameter_px: float | None = None
    lstar: float | None = None
    kelvin: float | None = None
    duv: float | None = None
    keep_light: float = 0.0
    set_exposure: bool = True
    saved: SavedLight | None = None


@dataclass(frozen=True)
class AskedHole:
    """A hole to punch, and how its colour is to be mixed.

    ``key`` stays with the hole whatever its number; ``label`` is "" until it is named.
    The place is in pixels of the whole upright photo, so that another crop leaves it
    where it is. ``choice`` is the `why` of the recipe chosen, "" for the first.
    """

    key: str
    x_px: float
    y_px: float
    diameter_px: float
    label: str = ""
    without: tuple[str, ...] = ()
    insist: tuple[str, ...] = ()
    choice: str = ""


@dataclass(frozen=True)
class Canvas:
    """The canvas in centimetres, and the side of the squares drawn on it (None for none)."""

    width_cm: float
    height_cm: float
    grid_cm: float | None = None


@dataclass(frozen=True)
class AskedMixing:
    """What goes for every recipe: how large it may be, the habits, how the paint is looked at.

    ``finish`` is how the dry paint shines; ``lamp`` under which light mixes are shown.
    """

    tubes: int = 4
    total: int = 32
    easy_on_black: bool = False
    no_white_in_darks: bool = False
    no_stray_green: bool = False
    finish: str = "gloss"
    lamp: str = "D50"


@dataclass(frozen=True)
class Asked:
    """All that was asked for one painting.

    ``frame`` is the part of the upright photo that is painted, None for the whole;
    ``box`` the box as TOML text; ``away`` the tubes not on the table today; ``masses`` how
    many masses the picture is seen in, None for as many as it has.
    """

    title: str
    box: str
    light: AskedLight = AskedLight()
    frame: Frame | None = None
    canvas: Canvas | None = None
    holes: tuple[AskedHole, ...] = ()
    away: tuple[str, ...] = ()
    masses: int | None = None
    mixing: AskedMixing = field(default_factory=AskedMixing)
