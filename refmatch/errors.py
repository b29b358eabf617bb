"""Everything that can go wrong in front of a painter, as one tree.

RefmatchError            a name and values; its sentence is in `say` (exit code 1)
├── PhotoError           the photo cannot be read or used
├── HoleError            a hole, a spot or a crop does not fit the photo
├── BalanceError         the light cannot be estimated as asked
├── TargetError          no surface can have this colour
├── BoxError             the box of tubes cannot be read or used
│   └── UnknownTube      no such tube or pigment (with the near names)
├── MeasurementError     the measurements cannot be read or used
├── CardError            a printed card cannot be read, or be found in a photo
├── PaintingError        the painting folder cannot be read or used
│   └── StaleRevision    it was changed elsewhere meanwhile
├── ClassError           the class's folder cannot be read or used
├── OutputError          the result cannot be written there
├── LibraryMissing       a library of the system or of Python is not there
└── UsageError           the command line itself is wrong (exit code 2)
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from types import MappingProxyType


class RefmatchError(Exception):
    """An error a painter can act on, by its name and values; `refmatch.say` has its sentence."""

    exit_code = 1

    def __init__(self, name: str, /, **values: object) -> None:
        super().__init__(name)
        self.name, self.values = name, values

    def __str__(self) -> str:
        """Return name and values, for whoever debugs: painters are told by `refmatch.say`."""
        given = ", ".join(f"{key}={value!r}" for key, value in self.values.items())
        return f"{self.name} ({given})" if given else self.name


class PhotoError(RefmatchError):
    """The photo cannot be read or used."""


class HoleError(RefmatchError):
    """A hole, a spot or a crop does not fit the photo."""


class BalanceError(RefmatchError):
    """The light cannot be estimated as asked."""


class TargetError(RefmatchError):
    """No surface can have this colour, or the numbers are not a colour."""


class BoxError(RefmatchError):
    """The box of tubes cannot be read or used."""


class UnknownTube(BoxError):
    """No tube or pigment has this name; ``near`` are those like it, ``known`` the first few.

    ``box`` is the name of the box that was searched, None for the built-in pigments.
    """

    def __init__(
        self,
        name: str,
        known: Iterable[str],
        box: str | None = None,
        also: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        """``also`` are other spellings, each with the known name that it leads to."""
        known = list(known)
        by_lower = {**also, **{candidate.lower(): candidate for candidate in reversed(known)}}
        matches = difflib.get_close_matches(name.lower(), by_lower, n=4, cutoff=0.4)
        near = tuple(dict.fromkeys(by_lower[match] for match in matches))
        super().__init__("unknown_tube", tube=name, box=box, near=near, known=tuple(known[:12]))


class MeasurementError(RefmatchError):
    """The measurements cannot be read or used."""


class CardError(RefmatchError):
    """A printed card cannot be read, or be found in a photo."""


class PaintingError(RefmatchError):
    """The painting folder cannot be read or used."""


class StaleRevision(PaintingError):
    """The painting was changed elsewhere meanwhile; nothing was written over that."""


class ClassError(RefmatchError):
    """The class's folder cannot be read or used."""


class OutputError(RefmatchError):
    """The result cannot be written there; nothing was half written."""


class LibraryMissing(RefmatchError):
    """A library of the system or of Python is not there."""


class UsageError(RefmatchError):
    """The command line itself is wrong."""

    exit_code = 2
