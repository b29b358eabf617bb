"""What is off on the canvas: value first, then temperature, then chroma, each with its doubt.

The photo is read as a photo of dabs is: the camera is found from what is known beside the canvas,
and each region's spectrum is bent until the camera would see what it saw. A difference counts only
beyond what nine photos in ten would be off by; within it the canvas is as near as the photo can
tell. With nothing known in the photo the canvas as a whole is taken to be right, and each region is
judged beside the others alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.canvas.compare import GLINTS_TOLD, HOLE, MASS, STEP, Fall, Look, Region
from refmatch.colorimetry.hues import munsell_chroma, munsell_value
from refmatch.colorimetry.lab import chroma, delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import worded_turns
from refmatch.dabs.camera import Camera
from refmatch.dabs.gates import FEWEST_KNOWN, STRAINED
from refmatch.dabs.measured import bent_to, measure
from refmatch.dabs.spot import Known, doubt_of, without_shine
from refmatch.flag import Flag
from refmatch.paint.box import CameraBelief
from refmatch.paint.kubelka_munk import Surface

OFF, NEAR, UNTOLD = "off", "as near as this photo can tell", "this photo cannot tell"
"""The verdicts on a region, and on each of its dimensions."""

VALUE, TEMPERATURE, CHROMA = "value", "temperature", "chroma"

P50, P90 = 0.6745, 1.6449
"""Standard errors within which half and nine in ten of a Gaussian's draws lie."""


class Kind(NamedTuple):
    """From where a difference is worth saying, and what a photo must be able to tell to be of use.

    In Munsell values, in lengths of a `colorimetry.words.Turn`, in steps of Munsell chroma.
    """

    least: float
    useful: float


KINDS = {VALUE: Kind(0.25, 0.75), TEMPERATURE: Kind(3.0, 10.0), CHROMA: Kind(0.75, 2.5)}
"""A quarter of a value is about the least that a painter repaints for; a turn of 3 is where
`colorimetry.words` drops "a touch" (own choice)."""

CANVAS_DOUBT = 0.7
"""Standard error of each of L*, a* and b* of a region, besides the camera's: the ground shows
through, strokes cast shadows, another shape is caught at the rim (own choice)."""

WHOLE_DOUBT_LSTAR = 9.0
"""How far a region's paint may be off, in L* of each channel, where the canvas as a whole is all
that is known in the photo: a painter's error in a block-in (common practice, no source)."""

DARK_LSTAR = 30.0
"""A target below is a dark whose wet or sunk paint may look lighter than it is."""


@dataclass(frozen=True)
class Dimension:
    """One way in which a region differs from its target: canvas minus target, with its doubt.

    ``kind`` is one of `VALUE`, `TEMPERATURE`, `CHROMA`; ``above`` and ``below`` are the words for
    a difference over and under zero; ``verdict`` one of `OFF`, `NEAR`, `UNTOLD`.
    """

    kind: str
    difference: float
    p50: float
    p90: float
    above: str
    below: str
    verdict: str

    @property
    def word(self) -> str:
        """In which direction it is off."""
        return self.above if self.difference > 0.0 else self.below


@dataclass(frozen=True, eq=False)
class Judged:
    """A region judged: the canvas' ``lab`` (3,) and its ``covariance`` (3, 3), and what is off.

    ``shine`` is the part of it that shines and was left out.
    """

    region: Region
    lab: Array
    covariance: Array
    dimensions: tuple[Dimension, ...]
    shine: float
    flags: tuple[Flag, ...] = ()

    @property
    def delta_e_00(self) -> float:
        """How far it is from its target."""
        return float(delta_e_00(self.lab, self.region.target_lab))

    @property
    def verdict(self) -> str:
        """Off in any way, else untold where that is so of value, else near."""
        verdicts = [dimension.verdict for dimension in self.dimensions]
        if OFF in verdicts:
            return OFF
        return UNTOLD if verdicts[0] == UNTOLD else NEAR

    @property
    def value(self) -> Dimension:
        """The difference in value."""
        return self.dimensions[0]


@dataclass(frozen=True, eq=False)
class Setting:
    """What is known of a photo of the canvas.

    ``known`` are surfaces of known colour, () where there are none, and ``places`` (n, 2) where
    they lie on the canvas' plane, its sides 1; ``state`` is how the paint has dried.
    """

    known: tuple[Known, ...]
    places: Array
    camera: CameraBelief
    state: str
    surface: Surface
    fall: Fall


def judge(
    regions: Sequence[Region], looks: Sequence[Look], guesses: Array, setting: Setting
) -> tuple[tuple[Judged, ...], Camera, tuple[Flag, ...]]:
    """Judge regions by what the photo shows of them; also the camera, and flags of the photo.

    ``guesses`` (n, 31) are what paint of each region's target would reflect.
    """
    wanted = np.stack(
        [bent_to(row, region.target_lab) for row, region in zip(guesses, regions, strict=True)]
    )
    spots = [look.spot for look in looks]
    places = np.array([(region.x, region.y) for region in regions])
    is_relative = not setting.known
    known = setting.known or _whole(regions, looks, wanted)
    read = measure(spots, wanted, known, setting.camera)
    seen = read.reflectance
    lab = reflectance_to_lab(without_shine(seen, setting.state, setting.surface))
    shine = doubt_of(seen, setting.state, setting.surface)
    beside = places if is_relative else setting.places
    light = setting.fall.doubt_between(places, beside)
    judged = []
    for number, (region, look) in enumerate(zip(regions, looks, strict=True)):
        covariance = read.covariance_of(number) + CANVAS_DOUBT**2 * np.eye(3)
        covariance += np.outer(shine[number], shine[number]) + region.drawn_off
        by_light = _by_light(lab[number]) * light[number]
        covariance += np.outer(by_light, by_light)
        judged.append(_judged(region, look, lab[number], covariance))
    flags = []
    if is_relative:
        flags.append(Flag("canvas_light_unknown"))
    elif read.strain > STRAINED and len(known) >= FEWEST_KNOWN:
        flags.append(Flag("strained_light"))
    return tuple(judged), read.cameras[0], tuple(flags)


def _whole(regions: Sequence[Region], looks: Sequence[Look], wanted: Array) -> tuple[Known, ...]:
    """Return the masses as surfaces that are roughly what they should be."""
    rows = zip(regions, looks, wanted, strict=True)
    whole = [
        Known(region.label, look.spot, reflectance, WHOLE_DOUBT_LSTAR)
        for region, look, reflectance in rows
        if region.kind == MASS
    ]
    if whole:
        return tuple(whole)
    rows = zip(regions, looks, wanted, strict=True)
    return tuple(Known(r.label, look.spot, row, WHOLE_DOUBT_LSTAR) for r, look, row in rows)


def _by_light(lab: Array) -> Array:
    """Return how Lab moves with the ln of the light: all three roots rise by a third of it."""
    return np.array([lab[0] + 16.0, lab[1], lab[2]]) / 3.0


def _judged(region: Region, look: Look, lab: Array, covariance: Array) -> Judged:
    dimensions = dimensions_of(lab, covariance, region.target_lab)
    if region.kind == STEP:  # of many colours: only its value means anything
        dimensions = dimensions[:1]
    flags = []
    if region.is_thin and region.kind != STEP:
        flags.append(Flag("region_thin", label=region.label))
    if look.shine >= GLINTS_TOLD and region.kind == MASS:
        flags.append(Flag("canvas_shines", label=region.label, share=look.shine))
    dark = region.target_lab[0] < DARK_LSTAR and region.kind in (MASS, HOLE)
    greyer = chroma(lab) <= chroma(region.target_lab) + 2.0
    if dark and dimensions[0].verdict == OFF and dimensions[0].difference > 0.0 and greyer:
        flags.append(Flag("dark_may_shine", label=region.label))
    if look.spot.is_clipped and region.kind != STEP:
        flags.append(Flag("region_clipped", label=region.label))
    return Judged(region, lab, covariance, dimensions, look.shine, tuple(flags))


def dimensions_of(lab: Array, covariance: Array, target_lab: Array) -> tuple[Dimension, ...]:
    """Return value, temperature and chroma of a colour (3,) beside its target."""
    turns = worded_turns(lab, target_lab)
    far, above, below = max(turns, key=_farthest)
    place = next((n for n, each in enumerate(turns) if each[1:] == (above, below)), 0)

    def turned(colour: Array) -> float:
        others = worded_turns(colour, target_lab)
        same = [each[0] for each in others if each[1:] == (above, below)]
        return same[0] if same else others[min(place, len(others) - 1)][0]

    return (
        _dimension(
            VALUE,
            _off_value(lab, target_lab),
            _error(lambda c: _off_value(c, target_lab), lab, covariance),
            ("lighter", "darker"),
        ),
        _dimension(TEMPERATURE, far, _turn_error(turned, lab, covariance), (above, below)),
        _dimension(
            CHROMA,
            _off_chroma(lab, target_lab),
            _error(lambda c: _off_chroma(c, target_lab), lab, covariance),
            ("stronger", "duller"),
        ),
    )


def _dimension(kind: str, difference: float, error: float, words: tuple[str, str]) -> Dimension:
    p50, p90 = P50 * error, P90 * error
    ends = KINDS[kind]
    verdict = NEAR
    if abs(difference) > max(p90, ends.least):
        verdict = OFF
    elif p90 > ends.useful:
        verdict = UNTOLD
    return Dimension(kind, difference, p50, p90, *words, verdict)


def _off_value(lab: Array, target_lab: Array) -> float:
    return float(munsell_value(lab) - munsell_value(target_lab))


def _off_chroma(lab: Array, target_lab: Array) -> float:
    return float(munsell_chroma(lab) - munsell_chroma(target_lab))


STEPPED = 0.5


def _error(of: Callable[[Array], float], lab: Array, covariance: Array) -> float:
    """Return the standard error of a figure of a colour, by its slopes."""
    slope = np.array(
        [(of(lab + STEPPED * one) - of(lab - STEPPED * one)) / (2.0 * STEPPED) for one in np.eye(3)]
    )
    return float(np.sqrt(max(slope @ covariance @ slope, 0.0)))


def _turn_error(of: Callable[[Array], float], lab: Array, covariance: Array) -> float:
    """Return the standard error of a turn of hue, never less than that of a*b* across the hue.

    Beside the warm and the cool pole the slope by hue vanishes, and the doubt does not.
    """
    strength = max(float(chroma(lab)), 1e-6)
    scale = 1.0 + 0.015 * strength
    across = np.array([0.0, -lab[2], lab[1]]) / strength / scale
    least = 0.7 * float(np.sqrt(max(float(across @ covariance @ across), 0.0)))
    slopes = min(
        _error(of, lab, covariance), 3.0 * float(covariance[1, 1] + covariance[2, 2]) ** 0.5
    )
    return max(least, slopes)


# What has changed since the canvas was looked at before.


@dataclass(frozen=True)
class Change:
    """How one dimension of a region changed between two photos, with its p90.

    ``kind`` is the dimension's, ``of`` the region's; ``was`` and ``now`` are the differences from
    the target then and now.
    """

    of: str
    label: str
    kind: str
    was: float
    now: float
    p90: float
    word: str

    @property
    def is_nearer(self) -> bool:
        """Whether it is nearer to its target than it was."""
        return abs(self.now) < abs(self.was)


def changes(now: Sequence[Judged], before: Sequence[Judged]) -> tuple[Change, ...]:
    """Return what changed beyond the doubt of both photos, the largest first.

    What has no region of the same name before is passed over.
    """
    known = {(one.region.kind, one.region.label): one for one in before}
    found = []
    for one in now:
        earlier = known.get((one.region.kind, one.region.label))
        if earlier is None:
            continue
        lab, covariance = earlier.lab, earlier.covariance
        target = one.region.target_lab
        then = dimensions_of(lab, covariance, target)
        moved = dimensions_of(one.lab, one.covariance + covariance, lab)
        for was, is_now, by in zip(then, one.dimensions, moved, strict=False):
            if abs(by.difference) > max(by.p90, KINDS[by.kind].least):
                found.append(
                    Change(
                        one.region.kind,
                        one.region.label,
                        by.kind,
                        was.difference,
                        is_now.difference,
                        by.p90,
                        by.word,
                    )
                )
    return tuple(sorted(found, key=_largest_first))


def _largest_first(change: Change) -> float:
    return -abs(change.now - change.was) / KINDS[change.kind].least


def _farthest(turn: tuple[float, str, str]) -> float:
    return abs(turn[0])
