"""The one way from reflectance to XYZ to Lab, and how far two colours are apart.

All arrays end in the channel axis; anything before it is carried along.
"""

from __future__ import annotations

import functools

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import Viewing, viewing

EPSILON = 216.0 / 24389.0
KAPPA = 24389.0 / 27.0


def xyz_to_lab(xyz: Array, white: Array) -> Array:
    """Convert XYZ to CIELAB against a white of the same scale; shape (..., 3).

    Source: ISO/CIE 11664-4:2019 with the exact fractions 216/24389 and 24389/27.
    """
    ratio = np.asarray(xyz, dtype=float) / white
    root = np.where(ratio > EPSILON, np.cbrt(ratio), (KAPPA * ratio + 16.0) / 116.0)
    x, y, z = root[..., 0], root[..., 1], root[..., 2]
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def lab_to_xyz(lab: Array, white: Array) -> Array:
    """Convert CIELAB to XYZ on the scale of ``white``; the inverse of `xyz_to_lab`."""
    lab = np.asarray(lab, dtype=float)
    y = (lab[..., 0] + 16.0) / 116.0
    root = np.stack([y + lab[..., 1] / 500.0, y, y - lab[..., 2] / 200.0], axis=-1)
    cube = root**3
    return np.where(cube > EPSILON, cube, (116.0 * root - 16.0) / KAPPA) * white


def reflectance_to_lab(reflectance: Array, seen: Viewing | None = None) -> Array:
    """Convert reflectance on the 31 bands, 0 to 1, shape (..., 31), to Lab (..., 3).

    The white is the viewing condition's own perfect reflector.
    """
    seen = seen or viewing()
    return xyz_to_lab(reflectance @ seen.weights, seen.white)


def chroma(lab: Array) -> Array:
    """Return C*ab, shape (...)."""
    return np.hypot(np.asarray(lab)[..., 1], np.asarray(lab)[..., 2])


def hue_deg(lab: Array) -> Array:
    """Return the hue angle h_ab in degrees, 0 to 360, shape (...)."""
    lab = np.asarray(lab)
    return np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360.0


def lch_differences(lab: Array, reference: Array) -> tuple[Array, Array, Array]:
    """Return (dL*, dC*, dH*) of ``lab`` minus ``reference``; dH* carries the sign of turn.

    dH* is positive where the hue turns from red towards yellow (ISO/CIE 11664-4).
    """
    lab, reference = np.asarray(lab, dtype=float), np.asarray(reference, dtype=float)
    d_l = lab[..., 0] - reference[..., 0]
    d_c = chroma(lab) - chroma(reference)
    half_turn = np.radians(hue_deg(lab) - hue_deg(reference)) / 2.0
    d_h = 2.0 * np.sqrt(chroma(lab) * chroma(reference)) * np.sin(half_turn)
    turned = np.abs(hue_deg(lab) - hue_deg(reference)) > 180.0
    return d_l, d_c, np.where(turned, -d_h, d_h)


def delta_e_00(lab_1: Array, lab_2: Array) -> Array:
    """Return the CIEDE2000 difference with kL = kC = kH = 1; shapes broadcast, (...).

    Source: Sharma, Wu & Dalal 2005, Color Research & Application 30, 21-30,
    doi:10.1002/col.20070; equation numbers are theirs.
    """
    lab_1, lab_2 = np.asarray(lab_1, dtype=float), np.asarray(lab_2, dtype=float)
    l_1, a_1, b_1 = lab_1[..., 0], lab_1[..., 1], lab_1[..., 2]
    l_2, a_2, b_2 = lab_2[..., 0], lab_2[..., 1], lab_2[..., 2]
    c_bar_7 = ((np.hypot(a_1, b_1) + np.hypot(a_2, b_2)) / 2.0) ** 7  # (2), (3)
    g = 0.5 * (1.0 - np.sqrt(c_bar_7 / (c_bar_7 + 25.0**7)))  # (4)
    a_1, a_2 = (1.0 + g) * a_1, (1.0 + g) * a_2  # (5)
    c_1, c_2 = np.hypot(a_1, b_1), np.hypot(a_2, b_2)  # (6)
    h_1 = np.degrees(np.arctan2(b_1, a_1)) % 360.0  # (7)
    h_2 = np.degrees(np.arctan2(b_2, a_2)) % 360.0

    grey = c_1 * c_2 == 0.0
    turn = (h_2 - h_1 + 180.0) % 360.0 - 180.0  # (10)
    turn = np.where(turn == -180.0, np.where(h_2 > h_1, 180.0, -180.0), turn)
    turn = np.where(grey, 0.0, turn)
    d_l, d_c = l_2 - l_1, c_2 - c_1  # (8), (9)
    d_h = 2.0 * np.sqrt(c_1 * c_2) * np.sin(np.radians(turn / 2.0))  # (11)

    l_bar, c_bar = (l_1 + l_2) / 2.0, (c_1 + c_2) / 2.0  # (12), (13)
    h_sum = h_1 + h_2
    far = np.abs(h_1 - h_2) > 180.0
    h_bar = np.where(far, np.where(h_sum < 360.0, h_sum + 360.0, h_sum - 360.0), h_sum) / 2.0
    h_bar = np.where(grey, h_sum, h_bar)  # (14)
    t = (
        1.0
        - 0.17 * np.cos(np.radians(h_bar - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * h_bar))
        + 0.32 * np.cos(np.radians(3.0 * h_bar + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * h_bar - 63.0))
    )  # (15)
    d_theta = 30.0 * np.exp(-(((h_bar - 275.0) / 25.0) ** 2))  # (16)
    r_c = 2.0 * np.sqrt(c_bar**7 / (c_bar**7 + 25.0**7))  # (17)
    s_l = 1.0 + 0.015 * (l_bar - 50.0) ** 2 / np.sqrt(20.0 + (l_bar - 50.0) ** 2)  # (18)
    s_c = 1.0 + 0.045 * c_bar  # (19)
    s_h = 1.0 + 0.015 * c_bar * t  # (20)
    r_t = -np.sin(np.radians(2.0 * d_theta)) * r_c  # (21)
    l_term, c_term, h_term = d_l / s_l, d_c / s_c, d_h / s_h
    squared = l_term**2 + c_term**2 + h_term**2 + r_t * c_term * h_term  # (22)
    return np.sqrt(np.maximum(squared, 0.0))


def lab_slopes(xyz: Array, white: Array) -> Array:
    """Return the 3 x 3 slopes of Lab by XYZ, shape (..., 3, 3)."""
    ratio = np.maximum(xyz / white, 1e-9)
    cube = ratio ** (-2.0 / 3.0) / 3.0
    slope = np.where(ratio > EPSILON, cube, KAPPA / 116.0) / white
    chain = np.array([[0.0, 116.0, 0.0], [500.0, -500.0, 0.0], [0.0, 200.0, -200.0]])
    return chain * slope[..., None, :]


# What a colour becomes when the eye has settled to another light.

BRADFORD: Array = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
"""XYZ to the sharpened cones of Bradford (Lam 1985; ICC.1:2022, annex E)."""


def adaptation(white_from: Array, white_to: Array) -> Array:
    """Return the 3 x 3 matrix that carries XYZ from one white to another, whole adaptation.

    ``matrix @ white_from`` equals ``white_to``. Source: ICC.1:2022, annex E (Bradford).
    """
    gain = (BRADFORD @ white_to) / (BRADFORD @ white_from)
    return np.linalg.solve(BRADFORD, gain[:, None] * BRADFORD)


# The object-colour solid: every colour a surface can have under one light.
#
# A surface reflects between nothing and everything in each band, so its XYZ is a
# sum of the bands' weights, each taken between 0 and 1 times: a zonotope, whose
# faces are spanned by pairs of bands. Being inside is being within every pair of
# parallel faces.


def excess(lab: Array, illuminant: str = "D50") -> float:
    """Return how far a colour lies beyond what any surface can have: 1 is the surface.

    The number is the largest ratio of the colour's distance from middle grey to
    that of the solid's face in the same direction; up to 1 some surface can look so.

    Source: Schrodinger 1920, Annalen der Physik 62, 603-622, for the solid;
    McMullen 1971 for the faces of a zonotope.
    """
    look = viewing(illuminant)
    normals, half_widths = _faces(illuminant)
    from_middle = lab_to_xyz(lab, look.white) - look.white / 2.0
    return float(np.max(np.abs(normals @ from_middle) / half_widths))


@functools.cache
def _faces(illuminant: str) -> tuple[Array, Array]:
    """Return the normals (faces, 3) of the solid and its half widths along them."""
    weights = viewing(illuminant).weights
    first, second = np.triu_indices(len(weights), k=1)
    normals = np.cross(weights[first], weights[second])
    length = np.linalg.norm(normals, axis=1)
    normals = normals[length > 1e-9] / length[length > 1e-9, None]
    return normals, np.abs(normals @ weights.T).sum(axis=1) / 2.0
