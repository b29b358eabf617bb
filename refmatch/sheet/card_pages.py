"""A card as PDF: a page that says how, then each page of the frame."""

from __future__ import annotations

import io
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from refmatch.dabs.box_card import GAP_MM
from refmatch.dabs.card import (
    INNER_MM,
    MARGIN_MM,
    Card,
    Frame,
    PaintWindow,
    Rectangle,
    Window,
    beside_words,
    black_runs,
    code_place,
)
from refmatch.dabs.card_code import code_of
from refmatch.say.sentence import NBSP
from refmatch.sheet.blocks import Row, Stack, Text, safe, strong
from refmatch.sheet.pen import (
    BOLD,
    GROUND,
    INK,
    LINE,
    MM,
    PLAIN,
    SOFT,
    Area,
    Pen,
    fitted,
    register,
    visible,
)

# One page of the frame: markers, windows with their bars and parts, a place for the grey.

CROSS_MM = 4.0
GREY_WORDS = "Lay it flat here, so that no part of the cross shows."
HEAD = (
    "Tape this frame flat over primed canvas paper. Paint each dab through its window, flat and "
    "hiding, and draw it out over the black bar. Keep the white clean."
)


PAIR_SIZE = 7.5


def draw(pen: Pen, card: Card, page: int) -> None:
    """Draw one page of the calibration card."""
    draw_markers(pen, card, page)
    draw_head(pen, card, f"Calibration card{of_pages(card, page)}: {card.box_name}", HEAD)
    named: set[str] = set()
    for window in card.windows_on(page):
        _draw_window(pen, window)
        if window.tube not in named and not window.other:
            _draw_name(pen, window)
            named.add(window.tube)
    draw_grey(pen, card, page, right_mm=code_place(card.paper).x_mm)
    draw_code(pen, card)


def draw_code(pen: Pen, card: Card) -> None:
    """Draw the code that tells a reader all of the card, so that no file need be kept."""
    import segno

    place = code_place(card.paper)
    rows = segno.make_qr(code_of(card), error="m", boost_error=False).matrix
    side = place.width_mm / len(rows)
    path = pen.canvas.beginPath()
    for down, row in enumerate(rows):
        for start, stop in _runs(row):
            left, top = place.x_mm + start * side, place.y_mm + down * side
            run = area_of(Rectangle(left, top, (stop - start) * side, side))
            path.rect(run.x, pen.height - run.bottom, run.width, run.height)
    pen.canvas.setFillGray(INK)
    pen.canvas.drawPath(path, stroke=0, fill=1)


def _runs(row: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield where black modules of a row begin and end."""
    edges = [n for n, (was, now) in enumerate(itertools.pairwise((0, *row, 0))) if was != now]
    yield from zip(edges[::2], edges[1::2], strict=True)


def area_of(place: Rectangle) -> Area:
    """Return a place in points."""
    return Area(place.x_mm * MM, place.y_mm * MM, place.width_mm * MM, place.height_mm * MM)


def draw_markers(pen: Pen, card: Frame[Window], page: int) -> None:
    """Draw each marker as one path: rectangles filled one by one show seams on screens."""
    pen.canvas.setFillGray(INK)
    for marker in card.markers_on(page):
        path = pen.canvas.beginPath()
        for run in map(area_of, black_runs(marker.number, marker.place)):
            path.rect(run.x, pen.height - run.bottom, run.width, run.height)
        pen.canvas.drawPath(path, stroke=0, fill=1)


def of_pages(card: Frame[Window], page: int) -> str:
    """Return ", page 1 of 2", or nothing where there is but one."""
    return f", page {page} of {card.pages}" if card.pages > 1 else ""


def draw_head(pen: Pen, card: Frame[Window], title: str, words: str) -> None:
    """Print what a page is, and in a few words how it is used."""
    left, top = INNER_MM * MM, MARGIN_MM * MM
    room = beside_words(card.paper)[0].x_mm * MM - left - 6.0
    pen.word(left, top + 9.0, fitted(title, BOLD, 11.0, room), 11.0, BOLD)
    Text(safe(words), room, 8.5).draw(pen, left, top + 14.0)


def _draw_name(pen: Pen, window: PaintWindow) -> None:
    """Print the tube's name over its first window."""
    area = area_of(window.place)
    room = (3.0 * window.place.width_mm + 2.0 * GAP_MM) * MM
    name = fitted(window.tube, BOLD, 9.5, room)
    pen.word(area.x, area.y - 16.0, name, 9.5, BOLD)


def _draw_window(pen: Pen, window: PaintWindow) -> None:
    area = area_of(window.place)
    if window.other:
        room = area.width + (GAP_MM - 1.0) * MM
        both = f"{window.parts}{NBSP}{window.tube} to {window.other_parts}{NBSP}{window.other}"
        words = Text(safe(both), room, PAIR_SIZE, leading=1.15, most_lines=3)
        words.draw(pen, area.x, area.y - 2.0 - words.height)
    else:
        pen.word(area.x, area.y - 4.0, window.parts_in_words, 8.5)
    draw_opening(pen, window)


def draw_opening(pen: Pen, window: Window) -> None:
    """Draw the line to cut along, and the bar."""
    area, bar = area_of(window.place), area_of(window.bar)
    pen.frame(area, 0.5)
    pen.grey(bar, INK)
    middle = area.x + area.width / 2.0
    pen.word_middle(middle, area.y + area.height / 2.0 + 2.5, "cut out", 7.0, level=LINE)


def draw_grey(
    pen: Pen,
    card: Frame[Window],
    page: int,
    said: str = GREY_WORDS,
    right_mm: float | None = None,
) -> None:
    """Draw the cross that the grey card covers, and say so beside it, as far as ``right_mm``."""
    place = card.grey_on(page).place
    area = area_of(place)
    pen.frame(area, 0.5)
    inner = area_of(place.inset(2.0))
    pen.rule(inner.x, inner.y, inner.right, inner.bottom, CROSS_MM * MM)
    pen.rule(inner.x, inner.bottom, inner.right, inner.y, CROSS_MM * MM)
    left = area.right + 4.0 * MM
    room = (right_mm or beside_words(card.paper)[1].x_mm) * MM - left - 6.0
    pen.word(left, area.y + 9.0, f"Grey card, L* {card.neutral_value:g}", 9.5, BOLD)
    words = Text(
        safe(said),
        room,
        8.5,
        level=SOFT,
    )
    words.draw(pen, left, area.y + 13.0)


# The first page: how to cut, mix, paint and photograph, in steps and two small drawings.

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
        "the tube and nine parts of {white}; where two tubes are named, no white. Clean the knife "
        "between dabs. Mix until no streak is left.",
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

    ``over_window`` is the caption of the drawn dab, where there is one; ``notes`` stand below that
    drawing.
    """

    title: str
    lead: str
    steps: tuple[Step, ...]
    over_window: str
    notes: tuple[Step, ...] = ()
    draws_dab: bool = True


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


def draw_how(pen: Pen, how: How) -> None:
    """Draw the page of instructions."""
    area = Area(0.0, 0.0, pen.width, pen.height).inset((MARGIN_MM + 6.0) * MM)
    title = fitted(how.title, BOLD, 20.0, area.width)
    pen.word(area.x, area.y + 18.0, title, 20.0, BOLD)
    pen.word(area.x, area.y + 36.0, how.lead, SIZE, level=SOFT)
    top = area.y + 62.0
    _steps(how.steps, area.width - DRAWING_WIDTH - 10.0 * MM).draw(pen, area.x, top)
    left = area.right - DRAWING_WIDTH
    if how.draws_dab:
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


@dataclass(frozen=True)
class Drawing:
    """How a card is drawn: what it is and whose, its first page, and each page of its frame."""

    kind: str
    name: str
    how: Callable[[Pen], None]
    page: Callable[[Pen, int], None]


def write(card: Card) -> bytes:
    """Return the calibration card as PDF; the same card gives the same bytes on one machine."""
    drawing = Drawing(
        "Calibration card",
        card.box_name,
        lambda pen: draw_how(pen, of_calibration(card)),
        lambda pen, page: draw(pen, card, page),
    )
    return printed(card, drawing)


def printed(card: Frame[Window], drawing: Drawing) -> bytes:
    """Return a card as PDF."""
    register()
    size = (card.width_mm * MM, card.height_mm * MM)
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=size, invariant=1, initialFontName=PLAIN)
    canvas.setTitle(visible(f"{drawing.kind}: {drawing.name}"))
    canvas.setSubject(drawing.kind)
    canvas.setCreator("refmatch")
    drawing.how(Pen(canvas, *size))
    canvas.showPage()
    for page in range(1, card.pages + 1):
        drawing.page(Pen(canvas, *size), page)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()
