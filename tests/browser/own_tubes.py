"""A painter's own tubes for the page's tests: a box of four, its card painted and photographed."""

from __future__ import annotations

import functools
from typing import Any

from refmatch.dabs.box_card import compose
from refmatch.paint.box import Box, built_in_tube
from tests.browser.painter import Painter
from tests.virtual_studio.painted_card import SMALL_SHOT, painted_photo

TUBES = (
    ("titanium-white", "titanium white"),
    ("yellow-ochre", "orchard ochre"),
    ("burnt-sienna", "burnt sienna"),
    ("ultramarine-blue", "ultramarine"),
)
BOX = "Orchard box"
SEED = 201
WRONG, BLUE_TINT, EMPTY = 2, 8, 5
"""Windows from 0: in ``WRONG`` lies the paint of ``BLUE_TINT``, in ``EMPTY`` none."""


@functools.cache
def card_photo() -> bytes:
    """Return a phone's photo of the card as one painter painted it."""
    box = Box(BOX, tuple(built_in_tube(pigment, name) for pigment, name in TUBES))
    card = compose(box)
    blue = card.windows[BLUE_TINT]
    instead = {WRONG: (blue.tube, blue.parts, blue.white_parts)}
    return painted_photo(box, card, SEED, instead=instead, empty=(EMPTY,), shot=SMALL_SHOT)


def new_box(painter: Painter) -> str:
    """Start the box past the page, and return its key."""
    tubes = [{"pigment": pigment, "name": name} for pigment, name in TUBES]
    made: str = painter.ask("POST", "boxes", {"name": BOX, "tubes": tubes})["id"]
    return made


def make(painter: Painter) -> dict[str, Any]:
    """Lay out the card, send the photo, leave a dab out and make the box, past the page."""
    asked = {"box": new_box(painter), "paper": "a4", "grey_lstar": 49.5}
    begun = painter.ask("POST", "benches", asked)
    base = f"benches/{begun['id']}"
    painter.send(f"{base}/photos?name=card.jpg&revision={begun['revision']}", card_photo())
    for path, asked in (
        ("changes", {"do": "leave_out", "dab": WRONG, "left_out": True}),
        ("box", {"name": f"{BOX}, my tubes"}),
    ):
        revision = painter.ask("GET", base)["revision"]
        made = painter.ask("POST", f"{base}/{path}", {"revision": revision, **asked})
    return made
