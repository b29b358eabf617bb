"""The code on a printed card: what it holds, and that a photo of the print is read by it alone."""

from __future__ import annotations

import io

import cv2
import numpy as np
import pypdfium2
import pytest
from PIL import Image

from refmatch.dabs.box_card import compose
from refmatch.dabs.card_code import FIRST, LETTERS, box_of, card_of_code, card_shown, code_of
from refmatch.errors import CardError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import built_in_box
from refmatch.paint.library import pigments
from refmatch.photo.load import load
from refmatch.sheet.card_pages import write
from tests.dabs.coded import with_code
from tests.refusals import refused
from tests.virtual_studio.painted_card import SMALL_SHOT, painted_photo

PX_PER_MM = 8.0
"""Of a page that fills nine tenths of a photo of 5 megapixels."""

TWELVE = built_in_box("garden-table")
FEW = Box(
    "Löwe’s paints",
    tuple(
        built_in_tube(pigment, name)
        for pigment, name in (
            ("titanium-white", "Weiß"),
            ("burnt-sienna", "my “fox”"),
            ("ultramarine-blue", "群青"),
        )
    ),
    "mass",
)
MANY = Box("all", tuple(built_in_tube(key) for key in sorted(pigments())[:40]))


@pytest.mark.parametrize("box", [TWELVE, FEW, MANY], ids=["twelve", "own names", "forty"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("is_short", [False, True])
def test_a_code_holds_all_of_its_card(box: Box, paper: str, is_short: bool) -> None:
    card = compose(box, paper, 52.25, is_short=is_short)
    text = code_of(card)
    assert set(text) <= set(LETTERS), "the alphabet of ISO/IEC 18004, table 5"
    assert card_of_code(text) == card


def test_a_damaged_code_is_none() -> None:
    text = code_of(compose(FEW))
    broken = [
        text[:-3],
        text.replace(text[20], ":"),
        text[: len(FIRST)],
        text.lower(),
        "",
        "https:",
    ]
    assert [card_of_code(each) for each in broken] == [None] * len(broken)


def photo_of_print(tmp_path, box: Box, turn: int = 0, blur_px: float = 1.0):
    """A photo of a printed, unpainted page, from somewhat above and the side, with noise."""
    card = compose(box)
    document = pypdfium2.PdfDocument(write(card))
    page = document[1].render(scale=PX_PER_MM * 25.4 / 72.0).to_pil().convert("L")
    high, wide = page.height, page.width
    corners = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float32)
    seen = corners * 0.9 + [0.05 * wide, 0.05 * high]
    seen[0] += [0.03 * wide, 0.02 * high]
    seen[2] -= [0.02 * wide, 0.04 * high]
    matrix = cv2.getPerspectiveTransform(corners, seen.astype(np.float32))
    grey = cv2.warpPerspective(np.asarray(page), matrix, (wide, high), borderValue=110)
    grey = cv2.GaussianBlur(grey, (0, 0), blur_px) * 0.8 + 20.0
    noisy = grey + np.random.default_rng(5).normal(0.0, 3.0, grey.shape)
    picture = Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8)).convert("RGB")
    path = tmp_path / "print.jpg"
    picture.rotate(turn, expand=True).save(path, quality=88)
    return load(path), card


@pytest.mark.parametrize(("box", "turn"), [(TWELVE, 0), (TWELVE, 180), (FEW, 90)])
def test_a_photo_of_the_print_tells_its_card(tmp_path, box: Box, turn: int) -> None:
    photo, card = photo_of_print(tmp_path, box, turn)
    assert card_shown(photo) == card


def test_a_card_without_a_code_is_told_by_its_box(tmp_path) -> None:
    card = compose(FEW, neutral_value=50.0)
    path = tmp_path / "painted.jpg"
    path.write_bytes(painted_photo(FEW, card, 77, shot=SMALL_SHOT))
    photo = load(path)
    assert card_shown(photo, FEW, 50.0) == card
    with refused(CardError, match="neither its code nor the box"):
        card_shown(photo, TWELVE)
    with refused(CardError, match="neither its code nor the box"):
        card_shown(photo)


def test_a_painted_card_is_read_by_its_code_alone(tmp_path) -> None:
    card = compose(FEW, neutral_value=50.0)
    path = tmp_path / "painted.jpg"
    path.write_bytes(with_code(painted_photo(FEW, card, 78), card))
    found = card_shown(load(path))
    assert found == card
    box = box_of(found)
    assert [(tube.name, tube.pigments) for tube in box.tubes] == [
        (tube.name, tube.pigments) for tube in FEW.tubes
    ]
    assert Image.open(io.BytesIO(path.read_bytes())).size == (
        load(path).width_px,
        load(path).height_px,
    )
