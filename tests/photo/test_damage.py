"""Damaged files: each is either read or refused in one sentence, never anything else."""

from __future__ import annotations

import io
import random

import imagecodecs
import numpy as np
import pillow_heif
import pytest
import skimage.data
from PIL import Image

from refmatch.errors import PhotoError
from refmatch.photo.load import load
from refmatch.say.sentence import sentence_of

CUP = skimage.data.coffee()[:96, :128]


def whole_file(kind: str) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = 6
    stream = io.BytesIO()
    if kind == "HEIC":
        file = pillow_heif.from_bytes(mode="RGB", size=(128, 96), data=CUP.tobytes())
        file.save(stream, quality=80, exif=exif.tobytes())
    else:
        profile = imagecodecs.cms_profile("adobergb")
        Image.fromarray(CUP).save(stream, kind, exif=exif, icc_profile=profile)
    return stream.getvalue()


def try_to_load(path) -> None:
    try:
        photo = load(path)
        assert np.isfinite(photo.working(32).xyz).all()
    except PhotoError as error:
        sentence = sentence_of(error)
        assert path.name in sentence
        assert sentence.endswith(".")
        assert "\n" not in sentence


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "HEIC"])
def test_a_file_cut_anywhere_is_refused(kind, tmp_path):
    data = whole_file(kind)
    path = tmp_path / "cup"
    path.write_bytes(data)
    assert load(path).samples.shape == (128, 96, 3)
    for twentieth in range(20):
        path.write_bytes(data[: len(data) * twentieth // 20])
        with pytest.raises(PhotoError):
            load(path)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "HEIC"])
def test_a_file_with_changed_bytes_is_read_or_refused(kind, tmp_path):
    data = whole_file(kind)
    chance = random.Random(11)
    path = tmp_path / "cup"
    for reach in [600, len(data)] * 25:  # most of the trouble is in the first bytes
        damaged = bytearray(data)
        for _ in range(chance.randrange(1, 6)):
            damaged[chance.randrange(min(reach, len(data)))] = chance.randrange(256)
        path.write_bytes(damaged)
        try_to_load(path)
