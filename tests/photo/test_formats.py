"""Every format and every way of laying out samples, against other codecs."""

from __future__ import annotations

import io
import sys

import imagecodecs
import numpy as np
import pillow_heif
import pytest
import skimage.data
import tifffile
from PIL import Image, ImageOps

from refmatch.errors import PhotoError
from refmatch.photo.formats import decode_tiff
from refmatch.photo.load import load
from tests.photo.pictures import save_png
from tests.refusals import refused

COFFEE = skimage.data.coffee()[:80, :120]


def flag_names(photo) -> list[str]:
    return [flag.name for flag in photo.flags]


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_all_orientations_turn_upright_as_pillow_does(kind, orientation, tmp_path):
    path = tmp_path / "turned"
    exif = Image.Exif()
    exif[0x0112] = orientation
    options = {"lossless": True} if kind == "WEBP" else {}
    Image.fromarray(COFFEE).save(path, kind, exif=exif, **options)
    with Image.open(path) as picture:
        upright = np.asarray(ImageOps.exif_transpose(picture))
    photo = load(path)
    assert photo.samples.shape == upright.shape
    # two JPEG decoders may differ by a code or two; every other format is exact
    assert np.abs(photo.samples.astype(int) - upright).max() <= (2 if kind == "JPEG" else 0)


def test_upright_samples_reach_linear_light_and_working(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.fromarray(COFFEE).save(tmp_path / "turned.png", exif=exif)
    turned = load(tmp_path / "turned.png")
    plain = load(save_png(tmp_path / "plain.png", np.rot90(COFFEE, -1)))
    assert np.array_equal(turned.linear(5, 6, 30, 20), plain.linear(5, 6, 30, 20))
    assert np.array_equal(turned.working(40).xyz, plain.working(40).xyz)


@pytest.mark.parametrize("lossless", [True, False])
def test_webp(lossless, tmp_path):
    path = tmp_path / "cup.webp"
    Image.fromarray(COFFEE).save(path, lossless=lossless, quality=95)
    error = np.abs(load(path).samples.astype(int) - COFFEE)
    assert error.max() == 0 if lossless else error.mean() < 6


def test_png_of_16_bits(tmp_path):
    samples = np.random.default_rng(0).integers(0, 65536, (9, 7, 3)).astype(np.uint16)
    photo = load(save_png(tmp_path / "deep.png", samples))
    assert photo.bit_depth == 16
    assert np.array_equal(photo.samples, samples)


@pytest.mark.parametrize("transparent", [False, True])
def test_a_palette_becomes_colours(transparent, tmp_path):
    picture = Image.fromarray(COFFEE).quantize(16)
    options = {"transparency": int(np.asarray(picture)[0, 0])} if transparent else {}
    picture.save(tmp_path / "few.png", **options)
    with Image.open(tmp_path / "few.png") as saved:
        expected = np.asarray(saved.convert("RGBA"))
    photo = load(tmp_path / "few.png")
    there = expected[..., 3] == 255
    assert np.array_equal(photo.samples[there], expected[there][:, :3])
    assert ("transparent_left_out" in flag_names(photo)) == transparent
    if transparent:
        assert np.array_equal(photo.opaque, there)


def test_alpha_without_transparency_is_dropped_without_a_word(tmp_path):
    samples = np.dstack([COFFEE, np.full(COFFEE.shape[:2], 255, np.uint8)])
    photo = load(save_png(tmp_path / "solid.png", samples))
    assert np.array_equal(photo.samples, COFFEE)
    assert flag_names(photo) == ["assumed_srgb"]


def test_grey_with_alpha(tmp_path):
    samples = np.dstack([np.full((4, 4), 90), np.full((4, 4), 255)]).astype(np.uint8)
    samples[0, :, 1] = 0
    photo = load(save_png(tmp_path / "grey.png", samples))
    assert photo.samples.shape == (4, 4, 1)
    assert (photo.samples[1:] == 90).all()
    assert set(flag_names(photo)) == {"assumed_srgb", "greyscale", "transparent_left_out"}


TIFFS = {
    "8 bit": (COFFEE, {"photometric": "rgb"}),
    "16 bit": (COFFEE.astype(np.uint16) * 257, {"photometric": "rgb"}),
    "float": (COFFEE.astype(np.float32) / 255, {"photometric": "rgb"}),
    "half": (COFFEE.astype(np.float16) / 255, {"photometric": "rgb"}),
    "double": (COFFEE / 255.0, {"photometric": "rgb"}),
    "deflate": (COFFEE, {"photometric": "rgb", "compression": "deflate", "predictor": True}),
    "tiles": (COFFEE, {"photometric": "rgb", "tile": (32, 32), "compression": "lzw"}),
    "planes": (
        np.moveaxis(COFFEE, -1, 0),
        {"photometric": "rgb", "planarconfig": "separate"},
    ),
    "big": (COFFEE, {"photometric": "rgb", "bigtiff": True}),
    "motorola": (COFFEE.astype(np.uint16) * 257, {"photometric": "rgb", "byteorder": ">"}),
}


@pytest.mark.parametrize("case", TIFFS)
def test_tiffs_of_all_layouts_show_one_picture(case, tmp_path):
    samples, options = TIFFS[case]
    tifffile.imwrite(tmp_path / "cup.tif", samples, **options)
    photo = load(tmp_path / "cup.tif")
    plain = load(save_png(tmp_path / "plain.png", COFFEE))
    assert np.allclose(photo.linear(0, 0, 80, 120), plain.linear(0, 0, 80, 120), atol=6e-4)
    assert photo.samples.dtype in (np.uint8, np.uint16, np.float32)


def test_grey_tiffs_of_either_polarity(tmp_path):
    grey = COFFEE[..., 1]
    tifffile.imwrite(tmp_path / "black.tif", grey, photometric="minisblack")
    tifffile.imwrite(tmp_path / "white.tif", 255 - grey, photometric="miniswhite")
    assert np.array_equal(load(tmp_path / "black.tif").samples[..., 0], grey)
    assert np.array_equal(load(tmp_path / "white.tif").samples[..., 0], grey)


def test_a_line_drawing_of_one_bit(tmp_path):
    Image.fromarray(COFFEE).convert("1").save(tmp_path / "lines.tif")
    assert set(np.unique(load(tmp_path / "lines.tif").samples)) == {0, 255}


def test_a_palette_tiff(tmp_path):
    picture = Image.fromarray(COFFEE).quantize(16)
    picture.save(tmp_path / "few.tif")
    photo = load(tmp_path / "few.tif")
    with Image.open(tmp_path / "few.tif") as saved:
        expected = np.asarray(saved.convert("RGB"))
    assert np.array_equal(photo.samples >> (photo.bit_depth - 8), expected)


@pytest.mark.parametrize("dtype", [np.uint8, np.uint16])
def test_premultiplied_alpha_is_undone(dtype, tmp_path):
    top = np.iinfo(dtype).max
    samples = np.zeros((4, 4, 4), dtype)
    samples[...] = np.array([0.6, 0.3, 0.15, 0.6]) * top  # glass that lets 0.4 through
    samples[0] = 0
    tifffile.imwrite(
        tmp_path / "glass.tif", samples, photometric="rgb", extrasamples=["assocalpha"]
    )
    photo = load(tmp_path / "glass.tif")
    # premultiplied is colour * alpha: Porter & Duff 1984, doi:10.1145/964965.808606
    assert photo.samples[1, 0] / top == pytest.approx([1.0, 0.5, 0.25], abs=0.005)
    assert photo.opaque[:, 0].tolist() == [False, True, True, True]


def test_a_channel_of_no_stated_meaning_is_no_alpha(tmp_path):
    samples = np.dstack([COFFEE, np.zeros(COFFEE.shape[:2], np.uint8)])
    path = tmp_path / "spot.tif"
    tifffile.imwrite(path, samples, photometric="rgb", extrasamples=["unspecified"])
    assert np.array_equal(load(path).samples, COFFEE)


def test_floats_that_are_no_numbers_are_said_and_count_as_clipped(tmp_path):
    samples = np.full((4, 5, 3), 0.5, np.float32)
    samples[0, 0], samples[1, 1, 2] = np.nan, np.inf
    tifffile.imwrite(tmp_path / "render.tif", samples, photometric="rgb")
    photo = load(tmp_path / "render.tif")
    assert np.isfinite(photo.linear(0, 0, 4, 5)).all()
    assert photo.clipped(0, 0, 4, 5).sum() == 2
    assert "not_numbers" in flag_names(photo)


def test_codes_stored_as_floats_are_refused(tmp_path):
    tifffile.imwrite(tmp_path / "codes.tif", COFFEE.astype(np.float32), photometric="rgb")
    with refused(PhotoError, match="far above 1"):
        load(tmp_path / "codes.tif")


def test_raw_files_and_odd_numbers_are_refused(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "rawpy", None)  # as Python marks what cannot be imported
    dng = [(50706, "B", 4, (1, 4, 0, 0), True)]
    tifffile.imwrite(tmp_path / "raw.dng", COFFEE, photometric="rgb", extratags=dng)
    with refused(PhotoError, match="raw file; develop it"):
        load(tmp_path / "raw.dng")
    with tifffile.TiffWriter(tmp_path / "raw.nef") as file:  # a preview first, the sensor within
        file.write(COFFEE, photometric="rgb", subifds=1, subfiletype=1)
        file.write(COFFEE[..., 0], photometric="cfa", subfiletype=0)
    with refused(PhotoError, match="raw file; develop it"):
        load(tmp_path / "raw.nef")
    tifffile.imwrite(tmp_path / "odd.tif", COFFEE.astype(np.uint32), photometric="rgb")
    with refused(PhotoError, match="uint32"):
        load(tmp_path / "odd.tif")


def _heic(samples: np.ndarray, mode: str, **options) -> bytes:
    height, width = samples.shape[:2]
    file = pillow_heif.from_bytes(mode=mode, size=(width, height), data=samples.tobytes())
    stream = io.BytesIO()
    file.save(stream, quality=-1, chroma=444, matrix_coefficients=0, **options)
    return stream.getvalue()


def test_heic_of_8_bits(tmp_path):
    path = tmp_path / "phone.heic"
    path.write_bytes(_heic(COFFEE, "RGB"))
    photo = load(path)
    assert photo.bit_depth == 8
    assert np.abs(photo.samples.astype(int) - COFFEE).max() <= 2


def test_heic_of_10_bits_keeps_them_and_its_white(tmp_path):
    ramp = np.repeat(np.linspace(0, 65535, 512).astype(np.uint16)[None, :, None], 3, axis=2)
    path = tmp_path / "phone.heic"
    path.write_bytes(_heic(np.repeat(ramp, 64, axis=0), "RGB;16"))
    photo = load(path)
    assert photo.bit_depth == 10
    assert len(np.unique(photo.samples)) > 400
    assert photo.linear(0, 511, 1, 1)[0, 0, 1] == pytest.approx(1.0, abs=3e-3)
    assert photo.clipped(0, 500, 1, 12, end="high").any()


def test_heic_turned_by_exif_is_turned_once(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    path = tmp_path / "phone.heic"
    path.write_bytes(_heic(COFFEE, "RGB", exif=exif.tobytes()))
    assert load(path).samples.shape == (120, 80, 3)


def test_high_dynamic_range_heic_is_refused(tmp_path):
    path = tmp_path / "phone.heic"
    path.write_bytes(_heic(COFFEE, "RGB", color_primaries=9, transfer_characteristics=16))
    with refused(PhotoError, match="high dynamic range"):
        load(path)


def test_heic_in_display_p3_by_its_code_points(tmp_path):
    path = tmp_path / "phone.heic"
    green = np.full((64, 64, 3), [0, 255, 0], np.uint8)
    path.write_bytes(_heic(green, "RGB", color_primaries=12, transfer_characteristics=13))
    photo = load(path)
    assert photo.profile_name == "Display P3"
    # SMPTE EG 432-1 primaries, adapted to D50: Y of P3 green is 0.6922
    assert photo.linear(32, 32, 1, 1)[0, 0, 1] == pytest.approx(0.6922, abs=0.006)


def test_damaged_exif_does_not_cost_the_photo(tmp_path):
    path = tmp_path / "cup.jpg"
    Image.fromarray(COFFEE).save(path, exif=b"Exif\0\0MM\0*\0\0\0\x08\xff\xff\x01\x12")
    assert load(path).width_px == 120


def test_jpeg_decodes_as_another_decoder_does(tmp_path):
    data = imagecodecs.jpeg8_encode(COFFEE, level=92)
    (tmp_path / "cup.jpg").write_bytes(data)
    with Image.open(io.BytesIO(data)) as picture:
        expected = np.asarray(picture).astype(int)
    assert np.abs(load(tmp_path / "cup.jpg").samples - expected).max() <= 2


def test_grey_jpeg(tmp_path):
    Image.fromarray(COFFEE).convert("L").save(tmp_path / "grey.jpg")
    photo = load(tmp_path / "grey.jpg")
    assert photo.samples.shape == (80, 120, 1)
    assert photo.linear(0, 0, 80, 120).shape == (80, 120, 3)


def test_an_uncompressed_tiff_is_held_once() -> None:
    stream = io.BytesIO()
    tifffile.imwrite(stream, COFFEE.astype(np.uint16) * 257, photometric="rgb")
    data = stream.getvalue()
    samples = decode_tiff(data, "scan.tif").samples
    assert np.shares_memory(samples, np.frombuffer(data, np.uint8))
    np.testing.assert_array_equal(samples, COFFEE.astype(np.uint16) * 257)
