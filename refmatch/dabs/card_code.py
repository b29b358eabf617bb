"""The code on a calibration card: all that its reader needs, printed on each of its pages.

So a photo of a card can be read anywhere, with no file kept. The code holds what the layout is made
from, not the layout: the box's name and tubes, the parts of every dab, paper and grey. It is JSON,
deflated with a dictionary of what most cards hold, in the 45 characters that a QR code packs
closest (RFC 9285).
"""

from __future__ import annotations

import contextlib
import itertools
import json
import zlib
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.box_card import IN_GROUP, card_of, compose, next_page, place_of
from refmatch.dabs.card import (
    GREY_CARD_LSTAR,
    PAPERS,
    Card,
    CardTube,
    PaintWindow,
    code_place,
    marker_places,
)
from refmatch.dabs.find import FEWEST_MARKERS, detect, grey_at, project
from refmatch.errors import CardError, RefmatchError
from refmatch.paint.box import Box
from refmatch.paint.labelled import tube_labelled
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo

FIRST = "REFMATCH1:"
"""What the text of a code begins with; the figure is its version."""

LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
"""The alphabet of RFC 9285, table 1; a QR code has the same (ISO/IEC 18004, table 5)."""

USUAL = (
    b'"phthalo green","PG7"],["phthalo blue","PB15:3"],["cerulean blue","PB35"],'
    b'["viridian","PG18"],'
    b'["cobalt blue","PB28"],["Prussian blue","PB27"],["alizarin crimson","PR83"],'
    b'["quinacridone magenta","PR122"],["cadmium red","PR108"],["pyrrole red","PR254"],'
    b'["cadmium orange","PO20"],["cadmium yellow","PY37"],["cadmium yellow light","PY35"],'
    b'["hansa yellow","PY74"],["raw umber","raw-umber"],["burnt umber","burnt-umber"],'
    b'["raw sienna","raw-sienna"],'
    b'["burnt sienna","burnt-sienna"],["yellow ochre","PY43"],["ultramarine blue","PB29"],'
    b'["ivory black","PBk9"],["lamp black","PBk7"],["zinc white","PW4"],'
    b'"volume","a4",49.5,"titanium white",[["titanium white","PW6"],'
    b"[1,0],[[1,0],[1,1],[1,9]],[[1,0],[1,9],[1,30]],[[1,0],[1,9],[1,30]],[5,1],"
)
"""What most cards hold, the most usual last. It must never be changed: printed cards rest on it."""

LONGEST = 4000
"""Characters of a code's text: a QR code holds no more (ISO/IEC 18004)."""

LARGEST = 100_000
"""Bytes that a code may unfold to."""


def code_of(card: Card) -> str:
    """Return the text of a card's code."""
    names = [tube.name for tube in card.tubes]
    alone = [window for window in card.windows if not window.other]
    pairs = [window for window in card.windows if window.other]
    content = [
        card.box_name,
        card.box_digest,
        card.parts_by,
        card.paper,
        card.neutral_value,
        card.white,
        [[tube.name, *tube.pigments] for tube in card.tubes],
        [[[w.parts, w.white_parts] for w in alone if w.tube == name] for name in names],
        pairs[0].page if pairs else 0,
        [[names.index(w.tube), w.parts, names.index(w.other), w.other_parts] for w in pairs],
    ]
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    packer = zlib.compressobj(9, zlib.DEFLATED, -15, 9, zdict=USUAL)
    return FIRST + _in_letters(packer.compress(text.encode()) + packer.flush())


def card_of_code(text: str) -> Card | None:
    """Return the card that a code stands for; None where the text is no such code, or damaged."""
    if not text.startswith(FIRST) or len(text) > LONGEST:
        return None
    try:
        unpacker = zlib.decompressobj(-15, zdict=USUAL)
        content = json.loads(unpacker.decompress(_of_letters(text[len(FIRST) :]), LARGEST))
        return _card(content)
    except (LookupError, RefmatchError, TypeError, ValueError, zlib.error):
        return None


def _card(content: Sequence[object]) -> Card:
    name, digest, parts_by, paper, grey, white, tubes, alone, page, pairs = content
    if paper not in PAPERS or not isinstance(grey, int | float) or not 0.0 < grey <= 100.0:
        raise ValueError("no such paper or grey")
    labels = tuple(CardTube(str(first), tuple(map(str, rest))) for first, *rest in tubes)  # type: ignore[attr-defined]
    names = [tube.name for tube in labels]
    windows = [*_alone(names, alone, str(paper)), *_pairs(names, page, pairs, str(paper))]  # type: ignore[arg-type]
    made = {"box_name": str(name), "box_digest": str(digest), "parts_by": str(parts_by)}
    return card_of(windows, str(paper), float(grey), labels, white=str(white), **made)


def _alone(
    names: Sequence[str], alone: Sequence[Sequence[Sequence[int]]], paper: str
) -> Iterator[PaintWindow]:
    for group, (name, dabs) in enumerate(zip(names, alone, strict=True)):
        for index, (parts, white_parts) in enumerate(dabs):
            place = place_of(group * IN_GROUP + index, paper)
            yield PaintWindow(*place, name, _count(parts, 1), _count(white_parts, 0))


def _pairs(
    names: Sequence[str], page: int, pairs: Sequence[Sequence[int]], paper: str
) -> Iterator[PaintWindow]:
    if not pairs:
        return
    after = len(names) * IN_GROUP
    begin = after if place_of(after, paper)[0] == page else next_page(len(names), paper)
    for order, (tube, parts, other, other_parts) in enumerate(pairs, begin):
        mixed = names[_count(other, 0)], _count(other_parts, 1)
        place = place_of(order, paper)
        yield PaintWindow(*place, names[_count(tube, 0)], _count(parts, 1), 0, *mixed)


def _count(value: object, least: int) -> int:
    if not isinstance(value, int) or value < least:
        raise ValueError("no such part")
    return value


def _in_letters(data: bytes) -> str:
    """Return bytes in base 45: two in three letters, a last one in two (RFC 9285, section 4)."""
    letters = []
    for at in range(0, len(data), 2):
        number = int.from_bytes(data[at : at + 2], "big")
        for _ in data[at : at + 2] + b"+":
            number, digit = divmod(number, len(LETTERS))
            letters.append(LETTERS[digit])
    return "".join(letters)


def _of_letters(text: str) -> bytes:
    data = b""
    for at in range(0, len(text), 3):
        digits = [LETTERS.index(letter) for letter in text[at : at + 3]]
        number = sum(digit * len(LETTERS) ** place for place, digit in enumerate(digits))
        data += number.to_bytes(len(digits) - 1, "big")
    return data


# Which card a photo shows, with no file: by its code, or by the box that it was printed for.


def card_shown(photo: Photo, box: Box | None = None, lstar: float = GREY_CARD_LSTAR) -> Card:
    """Return the card that a photo shows.

    Where its code cannot be read, or it was printed without one, the card is laid out again for
    the ``box``, with a grey of ``lstar``: its markers tell whether that is the one.

    Raises:
        CardError: no card is seen, or neither code nor box tells which it is.
    """
    detected = detect(photo)
    if not detected:
        raise CardError("no_card_seen", photo=photo.path.name)
    card = _card_in(photo, detected)
    if card is None and box is not None:
        card = _of_box(box, lstar, detected)
    if card is None:
        raise CardError("no_card_code", photo=photo.path.name)
    return card


def box_of(card: Card) -> Box:
    """Return a box of the card's tubes as their labels name them.

    Raises:
        CardError: the pigment of a tube is not known here.
    """
    try:
        tubes = [tube_labelled(" ".join(tube.pigments), tube.name) for tube in card.tubes]
    except RefmatchError as error:
        raise CardError("card_of_unknown_tubes", box=card.box_name) from error
    return Box(card.box_name, tuple(tubes), card.parts_by)


def _of_box(box: Box, lstar: float, detected: Mapping[int, Array]) -> Card | None:
    """Return the card of a box that most of the markers belong to."""
    for paper, is_short in itertools.product(PAPERS, (False, True)):
        card = compose(box, paper, lstar, is_short=is_short)
        known = sum(marker.number in detected for marker in card.markers)
        if known >= FEWEST_MARKERS and 2 * known >= len(detected):
            return card
    return None


# Seeing the code in a photo: the markers tell where it lies, whatever card they belong to.

READ_PX, RIM_PX = 980, 98
"""The code is drawn this wide to be read, with so much white round it."""

SHARPER, SHARP_SIGMA_PX = (0.0, 1.5, 4.0), 8.0
"""What a lens has spread is drawn together by so much of what a wider blur takes away."""

SAME_PLACE_PX = 12.0
SAME_PLACE_MM = 4.0
"""A marker that lies within this of a place of the page may be the one that is printed there."""


def _card_in(photo: Photo, detected: Mapping[int, Array]) -> Card | None:
    """Return the card whose code a photo shows, None where there is none to be read."""
    corners = list(detected.values())
    for paper in PAPERS:
        to_photo = _page_at(corners, paper)
        if to_photo is None:
            continue
        drawn = _straightened(photo, project(to_photo, code_place(paper).corners_mm))
        for text in _readings(drawn):
            card = card_of_code(text)
            if card is not None and card.paper == paper:
                return card
    return None


def _page_at(markers_px: Sequence[Array], paper: str) -> Array | None:
    """Return what takes a page's millimetres to the photo, (3, 3), by markers of any number.

    Two that lie far apart are tried at any two places of the page; what fits most markers wins.
    """
    if len(markers_px) < FEWEST_MARKERS:
        return None
    places = [place.corners_mm for place in marker_places(paper)]
    middles = np.array([corners.mean(axis=0) for corners in markers_px])
    far = np.linalg.norm(middles[:, None] - middles[None], axis=-1)
    first, second = divmod(int(far.argmax()), len(markers_px))
    pair = np.concatenate([markers_px[first], markers_px[second]])
    seen, page = np.stack(markers_px), np.stack(places)
    best, most = None, FEWEST_MARKERS - 1
    for here, there in itertools.permutations(range(len(places)), 2):
        to_page, _ = opencv().findHomography(pair, np.concatenate([places[here], places[there]]))
        if to_page is None or abs(np.linalg.det(to_page)) < 1e-15:
            continue
        off = np.linalg.norm(project(to_page, seen)[:, None] - page[None], axis=-1).max(axis=-1)
        count = int((off.min(axis=1) < SAME_PLACE_MM).sum())
        if count > most:
            best, most = off, count
    if best is None:
        return None
    fitting = np.flatnonzero(best.min(axis=1) < SAME_PLACE_MM)
    at = best[fitting].argmin(axis=1)
    to_photo, _ = opencv().findHomography(
        page[at].reshape(-1, 2), seen[fitting].reshape(-1, 2), opencv().RANSAC, SAME_PLACE_PX
    )
    return None if to_photo is None else np.asarray(to_photo)


def _straightened(photo: Photo, corners_px: Array) -> Array:
    """Return the code in grey, 0 to 255, square and with a white rim, (`READ_PX`, `READ_PX`)."""
    cv2, end = opencv(), READ_PX - RIM_PX
    far = 0.3 * float(np.linalg.norm(corners_px[2] - corners_px[0]))
    left, top = np.maximum(corners_px.min(axis=0) - far, 0.0).astype(int).tolist()
    right, bottom = (corners_px.max(axis=0) + far).astype(int).tolist()
    columns, rows = min(right, photo.width_px) - left, min(bottom, photo.height_px) - top
    if min(columns, rows) < 1:
        return np.full((READ_PX, READ_PX), 255.0)
    square = np.array([[RIM_PX, RIM_PX], [end, RIM_PX], [end, end], [RIM_PX, end]], np.float32)
    grey = np.asarray(grey_at(photo, top, left, rows, columns), np.float32)
    matrix = cv2.getPerspectiveTransform((corners_px - (left, top)).astype(np.float32), square)
    drawn = cv2.warpPerspective(
        grey, matrix, (READ_PX, READ_PX), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
    )
    low, high = np.percentile(drawn[RIM_PX:end, RIM_PX:end], (2.0, 98.0))
    return np.asarray((drawn - low) * (255.0 / max(float(high - low), 1e-6)))


def _readings(drawn: Array) -> Iterator[str]:
    """Yield what a code may say, as it is and drawn sharper."""
    cv2, end = opencv(), READ_PX - RIM_PX
    detector = cv2.QRCodeDetector()
    corners = np.array([[[RIM_PX, RIM_PX], [end, RIM_PX], [end, end], [RIM_PX, end]]], np.float32)
    wide = cv2.GaussianBlur(drawn, (0, 0), SHARP_SIGMA_PX)
    for sharper in SHARPER:
        sharp = np.clip(drawn + sharper * (drawn - wide), 0.0, 255.0).astype(np.uint8)
        with contextlib.suppress(cv2.error):
            yield str(detector.detectAndDecode(sharp)[0])
            yield str(detector.decode(sharp, corners)[0])
