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
from numpy.typing import NDArray

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.dabs.camera import believed_camera
from refmatch.dabs.fuse import covariance_of, predict_piles
from refmatch.dabs.learn import Evidence, by_light, numbered, sittings
from refmatch.dabs.measured import block_diag, measure
from refmatch.dabs.spot import STATES, PhotoDab, doubt_of
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.fit.belief import KNOWN
from refmatch.recipe.mixture import Palette

# Whether photos of piles agree with each other, as far as the box lets them be told apart.
#
# Piles that share a tube share what that tube is off; photos by one camera share what the camera is
# off. So each photo can be foretold from all the others, and what it says beyond that is its own: a
# surprise, measured in standard errors, and a pull at the box that nobody else confirms. The paint
# model is made straight about the box that explains all of them best.

WHITE_PARTS = (0.3, 1.0, 4.0)
"""Parts of white to one part of colour in the mixes that a photo's pull is judged by."""

MOST_STEPS, LONGEST_STEP, SETTLED = 8, 1.0, 0.02

Numbers = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Heard:
    """What photos say of piles, side by side: n dabs of a box's tubes, sitting by sitting.

    ``sitting`` (n,) is the number of the first photo of each dab's sitting. ``lab`` (n, 3) is
    what the camera saw, ``covariance`` (3n, 3n) what camera, hand and paint model leave open of
    it, and ``modes`` (tubes, m, 62) what the box leaves open.
    """

    box: Box
    dabs: tuple[PhotoDab, ...]
    sitting: Numbers
    parts: Array
    lab: Array
    covariance: Array
    modes: Array

    def only(self, sittings: Sequence[int]) -> Heard:
        """Return what some of the sittings say, by number."""
        rows = np.flatnonzero(np.isin(self.sitting, sittings))
        every = _rows(rows)
        return replace(
            self,
            dabs=tuple(self.dabs[row] for row in rows),
            sitting=self.sitting[rows],
            parts=self.parts[rows],
            lab=self.lab[rows],
            covariance=self.covariance[np.ix_(every, every)],
        )


@dataclass(frozen=True)
class Voice:
    """One sitting, mostly of one photo, beside all others.

    ``surprise`` is how far it is from what they foretell, in standard errors (root mean square:
    about 1 by chance); ``moves`` the dE00 by which it alone moves mixes of its tubes (median).
    ``dab`` is the dab that is farthest from what was foretold, by ``off`` dE00.
    """

    surprise: float
    moves: float
    dab: str
    off: float


def heard(box: Box, photos: Sequence[Evidence]) -> Heard:
    """Return what photos say, each told of the camera by what is known in it.

    Raises:
        ValueError: in some photo nothing is known. UsageError: no such light.
    """
    order: list[tuple[int, PhotoDab]] = []
    sitting_of = sittings(photos)
    labs, spreads = [], []
    for light, group in by_light(photos):
        dabs, known = numbered([photos[number] for number in group])
        guesses = np.stack([_palette_of(box, dab).reflectance(_row(box, dab)) for dab in dabs])
        measured = measure([dab.spot for dab in dabs], guesses, known, believed_camera(box, light))
        order += [(sitting_of[group[dab.spot.photo]], dab) for dab in dabs]
        labs.append(measured.lab)
        spreads.append(measured.covariance)
    sitting = np.array([number for number, _ in order])
    back = np.argsort(sitting, kind="stable")
    every = _rows(back)
    covariance = block_diag(*spreads)[np.ix_(every, every)]
    sorted_dabs = tuple(order[place][1] for place in back)
    parts = np.stack([_row(box, dab) for dab in sorted_dabs])
    modes, own = _of_the_recipes(box, sorted_dabs, parts, sitting[back])
    lab = np.concatenate(labs)[back]
    return Heard(box, sorted_dabs, sitting[back], parts, lab, covariance + own, modes)


def voices(said: Heard) -> dict[int, Voice]:
    """Return each sitting beside all others, by its number."""
    amounts, slopes, rest = _explained(said)
    inverse = np.linalg.inv(slopes @ slopes.T + said.covariance)
    weighed = inverse @ rest
    moved = _moved(said, amounts)
    voice_of = {}
    for number in dict.fromkeys(said.sitting.tolist()):
        dabs = np.flatnonzero(said.sitting == number)
        rows = _rows(dabs)
        # what is left of a sitting once all others have foretold it, and its pull at the tubes
        beyond = np.linalg.solve(inverse[np.ix_(rows, rows)], weighed[rows])
        pull = slopes.T @ inverse[:, rows] @ beyond
        off = delta_e_00(said.lab[dabs], said.lab[dabs] - beyond.reshape(-1, 3))
        worst = int(np.argmax(off))
        voice_of[number] = Voice(
            surprise=float(np.sqrt(np.maximum(beyond @ weighed[rows], 0.0) / len(rows))),
            moves=_moves(said, moved, _mixes(said, dabs), pull),
            dab=said.dabs[dabs[worst]].label,
            off=float(off[worst]),
        )
    return voice_of


def _explained(said: Heard) -> tuple[Array, Array, Array]:
    """Return how far each mode is off, the slopes of all Lab by modes, and Lab less the straight.

    Newton's steps to the most probable tubes; at the answer Lab is rest's constant plus slopes.
    """
    amounts = np.zeros(said.modes.shape[0] * said.modes.shape[1])
    weight = np.linalg.inv(said.covariance)
    for _ in range(MOST_STEPS):
        box = _moved(said, amounts)
        palettes = [
            (_palette_of(box, dab), row) for dab, row in zip(said.dabs, said.parts, strict=True)
        ]
        slopes = np.concatenate([_by_modes(palette, row, said.modes) for palette, row in palettes])
        lab = np.concatenate([palette.lab(row) for palette, row in palettes])
        rest = said.lab.ravel() - lab + slopes @ amounts
        gram = slopes.T @ weight @ slopes + np.eye(len(amounts))
        step = np.linalg.solve(gram, slopes.T @ weight @ rest) - amounts
        amounts = amounts + np.clip(step, -LONGEST_STEP, LONGEST_STEP)
        if np.abs(step).max() < SETTLED:
            break
    return amounts, slopes, rest


def _moved(said: Heard, amounts: Array) -> Box:
    """Return the box with each tube's modes off by so much."""
    off = np.einsum("tm,tmb->tb", amounts.reshape(said.modes.shape[:2]), said.modes)
    tubes = tuple(
        replace(
            tube,
            absorption=tube.absorption * np.exp(row[:BANDS]),
            scattering=tube.scattering * np.exp(row[BANDS:]),
        )
        for tube, row in zip(said.box.tubes, off, strict=True)
    )
    return replace(said.box, tubes=tubes)


def _moves(said: Heard, box: Box, mixes: Array, pull: Array) -> float:
    """Return the dE00 (median) by which mixes change when the modes are pulled so far."""
    palette = Palette.of(box.tubes, box.surface)
    lab = palette.lab(mixes)
    by = np.stack([_by_modes(palette, row, said.modes) @ pull for row in mixes])
    return float(np.median(delta_e_00(lab, lab + by)))


def _mixes(said: Heard, dabs: Numbers) -> Array:
    """Return mixes, (n, tubes), of what some dabs hold: each colour, each two, let down."""
    white = said.box.tubes.index(said.box.white)
    colours = [n for n in np.flatnonzero(said.parts[dabs].sum(axis=0)) if n != white]
    rows = []
    for place, one in enumerate(colours):
        for other in colours[place:]:
            for parts in WHITE_PARTS:
                row = np.zeros(len(said.box.tubes))
                row[one] += 0.5
                row[other] += 0.5
                row[white] += parts
                rows.append(row)
    return np.stack(rows) if rows else np.eye(len(said.box.tubes))[[white]]


def _of_the_recipes(
    box: Box, dabs: Sequence[PhotoDab], parts: Array, sitting: Numbers
) -> tuple[Array, Array]:
    """Return what the box leaves open of each tube, and the covariance of what else is in doubt.

    That is the hand, what the paint model misses, and the shine, which is one in each sitting.
    """
    alone = [
        predict_piles(box, row[None], dab.hand, KNOWN)  # as open as learning leaves it
        for dab, row in zip(dabs, parts, strict=True)
    ]
    own = block_diag(*(each.covariance - covariance_of(each.by_modes) for each in alone))
    shine = [
        doubt_of(each.reflectance[0], dab.state, box.surface)
        for each, dab in zip(alone, dabs, strict=True)
    ]
    every = np.concatenate(shine)
    same = np.repeat(sitting, 3)[:, None] == np.repeat(sitting, 3)
    return alone[0].modes, own + np.where(same, np.outer(every, every), 0.0)


def _palette_of(box: Box, dab: PhotoDab) -> Palette:
    """Return the tubes as they look where a dab shines as this one does."""
    return Palette.of(box.tubes, replace(box.surface, f=STATES[dab.state].f))


def _by_modes(palette: Palette, row: Array, modes: Array) -> Array:
    """Return the slopes of one mixture's Lab by all modes, (3, tubes * m)."""
    return np.einsum("tcb,tmb->ctm", palette.lab_by_curves(row), modes).reshape(3, -1)


def _row(box: Box, dab: PhotoDab) -> Array:
    row = np.zeros(len(box.tubes))
    np.add.at(row, list(dab.tubes), dab.parts)
    return row


def _rows(dabs: Numbers) -> Numbers:
    """Return the rows of dabs' Lab, in one row of all."""
    rows: Numbers = (3 * dabs[:, None] + np.arange(3)).ravel()
    return rows


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


def gate(box: Box, photos: Sequence[Evidence]) -> tuple[tuple[int, ...], tuple[LeftOut, ...]]:
    """Return the photos that a box may learn from, by number, and those left out.

    Args:
        box: before anything was learnt.
        photos: each with one pile or more and one known surface or more.

    Raises:
        ValueError: a photo has none. UsageError: no such light.
    """
    strains = {n: _strain(box, photo) for n, photo in enumerate(photos)}
    out = {n: LeftOut(n, Flag(STRAIN)) for n, strain in strains.items() if strain > STRAINED}
    whole = [n for n in strains if n not in out]
    if whole:
        left = [photos[n] for n in whole]
        apart = _apart(heard(box, left))
        for n, first in zip(whole, sittings(left), strict=True):
            if first in apart:
                out[n] = replace(apart[first], photo=n)
    taken = tuple(n for n in strains if n not in out)
    return taken, tuple(out[n] for n in sorted(out))


def _strain(box: Box, photo: Evidence) -> float:
    """Return how badly what is known in a photo disagrees; 0 where too little is known."""
    if len(photo.known) < FEWEST_KNOWN:
        return 0.0
    parts = np.zeros((len(photo.dabs), len(box.tubes)))
    for row, dab in zip(parts, photo.dabs, strict=True):
        np.add.at(row, list(dab.tubes), dab.parts)
    guesses = Palette.of(box.tubes, box.surface).reflectance(parts)
    camera = believed_camera(box, photo.light)
    return measure([dab.spot for dab in photo.dabs], guesses, photo.known, camera).strain


def _apart(said: Heard) -> dict[int, LeftOut]:
    """Leave out one sitting after the other until all that remain agree; then try each again.

    The most surprising goes first: while it is there it makes others seem to be alone.
    """
    kept, out = list(dict.fromkeys(said.sitting.tolist())), {}
    while kept:
        voice_of = voices(said.only(kept))
        worst = max(kept, key=lambda n: _badness(voice_of[n]))
        if _passes(voice_of[worst]):
            break
        kept.remove(worst)
        out[worst] = _left_out(worst, voice_of[worst], len(kept))
    for number in list(out):
        voice_of = voices(said.only(sorted([*kept, number])))
        if all(map(_passes, voice_of.values())):
            kept.append(number)
            del out[number]
        else:
            out[number] = _left_out(number, voice_of[number], len(kept))
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
