"""A photo of a painted card, with the card's code on it as it is printed."""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

import cv2
import numpy as np
import segno
from PIL import Image

from refmatch.dabs.card import Card, code_place
from refmatch.dabs.card_code import code_of
from refmatch.dabs.find import find
from refmatch.photo.load import load

MODULE_PX = 12


def with_code(photo: bytes, card: Card) -> bytes:
    """Return the JPEG with the code laid on the paper, where the markers say that it lies."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "photo.jpg"
        path.write_bytes(photo)
        outline = find(load(path), card).homography.outline_px(code_place(card.paper))
    picture = np.asarray(Image.open(io.BytesIO(photo)).convert("RGB"), np.float32)
    rows = np.array(segno.make_qr(code_of(card), error="m", boost_error=False).matrix)
    black = np.kron(rows, np.ones((MODULE_PX, MODULE_PX))).astype(np.float32)
    side = float(len(black))
    corners = np.array([[0, 0], [side, 0], [side, side], [0, side]], np.float32)
    matrix = cv2.getPerspectiveTransform(corners, outline.astype(np.float32))
    size = picture.shape[1], picture.shape[0]
    ink = cv2.warpPerspective(black, matrix, size, flags=cv2.INTER_AREA)
    ink = cv2.GaussianBlur(ink, (0, 0), 1.0)[..., None]
    shown = picture * (1.0 - ink) + 25.0 * ink
    stream = io.BytesIO()
    Image.fromarray(np.clip(shown, 0, 255).astype(np.uint8)).save(stream, "JPEG", quality=90)
    return stream.getvalue()
