"""The page to transfer the drawing by: photo and values in the canvas's shape, under its lines."""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image

from refmatch.sheet.blocks import Text, draw_head, safe
from refmatch.sheet.content import Content, Study
from refmatch.sheet.pen import INK, SOFT, WHITE, Area, Pen

HEAD, RIM, GAP = 44.0, 16.0, 14.0
"""Points for the words at the top, for the figures at a picture's edges, between pictures."""


@dataclass(frozen=True)
class StudyPage:
    """Photo and values, one below the other, or side by side where the canvas stands upright."""

    study: Study
    pictures: tuple[bytes, ...]
    area: Area
    title: str

    def draw(self, pen: Pen) -> None:
        """Draw the head and the pictures, as large as fits."""
        area, study = self.area, self.study
        draw_head(pen, area, self.title, "to transfer the drawing")
        Text(safe(study.words), area.width, 9.0).draw(pen, area.x, area.y + 18.0)
        room = Area(area.x, area.y + HEAD, area.width, area.height - HEAD)
        is_upright, count = study.aspect < 1.0, len(self.pictures)
        across = (room.width - GAP * (count - 1)) / count if is_upright else room.width
        down = room.height if is_upright else (room.height - GAP * (count - 1)) / count
        wide = min(across - RIM, (down - RIM) * study.aspect)
        high = wide / study.aspect
        for number, picture in enumerate(self.pictures):
            x = room.x + number * (across + GAP) if is_upright else room.x
            y = room.y if is_upright else room.y + number * (high + RIM + GAP)
            slack = (across - RIM - wide) / 2.0
            field = Area(x + RIM + slack, y + RIM, wide, high)
            pen.picture(field, _cut(picture, study))
            _draw_lines(pen, field, study)


def pages(content: Content, upright: Area, lying: Area) -> tuple[StudyPage, ...]:
    """Return the page, on paper that lies down where the canvas stands; none where none is due."""
    study = content.study
    if study is None:
        return ()
    pictures = (content.photo,) if content.values is None else (content.photo, content.values)
    area = lying if study.aspect < 1.0 else upright
    return (StudyPage(study, pictures, area, content.title),)


def _cut(picture: bytes, study: Study) -> bytes:
    """Return the part of an encoded picture that the canvas shows."""
    if study.width * study.height > 1.0 - 1e-9:
        return picture
    with Image.open(io.BytesIO(picture)) as whole:
        sides = whole.width, whole.height
        corners = (
            round(study.left * sides[0]),
            round(study.top * sides[1]),
            round((study.left + study.width) * sides[0]),
            round((study.top + study.height) * sides[1]),
        )
        stream = io.BytesIO()
        form = whole.format or "PNG"
        settings = {"quality": 92, "subsampling": 0} if form == "JPEG" else {}
        whole.crop(corners).save(stream, form, **settings)
        return stream.getvalue()


def _draw_lines(pen: Pen, field: Area, study: Study) -> None:
    for line in study.across:
        x = field.x + line.along * field.width
        _draw_line(pen, (x, field.y), (x, field.bottom))
        pen.word_middle(x, field.y - 4.0, line.label, 8.0, level=SOFT)
    for line in study.down:
        y = field.y + line.along * field.height
        _draw_line(pen, (field.x, y), (field.right, y))
        pen.word_right(field.x - 4.0, y + 2.8, line.label, 8.0, level=SOFT)


def _draw_line(pen: Pen, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Draw a dark line in a pale one, so that it shows on light and on dark."""
    pen.rule(*start, *end, 1.1, level=WHITE)
    pen.rule(*start, *end, 0.4, level=INK)
