"""What labels call paints: one spelling of each name, and what is known of the names themselves.

Two tables, from memory: ``names.toml``, common names of the pigments and ready mixtures that have
curves here, and ``neighbours.toml``, colorants that have none, each with the known one that it lies
nearest and why it is not the same.
"""

from __future__ import annotations

import functools
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from types import MappingProxyType
from typing import Any

SHORT_FORMS = {
    "gray": "grey",
    "lt": "light",
    "pale": "light",
    "dp": "deep",
    "dk": "dark",
    "med": "medium",
    "mid": "medium",
    "middle": "medium",
    "cad": "cadmium",
    "perm": "permanent",
    "ult": "ultramarine",
    "ultra": "ultramarine",
    "quin": "quinacridone",
    "quinac": "quinacridone",
    "diox": "dioxazine",
    "naphtol": "naphthol",
    "phtalo": "phthalo",
    "pthalo": "phthalo",
    "thalo": "phthalo",
    "phthalocyanine": "phthalo",
    "pyrrol": "pyrrole",
    "pyrol": "pyrrole",
    "ocher": "ochre",
    "sulfate": "sulphate",
    "aluminum": "aluminium",
    "gs": "green shade",
    "bs": "blue shade",
    "rs": "red shade",
    "ys": "yellow shade",
}
"""Words that labels shorten or spell in other ways (common practice, no source)."""

SAYS_LITTLE = frozenset(
    {
        *("genuine", "extra", "fine", "finest", "pure", "artist", "artists", "student", "students"),
        *("oil", "oils", "acrylic", "paint", "colour", "color", "tube", "series", "no", "nr"),
        *map(str, range(1, 10)),
    }
)
"""Words that may be passed over where the whole name is not known: a grade, a number."""

HUE = "hue"
"""A label's word for a paint that is made to look like a pigment and holds others."""

INDEX_LETTERS = {
    "yellow": "py",
    "orange": "po",
    "red": "pr",
    "violet": "pv",
    "blue": "pb",
    "green": "pg",
    "brown": "pbr",
    "black": "pbk",
    "white": "pw",
}
_INDEX = re.compile(r"(p(?:y|o|r|v|bk|br|b|g|w)|n(?:y|r|b|g|br|bk))[\s.-]*(\d{1,3})(?:[:.](\d))?")
_WRITTEN_OUT = re.compile(rf"(?:c\.?\s*i\.?\s*)?pigment\s+({'|'.join(INDEX_LETTERS)})\s+(.+)")


@dataclass(frozen=True)
class Neighbour:
    """A colorant without curves of its own, taken to be as a known one is.

    ``label`` is its Colour Index name where it has one, else a common name; ``neighbour`` the key
    of a pigment or ready mixture, and ``why`` how they differ. ``strength`` is how strong it is
    beside that, and ``holds`` the key of the pigment that is in it after all, "" where none is.
    """

    label: str
    names: tuple[str, ...]
    neighbour: str
    why: str
    strength: float = 1.0
    holds: str = ""

    @property
    def key(self) -> str:
        """Its key among those of pigments: that of what it holds, else its own label's."""
        return self.holds or slug(self.label)


def slug(name: str) -> str:
    """Return a name in small letters with hyphens, as keys are written."""
    return name.strip().lower().replace(" ", "-")


def words_of(name: str) -> str:
    """Return a paint's name in one spelling: "french ultramarine deep", "pb15:3".

    Capitals, accents, hyphens, brackets, both apostrophes and the usual short forms do not count.
    """
    folded = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(sign for sign in folded if not unicodedata.combining(sign))
    plain = re.sub(r"['’‘`´]", "", plain).strip()
    index = _index_name(plain)
    if index:
        return index
    words = re.sub(r"[^\w:]+|_", " ", plain).split()
    return " ".join(SHORT_FORMS.get(word, word) for word in words)


def shorter(words: str) -> tuple[str, ...]:
    """Return what else a name in one spelling may mean, but never less of a hue."""
    listed = words.split()
    fewer = [word for word in listed if word not in SAYS_LITTLE]
    return (" ".join(fewer),) if fewer and fewer != listed else ()


def without_brackets(name: str) -> str:
    """Return a name without what stands in brackets."""
    return re.sub(r"\([^)]*\)|\[[^\]]*\]", " ", name).strip()


@functools.cache
def common_names() -> Mapping[str, tuple[str, ...]]:
    """Return the keys of what a common name, in one spelling, may mean."""
    meant: dict[str, tuple[str, ...]] = {}
    for key, names in _table("names.toml").items():
        for words in dict.fromkeys(words_of(name) for name in names):
            meant[words] = (*meant.get(words, ()), key)
    return MappingProxyType(meant)


@functools.cache
def written_names() -> tuple[str, ...]:
    """Return every common name as the tables write it, for one that is misspelt."""
    known = [name for names in _table("names.toml").values() for name in names]
    for row in neighbours():
        known += [row.label, *row.names]
    return tuple(dict.fromkeys(known))


@functools.cache
def neighbours() -> tuple[Neighbour, ...]:
    """Return the colorants that have no curves, in the order of their table."""
    return tuple(_neighbour(key, row) for key, row in _table("neighbours.toml").items())


@functools.cache
def neighbours_by_name() -> Mapping[str, Neighbour]:
    """Return the colorants that have no curves by each of their names, in one spelling."""
    named: dict[str, Neighbour] = {}
    for row in neighbours():
        for name in (row.label, *row.names):
            named.setdefault(words_of(name), row)
    return MappingProxyType(named)


def _neighbour(key: str, row: Mapping[str, Any]) -> Neighbour:
    names = tuple(row["names"])
    label = key if _index_name(key.lower()) else names[0]
    more = {name: row[name] for name in ("strength", "holds") if name in row}
    return Neighbour(label, names, row["neighbour"], row["why"], **more)


def _index_name(text: str) -> str:
    """Return a Colour Index name in one spelling, "" of what is none."""
    spelt = _WRITTEN_OUT.fullmatch(text)
    short = f"{INDEX_LETTERS[spelt[1]]}{spelt[2]}" if spelt else re.sub(r"^p\.\s*", "p", text)
    found = _INDEX.fullmatch(short.strip())
    if not found:
        return ""
    letters, number, form = found.groups()
    return f"{letters}{int(number)}" + (f":{form}" if form else "")


@functools.cache
def _table(name: str) -> Mapping[str, Any]:
    return tomllib.loads(files("refmatch.paint").joinpath(name).read_text("utf-8"))
