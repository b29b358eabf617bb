"""From photos of dabs to a box: the camera and the paints that explain them, found together.

The dabs of known pigment are a noisy chart: what all of them say of the camera, the camera
gives back to each of the paints.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, XYZ_TO_SRGB
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.camera import (
    GLARE,
    PER_PHOTO,
    TONE,
    Camera,
    Light,
    generic_camera,
    lightness,
    lightness_slope,
)
from refmatch.dabs.chart_colours import as_known
from refmatch.dabs.doubt import (
    BALANCE_DOUBT,
    BLACK_SLIP,
    CHANNEL_ERROR,
    CHART_LIGHT_DOUBT,
    EXPOSURE_DOUBT,
    GLARE_DOUBT,
    SHADING_DOUBT,
    TONE_DOUBT,
    TUBES,
    UNLIKELY,
    VEIL,
)
from refmatch.dabs.spot import STATES, Known, PhotoDab, Spot
from refmatch.flag import Flag
from refmatch.paint.box import BLACKS, Box, CameraBelief
from refmatch.paint.fit.belief import Belief
from refmatch.paint.fit.fit import Fitted, Task
from refmatch.paint.fit.swatch import Look, Swatch
from refmatch.paint.fit.tubes import Learnt, Named, beliefs_of, check
from refmatch.paint.kubelka_munk import GLOSS, Surface

# Dabs as a camera saw them: what a fit of the paints compares with, camera and all.
#
# The camera's weights are one for all photos; exposure, balance, glare and tone curve are each
# photo's own.


class Photographed:
    """An observation: dabs, then known surfaces, as one photo or a few hold them.

    Its unknowns: nine of each photo, the camera's ways, the shading left over each surface, and
    three of the light on the chart in each photo that has one.
    ``lit`` (n,) is how much light is known to be on each surface, where it is uneven;
    ``noise`` is what all that no camera explains is wider by than was thought.
    """

    def __init__(self, dabs: Sequence[Spot], known: Sequence[Known], generic: CameraBelief) -> None:
        self.generic = generic
        spots = (*dabs, *(surface.spot for surface in known))
        self.spots: tuple[Spot, ...] = spots
        shading = np.array([spot.shading for spot in spots])
        self.lit: Array = shading
        self.noise = 1.0
        self.dabs = len(dabs)
        self.known = np.array([surface.reflectance for surface in known]).reshape(-1, BANDS)
        raw = np.stack([spot.xyz for spot in spots]) * shading[:, None]
        linear = 100.0 * raw @ XYZ_TO_SRGB.T
        self.code = lightness(linear)
        sigma = np.stack([spot.sigma for spot in spots]) * shading[:, None]
        uneven = 100.0 * sigma @ np.abs(XYZ_TO_SRGB).T
        own = lightness_slope(np.maximum(linear, 0.0)) * uneven
        doubt = np.array([0.0] * len(dabs) + [surface.doubt_lstar for surface in known])
        self.sigma = np.hypot(own, np.hypot(CHANNEL_ERROR, doubt)[:, None] / 100.0)
        self.high = np.array([spot.high for spot in spots])
        self.low = np.array([spot.low for spot in spots])
        self.photo = np.array([spot.photo for spot in spots])
        self.photos = int(self.photo.max()) + 1
        self.at_ways = PER_PHOTO * self.photos
        self.at_shade = self.at_ways + len(generic.ways)
        self.on_charts = CHART_LIGHT_DOUBT * _on_charts(len(dabs), known, self.photos)
        self.at_charts = self.at_shade + len(spots)
        self.size = self.at_charts + self.on_charts.shape[1]
        by_band = np.moveaxis(generic.ways, 0, -1)  # (31, 3, ways): one product for all surfaces
        self.ways_by_band = np.ascontiguousarray(by_band.reshape(BANDS, -1))
        self.rows = np.full(self.dabs, 3)

    def lit_by(self, lit: Array) -> Photographed:
        """Return the same under other light, ``lit`` (n,) on each spot."""
        other = copy.copy(self)
        other.lit = lit
        return other

    def noisier(self, times: float) -> Photographed:
        """Return the same where errors of spots, and the light on them, stray so much farther."""
        other = copy.copy(self)
        other.noise, other.sigma = self.noise * times, self.sigma * times
        return other

    def cameras(self, own: Array) -> tuple[Camera, ...]:
        """Return the camera as it took each photo."""
        ways = np.tensordot(own[self.at_ways : self.at_shade], self.generic.ways, axes=1)
        weights = self.generic.weights + ways
        rows = own[: self.at_ways].reshape(self.photos, PER_PHOTO)
        return tuple(Camera.of(weights, row) for row in rows)

    def look(self, root: Array, own: Array) -> Look:
        """Compare channel by channel in lightness; a clipped channel is a bound."""
        surfaces, n = np.concatenate([root**3, self.known]), self.dabs
        expected = self._expected(surfaces, own)
        miss = (self.code - expected.code) / self.sigma
        free = (self.high & (miss < 0.0)) | (self.low & (miss > 0.0))
        counts = np.where(free, 0.0, 1.0) / self.sigma
        by_own = counts[..., None] * self._by_own(surfaces, expected)
        miss = np.where(free, 0.0, miss)
        by_light = counts * expected.by_light * expected.gained
        by_root = by_light[:n, :, None] * expected.weights.T * (3.0 * root**2)[:, None, :]
        aside = by_own[n:].reshape(-1, self.size)
        return Look(miss[:n], by_root, by_own[:n], miss[n:].ravel(), aside)

    def off(self, root: Array, own: Array) -> Array:
        """Return by how much the dabs' linear sRGB is other than expected, (n, 3), white 1.

        Camera and shading are undone; a clipped channel that keeps to its bound is not off.
        """
        cameras, look = self.cameras(own), self.look(root, own)
        light = np.empty((self.dabs, 3))
        for photo, camera in enumerate(cameras):
            rows = self.photo[: self.dabs] == photo
            light[rows] = camera.light_of(self.code[: self.dabs][rows])
        off = light / self._shade(own)[: self.dabs] - root**3 @ cameras[0].weights
        return np.where(look.miss == 0.0, 0.0, off)

    def _shade(self, own: Array) -> Array:
        left = self.noise * SHADING_DOUBT * own[self.at_shade : self.at_charts]
        return (self.lit * np.exp(left + self.on_charts @ own[self.at_charts :]))[:, None]

    def _expected(self, surfaces: Array, own: Array) -> _Expected:
        """Return what the photos should hold of surfaces, (n, 31)."""
        cameras, shape = self.cameras(own), (len(surfaces), 3)
        code, steep = np.empty(shape), np.empty(shape)
        by_tone = np.empty((*shape, len(TONE_DOUBT)))
        gained = np.stack([camera.gains for camera in cameras])[self.photo] * self._shade(own)
        glare = np.array([camera.glare for camera in cameras])[self.photo, None]
        light = surfaces @ cameras[0].weights * gained
        value = lightness(light + glare)
        for photo, camera in enumerate(cameras):
            rows = self.photo == photo
            code[rows] = camera.tone(value[rows])
            steep[rows] = camera.tone.steepness(value[rows])
            by_tone[rows] = camera.tone.slopes(value[rows]) * TONE_DOUBT
        by_light = steep * lightness_slope(light + glare)
        return _Expected(code, light, by_light, by_tone, gained, cameras[0].weights)

    def _by_own(self, surfaces: Array, expected: _Expected) -> Array:
        """Return the slopes of what is expected by all unknowns, (n, 3, size)."""
        slope = np.zeros((*expected.code.shape, self.size))
        by_ln = expected.by_light * expected.light
        for photo in range(self.photos):
            rows = np.flatnonzero(self.photo == photo)
            block = np.zeros((len(rows), 3, PER_PHOTO))
            block[:, :, 0] = EXPOSURE_DOUBT * by_ln[rows]
            for channel in range(3):
                block[:, channel, 1 + channel] = BALANCE_DOUBT * by_ln[rows, channel]
            block[:, :, GLARE] = GLARE_DOUBT * expected.by_light[rows]
            block[:, :, TONE] = expected.by_tone[rows]
            slope[rows, :, PER_PHOTO * photo : PER_PHOTO * (photo + 1)] = block
        ways = (surfaces @ self.ways_by_band).reshape(len(surfaces), 3, -1)
        slope[:, :, self.at_ways : self.at_shade] = (expected.by_light * expected.gained)[
            ..., None
        ] * ways
        every = np.arange(len(surfaces))
        slope[every, :, self.at_shade + every] = self.noise * SHADING_DOUBT * by_ln
        slope[:, :, self.at_charts :] = by_ln[..., None] * self.on_charts[:, None, :]
        return slope


def _on_charts(dabs: int, known: Sequence[Known], photos: int) -> Array:
    """Return level, column and row, of each spot on a chart, (n, 3 x photos with a chart)."""
    blocks = np.zeros((photos, dabs + len(known), 3))
    for n, surface in enumerate(known, start=dabs):
        if surface.on_chart is not None:
            blocks[surface.spot.photo, n] = 1.0, *surface.on_chart
    charts = [block for block in blocks if block.any()]
    return np.concatenate(charts, axis=1) if charts else np.zeros((dabs + len(known), 0))


@dataclass(frozen=True, eq=False)
class _Expected:
    """What photos should hold, (n, 3) each, and the slopes of ``code``.

    ``light`` is linear before glare, ``gained`` what gains and shading multiply it by;
    ``by_light`` are slopes by it, ``by_tone`` (n, 3, 4) those by the tone curve's terms.
    """

    code: Array
    light: Array
    by_light: Array
    by_tone: Array
    gained: Array
    weights: Array


@dataclass(frozen=True, eq=False)
class Explained:
    """The fit, and beside it each dab: as found by the paints, and as the camera saw it.

    ``found`` and ``camera_lab`` (n, 3) are Lab, ``misses`` the dE00 between them.
    """

    fitted: Fitted
    observation: Photographed
    swatches: tuple[Swatch, ...]
    fit_lab: Array
    camera_lab: Array

    @property
    def misses(self) -> tuple[float, ...]:
        """How far each dab is missed, in dE00."""
        return tuple(float(miss) for miss in delta_e_00(self.fit_lab, self.camera_lab))


def explain(
    tubes: Sequence[Named],
    beliefs: Sequence[Belief],
    dabs: Sequence[PhotoDab],
    known: Sequence[Known],
    *,
    camera: CameraBelief | None = None,
    surface: Surface = GLOSS,
) -> Explained:
    """Return the most probable camera and curves, given what is believed of each.

    ``dabs`` number the tubes as they stand in ``tubes`` and ``beliefs``. Of a ``camera`` that is
    not told nothing is known, nor of the light.
    """
    swatches = [_swatch(dab, tubes) for dab in dabs]
    task = Task(tuple(beliefs), tuple(swatches), surface)
    believed = generic_camera() if camera is None else camera
    fitted, observation = _fit(task, Photographed([dab.spot for dab in dabs], known, believed))
    fit_lab, camera_lab = _colours(fitted, observation)
    shown = (
        replace(swatch, reflectance=row**3)
        for swatch, row in zip(swatches, fitted.root, strict=True)
    )
    return Explained(fitted, observation, tuple(shown), fit_lab, camera_lab)


def _swatch(dab: PhotoDab, tubes: Sequence[Named]) -> Swatch:
    """Return a dab as a swatch; of a black in colours the parts tell less than the hand would."""
    mixed = [tubes[tube] for tube in dab.tubes]
    colours = [paint for paint in mixed if not paint.is_white and not BLACKS & set(paint.keys)]
    black = any(BLACKS & set(paint.keys) for paint in mixed)
    hand = float(np.hypot(dab.hand, BLACK_SLIP)) if black and colours else dab.hand
    f = STATES[dab.state].f
    return Swatch(dab.label, dab.tubes, dab.parts, np.full(BANDS, 0.5), f=f, hand=hand)


def _fit(task: Task, observation: Photographed) -> tuple[Fitted, Photographed]:
    """Fit; where the light was uneven, look again as the tone curve found shows it, and refit."""
    fitted = replace(task, observation=observation, veil=VEIL).solve()
    if np.all(observation.lit == 1.0):
        return fitted, observation
    again = observation.lit_by(_lit(observation.cameras(fitted.own), observation.spots))
    return replace(task, observation=again, veil=VEIL).solve(), again


def _lit(cameras: Sequence[Camera], spots: Sequence[Spot]) -> Array:
    """Return how much light is on each spot, by how the tone curve shows it on paper."""
    return np.array(
        [
            float(cameras[spot.photo].lit(np.array(spot.shading), np.array(spot.paper)))
            for spot in spots
        ]
    )


def _colours(fitted: Fitted, observation: Photographed) -> tuple[Array, Array]:
    """Return the Lab that the dabs are found to have, and what the camera saw, (n, 3) each."""
    lab = reflectance_to_lab(fitted.root**3)
    off = observation.off(fitted.root, fitted.own) @ SRGB_TO_XYZ.T
    return lab, xyz_to_lab(np.maximum(lab_to_xyz(lab, ICC_WHITE) + off, 0.0), ICC_WHITE)


# A painter's own camera: what the photo of their dabs told of it, and how far it is believed.
#
# Grey, white and black say how a photo was exposed, and nothing of how its camera sees colour. The
# fit of the paints does: from then on it is not any camera.

MOST_WAYS = 16
"""So many ways in which the camera may be off are kept; they are made wider by what is left out."""


def own_camera(explained: Explained) -> CameraBelief:
    """Return what a fit of dabs has found of its camera, and what it leaves open."""
    observation, own = explained.observation, explained.fitted.own
    rows = slice(observation.at_ways, observation.at_shade)
    covariance = explained.fitted.covariance[-observation.size :, -observation.size :][rows, rows]
    values, vectors = np.linalg.eigh(covariance)
    ways = observation.generic.ways
    flat = (vectors * np.sqrt(np.maximum(values, 0.0))).T @ ways.reshape(len(ways), -1)
    _, size, axes = np.linalg.svd(flat, full_matrices=False)
    kept = size[:MOST_WAYS] * np.sqrt((size**2).sum() / (size[:MOST_WAYS] ** 2).sum())
    weights = observation.cameras(own)[0].weights
    return CameraBelief(weights, (kept[:, None] * axes[:MOST_WAYS]).reshape(-1, *weights.shape))


# From a photo of dabs to a box.


def photo_flags(
    observation: Photographed, own: Array, dabs: Sequence[PhotoDab], known: Sequence[Known]
) -> tuple[Flag, ...]:
    """Return what to say of the photos as a whole; ``own`` is what was found of the camera."""
    return (*_clipped_flags(dabs), *_camera_flags(observation, own, known))


def _clipped_flags(dabs: Sequence[PhotoDab]) -> tuple[Flag, ...]:
    clipped = [dab.label for dab in dabs if dab.spot.is_clipped]
    if not clipped:
        return ()
    return (Flag("clipped_dabs", clipped=tuple(clipped), dabs=len(dabs)),)


def _camera_flags(
    observation: Photographed, own: Array, known: Sequence[Known]
) -> tuple[Flag, ...]:
    flags = []
    if {surface.spot.photo for surface in known} < set(observation.photo.tolist()):
        flags.append(Flag("no_neutral"))
    if np.abs(own[: observation.at_shade]).max() > UNLIKELY:
        flags.append(Flag("unusual_camera"))
    return tuple(flags)


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A box of photographed tubes, and the camera they were seen by, photo by photo.

    ``misses`` are the dE00 between each dab as found and as the camera saw it, in order;
    ``fit_lab`` (n, 3) is the Lab that each is found to have, ``camera_lab`` (n, 3) the Lab that the
    camera, known by now, saw.
    """

    box: Box
    cameras: tuple[Camera, ...]
    misses: tuple[float, ...]
    fit_lab: Array
    camera_lab: Array
    flags: tuple[Flag, ...] = ()


def calibrate(
    tubes: Sequence[Named],
    reference_white: str,
    dabs: Sequence[PhotoDab],
    neutrals: Sequence[Known] = (),
    *,
    light: Light | None = None,
    chart: Sequence[Known] = (),
    name: str = "photographed",
    parts: str = "volume",
) -> Calibrated:
    """Return the box, and the camera, that explain a photo of dabs best.

    Args:
        tubes: in the order in which dabs number them.
        reference_white: the name of the white whose S is 1 in every band.
        dabs: masstones and mixtures, as one photo or a few by one camera in one light show
            them; white's and black's among them.
        neutrals: surfaces of known grey in the same photos: a grey card.
        light: its name or kelvins, where it is known.
        chart: patches of known reflectance (`chart_patches`) in the same photos.
        name: of the box.
        parts: "volume" or "mass": what the dabs' parts were counted by.

    Raises:
        BoxError: no dab, or a tube without any. UsageError: no such light.
    """
    check(tubes, [dab.tubes for dab in dabs])
    known = [*neutrals, *as_known(chart)]
    beliefs = beliefs_of(tubes, reference_white, TUBES)
    explained = explain(tubes, beliefs, dabs, known, camera=generic_camera(light))
    learnt = Learnt(
        tuple(tubes),
        reference_white,
        beliefs,
        explained.swatches,
        explained.fitted,
        explained.misses,
    )
    return Calibrated(
        box=replace(learnt.box(name, parts, "photographed"), camera=own_camera(explained)),
        cameras=explained.observation.cameras(explained.fitted.own),
        misses=explained.misses,
        fit_lab=explained.fit_lab,
        camera_lab=explained.camera_lab,
        flags=(
            *learnt.flags(),
            *photo_flags(explained.observation, explained.fitted.own, dabs, known),
        ),
    )
