"""What the server sends is what page.d.ts says of it, by which the page's modules are checked."""

from __future__ import annotations

from tests.browser.declared import Declared
from tests.browser.painter import CARD, Painter
from tests.browser.watching import Windows

SPOT = f"x={CARD['x_px']}&y={CARD['y_px']}&diameter={CARD['diameter_px']}"
SENT = {
    "": "State",
    "/reach": "Outlines",
    f"/reading?{SPOT}": "ReadColour",
    f"/reading?{SPOT}&recipe=1": "ReadColour",
    f"/spot?{SPOT}": "ReadSpot",
    "/values?levels=3": "{ values: StudyValue[] }",
    "/guesses": "{ guesses: Guess[] }",
    "/nudges/{hole}": "Lesson",
    "/sheet": "SheetMade",
    "/plan": "PlanMade",
    "/advice": "Advice",
    "/checks": "CheckState",
}
"""By an address of a painting, the type of what comes."""


def test_what_is_sent_is_as_declared(windows: Windows, laid_out: str) -> None:
    painter, declared = Painter(windows.open(f"/{laid_out}/look")), Declared()
    hole = painter.state["holes"][0]["key"]
    (listed,) = painter.ask("GET", "benches")["benches"]
    sent = {
        f"paintings/{laid_out}{path.format(hole=hole)}": kind for path, kind in SENT.items()
    } | {
        "start": "Beginnings",
        "benches": "{ benches: BenchCard[] }",
        f"benches/{listed['id']}": "BenchState",
    }
    faults = {path: declared.faults(painter.ask("GET", path), kind) for path, kind in sent.items()}
    assert not any(faults.values()), {path: found for path, found in faults.items() if found}


def test_another_type_is_found_out() -> None:
    declared = Declared()
    colour = {"lab": [1.0, 2.0, 3.0], "srgb": "#000", "p3": "#000", "fits": "srgb"}
    assert not declared.faults(colour, "Colour")
    assert declared.faults(colour | {"fits": "wide"}, "Colour")
    assert declared.faults(colour | {"lab": [1.0, 2.0]}, "Colour")
    assert declared.faults([colour, None], "Colour[]")
    assert not declared.faults([colour, None], "(Colour | null)[]")
    assert declared.faults({key: colour[key] for key in ("lab", "srgb")}, "Colour")
