"""Photos as telephones and cameras write them today, and files made to hold a program up."""

from __future__ import annotations

import io
import struct
import sys
import tracemalloc
import zlib

import imagecodecs
import numpy as np
import pillow_heif
import pytest
import skimage.data
import tifffile
from PIL import Image

from refmatch.errors import PhotoError
from refmatch.photo import decoded
from refmatch.photo.formats import decode_webp
from refmatch.photo.load import load
from tests.photo.made_photos import colour_science
from tests.photo.pictures import save_png
from tests.refusals import refused

COFFEE = skimage.data.coffee()[:80, :120]


def flag_names(photo) -> list[str]:
    return [flag.name for flag in photo.flags]


def loaded(folder, data: bytes):
    path = folder / "photo"
    path.write_bytes(data)
    return load(path)


# AVIF


def test_avif_is_the_picture_that_was_put_in(tmp_path):
    photo = loaded(tmp_path, imagecodecs.avif_encode(COFFEE, level=100, speed=8))
    assert photo.bit_depth == 8
    assert np.abs(photo.samples.astype(int) - COFFEE).max() <= 2


def test_avif_of_10_bits_keeps_them_and_its_white(tmp_path):
    ramp = np.repeat(np.linspace(0, 1023, 512).astype(np.uint16)[None, :, None], 3, axis=2)
    data = imagecodecs.avif_encode(
        np.repeat(ramp, 64, axis=0), level=100, speed=8, bitspersample=10
    )
    photo = loaded(tmp_path, data)
    assert photo.bit_depth == 10
    assert len(np.unique(photo.samples)) > 400
    assert photo.samples.max() == 65535


def avif(**options) -> bytes:
    stream = io.BytesIO()
    Image.fromarray(COFFEE).save(stream, "AVIF", quality=95, speed=9, **options)
    return stream.getvalue()


def test_avif_turned_by_its_orientation_is_turned_once(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    photo = loaded(tmp_path, avif(exif=exif))
    upright = np.rot90(COFFEE, -1).astype(int)
    assert photo.samples.shape == upright.shape
    assert np.abs(photo.samples - upright).mean() < 4


def test_avif_honours_its_profile(tmp_path):
    photo = loaded(tmp_path, avif(icc_profile=imagecodecs.cms_profile("adobergb")))
    assert "assumed_srgb" not in flag_names(photo)
    assert photo.profile_name.startswith("Adobe RGB")


@pytest.mark.parametrize(("points", "called"), [((12, 13), "Display P3"), ((9, 1), "BT.2020")])
def test_avif_is_in_the_space_of_its_code_points(points, called, tmp_path):
    assert loaded(tmp_path, restated(avif(), *points)).profile_name == called


@pytest.mark.parametrize("transfer", [16, 18])
def test_avif_of_high_dynamic_range_is_refused(transfer, tmp_path):
    with refused(PhotoError, match="high dynamic range"):
        loaded(tmp_path, restated(avif(), 9, transfer))


def restated(data: bytes, primaries: int, transfer: int) -> bytes:
    """Give an AVIF other code points (ISO/IEC 23091-2) in its colour property."""
    at = data.index(b"colrnclx") + 8
    return data[:at] + struct.pack(">HH", primaries, transfer) + data[at + 4 :]


# More than one picture in a file


def several(form: str) -> bytes:
    stream, other = io.BytesIO(), Image.fromarray(COFFEE[::-1])
    if form == "HEIF":
        file = pillow_heif.from_pillow(Image.fromarray(COFFEE))
        file.add_from_pillow(other)
        file.save(stream, quality=95)
        return stream.getvalue()
    options = {"lossless": True} if form == "WEBP" else {"quality": 95}
    Image.fromarray(COFFEE).save(stream, form, save_all=True, append_images=[other], **options)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("form", "mean_error"), [("TIFF", 0), ("WEBP", 0), ("PNG", 0), ("AVIF", 4), ("HEIF", 4)]
)
def test_of_several_pictures_the_first_is_used_and_it_is_said(form, mean_error, tmp_path):
    photo = loaded(tmp_path, several(form))
    assert np.abs(photo.samples.astype(int) - COFFEE).mean() <= mean_error
    assert "several_pictures" in flag_names(photo)


def test_a_thumbnail_in_a_tiff_is_no_second_picture(tmp_path):
    with tifffile.TiffWriter(tmp_path / "cup.tif") as file:
        file.write(COFFEE[::8, ::8], photometric="rgb", subfiletype=1)
        file.write(COFFEE, photometric="rgb")
    photo = load(tmp_path / "cup.tif")
    assert np.array_equal(photo.samples, COFFEE)
    assert "several_pictures" not in flag_names(photo)


@pytest.mark.parametrize(
    "mark",
    [
        b'http://ns.adobe.com/xap/1.0/\0<x xmlns:hdrgm="http://ns.adobe.com/hdr-gain-map/1.0/"/>',
        b"urn:iso:std:iso:ts:21496:-1\0\0\0\0\0",  # ISO 21496-1, annex C
    ],
)
def test_of_a_gain_map_the_ordinary_picture_is_used_and_it_is_said(mark, tmp_path):
    base = imagecodecs.jpeg8_encode(COFFEE, level=95)
    gains = imagecodecs.jpeg8_encode(np.full((40, 60), 90, np.uint8), level=80)
    segment = b"\xff\xe2" + struct.pack(">H", len(mark) + 2) + mark
    photo = loaded(tmp_path, base[:2] + segment + base[2:] + gains)
    assert np.array_equal(photo.samples, imagecodecs.jpeg8_decode(base))
    assert "gain_map_left" in flag_names(photo)


# What a PNG says of its colours (Portable Network Graphics 3, W3C 2025, 4.3 and 11.3.2)


def png_with(samples: np.ndarray, **chunks: bytes) -> bytes:
    data = imagecodecs.png_encode(samples)
    added = b"".join(
        struct.pack(">I", len(body))
        + kind.encode()
        + body
        + zlib.crc32(kind.encode() + body).to_bytes(4, "big")
        for kind, body in chunks.items()
    )
    return data[:33] + added + data[33:]


RAMP = np.repeat(np.linspace(0, 65535, 64).astype(np.uint16).reshape(1, 64, 1), 3, axis=2)


@pytest.mark.parametrize("gamma", [1.0, 1.8, 2.2])
def test_a_png_of_16_bits_has_the_gamma_it_states(gamma, tmp_path):
    photo = loaded(tmp_path, png_with(RAMP, gAMA=struct.pack(">I", round(1e5 / gamma))))
    light = photo.linear(0, 0, 1, 64)[0, :, 1]
    assert light == pytest.approx((RAMP[0, :, 0] / 65535.0) ** gamma, abs=2e-4)
    assert "space_stated" in flag_names(photo)


def test_a_png_has_the_primaries_it_states(tmp_path):
    """Against colour-science's own of a wide space, white D65 brought to D50 by Bradford."""
    colour = colour_science()
    space = colour.RGB_COLOURSPACES["Adobe RGB (1998)"]
    numbers = [*space.whitepoint, *space.primaries.ravel()]
    chunks = {
        "gAMA": struct.pack(">I", 45_455),
        "cHRM": struct.pack(">8I", *(round(1e5 * number) for number in numbers)),
    }
    photo = loaded(tmp_path, png_with(np.full((1, 1, 3), [0, 65535, 0], np.uint16), **chunks))
    d50 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D50"]
    green = colour.RGB_to_XYZ([0.0, 1.0, 0.0], space, d50, "Bradford")
    assert photo.linear(0, 0, 1, 1)[0, 0] == pytest.approx(green, abs=1e-3)


@pytest.mark.parametrize(
    ("points", "called"),
    [((1, 13), "sRGB"), ((12, 13), "Display P3"), ((9, 8), "BT.2020, gamma 1")],
)
def test_a_png_is_in_the_space_of_its_code_points(points, called, tmp_path):
    stated = {"cICP": bytes((*points, 0, 1)), "gAMA": struct.pack(">I", 100_000)}
    assert loaded(tmp_path, png_with(RAMP, **stated)).profile_name == called


def test_a_png_of_high_dynamic_range_is_refused(tmp_path):
    with refused(PhotoError, match="high dynamic range"):
        loaded(tmp_path, png_with(RAMP, cICP=bytes((9, 16, 0, 1))))


@pytest.mark.parametrize("gamma", [0, 1, 4_000_000_000])
def test_a_gamma_that_cannot_be_is_not_believed(gamma, tmp_path):
    photo = loaded(tmp_path, png_with(RAMP, gAMA=struct.pack(">I", gamma)))
    assert photo.profile_name == "sRGB, assumed"


# Camera raw


def mosaic() -> bytes:
    """A raw file of a grey field under a light that the sensor sees as (0.5, 1, 0.625).

    A DNG 1.4 with the plain matrix of sRGB's primaries for a sensor, RGGB, 16 bits.
    """
    counts = np.empty((64, 96), np.uint16)
    counts[0::2, 0::2], counts[1::2, 1::2] = 8192, 10240
    counts[0::2, 1::2] = counts[1::2, 0::2] = 16384
    xyz_to_srgb = (3.2406, -1.5372, -0.4986, -0.9689, 1.8758, 0.0415, 0.0557, -0.2040, 1.0570)
    rational = tuple(part for x in xyz_to_srgb for part in (round(1e4 * x), 10_000))
    tags = [
        (33421, "H", 2, (2, 2), True),  # CFARepeatPatternDim
        (33422, "B", 4, (0, 1, 1, 2), True),  # CFAPattern
        (50706, "B", 4, (1, 4, 0, 0), True),  # DNGVersion
        (50708, "s", 0, "orchard", True),  # UniqueCameraModel
        (50717, "I", 1, 65535, True),  # WhiteLevel
        (50721, "2i", 9, rational, True),  # ColorMatrix1
        (50728, "2I", 3, (1, 2, 1, 1, 5, 8), True),  # AsShotNeutral
        (50778, "H", 1, 21, True),  # CalibrationIlluminant1: D65
    ]
    stream = io.BytesIO()
    tifffile.imwrite(stream, counts, photometric="cfa", extratags=tags, metadata=None)
    return stream.getvalue()


def test_a_raw_file_is_developed_as_light(tmp_path):
    pytest.importorskip("rawpy", reason="the extra 'raw' is not installed")
    photo = loaded(tmp_path, mosaic())
    assert photo.bit_depth == 16
    assert "raw_developed" in flag_names(photo)
    xyz = photo.linear(20, 20, 20, 20).mean(axis=(0, 1))
    assert xyz / xyz[1] == pytest.approx([0.9642, 1.0, 0.8249], abs=0.01)  # neutral: the ICC's D50
    assert xyz[1] == pytest.approx(0.25, abs=0.01)  # a quarter of the greatest count


def test_without_its_library_a_raw_file_is_refused(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "rawpy", None)  # as Python marks what cannot be imported
    with refused(PhotoError, match="raw file; develop it first"):
        loaded(tmp_path, mosaic())
    for start in (b"\0\0\0\x18ftypcrx ", b"IIRO\x08\0", b"IIU\0\x08\0", b"ORCHARD-CCD-RAW "):
        with refused(PhotoError, match="raw file|not a JPEG"):
            loaded(tmp_path, start + bytes(64))


# Too small, too many


@pytest.mark.parametrize(("height", "width"), [(29, 200), (200, 29)])
def test_a_photo_below_30_pixels_is_refused(height, width, tmp_path, monkeypatch):
    monkeypatch.undo()
    assert decoded.LEAST_SIDE_PX == 30
    with refused(PhotoError, match=f"{width} x {height} pixels"):
        load(save_png(tmp_path / "small.png", np.zeros((height, width, 3), np.uint8)))
    assert load(save_png(tmp_path / "least.png", np.zeros((30, 30, 3), np.uint8))).width_px == 30


def test_a_jpeg_of_endless_scans_is_refused(tmp_path):
    """A progressive file that draws a large, empty picture over and over (T.81, annex G)."""
    stream = io.BytesIO()
    Image.new("RGB", (6000, 4000)).save(stream, "JPEG", progressive=True, quality=20)
    data = stream.getvalue()
    end, last = len(data) - 2, data.rindex(b"\xff\xda")
    bomb = data[:end] + data[last:end] * 4000 + data[end:]
    with refused(PhotoError, match="passes"):
        loaded(tmp_path, bomb)
    assert loaded(tmp_path, data).width_px == 6000


def test_a_tiff_that_unpacks_to_far_more_than_it_says_is_refused(tmp_path):
    data = io.BytesIO()
    tifffile.imwrite(data, COFFEE, photometric="rgb", compression="deflate")
    whole = data.getvalue()
    with tifffile.TiffFile(io.BytesIO(whole)) as file:
        tag = file.pages[0].tags["StripByteCounts"]
        size, strip = tag.valueoffset, file.pages[0].tags["StripOffsets"].valueoffset
    bomb = zlib.compress(bytes(200_000_000), 9)
    changed = bytearray(whole + bomb)
    changed[strip : strip + 4] = len(whole).to_bytes(4, "little")
    changed[size : size + 4] = len(bomb).to_bytes(4, "little")
    with refused(PhotoError, match="damaged"):
        loaded(tmp_path, bytes(changed))


# Large photos


def large(form: str) -> bytes:
    samples = np.tile(COFFEE, (30, 25, 1))  # 7.2 megapixels
    if form == "tiff":
        stream = io.BytesIO()
        tifffile.imwrite(stream, samples, photometric="rgb", compression="deflate")
        return stream.getvalue()
    if form == "png, clear in places":
        alpha = np.full(samples.shape[:2], 255, np.uint8)
        alpha[:200] = 0
        return imagecodecs.png_encode(np.dstack([samples, alpha]), level=1)
    return imagecodecs.jpeg8_encode(samples, level=90)


@pytest.mark.parametrize("form", ["jpeg", "png, clear in places", "tiff"])
def test_a_large_photo_takes_at_most_four_times_its_own_size(form, tmp_path):
    """In small; ``tests.benchmarks.large_photos`` does so with 200 megapixels."""
    path = tmp_path / "photo"
    path.write_bytes(large(form))
    own = 3 * 2400 * 3000
    tracemalloc.start()
    try:
        load(path).working(320)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert own < peak < 4 * own


def test_a_webp_is_as_large_as_any_photo_may_be(monkeypatch):
    """Pillow alone would refuse it: twice its own limit of pixels is a bomb to it."""
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 1000)
    stream = io.BytesIO()
    Image.fromarray(COFFEE).save(stream, "WEBP", lossless=True)
    np.testing.assert_array_equal(decode_webp(stream.getvalue(), "large.webp").samples, COFFEE)
