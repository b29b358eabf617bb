"""Photos load at their own depth, and bad files are refused in one sentence."""

from __future__ import annotations

import hashlib
import io
import sys
import zlib

import imagecodecs
import numpy as np
import pytest
import skimage.data
import skimage.io
from PIL import Image

from refmatch.errors import LibraryMissing, PhotoError
from refmatch.photo.load import load
from refmatch.say.sentence import sentence_of
from tests.photo.pictures import photo_of, save_png
from tests.refusals import refused


@pytest.mark.parametrize("name", ["coffee", "chelsea", "astronaut", "rocket"])
def test_the_bundled_photographs_load(name, tmp_path):
    picture = getattr(skimage.data, name)()
    photo = photo_of(tmp_path, picture)
    assert np.array_equal(photo.samples, picture)
    assert photo.bit_depth == 8
    assert photo.profile_name == "sRGB, assumed"
    assert [flag.name for flag in photo.flags] == ["assumed_srgb"]
    assert photo.sha256 == hashlib.sha256((tmp_path / "photo.png").read_bytes()).hexdigest()


def test_white_is_the_icc_white_and_grey_is_neutral(tmp_path):
    photo = photo_of(tmp_path, np.full((4, 5, 3), 255, np.uint8))
    xyz = photo.linear(0, 0, 4, 5)
    assert xyz.dtype == np.float32
    assert xyz.shape == (4, 5, 3)
    # ICC.1:2022, 7.2.16: the D50 white of the profile connection space
    assert xyz[0, 0] == pytest.approx([0.9642, 1.0, 0.8249], abs=1e-4)


def test_working_is_the_mean_light_of_squares(tmp_path):
    checker = np.indices((64, 96)).sum(axis=0) % 2 * 255
    photo = photo_of(tmp_path, np.repeat(checker[:, :, None], 3, axis=2).astype(np.uint8))
    working = photo.working(24)
    assert working.xyz.shape == (16, 24, 3)
    assert working.scale == 0.25
    assert working.xyz[..., 1] == pytest.approx(0.5, abs=1e-4)
    assert working.clipped.all()


def test_working_of_uneven_sides_covers_the_whole_photo(tmp_path):
    samples = np.zeros((33, 50, 3), np.uint8)
    samples[-1], samples[:, -1] = 255, 255
    working = photo_of(tmp_path, samples).working(10)
    assert working.xyz.shape == (7, 10, 3)
    assert working.xyz[0, 0, 1] == pytest.approx(0.0, abs=1e-6)
    assert working.xyz[-1, 0, 1] > 0.1


def _jpeg() -> bytes:
    data: bytes = imagecodecs.jpeg8_encode(skimage.data.coffee(), level=90)
    return data


BAD_FILES = {
    "empty": (b"", "empty"),
    "text": (b"Milk, bread, cadmium yellow.\n", "not a JPEG, PNG, TIFF, WebP, HEIC or AVIF"),
    "another format": (
        imagecodecs.jpegxl_encode(skimage.data.coffee()[:32, :32]),
        "not a JPEG, PNG, TIFF",
    ),
    "cut in the header": (_jpeg()[:100], "cut short"),
    "cut in the middle": (_jpeg()[:20_000], "cut short"),
    "cut at the very end": (_jpeg()[:-2], "cut short"),
    "png cut": (imagecodecs.png_encode(skimage.data.coffee())[:5000], "cut short"),
    "tiff cut": (b"II*\0\x08\0\0\0", "cut short"),
    "webp cut": (imagecodecs.webp_encode(skimage.data.coffee())[:5000], "cut short"),
    "avif cut": (imagecodecs.avif_encode(skimage.data.coffee(), speed=10)[:5000], "cut short"),
    "heic cut": (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "cut short"),
}


@pytest.mark.parametrize("case", BAD_FILES)
def test_a_bad_file_gets_one_sentence(case, tmp_path):
    data, said = BAD_FILES[case]
    path = tmp_path / "pear.jpg"
    path.write_bytes(data)
    with refused(PhotoError, match=said) as caught:
        load(path)
    sentence = sentence_of(caught.value)
    assert "pear.jpg" in sentence
    assert sentence.endswith(".")
    assert "\n" not in sentence


def test_missing_file_and_folder(tmp_path):
    with refused(PhotoError, match="no photo"):
        load(tmp_path / "none.jpg")
    with refused(PhotoError, match="is a folder"):
        load(tmp_path)


def test_a_gigantic_photo_is_refused_before_it_is_decoded(tmp_path):
    path = save_png(tmp_path / "huge.png", np.zeros((2, 2), np.uint8))
    data = bytearray(path.read_bytes())
    data[16:24] = (60_000).to_bytes(4, "big") * 2
    path.write_bytes(repaired_png(bytes(data)))
    with refused(PhotoError, match="60000 x 60000 pixels"):
        load(path)


def repaired_png(data: bytes) -> bytes:
    """Give a PNG's changed header its check sum (ISO/IEC 15948, 5.3)."""
    return data[:29] + zlib.crc32(data[12:29]).to_bytes(4, "big") + data[33:]


def test_a_thumbnail_does_not_make_a_cut_jpeg_whole(tmp_path):
    small = io.BytesIO()
    Image.new("RGB", (8, 8)).save(small, "JPEG")
    segment = b"Exif\0\0" + small.getvalue()
    data = _jpeg()
    with_thumbnail = (
        data[:2] + b"\xff\xe1" + (len(segment) + 2).to_bytes(2, "big") + segment + data[2:]
    )
    path = tmp_path / "pear.jpg"
    path.write_bytes(with_thumbnail[:-2])
    with refused(PhotoError, match="cut short"):
        load(path)
    path.write_bytes(with_thumbnail + b"trailing bytes, as some phones write")
    assert load(path).width_px == 600


def test_a_missing_opencv_gets_one_sentence(tmp_path, monkeypatch):
    path = save_png(tmp_path / "pear.png", np.zeros((4, 4, 3), np.uint8))
    monkeypatch.setitem(sys.modules, "cv2", None)  # as Python marks what cannot be imported
    with refused(LibraryMissing, match="libgl1 libglib2"):
        load(path).working()


def test_no_region_beyond_the_photo(tmp_path):
    photo = photo_of(tmp_path, np.zeros((4, 5, 3), np.uint8))
    with pytest.raises(ValueError, match="within the photo"):
        photo.linear(0, 0, 4, 6)
    assert photo.linear(0, 0, 0, 5).shape == (0, 5, 3)
