"""The pages as they are seen: nothing off the paper, nothing on top of anything, one scale."""

from __future__ import annotations

from dataclasses import replace

import pymupdf
import pytest

from refmatch.colorimetry.display import lab_to_srgb8
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import PAPERS
from refmatch.sheet import pdf
from refmatch.sheet.content import Content
from refmatch.sheet.pen import visible
from tests.sheet.cases import CASES, content

MM = 72.0 / 25.4


@pytest.fixture(
    scope="module", params=[(case, paper) for case in CASES for paper in PAPERS], ids=str
)
def sheet(request) -> tuple[Content, str, pymupdf.Document]:
    case, paper = request.param
    made = CASES[case]()
    return made, paper, pymupdf.open(stream=pdf.write(made, paper))


def words_of(page: pymupdf.Page) -> list[tuple[pymupdf.Rect, str]]:
    """Return the ink of each line of one style, without the room above and below letters."""
    spans = [
        span
        for block in page.get_text("dict", flags=0)["blocks"]
        for line in block["lines"]
        for span in line["spans"]
        if span["text"].strip()
    ]
    found = []
    for span in spans:
        (x_0, _, x_1, _), (_, baseline) = span["bbox"], span["origin"]
        top = baseline - 0.69 * span["size"]  # Fira Sans: capitals are 0.69 em high
        found.append((pymupdf.Rect(x_0, top, x_1, baseline), span["text"]))
    return found


def grown(rect: pymupdf.Rect, by: float) -> pymupdf.Rect:
    return pymupdf.Rect(rect.x0 - by, rect.y0 - by, rect.x1 + by, rect.y1 + by)


def test_pages_are_of_the_paper(sheet):
    _, paper, document = sheet
    sides = sorted(side * MM for side in PAPERS[paper])
    for page in document:
        assert sorted((page.rect.width, page.rect.height)) == pytest.approx(sides, abs=0.01)
    assert document[0].rect.width < document[0].rect.height


def test_words_stay_inside_the_margins(sheet):
    _, _, document = sheet
    for page in document:
        inside = grown(page.rect, 1.0 - pdf.MARGIN)
        for box, text in words_of(page):
            assert box in inside, (page.number, text)


def test_no_words_lie_on_others(sheet):
    _, _, document = sheet
    for page in document:
        boxes = words_of(page)
        for index, (box, text) in enumerate(boxes):
            for other, other_text in boxes[index + 1 :]:
                shared = box & other
                if not shared.is_empty and shared.width > 0.5 and shared.height > 0.5:
                    pytest.fail(f"page {page.number}: {text!r} on {other_text!r}")


def test_drawings_stay_on_the_paper(sheet):
    _, _, document = sheet
    for page in document:
        for drawing in page.get_drawings():
            assert drawing["rect"] in grown(page.rect, 0.5)
        for image in page.get_image_info():
            assert pymupdf.Rect(image["bbox"]) in page.rect


def test_words_lie_on_no_swatch_but_their_own(sheet):
    """Painted fields bear no words, except the numbers' plates on the photo."""
    _, _, document = sheet
    for page in document:
        painted = [d["rect"] for d in page.get_drawings() if d["fill"] and _has_hue(d["fill"])]
        for box, text in words_of(page):
            for field in painted:
                shared = box & field
                assert shared.is_empty or shared.width < 0.5 or shared.height < 0.5, text


def test_every_target_has_a_slip(sheet):
    made, _, document = sheet
    text = squeezed("".join(page.get_text() for page in document.pages(1, len(document) - 2)))
    for slip in made.slips:
        assert f"{slip.number}{squeezed(visible(slip.label))[:30]}" in text
        for part in slip.parts:
            assert f"{part.figure}{squeezed(visible(part.words))}" in text
    assert text.count("yourdab") == len(made.slips)


def squeezed(text: str) -> str:
    """Return the text without the spaces and line ends that depend on where it wraps."""
    return "".join(text.split())


def test_only_photo_and_paint_have_hue(sheet):
    made, _, document = sheet
    paints = _paints(made)
    for page in document:
        for drawing in page.get_drawings():
            assert not (drawing["color"] and _has_hue(drawing["color"]))
            if drawing["fill"] and _has_hue(drawing["fill"]):
                assert _bytes(drawing["fill"]) in paints


def test_photo_and_card_are_at_one_scale(sheet):
    made, _, document = sheet
    photo, card = document[-2], document[-1]
    assert photo.rect == card.rect
    placed = pymupdf.Rect(photo.get_image_info()[0]["bbox"])
    frames = [d["rect"] for d in card.get_drawings() if _is_frame(d, made.aspect)]
    assert len(frames) == 1
    assert tuple(frames[0]) == pytest.approx(tuple(placed), abs=0.05)
    for page in (photo, card):
        bars = [d["rect"].width / MM for d in page.get_drawings() if abs(d["rect"].height) < 1.0]
        assert sum(abs(length - 50.0) < 0.02 for length in bars) == 1
    circles = [d["rect"] for d in card.get_drawings() if d["items"][0][0] == "c"]
    for mark in made.marks:
        x, y = placed.x0 + mark.x * placed.width, placed.y0 + mark.y * placed.height
        centred = [
            c
            for c in circles
            if abs((c.x0 + c.x1) / 2 - x) < 0.05 and abs((c.y0 + c.y1) / 2 - y) < 0.05
        ]
        assert len(centred) >= 2, mark  # the hole and its rim
        assert min(c.width for c in centred) >= mark.diameter * placed.width - 0.05
    assert len(circles) == 2 * len(made.marks)


def test_a_hole_at_the_edge_ends_with_the_photo():
    """A tiny photo's holes are wider than itself: their rings must not run over the page."""
    made = content(1)
    wide = replace(made, marks=(replace(made.marks[0], x=0.0, y=0.5, diameter=0.8),))
    document = pymupdf.open(stream=pdf.write(wide))
    for page in (document[0], document[-1]):
        margin = pymupdf.Rect(0.0, 0.0, pdf.MARGIN - 2.0, page.rect.height)
        ink = page.get_pixmap(clip=margin, colorspace=pymupdf.csGRAY).samples
        assert min(ink) == 255


def test_a_white_photo_is_framed():
    """Snow, or a photo cut out on white, must not melt into the paper."""
    made = content(1)
    page = pymupdf.open(stream=pdf.write(made))[0]
    frames = [d["rect"] for d in page.get_drawings() if _is_frame(d, made.aspect)]
    for image in page.get_image_info():
        x_0, y_0, x_1, y_1 = image["bbox"]
        assert any(
            tuple(frame) == pytest.approx((x_0, y_0, x_1, y_1), abs=0.05) for frame in frames
        )


def _is_frame(drawing: dict, aspect: float) -> bool:
    rect = drawing["rect"]
    is_rectangle = drawing["items"][0][0] == "re" and rect.height > 8.0
    return is_rectangle and rect.width / rect.height == pytest.approx(aspect, rel=1e-3)


def _has_hue(colour: tuple[float, ...]) -> bool:
    return max(colour) - min(colour) > 1e-3


def _bytes(colour: tuple[float, ...]) -> tuple[int, ...]:
    return tuple(round(255.0 * channel) for channel in colour)


def _paints(made: Content) -> set[tuple[int, ...]]:
    labs = [mass.lab for mass in made.masses]
    labs += [lab for squeeze in made.palette for lab in (squeeze.masstone, squeeze.tint)]
    for slip in made.slips:
        labs += [slip.target, *(part.lab for part in slip.parts)]
        labs += [step.lab for step in slip.steps] + [other.lab for other in slip.alternatives]
        labs += [] if slip.mix is None else [slip.mix]
        labs += [
            lab for each in slip.history for lab in (each.target, each.seen, each.photographed)
        ]
    for lesson in made.lessons:
        nudges = (*lesson.nudges, *lesson.instead)
        labs += [lesson.mix, *(nudge.lab for nudge in nudges if nudge.lab is not None)]
        labs += [step.lab for step in lesson.to_grey]
    labs += [lab for line in made.easel for lab in (line.target, line.mix) if lab is not None]
    labs += _planned_paints(made)
    return {tuple(int(byte) for byte in lab_to_srgb8(lab)) for lab in labs}


def _planned_paints(made: Content) -> list[Array]:
    plan = made.plan
    if plan is None:
        return []
    labs = [lab for line in plan.key.lines for lab in (line.before, line.after)]
    labs += [lab for tube in plan.tubes for lab in (tube.masstone, tube.tint)]
    labs += [dot.lab for dot in plan.dots]
    labs += [lab for line in plan.work for lab in (line.target, line.mix) if lab is not None]
    steps = [step for string in plan.strings for step in string.steps]
    return labs + [lab for step in steps for lab in (step.wanted, step.mix)]


def test_photo_and_mix_meet_edge_to_edge():
    made = content(1)
    at_the_easel, slip = list(pymupdf.open(stream=pdf.write(made)).pages(1, 3))
    target = _largest(slip, made.slips[0].target)
    mix = _largest(slip, made.slips[0].mix)
    assert mix in grown(target, 0.01)
    assert mix.x0 == pytest.approx(target.x0 + target.width / 2.0, abs=0.02)
    assert (mix.y0, mix.y1) == pytest.approx((target.y0, target.y1), abs=0.02)
    target = _largest(at_the_easel, made.easel[0].target)
    mix = _largest(at_the_easel, made.easel[0].mix)
    assert mix.x0 == pytest.approx(target.x1, abs=0.02)
    assert (mix.y0, mix.y1) == pytest.approx((target.y0, target.y1), abs=0.02)


def _largest(page: pymupdf.Page, lab) -> pymupdf.Rect:
    paint = tuple(int(byte) for byte in lab_to_srgb8(lab))
    fields = [d["rect"] for d in page.get_drawings() if d["fill"] and _bytes(d["fill"]) == paint]
    return max(fields, key=lambda rect: rect.width * rect.height)


def test_slips_fill_their_pages():
    """Our own choice: on a full sheet, two thirds of a slip page's height bear slips."""
    document = pymupdf.open(stream=pdf.write(content(8)))
    for page in document.pages(1, len(document) - 2):
        panels = [d["rect"] for d in page.get_drawings() if d["fill"] == (0.567,) * 3]
        panels = panels or [d["rect"] for d in page.get_drawings() if _is_ground(d)]
        assert sum(panel.height for panel in panels) > 0.66 * (page.rect.height - 2 * pdf.MARGIN)


def _is_ground(drawing: dict) -> bool:
    fill = drawing["fill"]
    return bool(fill) and not _has_hue(fill) and abs(fill[0] - 0.567) < 0.004
