"""The built-in pigments: one TOML file each, found by what labels call them."""

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
from refmatch.paint.names import (
    HUE,
    Neighbour,
    common_names,
    neighbours_by_name,
    shorter,
    slug,
    without_brackets,
    words_of,
    written_names,
)

FROM_MEMORY = "from memory"
MEDIA = ("oil, measured", "acrylic, published", FROM_MEMORY)
"""What a pigment's curves may come from."""

KINDS = ("white", "black", "cadmium", "earth", "mineral", "ultramarine", "organic")
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


Paint = Pigment | ConvenienceMixture | Neighbour
"""What a label may name: a pigment, a tube sold ready mixed, or what only has a neighbour here."""


@functools.lru_cache(512)
def find_paint(label: str) -> Paint:
    """Return what a label names: by plain name, Colour Index name, or common name.

    Spelling counts little: see `names.words_of`. A hue of a pigment is not that pigment, and what
    is known of it is that it was made to look so.

    Raises:
        UnknownTube: nothing has such a name; the nearest are in it.
        BoxError: several have it, and none is principal.
    """
    for words in spellings(label):
        found = _named(words, label)
        if found is not None:
            return found
    raise UnknownTube(label, every_name())


def every_name() -> tuple[str, ...]:
    """Return all that a label may say: keys, Colour Index names, common names."""
    return (*pigments(), *mixtures(), *_index_names(), *written_names())


def spellings(label: str) -> tuple[str, ...]:
    """Return a label in one spelling, then with less and less of what may be passed over."""
    whole, bare = words_of(label), words_of(without_brackets(label))
    return tuple(dict.fromkeys(one for one in (whole, bare, *shorter(whole)) if one))


def find_pigment(name: str) -> Pigment:
    """Return the pigment of a plain name, a Colour Index name or a common name.

    Raises:
        UnknownTube: no such pigment.
        BoxError: a name that several pigments share, none principal.
    """
    found = find_paint(name)
    if isinstance(found, Pigment):
        return found
    raise UnknownTube(name, [*pigments(), *_index_names()])


def key_of(name: str) -> str:
    """Return the key of what a label names; of what nobody here knows, its own name.

    A Colour Index name that several pigments share is no more known than one of none.
    """
    try:
        found = find_paint(name)
    except BoxError:
        return slug(name)
    return slug(name) if isinstance(found, ConvenienceMixture) else found.key


@functools.lru_cache(512)
def names_of(key: str) -> tuple[str, ...]:
    """Return what else a paint may be called: the common names of a key, in one spelling.

    What only holds a known pigment, as Indian red does, is another paint.
    """
    common = [words for words, keys in common_names().items() if key in keys]
    beside = (words for words, row in neighbours_by_name().items() if row.key == key)
    return (*common, *(() if key in pigments() else beside))


@functools.lru_cache(256)
def keys_named(name: str) -> frozenset[str]:
    """Return the keys of all that a name may mean, and its own; principal ones do not go first."""
    keys = {slug(name), slug(words_of(name))}
    for words in spellings(name):
        keys.update(_by_own_name().get(words, ()))
        keys.update(common_names().get(words, ()))
        keys.update(
            pigment.key
            for pigment in pigments().values()
            if words in map(words_of, pigment.index_names)
        )
        if words in neighbours_by_name():
            keys.add(neighbours_by_name()[words].key)
    return frozenset(keys)


def _named(words: str, label: str) -> Paint | None:
    """Return what has exactly this name, in one spelling; None where nothing has."""
    key = words.replace(" ", "-")
    if key in pigments():
        return pigments()[key]
    by_words = _by_own_name()
    meant = by_words.get(words) or common_names().get(words, ())
    if len(meant) > 1:
        raise BoxError("paint_name_shared", label=label, paints=meant)
    if meant:
        return pigments().get(meant[0]) or mixtures()[meant[0]]
    sharing = [p for p in pigments().values() if words in map(words_of, p.index_names)]
    principal = [p for p in sharing if p.principal]
    if len(sharing) == 1 or len(principal) == 1:
        return (principal or sharing)[0]
    if sharing:
        raise BoxError(
            "index_name_shared", index_name=label, pigments=tuple(p.key for p in sharing)
        )
    return neighbours_by_name().get(words) or _hue(words, label)


def _hue(words: str, label: str) -> Neighbour | None:
    """Return the neighbour of a hue of something known; None where it is no such hue."""
    *rest, last = words.split() or [""]
    if last != HUE or not rest:
        return None
    meant = _named(" ".join(rest), label)
    if meant is None:
        return None
    looks_like = meant.neighbour if isinstance(meant, Neighbour) else meant.key
    return Neighbour(label.strip(), (), looks_like, "made to look like it, of other pigments")


@functools.cache
def _by_own_name() -> Mapping[str, tuple[str, ...]]:
    """Return keys by the plain names and keys of pigments and ready mixtures, in one spelling."""
    known = {words_of(raw["name"]): (key,) for key, raw in _raw_files().items()}
    return MappingProxyType(known | {words_of(key): (key,) for key in _raw_files()})


def _index_names() -> tuple[str, ...]:
    return tuple(name for pigment in pigments().values() for name in pigment.index_names)


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
