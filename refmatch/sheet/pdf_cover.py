"""The cover: the photo and its holes, its values and masses, the palette, and what to beware of."""

from __future__ import annotations

from refmatch.sheet.blocks import Block, Row, Stack, Text, safe, strong
from refmatch.sheet.content import Content
from refmatch.sheet.fonts import BOLD
from refmatch.sheet.pdf_masses import mass_block
from refmatch.sheet.pdf_palette import PaletteBlock
from refmatch.sheet.pdf_slip_rows import WarningRow
from refmatch.sheet.pen import INK, SOFT, WHITE, Area, Pen
from refmatch.sheet.places import Ring, beside

GAP = 14.0
NOTE_LINE = 22.0
FOOT_SIZE = 8.0
UPRIGHT_BELOW = 1.2
"""Aspect (width to height) under which values and masses stand beside the photo, not below."""


def draw(pen: Pen, content: Content, area: Area) -> None:
    """Draw the cover in ``area``: head, photo, values and masses, palette, foot."""
    head, foot = _head(content, area.width), _foot(content, area.width)
    palette = PaletteBlock(content, area.width)
    head.draw(pen, area.x, area.y)
    foot.draw(pen, area.x, area.bottom - foot.height)
    top = area.y + head.height + GAP
    room = area.bottom - foot.height - top - 2.0 * GAP - palette.height
    middle = Area(area.x, top, area.width, room)
    used = _beside(pen, content, middle) if _is_upright(content) else _below(pen, content, middle)
    y = top + used + GAP
    palette.draw(pen, area.x, y)
    y += palette.height + GAP
    _draw_notes(pen, Area(area.x, y, area.width, area.bottom - foot.height - GAP - y))


def _draw_notes(pen: Pen, area: Area) -> None:
    """Rule what is left of the page for the painter's own notes."""
    lines = int((area.height - 4.0) // NOTE_LINE)
    if lines < 2:
        return
    pen.word(area.x, area.y + 9.0, "Notes", 9.5, BOLD)
    for line in range(1, lines + 1):
        y = area.y + line * area.height / lines
        pen.rule(area.x, y, area.right, y, 0.3)


def _is_upright(content: Content) -> bool:
    return content.aspect < UPRIGHT_BELOW


def _head(content: Content, across: float) -> Block:
    told = " · ".join(part for part in (content.date, content.light) if part)
    return Stack(
        (
            Text(strong(content.title), across, 22.0, leading=1.1, most_lines=2),
            Text(safe(told), across, 9.5, level=SOFT, most_lines=2),
        ),
        gap=3.0,
    )


def _foot(content: Content, across: float) -> Block:
    """Return care and light in two columns; what is to be said of the photo evens them out."""
    wide = (across - GAP) / 2.0
    care = f"{strong('Care.')} {safe(' '.join(content.cautions))}"
    light = f"{strong('Light.')} {safe(' '.join(content.advice))}"
    left: list[Block] = [Text(care, wide, FOOT_SIZE)]
    right: list[Block] = [
        Text(light, wide, FOOT_SIZE),
        Text(safe(f"Colours: {content.colours_of}."), wide, 7.5, level=SOFT),
    ]
    for flag in content.flags:
        shorter = left if Stack(tuple(left)).height <= Stack(tuple(right)).height else right
        shorter.append(WarningRow(flag, wide, FOOT_SIZE))
    columns = Row(((0.0, Stack(tuple(left), 2.0)), (wide + GAP, Stack(tuple(right), 2.0))))
    return Stack((_Rule(across), columns), gap=5.0)


class _Rule:
    height = 1.0

    def __init__(self, across: float) -> None:
        self.across = across

    def draw(self, pen: Pen, x: float, y: float) -> None:
        pen.rule(x, y, x + self.across, y, 0.6)


def _below(pen: Pen, content: Content, area: Area) -> float:
    """Draw a wide photo across the page, values and masses below it; return the height used."""
    if (used := _stacked(pen, content, area)) is not None:
        return used
    masses = mass_block(content, 0.54 * area.width - GAP)
    lower = max(masses.height, min(90.0, 0.46 * area.width / content.aspect + 28.0))
    spare = area.height - lower - GAP - area.width / content.aspect
    lower += max(0.0, min(spare, 0.46 * area.width / content.aspect + 28.0 - lower))
    photo_height = min(area.width / content.aspect, area.height - lower - GAP)
    photo = Area(area.x, area.y, photo_height * content.aspect, photo_height)
    draw_photo(pen, content, photo)
    y = photo.bottom + GAP
    _draw_values(pen, content, Area(area.x, y, 0.46 * area.width, lower))
    masses.draw(pen, area.x + 0.46 * area.width + GAP, y)
    return photo_height + GAP + lower


def _stacked(pen: Pen, content: Content, area: Area) -> float | None:
    """Draw a panorama, its values as wide as itself and its masses, where all that fits."""
    masses, high = mass_block(content, area.width), area.width / content.aspect
    values = high + 28.0 if content.values else 0.0
    needed = high + GAP + values + GAP + masses.height
    if needed > area.height:
        return None
    draw_photo(pen, content, Area(area.x, area.y, area.width, high))
    y = area.y + high + GAP
    _draw_values(pen, content, Area(area.x, y, area.width, values))
    masses.draw(pen, area.x, y + values + GAP)
    return needed


def _beside(pen: Pen, content: Content, area: Area) -> float:
    """Draw an upright photo at the left, values and masses beside it; return the height used."""
    photo_width = min(0.66 * area.width, area.height * content.aspect)
    photo = Area(area.x, area.y, photo_width, photo_width / content.aspect)
    draw_photo(pen, content, photo)
    x = photo.right + GAP
    across = area.right - x
    masses = mass_block(content, across)
    room = Area(x, area.y, across, photo.height - masses.height - GAP)
    values_height = _draw_values(pen, content, room)
    masses.draw(pen, x, area.y + values_height + GAP)
    return max(photo.height, values_height + GAP + masses.height)


def draw_photo(pen: Pen, content: Content, area: Area) -> None:
    """Draw the photo with its holes and their numbers."""
    pen.picture(area, content.photo)
    rings = [
        Ring(
            area.x + mark.x * area.width,
            area.y + mark.y * area.height,
            max(mark.diameter * area.width / 2.0, 3.0),
        )
        for mark in content.marks
    ]
    with pen.within(area):
        for ring in rings:
            pen.ring(ring.x, ring.y, ring.radius + 0.9, 0.9, INK)
            pen.ring(ring.x, ring.y, ring.radius, 0.9, WHITE)
    for mark, plate in zip(content.marks, beside(rings, (15.0, 11.0), area), strict=True):
        pen.grey(plate, INK)
        middle = plate.x + plate.width / 2.0
        pen.word_middle(middle, plate.y + 8.6, str(mark.number), 8.5, BOLD, level=WHITE)


def _draw_values(pen: Pen, content: Content, area: Area) -> float:
    """Draw the value study as large as fits; return the height used."""
    if content.values is None:
        return 0.0
    title = Text(strong("Values"), area.width, 9.5)
    words = Text(safe(content.values_words), area.width, 8.0, level=SOFT)
    title.draw(pen, area.x, area.y)
    room = area.height - title.height - words.height - 6.0
    high = min(max(room, 20.0), area.width / content.aspect)
    y = area.y + title.height + 3.0
    picture = Area(area.x, y, high * content.aspect, high)
    pen.picture(picture, content.values)
    words.draw(pen, area.x, picture.bottom + 3.0)
    return title.height + words.height + 6.0 + high
