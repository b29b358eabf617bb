"""The cover: the photo and its holes, its values and masses, the palette, and what to beware of."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, Row, Rule, Stack, Text, safe, strong
from refmatch.sheet.content import Content, MassShare, OtherShown, Squeeze
from refmatch.sheet.pen import BOLD, INK, LINE, SOFT, WHITE, Area, Pen, width
from refmatch.sheet.slip import WarningRow

# The masses on the cover: a bar of their shares, and each in words.

MOST_TOLD = 14
"""Masses in words; more stand in the bar alone."""

MOST_ROWS, WIDE_ENOUGH = 8, 320.0
"""Rows in one column at most, where the block is as wide as that, in points."""


def mass_block(content: Content, across: float) -> Block:
    """Return the bar of shares and what each mass is, empty where there are no masses."""
    if not content.masses:
        return Stack(())
    title = Text(strong("Masses, by area"), across, 9.5)
    return Stack((title, _MassBar(content.masses, across), _rows(content, across)), gap=4.0)


def _rows(content: Content, across: float) -> Block:
    """Return a row for each mass, in two columns where there are many and room for them."""
    masses, others = content.masses[:MOST_TOLD], content.masses[MOST_TOLD:]
    rest = Text(f"and {len(others)} smaller ones" if others else "", across, 8.5)
    if len(masses) <= MOST_ROWS or across < WIDE_ENOUGH:
        rows = (_MassRow(mass, across, 2) for mass in masses)
        return Stack((*rows, rest), gap=1.0)
    half, wide = -(-len(masses) // 2), across / 2.0
    columns = (masses[:half], masses[half:])
    stacks = [Stack(tuple(_MassRow(m, wide - 6.0, 1) for m in c), gap=1.0) for c in columns]
    return Stack((Row(((0.0, stacks[0]), (wide + 6.0, stacks[1]))), rest), gap=1.0)


class _MassBar:
    """The masses as one bar, each as long as its share of the picture."""

    height = 20.0

    def __init__(self, masses: tuple[MassShare, ...], across: float) -> None:
        self.masses = masses
        self.across = across

    def draw(self, pen: Pen, x: float, y: float) -> None:
        whole = sum(mass.share for mass in self.masses)
        left = x
        for mass in self.masses:
            wide = self.across * mass.share / whole
            pen.paint(Area(left, y, wide, self.height), mass.lab)
            left += wide
        pen.frame(Area(x, y, self.across, self.height), 0.4)


class _MassRow:
    def __init__(self, mass: MassShare, across: float, most_lines: int) -> None:
        self.mass = mass
        self.across = across
        self.words = Text(safe(self._words()), across - 44.0, 8.5, most_lines=most_lines)

    def _words(self) -> str:
        return f"{self.mass.words} ({self.mass.number})" if self.mass.number else self.mass.words

    @property
    def height(self) -> float:
        return max(self.words.height, 10.5)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        swatch = Area(x, y + 1.5, 9.0, 9.0)
        pen.paint(swatch, self.mass.lab)
        share = self.mass.percent
        pen.word(x + 38.0 - width(share, BOLD, 8.5), y + 8.8, share, 8.5, BOLD)
        self.words.draw(pen, x + 44.0, y)


# The palette on the cover: which tubes, in what order, and how much of each.

COLUMNS = (4, 5)
"""What the grid may be; the lower one is taken."""
DAB_WORDS = "The small dab is the tint in 9 of white."
LARGEST, SMALLEST = 13.0, 3.0
"""Radius in points of the largest and of the smallest squeeze."""


class PaletteBlock:
    """The tubes in a grid, read like text, each with its masstone and its tint."""

    def __init__(self, content: Content, across: float) -> None:
        self.content = content
        self.across = across

    @property
    def height(self) -> float:
        """Height in points."""
        return self._stack.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the title and the grid."""
        self._stack.draw(pen, x, y)

    @cached_property
    def _stack(self) -> Stack:
        content, across = self.content, self.across
        if not content.palette:
            return Stack((Text(safe(content.palette_words), across, 9.0),), gap=6.0)
        words = f"{content.palette_words} {DAB_WORDS}"
        words += f" Not needed from this box: {content.unused}." if content.unused else ""
        title = f"{strong('Palette: lay out in this order.')} {safe(words)}"
        return Stack(
            (
                Text(title, across, 9.0),
                min((_Grid(content.palette, across, n) for n in COLUMNS), key=_height),
            ),
            gap=6.0,
        )


class _Grid:
    def __init__(self, palette: tuple[Squeeze, ...], across: float, columns: int) -> None:
        largest = max((squeeze.volume_ml for squeeze in palette), default=1.0)
        wide = across / columns
        cells = [_Cell(squeeze, wide, largest) for squeeze in palette]
        self.rows = [cells[start : start + columns] for start in range(0, len(cells), columns)]
        self.wide = wide
        self.across = across

    @property
    def height(self) -> float:
        return sum(_high(row) for row in self.rows) + 8.0 if self.rows else 0.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        pen.frame(Area(x, y, self.across, self.height), 0.6, LINE)
        y += 4.0
        for row in self.rows:
            for column, cell in enumerate(row):
                cell.draw(pen, x + column * self.wide, y)
            y += _high(row)


class _Cell:
    def __init__(self, squeeze: Squeeze, wide: float, largest_ml: float) -> None:
        self.squeeze = squeeze
        # A blob's width goes with the cube root of its volume.
        share = (squeeze.volume_ml / largest_ml) ** (1.0 / 3.0)
        self.radius = max(LARGEST * share, SMALLEST)
        across = wide - 2.0 * LARGEST - 20.0
        same = squeeze.pigments.lower().replace("-", " ") == squeeze.tube.lower()
        pigments = "" if same else squeeze.pigments
        amount = f"{safe(squeeze.size)}, for&nbsp;{safe(squeeze.serves)}"
        blocks: tuple[Block, ...] = (
            Text(strong(squeeze.tube), across, 9.0, leading=1.15, most_lines=3),
            Text(safe(pigments), across, 7.5, level=SOFT, most_lines=1),
            Text(amount, across, 8.5, leading=1.15),
        )
        self.words = Stack(blocks, gap=0.5)

    @property
    def height(self) -> float:
        return max(self.words.height, 2.0 * LARGEST) + 8.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        middle = y + LARGEST + 4.0
        across = x + 6.0 + LARGEST
        pen.dab(across + self.radius + 2.0, middle + self.radius * 0.5, 4.5, self.squeeze.tint)
        pen.dab(across, middle, self.radius, self.squeeze.masstone)
        self.words.draw(pen, x + 2.0 * LARGEST + 17.0, y + 4.0)


def _height(grid: _Grid) -> float:
    return grid.height


def _high(row: list[_Cell]) -> float:
    return max(cell.height for cell in row)


# Where the numbers stand beside the holes, so that none covers a hole or another number.

DIRECTIONS = 16
REACHES = (1.0, 1.6, 2.4, 3.4, 4.6, 6.0)
"""How far out a number may stand, in heights of its plate."""


@dataclass(frozen=True)
class Ring:
    """A circle on the page, in points."""

    x: float
    y: float
    radius: float


def beside(rings: Sequence[Ring], size: tuple[float, float], room: Area) -> list[Area]:
    """Return a plate of ``size`` (width, height) for each ring, inside ``room``.

    Rings are taken in turn; each gets the nearest place, above first, that meets
    no ring and no earlier plate. Where everything is taken, the one that meets least.
    """
    plates: list[Area] = []
    for ring in rings:
        plates.append(
            min(_candidates(ring, size), key=lambda c: _cost(c, ring, rings, plates, room))
        )
    return plates


def _candidates(ring: Ring, size: tuple[float, float]) -> list[Area]:
    width, height = size
    plates = []
    for reach in REACHES:
        for turn in range(DIRECTIONS):
            # Above first, then alternately right and left of it.
            step = (turn + 1) // 2 * (1 if turn % 2 else -1)
            angle = math.radians(-90.0 + step * 360.0 / DIRECTIONS)
            along = ring.radius + (reach - 0.3) * height
            x = ring.x + math.cos(angle) * (along + width / 2.0 - height / 4.0)
            y = ring.y + math.sin(angle) * (along + height / 4.0)
            plates.append(Area(x - width / 2.0, y - height / 2.0, width, height))
    return plates


def _cost(
    plate: Area, own: Ring, rings: Sequence[Ring], plates: Sequence[Area], room: Area
) -> float:
    distance = math.hypot(plate.x + plate.width / 2 - own.x, plate.y + plate.height / 2 - own.y)
    meets = sum(_overlap(plate, other) for other in plates)
    meets += sum(_overlap(plate, _around(ring)) for ring in rings)
    outside = plate.width * plate.height - _overlap(plate, room)
    return distance + 1000.0 * meets + 10000.0 * outside


def _around(ring: Ring) -> Area:
    reach = ring.radius + 1.0
    return Area(ring.x - reach, ring.y - reach, 2.0 * reach, 2.0 * reach)


def _overlap(one: Area, other: Area) -> float:
    across = min(one.right, other.right) - max(one.x, other.x)
    down = min(one.bottom, other.bottom) - max(one.y, other.y)
    return max(across, 0.0) * max(down, 0.0)


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
    if content.others:
        room -= _others_height(content, area.width) + GAP
    middle = Area(area.x, top, area.width, room)
    used = _beside(pen, content, middle) if _is_upright(content) else _below(pen, content, middle)
    y = top + used + GAP
    palette.draw(pen, area.x, y)
    y += palette.height + GAP
    if content.others:
        rest = Area(area.x, y, area.width, area.bottom - foot.height - GAP - y)
        y += _draw_others(pen, content, rest) + GAP
    _draw_notes(pen, Area(area.x, y, area.width, area.bottom - foot.height - GAP - y))


OTHER_LEAST, OTHER_MOST = 50.0, 96.0
"""Points: how high the small pictures of other photos are."""


def _others_height(content: Content, across: float) -> float:
    """Return how much of the cover the small pictures of other photos ask for."""
    if not content.others:
        return 0.0
    aspects = sum(other.aspect for other in content.others)
    wide = across - GAP * (len(content.others) - 1)
    return min(OTHER_MOST, max(OTHER_LEAST, wide / aspects)) + 26.0


def _draw_others(pen: Pen, content: Content, area: Area) -> float:
    """Draw the other photos side by side, each with its holes; return the height used."""
    aspects = sum(other.aspect for other in content.others)
    wide = area.width - GAP * (len(content.others) - 1)
    high = min(_others_height(content, area.width) - 26.0, wide / aspects)
    x = area.x
    for other in content.others:
        across = high * other.aspect
        words = f"{strong(other.name)} {safe(other.light)}"
        picture = Area(x, area.y, across, high)
        draw_photo(pen, other, picture)
        Text(words, max(across, 60.0), 8.0).draw(pen, x, picture.bottom + 3.0)
        x += across + GAP
    return high + 26.0


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
    below = " · ".join(part for part in (content.date, content.light) if part)
    return Stack(
        (
            Text(strong(content.title), across, 22.0, leading=1.1, most_lines=2),
            Text(safe(below), across, 9.5, level=SOFT, most_lines=2),
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
    return Stack((Rule(across, 0.6), columns), gap=5.0)


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


def draw_photo(pen: Pen, content: Content | OtherShown, area: Area) -> None:
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
