"""The first page: how to cut, mix, paint and photograph, in steps and two small drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from refmatch.card.layout import Card
from refmatch.card.page import MARGIN_MM
from refmatch.sheet.blocks import Row, Stack, Text, safe, strong
from refmatch.sheet.fonts import BOLD, fitted
from refmatch.sheet.pen import GROUND, INK, MM, SOFT, Area, Pen

SIZE, GAP, NUMBER_WIDTH = 11.0, 10.0, 22.0
DRAWING_WIDTH = 54.0 * MM
SMALL, NOTES_MM = 9.5, 53.0

Step = tuple[str, str]
"""What is done, in a word, and how."""

PRINT = ("Print", "Print at 100 % on plain white paper, in black. Glossy paper shines.")
CUT = ("Cut", "Cut out every window along its line. Leave the black bars on the frame.")
TAPE = (
    "Tape",
    "Tape the frame flat over primed canvas paper. Do not paint on printer paper: it drinks "
    "the oil, and the dab dries dull.",
)
KEEP_CLEAN = (
    "Keep the white clean",
    "The white paper between the windows shows how the light falls. Wipe off what strays.",
)
LIGHT = (
    "Light",
    "Light the card from both sides at 45 degrees, with lamps alike, or by a window at the "
    "side. No flash. No sun on one half. No shine on the paint: turn or lift the light until "
    "it is gone.",
)
PHOTOGRAPH = (
    "Photograph",
    "Photograph from straight above, one photo for each page. Every marker must be in the "
    "picture, and the card must fill it. Use no filter, and keep the file as the camera made "
    "it.",
)

CALIBRATION = (
    PRINT,
    CUT,
    TAPE,
    (
        "Mix",
        "Mix each dab from the parts printed over its window, {by}. 1 to 9 white is one part of "
        "the tube and nine parts of {white}. Clean the knife between dabs. Mix until no streak "
        "is left.",
    ),
    (
        "Paint",
        "Lay each dab on flat with the knife, so thick that it hides, out to all four edges. Draw "
        "it down over the black bar. If the bar shows through, lay on more.",
    ),
    KEEP_CLEAN,
    (
        "Wet or dry",
        "Photograph the dabs wet if you will judge your mixes wet, dry if dry. Wet paint shines "
        "more easily.",
    ),
    (
        "Grey card",
        "Lay a grey card of L* {grey} over the cross on each page, flat, so that no part of the "
        "cross shows. Lay it there for every photo. If you have a 24-patch chart, lay it beside "
        "the card, in the same light: it is found by itself.",
    ),
    LIGHT,
    PHOTOGRAPH,
)


@dataclass(frozen=True)
class How:
    """What the first page of a card says.

    ``over_window`` is the caption of the drawn dab; ``notes`` stand below that drawing.
    """

    title: str
    lead: str
    steps: tuple[Step, ...]
    over_window: str
    notes: tuple[Step, ...] = ()


def of_calibration(card: Card) -> How:
    """Return what is said of the calibration card."""
    by = "by volume" if card.parts_by == "volume" else "by mass, on a scale"
    fill = {"by": by, "white": card.white, "grey": f"{card.neutral_value:g}"}
    count = f"{len(card.windows)} dabs on {pages_in_words(card.pages)}"
    return How(
        title=f"Calibration card: {card.box_name}",
        lead=f"{count} teach refmatch how your own tubes behave.",
        steps=tuple((name, words.format(**fill)) for name, words in CALIBRATION),
        over_window="1 to 9 white",
    )


def pages_in_words(pages: int) -> str:
    """Return "1 page" or "2 pages"."""
    return f"{pages} page{'s' if pages > 1 else ''}"


def draw(pen: Pen, how: How) -> None:
    """Draw the page of instructions."""
    area = Area(0.0, 0.0, pen.width, pen.height).inset((MARGIN_MM + 6.0) * MM)
    title = fitted(how.title, BOLD, 20.0, area.width)
    pen.word(area.x, area.y + 18.0, title, 20.0, BOLD)
    pen.word(area.x, area.y + 36.0, how.lead, SIZE, level=SOFT)
    top = area.y + 62.0
    _steps(how.steps, area.width - DRAWING_WIDTH - 10.0 * MM).draw(pen, area.x, top)
    left = area.right - DRAWING_WIDTH
    _draw_dab(pen, Area(left, top, DRAWING_WIDTH, 0.0), how.over_window)
    _notes(how.notes, DRAWING_WIDTH).draw(pen, left, top + NOTES_MM * MM)
    _draw_light(pen, Area(left, top + 105.0 * MM, DRAWING_WIDTH, 0.0))


def _steps(steps: Sequence[Step], width: float) -> Stack:
    rows = []
    for number, (name, words) in enumerate(steps, start=1):
        room = width - NUMBER_WIDTH
        told = Stack((Text(strong(name), room, SIZE), Text(safe(words), room, SIZE)))
        figure = Text(strong(f"{number}"), NUMBER_WIDTH, SIZE)
        rows.append(Row(((0.0, figure), (NUMBER_WIDTH, told))))
    return Stack(tuple(rows), GAP)


def _notes(notes: Sequence[Step], width: float) -> Stack:
    told = [
        Stack((Text(strong(name), width, SMALL), Text(safe(words), width, SMALL)))
        for name, words in notes
    ]
    return Stack(tuple(told), GAP)


def _draw_dab(pen: Pen, area: Area, over_window: str) -> None:
    """Draw a window with its dab, drawn out over the bar."""
    window = Area(area.x, area.y + 16.0, 38.0 * MM, 31.0 * MM)
    bar = Area(window.x, window.bottom, window.width, 8.0 * MM)
    pen.word(area.x, area.y + 10.0, over_window, 9.0)
    pen.grey(bar, INK)
    pen.grey(Area(window.x, window.y, window.width, window.height + 5.5 * MM), GROUND)
    pen.frame(window, 0.5)
    notes = (
        (window.y + window.height / 2.0, "the dab"),
        (bar.y + 3.0 * MM, "over the bar"),
        (bar.bottom - 1.2 * MM, "the bar"),
    )
    for y, words in notes:
        pen.rule(window.right - 3.0 * MM, y, window.right + 2.0 * MM, y, 0.5)
        pen.word(window.right + 3.0 * MM, y + 3.0, words, 8.5)


def _draw_light(pen: Pen, area: Area) -> None:
    """Draw the card from its side, the camera over it, a lamp at each side at 45 degrees."""
    middle, ground = area.x + area.width / 2.0, area.y + 52.0 * MM
    half = 14.0 * MM
    pen.grey(Area(middle - half, ground, 2.0 * half, 1.2 * MM), INK)
    pen.word_middle(middle, ground + 5.5 * MM, "the card, lying flat", 8.5)
    body = Area(middle - 5.0 * MM, area.y + 8.0 * MM, 10.0 * MM, 6.0 * MM)
    pen.grey(body, INK)
    pen.grey(Area(middle - 2.0 * MM, body.bottom, 4.0 * MM, 2.0 * MM), INK)
    pen.word_middle(middle, body.y - 2.0 * MM, "camera", 8.5)
    for side in (-1.0, 1.0):
        pen.rule(middle, body.bottom + 3.0 * MM, middle + side * half, ground - 1.0 * MM, 0.3)
        x, y = middle + side * 23.0 * MM, ground - 23.0 * MM
        pen.ring(x, y, 3.0 * MM, 0.8)
        start, end = 4.5 * MM * 0.7071, 21.0 * MM
        pen.rule(x - side * start, y + start, x - side * end, y + end, 0.8)
        pen.word_middle(x, y - 5.0 * MM, "light", 8.5)
        pen.word_middle(middle + side * 20.0 * MM, ground - 4.0 * MM, "45°", 8.5, level=SOFT)
