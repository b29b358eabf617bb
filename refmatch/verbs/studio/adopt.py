"""Taking on a painting that a command planned: what it asked, read from what it says."""

from __future__ import annotations

from refmatch.painting.asked import Asked, AskedHole, AskedMixing, Canvas
from refmatch.painting.model import Painting
from refmatch.verbs.studio.balancing import saved_light


def asked_of(painting: Painting) -> Asked:
    """Return what would ask for this painting, as near as its saved form tells."""
    frame = painting.frame
    holes = tuple(
        AskedHole(
            key=f"h{number}",
            x_px=hole.x_px + frame.left_px,
            y_px=hole.y_px + frame.top_px,
            diameter_px=hole.diameter_px,
            label="" if hole.label == str(number) else hole.label,
            choice=answer.recipes[choice].why if choice else "",
        )
        for number, (hole, answer, choice) in enumerate(
            zip(painting.holes, painting.recipes, painting.chosen, strict=True), start=1
        )
    )
    canvas = _canvas(painting.proportion)
    mixing = AskedMixing(finish=painting.finish)
    return Asked(
        painting.title,
        painting.box,
        saved_light(painting.balance),
        frame,
        canvas,
        holes,
        mixing=mixing,
    )


def _canvas(proportion: str | None) -> Canvas | None:
    """A proportion says nothing of centimetres, so it is taken for them."""
    if proportion is None:
        return None
    width, height = (float(side) for side in proportion.split(":"))
    return Canvas(width, height)
