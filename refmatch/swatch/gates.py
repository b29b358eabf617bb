"""Which photos a box may learn from: one bad photo must not spoil it.

A photo is left out where what is known in it disagrees, where it shows its pile farther from what
all others foretell than chance explains, and where it alone would move the mixes: it is held back
then until another photo says the same. What passes can be wrong, but does no harm that another
photo would not have done as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.recipe.mixture import Palette
from refmatch.swatch.agreement import Heard, Voice, heard, voices
from refmatch.swatch.evidence import Evidence, sittings
from refmatch.swatch.measured import measure
from refmatch.swatch.own_camera import believed_camera

STRAINED, FEWEST_KNOWN = 2.5, 5
"""How badly known surfaces may disagree (`Measured.strain`), where there are enough of them to
disagree at all. Whole photos with a chart stay below 1.3 in the virtual studio; a grey card in half
shade beside a chart makes it 7."""

SURPRISING = 1.5
"""Standard errors, root mean square, that a photo may be from what all others foretell. By chance
three numbers go beyond it eight times in a hundred, were the errors as small as stated; in the
virtual studio, where they are stated generously, whole photos do so four times in a thousand."""

MOST_ALONE = 1.5
"""dE00 by which one photo alone may move mixes of its own tubes (median). Others move less."""

STRAIN, SURPRISE, ALONE = "strained", "surprising", "alone"
"""Why a photo is left out."""


@dataclass(frozen=True)
class LeftOut:
    """A photo that was not taken in, by number, and why: a flag called by one of the three."""

    photo: int
    why: Flag

    @property
    def is_held_back(self) -> bool:
        """Whether it will be taken in as soon as another photo agrees."""
        return self.why.name == ALONE


@dataclass(frozen=True)
class Gated:
    """The photos to learn from, and those left out; both in order."""

    taken: tuple[int, ...]
    left_out: tuple[LeftOut, ...]


def gate(box: Box, photos: Sequence[Evidence]) -> Gated:
    """Say which photos a box may learn from.

    Args:
        box: before anything was learnt.
        photos: each with one pile or more and one known surface or more.

    Raises:
        ValueError: a photo has none. UsageError: no such light.
    """
    strains = {n: _strain(box, each) for n, each in enumerate(photos)}
    out = {n: LeftOut(n, Flag(STRAIN)) for n, strain in strains.items() if strain > STRAINED}
    whole = [n for n in strains if n not in out]
    if whole:
        left = [photos[n] for n in whole]
        apart = _apart(heard(box, left))
        for n, first in zip(whole, sittings(left), strict=True):
            if first in apart:
                out[n] = replace(apart[first], photo=n)
    taken = tuple(n for n in strains if n not in out)
    return Gated(taken, tuple(out[n] for n in sorted(out)))


def _strain(box: Box, photo: Evidence) -> float:
    """Return how badly what is known in a photo disagrees; 0 where too little is known."""
    if len(photo.known) < FEWEST_KNOWN:
        return 0.0
    parts = np.zeros((len(photo.dabs), len(box.tubes)))
    for row, dab in zip(parts, photo.dabs, strict=True):
        np.add.at(row, list(dab.tubes), dab.parts)
    guesses = Palette.of(box.tubes, box.surface).reflectance(parts)
    camera = believed_camera(box, photo.light)
    return measure(photo.dabs, guesses, photo.known, camera).strain


def _apart(said: Heard) -> dict[int, LeftOut]:
    """Leave out one sitting after the other until all that remain agree; then try each again.

    The most surprising goes first: while it is there it makes others seem to be alone.
    """
    kept, out = list(dict.fromkeys(said.sitting.tolist())), {}
    while kept:
        told = voices(said.only(kept))
        worst = max(kept, key=lambda n: _badness(told[n]))
        if _passes(told[worst]):
            break
        kept.remove(worst)
        out[worst] = _left_out(worst, told[worst], len(kept))
    for number in list(out):
        told = voices(said.only(sorted([*kept, number])))
        if all(map(_passes, told.values())):
            kept.append(number)
            del out[number]
        else:
            out[number] = _left_out(number, told[number], len(kept))
    return out


def _badness(voice: Voice) -> tuple[bool, float]:
    if voice.surprise > SURPRISING:
        return True, voice.surprise
    return False, voice.moves


def _passes(voice: Voice) -> bool:
    return voice.surprise <= SURPRISING and voice.moves <= MOST_ALONE


def _left_out(number: int, voice: Voice, others: int) -> LeftOut:
    if voice.surprise > SURPRISING:
        why = Flag(SURPRISE, dab=voice.dab, off=voice.off, others=others)
    else:
        why = Flag(ALONE, moves=voice.moves)
    return LeftOut(number, why)
