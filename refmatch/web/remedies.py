"""What to do about it at the page: what can be tapped; by the names of `refmatch.say`."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

_CARD = "lay the dab card out anew and print it"

REMEDIES: dict[str, Sentence] = {
    "card_of_another_painting": "lay out its own dab card, print it and paint on that one",
    "no_dab_card": _CARD,
    "no_target_stands": _CARD,
    "target_changed": _CARD,
    "target_not_on_card": _CARD,
    "no_own_light": "leave the light unknown, or name the lamp",
    "nothing_known_beside": "point to the grey card, or to a dab of known colour",
    "no_canvas_seen": "point to them in the photo",
    "canvas_light_unknown": "click the grey card, or lay a 24-patch chart beside it",
    "no_black": "point to no black",
    "painting_damaged": "rescue it at the start, among your paintings",
    "no_neutral_spot": "; click it",
}
