"""A screen's colours by their standard, Munsell's by the published renotation."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import adaptation, delta_e_00, xyz_to_lab
from refmatch.colorimetry.notations import lab_from_hex, lab_from_munsell, parse_munsell
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.errors import TargetError, UsageError
from refmatch.target import parse_colour
from tests.colorimetry.charts import colour
from tests.refusals import refused

MAGNESIUM_OXIDE = 0.975
"""Reflectance of the renotation's white beside the perfect reflector (ASTM D1535)."""


def from_c(xyz: np.ndarray) -> np.ndarray:
    """Return the Lab under D50 of XYZ, 0 to 100, under illuminant C, by Bradford."""
    white = 100.0 * colour.xy_to_XYZ(colour.CCS_ILLUMINANTS["cie_2_1931"]["C"])
    return xyz_to_lab(xyz @ adaptation(white, ICC_WHITE).T, ICC_WHITE)


def test_every_real_colour_of_the_renotation_is_itself() -> None:
    """All 2734, values 1 to 9, as in all.dat; real.dat has two of them otherwise.

    Those are 10Y 4/2 and 2.5R 9/2, each by one figure of x.
    """
    real = {key for key, _ in colour.MUNSELL_COLOURS["Munsell Colours Real"]}
    rows = [row for row in colour.MUNSELL_COLOURS["Munsell Colours All"] if row[0] in real]
    assert len(rows) == 2734
    read, published = [], []
    for (hue, value, chroma), (x, y, luminance) in rows:
        text = f"{hue} {value:g}/{chroma:g}"
        munsell = parse_munsell(text)
        assert munsell is not None
        read.append(lab_from_munsell(munsell, text))
        published.append(100.0 * colour.xyY_to_XYZ([x, y, luminance * MAGNESIUM_OXIDE / 100.0]))
    far = delta_e_00(np.array(read), from_c(np.array(published)))
    assert far.max() < 0.1


@pytest.mark.parametrize(
    "text",
    ["2.5YR 5.5/4", "7.3GY 4.2/5.5", "6.2PB 3.6/9.1", "1.1R 7.9/3.3", "8.8P 2.4/7", "4.4B 6.3/1"],
)
def test_between_its_marks_it_is_near_the_standard_s_interpolation(text: str) -> None:
    """Against colour-science's, after ASTM D1535; how to go between the marks is not one rule."""
    xyy = colour.munsell_colour_to_xyY(text)
    expected = from_c(100.0 * colour.xyY_to_XYZ(xyy))
    assert float(delta_e_00(parse_colour(text), expected)) < 0.5


def test_a_neutral_has_no_hue() -> None:
    np.testing.assert_allclose(parse_colour("N 5/")[1:], 0.0, atol=1e-9)
    for text in ("n5", "N 5/0", "N5.0/"):
        np.testing.assert_allclose(parse_colour(text), parse_colour("N 5/"))
    assert parse_colour("N 10/")[0] == pytest.approx(100.0)


def test_capitals_and_spaces_do_not_count() -> None:
    np.testing.assert_allclose(parse_colour("2.5yr5,5/4"), parse_colour("2.5YR 5.5/4"))
    np.testing.assert_allclose(parse_colour("0R 5/4"), parse_colour("10RP 5/4"))


@pytest.mark.parametrize("text", ["#6a5f3c", "#FFFFFF", "#000000", "#7f0000", "#123456"])
def test_a_screen_s_colour_is_srgb(text: str) -> None:
    """IEC 61966-2-1, as colour-science has it, carried to D50 by Bradford."""
    rgb = np.array([int(text[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    white = colour.CCS_ILLUMINANTS["cie_2_1931"]["D65"]
    xyz = 100.0 * colour.RGB_to_XYZ(rgb, "sRGB", white, None, apply_cctf_decoding=True)
    to_d50 = adaptation(100.0 * colour.xy_to_XYZ(white), ICC_WHITE)
    found = lab_from_hex(text)
    assert found is not None
    assert float(delta_e_00(found, xyz_to_lab(to_d50 @ xyz, ICC_WHITE))) < 0.05


def test_a_short_form_doubles_its_digits() -> None:
    np.testing.assert_array_equal(parse_colour("#Abc"), parse_colour("#aabbcc"))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("10YR 5/40", "ends at chroma 16"),
        ("5R 0.1/2", "ends at chroma 0"),
        ("12YR 5/4", "runs to 10"),
        ("5R 11/2", "runs to 10"),
        ("N 11/", "runs to 10"),
        ("#12", "is not a colour"),
        ("5X 5/4", "is not a colour"),
        ("ochre", "is not a colour"),
    ],
)
def test_what_is_no_such_colour_is_refused_in_one_sentence(text: str, says: str) -> None:
    kind = UsageError if says == "is not a colour" else TargetError
    with refused(kind, match=says):
        parse_colour(text)
