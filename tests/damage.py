"""Files damaged by chance, and what a saved one may hold after a bad disk or a careless edit."""

from __future__ import annotations

import io
import json
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import imagecodecs
import numpy as np
import pillow_heif
import skimage.data
from PIL import Image

from refmatch.atelier.roll import read_roll, students_of
from refmatch.dabs import box_card, dab_card
from refmatch.dabs.value_finder import compose as compose_finder
from refmatch.dabs.value_finder import finder_to_json, read_finder
from refmatch.errors import RefmatchError
from refmatch.paint.box_file import box_to_toml, built_in_box, read_box
from refmatch.paint.instrument.sample_plan import read_plan
from refmatch.paint.measured_box import read_measurements
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.model import CanvasLook, Painting, SavedFile, SeenRegion
from refmatch.photo.load import load
from refmatch.say.sentence import sentence_of
from tests.dabs.studio import garden_card, pears_card
from tests.paint.instrument.test_damage import WHOLE
from tests.painting.example import painting

Read = Callable[[Path], object]


@dataclass(frozen=True)
class Parser:
    """A kind of file: a whole one, and what reads it, which may refuse in one sentence."""

    whole: bytes
    read: Read


TRIPS = (
    b"\0", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"-1", b"1e999", b"NaN", b"null", b"[[[[[[[[",
    b"{" * 40, b"9" * 400, b'""', b"\\ud800", b"\xed\xa0\x80", b"../../", b"\r", b"\x1a", b"true",
)  # fmt: skip
"""Largest and least numbers, no number, deep nesting, half a character, a way out, an end."""


def damaged(whole: bytes, chance: random.Random) -> bytes:
    """Return a file with one to five kinds of harm done to it, most of it near its start."""
    data = bytearray(whole)
    for _ in range(chance.randint(1, 5)):
        reach = chance.choice((64, 600, len(data)))
        at = chance.randrange(max(min(reach, len(data)), 1))
        harm, size = chance.randrange(5), chance.choice((1, 4, 30, 1000))
        if harm == 0:
            data[at : at + 1] = bytes((chance.randrange(256),))
        elif harm == 1:
            del data[at : at + size]
        elif harm == 2:
            data[at:at] = data[at : at + size]
        elif harm == 3:
            trip = chance.choice(TRIPS)
            data[at : at + len(trip)] = trip
        else:
            data[at:at] = chance.choice(TRIPS)
    return bytes(data)


def try_to_read(parser: Parser, data: bytes, path: Path) -> bool:
    """Return whether the file was read; a refusal is one printable sentence."""
    path.write_bytes(data)
    try:
        parser.read(path)
    except RefmatchError as error:
        sentence = sentence_of(error)
        assert sentence.endswith((".", "?")), sentence
        assert sentence.isprintable(), sentence
        return False
    return True


def _photo(path: Path) -> None:
    assert np.isfinite(load(path).working(32).xyz).all()


def _instrument(path: Path) -> object:
    return read_plan(path) if path.suffix == ".csv" else read_measurements(path)


def _photos() -> Iterator[tuple[str, bytes]]:
    cup = skimage.data.coffee()[:96, :128]
    picture, profile = Image.fromarray(cup), imagecodecs.cms_profile("adobergb")
    exif = Image.Exif()
    exif[0x0112] = 6
    for form in ("JPEG", "PNG", "WEBP", "TIFF", "AVIF"):
        stream = io.BytesIO()
        picture.save(stream, form, exif=exif, icc_profile=profile)
        yield form.lower(), stream.getvalue()
    stream = io.BytesIO()
    pillow_heif.from_pillow(picture).save(stream, quality=80, exif=exif.tobytes())
    yield "heic", stream.getvalue()
    clear = np.dstack([cup, np.full(cup.shape[:2], 255, np.uint8)]).astype(np.uint16) * 257
    clear[:20, :, 3] = 0
    yield "png of 16 bits, clear", imagecodecs.png_encode(clear)
    yield (
        "avif of 10 bits",
        imagecodecs.avif_encode(cup.astype(np.uint16) * 4, level=80, speed=9, bitspersample=10),
    )


@cache
def parsers() -> dict[str, Parser]:
    """Return every kind of file that somebody else may have written."""
    photos = {f"photo: {form}": Parser(data, _photo) for form, data in _photos()}
    instruments: dict[str, Parser] = {
        f"instrument: {name}": Parser(data, _instrument) for name, data in WHOLE.items()
    }
    card, dabs = box_card.card_to_json(garden_card()), dab_card.card_to_json(pears_card())
    own = {
        "box": Parser(box_to_toml(built_in_box()).encode(), read_box),
        "card of a box": Parser(card.encode(), box_card.read_card_file),
        "card of dabs": Parser(dabs.encode(), dab_card.read_card_file),
        "painting": Parser(to_bytes(painting()), lambda path: from_bytes(path.read_bytes())),
    }
    lists = {
        "class: class.toml": Parser(ROLL, lambda path: read_roll(path.parent)),
        "students: students.toml": Parser(ROLL, students_of),
        "students: students.csv": Parser(STUDENTS, students_of),
        "value finder": Parser(finder_to_json(compose_finder("a4")).encode(), read_finder),
        "painting with a canvas": Parser(
            to_bytes(_with_canvas()), lambda path: from_bytes(path.read_bytes())
        ),
    }
    return {**photos, **instruments, **own, **lists}


ROLL = b"""format = "refmatch-class"
version = 1
name = "Tuesday"

[[student]]
name = "Anna"
tubes = ["PW6", "PY43=my ochre", "PB29"]
grade = "student"

[[student]]
name = 7
box = "garden-table"
"""
STUDENTS = b"name;tubes\nAnna;PW6;PB29=my blue\nBen;garden-table\n12;student;PW6;PR101\n"


def _with_canvas() -> Painting:
    lab = np.array([50.0, 2.0, 3.0])
    region = SeenRegion("mass", "blue", lab, lab + 1.0, np.eye(3), 0.25, 0, 0)
    photo = SavedFile(f"checks/{'0' * 16}.jpg", "0" * 64)
    corners = np.array([[0.0, 0.0], [90.0, 0.0], [90.0, 60.0], [0.0, 60.0]])
    look = CanvasLook(photo, "2026-11-29", "", "wet", "grey card", corners, (region,))
    return replace(painting(), canvases=(look,))


WRONG_JSON = (
    b'"words"',
    b"[]",
    b"{}",
    b"null",
    b"true",
    b"-1",
    b"1e999",
    b"NaN",
    b"-Infinity",
    b"1" + b"0" * 400,
    b"1" + b"0" * 5000,
    b'"\\ud800"',
    b"[[1, 2], [3]]",
    b"[" * 3000 + b"]" * 3000,
    b"[" * 100_000,
)
"""Values of a wrong type, ragged rows, deep nesting, no numbers, huge ones, half a pair."""

_HERE = "put the wrong value here"


def places_in(form: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the place of each value of a JSON form; of a list only its first item's."""
    yield path
    if isinstance(form, list):
        form = dict(enumerate(form[:1]))
    for key, value in form.items() if isinstance(form, dict) else ():
        yield from places_in(value, (*path, key))


def with_wrong(form: Any, place: tuple[str | int, ...], wrong: bytes) -> bytes:
    """Return a JSON form as text, with another value in one place."""
    if not place:
        return wrong
    copy = json.loads(json.dumps(form))
    inner = copy
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = _HERE
    return json.dumps(copy).encode().replace(json.dumps(_HERE).encode(), wrong, 1)
