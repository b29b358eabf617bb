"""The record of checking: photos of dabs, what they said of each pile, and what was done.

A photo is kept as it was read, so that a box can learn from it years later, and what was advised
and done as it was said, so that the record tells the same story then.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import Parts
from refmatch.dabs.beside import Beside
from refmatch.dabs.spot import Spot
from refmatch.painting.saved_file import SavedFile

Curves = tuple[tuple[float, ...], tuple[float, ...]]
"""K and S of one part of a puddle, of 31 bands each."""


@dataclass(frozen=True)
class Look:
    """A photo of dabs, kept in the folder, and what is known in it.

    ``light`` is what the painter said of it, "" where nothing; ``state`` is "wet", "dry" or
    "sunk"; ``way`` names by what it was judged: "chart", "grey card", "grey card, white and
    black", "side by side".
    """

    photo: SavedFile
    date: str
    light: str
    state: str
    way: str
    beside: tuple[Beside, ...]


@dataclass(frozen=True)
class Added:
    """So many parts of something worked into a pile, counted as the pile's own.

    ``own`` says of which tubes it is made and in what proportion, whatever its sum. ``curves``
    are those of another puddle, as it was believed to be; None where the box tells.
    """

    name: str
    parts: float
    own: Parts
    curves: Curves | None = None


@dataclass(frozen=True, eq=False)
class Advised:
    """One correction: what to add, in order, and where it was said to lead.

    The parts are those of the pile that is corrected: a third of it where it is divided.
    """

    additions: tuple[Added, ...]
    predicted_lab: Array
    predicted_delta_e_00: float
    words: str


@dataclass(frozen=True)
class Done:
    """What the painter did then: whether the pile was divided first, and what was added.

    ``anew`` means that another pile was mixed instead, of all the ``additions``, and this one given
    up; without additions it was mixed by the recipe chosen.
    """

    divided: bool
    additions: tuple[Added, ...]
    words: str
    anew: bool = False


@dataclass(frozen=True, eq=False)
class Round:
    """One pile looked at in one photo.

    ``target`` is the label and ``target_lab`` the colour as it then was. ``pile`` counts the
    piles mixed for this target from 1, ``number`` the looks at this pile. ``parts`` are what is
    meant to be in it. ``measured_lab`` is what the photo says alone, ``lab`` what recipe and
    photo say together, each with its covariance (3, 3). ``verdict`` and ``words`` are those of
    `refmatch.dabs.verdict.judge`; ``corrections`` the advice, best first, for a third of the pile
    where ``divide``; ``fresh``, ``advice`` (a sentence): see `refmatch.dabs.correct.Advice`;
    ``fresh_parts`` are the recipe told to be mixed anew, () where none was.
    ``look`` is the SHA-256 of its photo. ``done`` is None until something was.
    ``curves`` (2, 31) are K and S of one part of the pile as it is believed to be, and
    ``fresh_curves`` those of the recipe told, by the tubes as this photo has them; None in a
    record of an older refmatch.
    """

    target: str
    target_lab: Array
    pile: int
    number: int
    look: str
    spot: Spot
    parts: Parts
    measured_lab: Array
    measured_covariance: Array
    lab: Array
    covariance: Array
    delta_e_00: float
    verdict: str
    words: str
    corrections: tuple[Advised, ...]
    divide: bool
    fresh: bool
    advice: str
    done: Done | None = None
    fresh_parts: Parts = ()
    curves: Array | None = None
    fresh_curves: Array | None = None


def upgrade_record(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a painting's saved form whose photos left out have a flag in place of a sentence."""
    learnings = [
        {**update, "left_out": [_flagged(row) for row in update["left_out"]]}
        for update in saved.get("learnings", ())
    ]
    return {**saved, "learnings": learnings}


def _flagged(row: Mapping[str, Any]) -> dict[str, Any]:
    flag = {"name": row["why"], "text": row["words"]}
    return {"look": row["look"], "why": row["why"], "flag": flag}
