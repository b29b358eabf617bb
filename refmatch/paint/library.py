"""The built-in pigments: one TOML file each, found by plain name or Colour Index name."""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from types import MappingProxyType
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UnknownTube

FROM_MEMORY = "from memory"
MEDIA = ("oil, measured", "acrylic, published", FROM_MEMORY)
"""What a pigment's curves may come from."""

KINDS = ("white", "black", "cadmium", "earth", "mineral", "organic")
"""Kinds of pigments, by what makers' paints of them differ by (``makers.toml``)."""


@dataclass(frozen=True, eq=False)
class Pigment:
    """A pigment bound in paint: how it absorbs, scatters, dries, lasts and may harm.

    ``absorption`` and ``scattering`` have shape (31,), per part by volume, with
    titanium white's scattering 1 in every band; ``medium``, one of `MEDIA`, is what they come
    from, and ``kind`` one of `KINDS`. ``opacity`` is one of O, SO, ST, T;
    ``tinting_strength`` runs from 1 to 5; ``drying`` is F, M or S in oil;
    ``lightfastness`` the usual ASTM D4303 class.
    """

    key: str
    name: str
    index_names: tuple[str, ...]
    principal: bool
    kind: str
    opacity: str
    tinting_strength: int
    drying: str
    lightfastness: str
    sinks: bool
    cautions: tuple[str, ...]
    absorption: Array
    scattering: Array
    medium: str
    doubt: float
    raw: Mapping[str, Any]


@dataclass(frozen=True)
class ConvenienceMixture:
    """A tube sold ready mixed, such as a sap green hue: parts of other pigments."""

    key: str
    name: str
    portions: tuple[tuple[str, float], ...]


@functools.cache
def pigments() -> Mapping[str, Pigment]:
    """Return all built-in pigments by key, in alphabetical order."""
    known = {key: _pigment(raw) for key, raw in _raw_files().items() if "curve" in raw}
    return MappingProxyType(known)


def advisable() -> tuple[str, ...]:
    """Return the pigments that advice may name: of one that is known from two media, the plain one.

    In a shop there is one ultramarine, whatever medium its curves were measured in.
    """
    known = pigments().keys()
    return tuple(key for key in known if key.removesuffix("-oil") not in known - {key})


@functools.cache
def mixtures() -> Mapping[str, ConvenienceMixture]:
    """Return the convenience mixtures by key, in alphabetical order."""
    known = {key: _mixture(raw) for key, raw in _raw_files().items() if "portions" in raw}
    return MappingProxyType(known)


def find_pigment(name: str) -> Pigment:
    """Return the pigment of a plain name or a Colour Index name, whatever the case.

    Raises:
        UnknownTube: no such pigment.
        BoxError: a Colour Index name that several pigments share, none principal.
    """
    wanted = name.strip().lower()
    key = wanted.replace(" ", "-")
    if key in pigments():
        return pigments()[key]
    sharing = [p for p in pigments().values() if wanted in (n.lower() for n in p.index_names)]
    principal = [p for p in sharing if p.principal]
    if len(sharing) == 1 or len(principal) == 1:
        return (principal or sharing)[0]
    if sharing:
        raise BoxError("index_name_shared", index_name=name, pigments=tuple(p.key for p in sharing))
    known = [*pigments(), *(n for p in pigments().values() for n in p.index_names)]
    raise UnknownTube(name, known)


def key_of(name: str) -> str:
    """Return the key of a pigment as a label names it; of one that nobody here knows, its own name.

    A Colour Index name that several pigments share is no more known than one of none.
    """
    try:
        return find_pigment(name).key
    except BoxError:
        return name.strip().lower().replace(" ", "-")


UNKNOWN_CAUTION = "unknown, see the label"
"""Stands for the cautions of a pigment that is not known here: only the label can tell."""


def short_name(pigment: Pigment) -> str:
    """Return the Colour Index name where it leads back to this pigment, else the key."""
    for index_name in pigment.index_names:
        sharing = [p for p in pigments().values() if index_name in p.index_names]
        if pigment.principal or len(sharing) == 1:
            return index_name
    return pigment.key


@functools.cache
def _raw_files() -> Mapping[str, dict[str, Any]]:
    folder = files("refmatch.paint").joinpath("data")
    paths = sorted((p for p in folder.iterdir() if p.name.endswith(".toml")), key=lambda p: p.name)
    return {p.name.removesuffix(".toml"): tomllib.loads(p.read_text("utf-8")) for p in paths}


def _pigment(raw: dict[str, Any]) -> Pigment:
    properties, curve = raw["properties"], raw["curve"]
    return Pigment(
        key=raw["key"],
        name=raw["name"],
        index_names=tuple(raw["index_names"]),
        principal=raw["principal"],
        kind=properties["kind"],
        opacity=properties["opacity"],
        tinting_strength=properties["tinting_strength"],
        drying=properties["drying"],
        lightfastness=properties["lightfastness"],
        sinks=properties["sinks"],
        cautions=tuple(properties["cautions"]),
        absorption=np.array(curve["absorption"]),
        scattering=np.array(curve["scattering"]),
        medium=curve["medium"],
        doubt=curve["doubt"],
        raw=MappingProxyType(raw),
    )


def _mixture(raw: dict[str, Any]) -> ConvenienceMixture:
    portions = tuple((part["pigment"], float(part["parts"])) for part in raw["portions"])
    return ConvenienceMixture(raw["key"], raw["name"], portions)
