"""What is believed of a photo of dabs before it is looked at, and how firmly.

Every standard deviation that camera, photo, known surfaces and recipes are weighed by stands
here, each beside its source; what is done with them stands where they are used.
"""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.makers import Spread

# A camera that nobody has met.

TONE_USUAL: Array = np.array([0.0, -0.3, 0.0, 0.0])
TONE_DOUBT: Array = np.array([0.2, 0.3, 0.1, 0.1])
"""Mean and standard deviation of a_1 to a_4 among tone curves: about what curves of three other
forms have (``docs/derivations/tone_curves.py``; how far makers go is common practice, no source).
"""

VIVID_USUAL, VIVID_DOUBT = 0.04, 0.05
"""How much chroma a maker's look adds, and its standard deviation (own choice: makers please the
eye, and a share of this is seen at once beside the thing)."""

MATRIX_DOUBT = 0.005
"""Standard deviation of each entry off the diagonal of a maker's 3 x 3, beside one fitted by day to
a chart (own choice)."""

SENSOR_DOUBT, SENSOR_REACH_NM = 0.03, 25.0
"""How far the weights of a sensor unlike all that were measured are off, as a part of the three
channels' usual weight at the band, and how smoothly (own choice; with it as many bodies that were
left out lie within what the others let believe as should)."""

TINT_DOUBT, TINT_REACH_NM = 0.04, 80.0
"""How far the lamp's spectrum is off, alike in all channels (own choice)."""

LIKELY = ("D50", "D50", "D65", "LED", "A")
"""What an unknown light may be; dabs are photographed by day more often than not (own choice)."""

EXPOSURE_DOUBT, BALANCE_DOUBT = 0.4, 0.12
"""Standard deviation of ln exposure, alike in all channels, and of ln of each channel's gain."""

GLARE_DOUBT = 0.006
"""Of the light that the lens spreads over everything, white 1."""

UNLIKELY = 4.5
"""A camera that is off by so many standard deviations in any way is called unusual."""


# What a photo leaves open of a spot.

UNEVEN_COUNTS, LEAST_SIGMA = 0.25, 0.002
"""How much of a dab's unevenness is an error of its mean, and the least error (own choice)."""

CHANNEL_ERROR = 0.3
"""Standard error of each channel, in L*, that no unknown explains (own choice)."""

SHADING_DOUBT = 0.02
"""Of the ln of the light over each surface: what is left of uneven light."""

CHART_LIGHT_DOUBT = 0.1
"""Of the ln of the light on a chart: its level beside the dabs', and how it falls off from the
chart's middle to its edge, along each side."""

VEIL = 0.003
"""Standard error of stray light over a dab, as reflectance: brush marks, shine (own choice)."""


NOISE_PATCHES = 4.0
"""What is thought of noise before a photo is looked at counts as so many patches of a chart, so
that it yields to a chart and hardly to three neutrals (own choice)."""


# How well surfaces beside the dabs are known.

PATCH_DOUBT_LSTAR = 1.0
"""How far a chart's patches are from the published ones, in each channel: two published sets of
the same chart (`docs/derivations/chart_patches.py`) differ by 1.1, standard deviation."""

SAME_PIGMENTS, OTHER_PIGMENTS, UNKNOWN_PIGMENTS = 0.3, 0.6, 1.5
"""Standard error of a reference, in L* of each channel: its Lab is known, but how a camera that is
not the eye sees it only as well as its spectrum is (chosen in the virtual studio)."""

REFERENCE_DOUBT = 0.3
"""Standard error of each of L*, a* and b* of a colour that was measured (own choice)."""


# What a recipe leaves open of a dab.

HAND = 0.05
"""Relative standard error of each part in a pile, as in the dabs of a calibration."""

BLACK_SLIP = 0.4
"""Relative error of the parts of black with a colour, besides the hand's: black is stronger there
than in white, which the paint model does not know and must not be laid to the camera."""

BEND_DOUBT = 0.5
"""Standard deviation of each bend beforehand, in ln reflectance (own choice): little beside what a
channel tells, and where one is clipped about what another maker's tube differs by."""

SHAPE_ERROR = 0.3
"""Standard error of each of Lab by spectra that differ from the recipe's in other ways."""

TUBES = Spread(bend=0.2, detail=0.05)
"""What tubes of one pigment differ by where no spectrum speaks: fewer bends than could be seen."""

LEAST_OPEN = 0.02
"""Standard error of ln K of a measured tube whose file says nothing of it: a mode of strength."""


# Where photo and recipe meet.

ALIKE = 0.5
"""How far the errors of a photographed box and of a later photo go together (own choice): it is
mostly the same phone."""

PHOTOS_ALIKE = 0.8
"""How far the errors of two photos of one puddle go together: one phone, one lamp. Measured bodies,
each left out of the belief, err alike by 0.67 to 0.88, by what lies beside and by lamp: the mean
(``tests.benchmarks.photo_alone --twice --painters 30 --piles 4``, correlation)."""

SURPRISING = 3.5
"""How many standard errors photo and recipe may be apart: chance alone does it once in 150."""
