"""Colours by their ICC profile, against colour-science, Pillow's littleCMS and plain tables."""

from __future__ import annotations

import io
import warnings

import imagecodecs
import numpy as np
import pytest
import skimage.data
import tifffile
from PIL import Image, ImageCms

from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.lab import adaptation, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.errors import PhotoError
from refmatch.photo import photo
from refmatch.photo.load import load
from refmatch.photo.transform import by_littlecms, transform
from tests.photo.lut_profile import lut_profile
from tests.photo.pictures import photo_of
from tests.refusals import refused

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it warns that it has no plotting library
    import colour

CODES = np.random.default_rng(3).integers(0, 256, (20, 30, 3))
"""Random device codes, most of them within the gamut and some at its edge."""


def lab_of(photo) -> np.ndarray:
    xyz = photo.linear(0, 0, photo.height_px, photo.width_px)
    return xyz_to_lab(xyz.astype(float), ICC_WHITE / 100.0)


def expected_xyz(space: str, device: np.ndarray) -> np.ndarray:
    """XYZ under D50 by colour-science's matrix and curve of a colour space."""
    found = colour.RGB_COLOURSPACES[space]
    xyz = found.cctf_decoding(device) @ found.matrix_RGB_to_XYZ.T
    white = found.matrix_RGB_to_XYZ.sum(axis=1)
    return xyz @ adaptation(white * 100.0, ICC_WHITE).T


def matrix_profile(space: str) -> bytes:
    """Build a matrix profile from colour-science's primaries, white and curve."""
    found = colour.RGB_COLOURSPACES[space]
    primaries = np.column_stack([found.primaries, np.ones(3)]).ravel()
    return imagecodecs.cms_profile(
        "rgb",
        whitepoint=(*found.whitepoint, 1.0),
        primaries=primaries,
        transferfunction=found.cctf_decoding(np.linspace(0.0, 1.0, 4096)).astype(np.float32),
    )


def save_tiff(path, samples, profile=None, photometric="rgb"):
    tifffile.imwrite(path, samples, photometric=photometric, iccprofile=profile)
    return path


def test_untagged_is_srgb_as_iec_61966_2_1(tmp_path):
    photo = photo_of(tmp_path, CODES.astype(np.uint8))
    # IEC 61966-2-1:1999 by way of colour-science
    assert np.allclose(photo.linear(0, 0, 20, 30), expected_xyz("sRGB", CODES / 255.0), atol=2e-4)


@pytest.mark.parametrize("depth", [8, 16])
@pytest.mark.parametrize("space", ["Display P3", "Adobe RGB (1998)", "ProPhoto RGB"])
def test_wide_gamuts_agree_with_colour_science(space, depth, tmp_path):
    codes = CODES.astype(np.uint8) if depth == 8 else (CODES * 257).astype(np.uint16)
    photo = load(save_tiff(tmp_path / "pear.tif", codes, matrix_profile(space)))
    assert photo.bit_depth == depth
    assert photo.profile_name != "sRGB, assumed"
    assert photo.flags == ()
    xyz = expected_xyz(space, CODES / 255.0)
    # 3e-4 of white: profiles store s15Fixed16 numbers and curves of 16 bits
    assert np.allclose(photo.linear(0, 0, 20, 30), xyz, atol=3e-4)


@pytest.mark.parametrize("dtype", [np.uint8, np.uint16])
@pytest.mark.parametrize("space", ["sRGB", "Display P3", "ProPhoto RGB"])
def test_the_quick_way_agrees_with_littlecms_itself(space, dtype):
    ready = transform("", matrix_profile(space), "rgb", np.dtype(dtype))
    codes = np.random.default_rng(8).integers(0, np.iinfo(dtype).max + 1, (50, 50, 3)).astype(dtype)
    assert ready.additive is not None
    assert np.abs(ready.xyz(codes) - by_littlecms(codes, ready.icc, "rgb")).max() < 2e-5


def test_colours_outside_srgb_are_kept(tmp_path):
    green = np.full((2, 2, 3), [0, 255, 0], np.uint8)
    photo = load(save_tiff(tmp_path / "leaf.tif", green, matrix_profile("Adobe RGB (1998)")))
    srgb = photo.linear(0, 0, 1, 1)[0, 0] * 100.0 @ XYZ_TO_SRGB.T
    assert srgb[0] < -0.3


def test_floats_beyond_one_are_kept(tmp_path):
    bright = np.full((2, 2, 3), 1.5, np.float32)
    photo = load(save_tiff(tmp_path / "lamp.tif", bright))
    assert photo.bit_depth == 32
    # IEC 61966-2-1 carried on above 1: ((1.5 + 0.055) / 1.055) ** 2.4
    assert photo.linear(0, 0, 1, 1)[0, 0, 1] == pytest.approx((1.555 / 1.055) ** 2.4, rel=1e-3)
    assert not photo.clipped(0, 0, 2, 2).any()


def test_a_16_bit_ramp_keeps_its_levels(tmp_path):
    ramp = np.repeat(np.arange(20_000, 24_096, dtype=np.uint16)[None, :, None], 3, axis=2)
    photo = load(save_tiff(tmp_path / "ramp.tif", ramp))
    assert len(np.unique(photo.linear(0, 0, 1, 4096)[..., 1])) == 4096


@pytest.mark.parametrize("dtype", [np.uint8, np.uint16])
def test_clipping_is_found_in_the_files_own_samples(dtype, tmp_path):
    top = np.iinfo(dtype).max
    samples = np.full((3, 4, 3), top // 2, dtype)
    samples[0, 1, 2], samples[2, 3, 0], samples[1, 1] = top, 0, top - 1
    photo = load(save_tiff(tmp_path / "sky.tif", samples, matrix_profile("Display P3")))
    assert np.argwhere(photo.clipped(0, 0, 3, 4, end="high")).tolist() == [[0, 1]]
    assert np.argwhere(photo.clipped(0, 0, 3, 4, end="low")).tolist() == [[2, 3]]
    assert np.argwhere(photo.clipped(0, 0, 3, 4)).tolist() == [[0, 1], [2, 3]]


def test_8_bit_colours_agree_with_pillows_littlecms(tmp_path):
    profile = matrix_profile("Display P3")
    photo = load(save_tiff(tmp_path / "pear.tif", CODES.astype(np.uint8), profile))
    source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    to_lab = ImageCms.buildTransform(
        source, ImageCms.createProfile("LAB"), "RGB", "LAB", renderingIntent=1
    )
    picture = ImageCms.applyTransform(Image.fromarray(CODES.astype(np.uint8)), to_lab)
    codes = np.asarray(picture).astype(float)
    signed = np.where(codes[..., 1:] > 127, codes[..., 1:] - 256, codes[..., 1:])
    lab = np.concatenate([codes[..., :1] / 2.55, signed], axis=-1)
    within = np.all(np.abs(lab[..., 1:]) < 127, axis=-1)  # 8-bit Lab ends there
    assert within.mean() > 0.95
    assert np.abs(lab_of(photo) - lab)[within].max() < 0.75  # half a code, and rounding


def _table_lab(device: np.ndarray) -> np.ndarray:
    """An invented scanner whose channels do not add up."""
    r, g, b = device
    return np.array([100.0 * (0.3 * r + 0.6 * g + 0.1 * b), 90 * r * (1 - g), 80 * (g - b) * r])


@pytest.mark.parametrize("dtype", [np.uint8, np.uint16])
def test_a_table_profile_is_honoured_at_its_nodes(dtype, tmp_path):
    device = np.random.default_rng(5).integers(0, 6, (4, 6, 3)) / 5.0  # nodes of a grid of 6
    profile = lut_profile(b"RGB ", 3, _table_lab, grid=6)
    codes = np.rint(device * np.iinfo(dtype).max).astype(dtype)
    photo = load(save_tiff(tmp_path / "scan.tif", codes, profile))
    assert photo.profile_name == "Orchard table"
    assert photo.transform.additive is None
    expected = np.apply_along_axis(_table_lab, 2, device)
    assert np.abs(lab_of(photo) - expected).max() < 0.03
    assert photo.working(4).xyz.shape == (2, 3, 3)


@pytest.mark.parametrize("longest_side_px", [10, 24, 60, 200])
@pytest.mark.parametrize(("most_pixels", "error"), [(6_000_000, 1e-5), (30_000, 0.006)])
def test_a_table_profile_reaches_mean_light_too(
    longest_side_px, most_pixels, error, tmp_path, monkeypatch
):
    monkeypatch.setattr(photo, "MOST_SLOW_PIXELS", most_pixels)
    profile = lut_profile(b"RGB ", 3, _table_lab, grid=6)
    scan = load(save_tiff(tmp_path / "scan.tif", skimage.data.chelsea()[:, :300], profile))
    small = scan.working(longest_side_px)
    side = round(1 / small.scale)
    n = 300 // side
    assert max(small.xyz.shape) <= longest_side_px
    whole = scan.linear(0, 0, n * side, n * side)
    mean = whole.reshape(n, side, n, side, 3).mean(axis=(1, 3))
    assert np.median(np.abs(small.xyz[:n, :n] - mean)) < error


def _inks_lab(inks: np.ndarray) -> np.ndarray:
    c, m, y, k = inks
    return np.array([95.0 * (1 - 0.3 * c - 0.3 * m) * (1 - k), 60 * (m - c), 70 * (y - 0.5 * m)])


def test_a_cmyk_jpeg_goes_through_its_table(tmp_path):
    profile = lut_profile(b"CMYK", 4, _inks_lab, grid=6)
    inks = np.array([0, 51, 102, 0])  # nodes of a grid of 6
    path = tmp_path / "print.jpg"
    picture = Image.frombytes("CMYK", (16, 16), np.full((16, 16, 4), inks, np.uint8).tobytes())
    picture.save(path, quality=100, icc_profile=profile)
    photo = load(path)
    assert lab_of(photo)[8, 8] == pytest.approx(_inks_lab(inks / 255.0), abs=0.8)
    assert not photo.clipped(0, 0, 16, 16).any()


def test_a_cmyk_tiff_goes_through_its_table(tmp_path):
    profile = lut_profile(b"CMYK", 4, _inks_lab, grid=6)
    codes = np.full((4, 4, 4), [51, 102, 204, 51], np.uint8)
    codes[0, 0] = 0
    photo = load(save_tiff(tmp_path / "print.tif", codes, profile, "separated"))
    assert lab_of(photo)[2, 2] == pytest.approx(_inks_lab(codes[2, 2] / 255.0), abs=0.03)
    assert photo.clipped(0, 0, 4, 4, end="high").sum() == 1  # bare paper


def test_cmyk_without_a_profile_is_refused(tmp_path):
    path = tmp_path / "print.jpg"
    Image.new("CMYK", (8, 8), (0, 40, 80, 0)).save(path)
    with refused(PhotoError, match="printing inks"):
        load(path)


def test_a_grey_profile_gives_a_neutral_of_its_own_curve(tmp_path):
    profile = imagecodecs.cms_profile("gray", whitepoint=(0.3457, 0.3585, 1.0), gamma=1.8)
    grey = np.full((3, 3), 128, np.uint8)
    photo = load(save_tiff(tmp_path / "grey.tif", grey, profile, "minisblack"))
    xyz = photo.linear(0, 0, 1, 1)[0, 0]
    assert xyz[1] == pytest.approx((128 / 255) ** 1.8, abs=1e-3)
    assert xyz / xyz[1] == pytest.approx(ICC_WHITE / 100.0, abs=1e-3)
    assert [flag.name for flag in photo.flags] == ["greyscale"]


def test_grey_without_a_profile_has_srgbs_curve(tmp_path):
    photo = photo_of(tmp_path, np.full((3, 3), 119, np.uint8))
    assert lab_of(photo)[0, 0] == pytest.approx([50.0, 0.0, 0.0], abs=0.2)
    assert [flag.name for flag in photo.flags] == ["assumed_srgb", "greyscale"]


@pytest.mark.parametrize("profile", [b"nonsense" * 40, lut_profile(b"CMYK", 4, _inks_lab, 3)])
def test_a_profile_that_does_not_serve_is_said(profile, tmp_path):
    photo = load(save_tiff(tmp_path / "pear.tif", CODES.astype(np.uint8), profile))
    assert [flag.name for flag in photo.flags] == ["profile_unreadable"]
    assert np.allclose(photo.linear(0, 0, 20, 30), expected_xyz("sRGB", CODES / 255.0), atol=2e-4)


def test_adobe_rgb_named_by_exif_alone_is_honoured(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 1
    exif.get_ifd(0x8769)[0xA001] = 0xFFFF
    exif.get_ifd(0x8769)[0xA005] = {0x0001: "R03"}  # CIPA DC-009 (DCF 2.0): Adobe RGB
    path = tmp_path / "leaf.png"
    Image.fromarray(CODES.astype(np.uint8)).save(path, exif=exif)
    photo = load(path)
    assert photo.profile_name == "Adobe RGB (1998)"
    assert [flag.name for flag in photo.flags] == ["space_stated"]
    xyz = expected_xyz("Adobe RGB (1998)", CODES / 255.0)
    assert np.allclose(photo.linear(0, 0, 20, 30), xyz, atol=3e-4)
