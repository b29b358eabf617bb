"""Hue names and Munsell chroma against the renotation, the 24-patch chart and real paints."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import (
    hue_family,
    hue_name,
    ipt_hue_deg,
    munsell_chroma,
    munsell_hue,
    munsell_value,
)
from refmatch.colorimetry.lab import hue_deg, lab_to_xyz
from refmatch.colorimetry.viewing import ICC_WHITE
from tests.colorimetry.charts import colour, paint, patch, renotation


def test_munsell_hue_follows_the_renotation():
    real = renotation()
    seen = (real.value >= 2) & (real.value <= 8)
    off = np.abs((munsell_hue(real.lab) - real.hue + 50.0) % 100.0 - 50.0)[seen]
    assert np.median(off) < 1.0
    assert np.percentile(off, 95) < 2.5  # one column of the atlas
    assert off.max() < 6.0


def test_munsell_chroma_follows_the_renotation():
    real = renotation()
    seen = (real.value >= 2) & (real.value <= 8) & (real.chroma >= 2)
    relative = np.abs(munsell_chroma(real.lab) / real.chroma - 1.0)[seen]
    assert np.median(relative) < 0.05
    assert np.percentile(relative, 90) < 0.15


def test_hue_families_are_those_of_the_atlas():
    real = renotation()
    expected = {5: "red", 15: "orange", 25: "yellow", 35: "yellow-green", 45: "green"}
    expected |= {55: "blue-green", 65: "blue", 75: "blue", 85: "violet", 95: "purple-red"}
    strong = (real.chroma >= 6) & (real.value >= 3) & (real.value <= 7)
    for hue, name in expected.items():
        middle = real.lab[strong & (real.hue == hue)]
        agreeing = np.mean([hue_family(lab) == name for lab in middle])
        assert len(middle) > 5
        assert agreeing > 0.85, (hue, name, agreeing)  # orange ends one column off its middle


def test_ipt_hue_is_that_of_colour_science():
    lab = renotation().lab[::97]
    xyz = lab_to_xyz(lab, ICC_WHITE) / 100.0
    white = {
        name: colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"][name]
        for name in ("D50", "D65")
    }
    adapted = colour.adaptation.chromatic_adaptation_VonKries(
        xyz, ICC_WHITE / 100.0, colour.xy_to_XYZ(white["D65"]), transform="Bradford"
    )
    ipt = colour.XYZ_to_IPT(adapted)
    expected = np.degrees(np.arctan2(ipt[..., 2], ipt[..., 1])) % 360.0
    off = (ipt_hue_deg(lab) - expected + 180.0) % 360.0 - 180.0
    assert np.abs(off).max() < 0.05  # the chromaticity of D65 is rounded to four places


NOTATION = {
    "dark skin": (13.0, 3.7, 3.2),
    "light skin": (12.2, 6.47, 4.1),
    "blue sky": (74.3, 4.95, 5.5),
    "foliage": (36.7, 4.2, 4.1),
    "blue flower": (79.7, 5.47, 6.7),
    "bluish green": (52.5, 7.0, 6.0),
    "orange": (15.0, 6.0, 11.0),
    "purplish blue": (77.5, 4.0, 10.7),
    "moderate red": (2.5, 5.0, 10.0),
    "purple": (85.0, 3.0, 7.0),
    "yellow green": (35.0, 7.1, 9.1),
    "orange yellow": (20.0, 7.0, 10.5),
    "blue": (77.5, 2.9, 12.7),
    "red": (5.0, 4.0, 12.0),
    "yellow": (25.0, 8.0, 11.1),
    "magenta": (92.5, 5.0, 12.0),
    "cyan": (65.0, 5.0, 8.0),
}
"""Munsell notation of the chart's patches, hue as 0 to 100: McCamy, Marcus & Davidson 1976,
Journal of Applied Photographic Engineering 2, 95-99 (typed from memory)."""


@pytest.mark.parametrize("name", NOTATION)
def test_patches_have_their_published_munsell_notation(name):
    hue, value, step = NOTATION[name]
    lab = patch(name)
    assert abs((munsell_hue(lab) - hue + 50.0) % 100.0 - 50.0) < 2.5
    assert munsell_value(lab) == pytest.approx(value, abs=0.25)
    assert munsell_chroma(lab) == pytest.approx(step, abs=1.0)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("dark skin", "brown"),
        ("light skin", "pink"),  # "light yellowish pink" is the nearest ISCC-NBS name, from memory
        ("blue sky", "blue"),
        ("foliage", "yellow-green"),
        ("blue flower", "blue"),
        ("bluish green", "blue-green"),
        ("orange", "orange"),
        ("purplish blue", "blue"),
        ("moderate red", "red"),
        ("purple", "violet"),
        ("yellow green", "yellow-green"),
        ("orange yellow", "yellow-orange"),
        ("blue", "blue"),
        ("green", "green"),
        ("red", "red"),
        ("yellow", "yellow"),
        ("magenta", "purple-red"),
        ("cyan", "blue"),
        ("neutral 6.5 (.44 D)", "grey"),
        ("neutral 3.5 (1.05 D)", "grey"),
        ("white 9.5 (.05 D)", "white"),
    ],
)
def test_patches_of_the_24_patch_chart_keep_their_names(name, expected):
    assert hue_name(patch(name)) == expected


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("burnt sienna", "brown"),
        ("burnt umber", "brown"),
        ("red oxide", "brown"),
        ("yellow ochre", "ochre"),
        ("azo green gold", "olive"),
        ("pyrrole red", "red"),
        ("Hansa yellow", "yellow"),
        ("permanent green light", "green"),
        ("titanium white", "white"),
        ("carbon black", "black"),
        ("ultramarine blue", "blue"),
        ("ultramarine blue 1:1", "blue"),
        ("dioxazine purple 1:1", "violet"),
        ("dioxazine purple 1:9", "violet"),
    ],
)
def test_paints_bear_the_names_painters_give_them(name, expected):
    """Common practice, no source, on published colours."""
    assert hue_name(paint(name)) == expected


def test_cielab_alone_could_not_tell_ultramarine_from_dioxazine():
    """The reason for IPT: one CIELAB angle, two names that no painter confuses."""
    blue, violet = paint("ultramarine blue"), paint("dioxazine purple 1:9")
    assert abs(hue_deg(blue) - hue_deg(violet)) < 1.5
    assert ipt_hue_deg(violet) - ipt_hue_deg(blue) > 15.0


def test_a_grey_leans_where_it_leans():
    """Black in white is bluish (common practice; Okumura 2005, carbon black 1:1)."""
    assert hue_name(np.array([23.0, 0.0, -3.0])) == "grey leaning blue"
    assert hue_name(np.array([60.0, 0.0, 0.0])) == "grey"
