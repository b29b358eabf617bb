"""What is said of printed cards, charts, photos of dabs, and what is learnt from them."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.dabs.verdict import UNTOLD, WITHIN, Apart
from refmatch.recipe.choice import MEANINGS
from refmatch.say.sentence import Sentence


def listed(names: Sequence[str]) -> str:
    """Return "'pear', 'plum' and 'jug'"."""
    *first, last = (f"'{name}'" for name in names)
    return f"{', '.join(first)} and {last}" if first else last


def _numbers(numbers: Sequence[int]) -> str:
    return " and ".join(str(number) for number in numbers)


def _outside(photo: str, edges: Sequence[str]) -> str:
    return (
        f"Part of the card lies outside '{photo}', beyond its {' and '.join(edges)} edge; "
        "photograph it with every marker in the picture."
    )


def _too_few_markers(photo: str, count: int) -> str:
    few = {0: "None", 1: "Only one", 2: "Only two"}[count]
    return (
        f"{few} of the card's markers can be used in '{photo}'; photograph the whole card, flat "
        "and sharp, nothing on its markers."
    )


def _other_tubes(box: str, tubes: Sequence[str]) -> str:
    return (
        f"The card was made for other tubes than those of the box '{box}', which lacks "
        f"{', '.join(tubes)} or holds it with other pigments; give the card's own box."
    )


def _no_card_file(file: str, why: str, remedy: str) -> str:
    return f"'{file}' is not a card file{f': {why}' if why else ''}; {remedy}."


def _clipped_dabs(clipped: Sequence[str], dabs: int) -> str:
    named = ", ".join(f"'{label}'" for label in clipped[:3]) + (", ..." if clipped[3:] else "")
    return (
        f"{len(clipped)} of {dabs} dabs are at an end of the photo's scale ({named}); there it "
        "tells only a bound."
    )


def _does_not_hide(dab: str = "", sample: str = "", apart: float = 0.0) -> str:
    if dab:
        return f"'{dab}' does not hide: the black bar shows through; lay it on thicker."
    return (
        f"'{sample}' does not hide its ground (ΔE00 {apart:.1f} between white and black below); "
        "its full colour is reckoned from the pair."
    )


def _this_dab(label: str) -> str:
    return f"The dab of '{label}'" if label else "The dab"


def _clipped_dab(label: str) -> str:
    return (
        f"{_this_dab(label)} is at an end of the photo's scale, so the photo tells only a bound; "
        "photograph it again, a little darker or lighter."
    )


def _recipe_doubted(label: str) -> str:
    return (
        f"{_this_dab(label)} and its recipe are farther apart than both can be wrong, and the "
        "photo is believed: is it of another slip, was a part forgotten, or is it in another light?"
    )


def verdict_sentence(name: str, nearness: str, words: str, lacks: str) -> str:
    """Return a verdict in one sentence; see `dabs.verdict`."""
    if name == WITHIN:
        return f"{WITHIN[0].upper()}{WITHIN[1:]}: leave it."
    if name == UNTOLD:
        return f"This photo cannot tell; {WOULD_TELL[lacks]} would."
    off = words or "by a little in value, hue and strength together"
    return f"Off: {off} ({MEANINGS[nearness]})."


def apart_words(apart: Apart) -> str:
    """Return how far a colour is from its target, and how well it is known."""
    return (
        f"{apart.delta_e_00:.1f} ΔE00 off; known to {apart.p50:.1f}, nine times in ten to "
        f"{apart.p90:.1f}"
    )


WOULD_TELL: dict[str, str] = {
    "clipped": "one a little darker or lighter, the dab at no end of its scale,",
    "no_neutral": "one with a grey card or a 24-patch chart beside the dab",
    "no_chart": "one with a 24-patch chart beside the dab",
    "no_daylight": "another photo by daylight, the chart in the dab's own light,",
}
"""What would tell where a photo cannot, by what that lacks."""


def _surprising(dab: str, off: float, others: int) -> str:
    if not others:
        beside = "its recipe, more than the tubes can be off"
    elif others > 1:
        beside = f"what the other {others} photos make of it, more than chance explains"
    else:
        beside = "what the other photo makes of it, more than chance explains"
    return (
        f"It shows '{dab}' {off:.0f} ΔE00 from {beside}; was it this puddle, and in the same light "
        "as the grey card?"
    )


SENTENCES: dict[str, Sentence] = {
    # the card in a photo
    "no_card_seen": "No marker of the card is seen in '{photo}'; photograph the whole card from "
    "above, sharp, in good light, so that it fills the photo.",
    "no_card_code": "'{photo}' shows a card, but neither its code nor the box tells which: the "
    "code is not sharp, or it was printed without one for another box; {remedy}.",
    "card_of_unknown_tubes": "The card of '{box}' names tubes of pigments that are not known here; "
    "{remedy}.",
    "card_of_another_box": "'{photo}' shows another card than that of the box '{box}'; {remedy}.",
    "card_of_another_painting": "'{photo}' shows another card than that of the painting '{title}' "
    "as it was last printed; {remedy}.",
    "two_pages": "'{photo}' shows pages {first} and {second} of the card; photograph each page by "
    "itself.",
    "card_blurred": "'{photo}' is blurred: the markers' edges are {edge_mm:.1f} mm wide on the "
    "card; hold the camera still, focus on the card and photograph it again.",
    "card_outside": _outside,
    "place_outside": "Part of the card lies outside '{photo}', or is too small to read; photograph "
    "the whole card, filling the picture.",
    "card_covered": "Only {seen} of the page's {markers} markers are seen in '{photo}', all at one "
    "side; lay the card flat and uncover the others, without glare or deep shadow.",
    "too_few_markers": _too_few_markers,
    "card_small": "The card is too small in '{photo}': a window is {window_px:.0f} pixels high and "
    "needs {least_px:.0f}; go nearer, so that the card fills the photo.",
    "card_tilted": "The card is tilted by {tilt_deg:.0f} degrees in '{photo}', and at most "
    "{most_deg:.0f} can be read; photograph it straight from above.",
    "card_not_flat": "The markers lie {off_mm:.1f} mm off a flat page: the card is bent, or the "
    "lens bends it; lay it flat and stand further off.",
    "paper_blown_out": "The white paper is blown out in '{photo}', so that nobody can tell how the "
    "light falls; expose less, so that the paper is not quite white, and photograph the page "
    "again.",
    "paper_clipped": "The white paper is blown out in {places} places, where the light is guessed "
    "from its surroundings; expose less.",
    "uneven_light": "The light falls off to {percent:.0f} % across the card; it is divided out, "
    "but light from both sides reads better.",
    "rough_light": "The plain paper is uneven by {percent:.0f} %: shadows or glare lie on the "
    "card.",
    "mixed_light": "The white paper changes colour across the card (ΔE00 {apart:.1f}): two kinds "
    "of light fall on it; put out one, or keep daylight out.",
    "page_missing": lambda pages: (
        f"No photo shows page {_numbers(pages)} of the card; the dabs there are not used."
    ),
    "grey_card_missing": "The grey card is missing in '{photo}': the cross of its place shows; lay "
    "the grey card over the cross and photograph the page again.",
    "grey_too_bright": "What lies at the grey card's place in '{photo}' is too bright for a grey "
    "of L* {lstar:g}; lay the grey card there, or {remedy}.",
    "grey_uneven": "The grey card is uneven: it must be clean and matt and cover the whole place.",
    "grey_clipped": "The grey card is clipped in the photo: expose it so that it is a middle grey.",
    "grey_card_not_seen": "No grey card is seen at its place on the dab card; the 24-patch chart "
    "serves alone.",
    "finder_by_grey_alone": "Beside a grey card alone, a phone's own curve may bend these values "
    "by half a step, sometimes three quarters; a 24-patch chart beside the page undoes that.",
    "another_value_finder": "The photo '{photo}' shows another print than this value finder; "
    "{remedy}.",
    "neither_grey_nor_chart": "{why} A 24-patch chart beside the card would do as well.",
    "no_such_grey": "A grey card cannot have L* {lstar:g}; give 1 to 100, or leave it out for the "
    "usual {usual:g}.",
    # dabs on a card
    "blocked_up": "'{dab}' is blocked up in a channel: how dark it is there is only a bound.",
    "glare": "'{dab}' shines in {percent:.0f} % of its window; that is left out.",
    "hiding_unknown": "No paint of '{dab}' is seen on the black bar, so that nobody knows if it "
    "hides.",
    "does_not_hide": _does_not_hide,
    "looks_empty": "'{dab}' looks unpainted: it is as white as the paper.",
    "windows_empty": lambda targets: f"No paint is seen in the windows of {listed(targets)}.",
    "window_empty": "The window of '{label}' is empty or lies outside '{photo}'; paint its dab and "
    "photograph the whole card.",
    "no_dab_on_page": "No dab is painted on page {page} of the dab card in '{photo}'; paint at "
    "least one through its window, and photograph the page again.",
    "no_dab_on_card": "No dab is on the card in '{photo}'; paint one in its window first.",
    "other_pages": lambda page, others: (
        f"The photo shows page {page} of the dab card; check the dabs of page {_numbers(others)} "
        "with a photo of their own."
    ),
    "spot_outside": "That spot lies outside the photo; point to where the paint is.",
    "tube_not_on_card": "The card has no tube '{tube}'; choose one of its own.",
    "dab_parts": "A dab has 1 to {most} parts of a tube, and 0 or more of white.",
    "white_in_white": "'{tube}' is the card's white itself; give it 0 parts of white.",
    # the card's file, and what of it stands
    "card_for_other_tubes": _other_tubes,
    "no_targets_for_card": "The painting '{title}' has no targets yet; punch a hole in its photo "
    "first, then print its card.",
    "no_dab_card": "The painting in '{folder}' has no dab card yet; {remedy}.",
    "card_file_unreadable": "The card file '{file}' cannot be read; {remedy}.",
    "no_card_file": _no_card_file,
    "card_file_newer": "'{file}' was written by a newer refmatch; update refmatch to read it.",
    "card_file_damaged": "The card file '{file}' is damaged ({why}); make the card again.",
    "card_is_pdf": "The card is a PDF; name it '{name}'.",
    "no_target_stands": "None of the colours on the dab card are targets of '{title}' any more; "
    "{remedy}.",
    "target_changed": lambda targets, remedy: (
        "Changed or taken out since the dab card was printed, so not read: "
        f"{listed(targets)}; {remedy}."
    ),
    "target_not_on_card": lambda targets, remedy: (
        f"Without a window on the dab card, as it is older: {listed(targets)}; {remedy}."
    ),
    "paint_changed": "The painting's box no longer holds '{tube}' as it is on the dab card; what "
    "is painted in its window does not count.",
    # charts
    "chart_unusable": "A 24-patch chart lies in '{photo}', but too few of its patches can be read, "
    "and it is not used; lay it flat, nothing on it, without shine or a shadow across it.",
    "chart_used": "A 24-patch chart was found and used in '{photo}'.",
    "chart_patches_left_out": "{count} of the chart's patches are not used: covered, in shine or "
    "shadow, or outside the photo.",
    "chart_clipped": "{count} of the chart's patches are at an end of the photo's scale, where "
    "they tell only a bound; expose so that its white is not quite white.",
    # photos of dabs
    "clipped_dabs": _clipped_dabs,
    "no_neutral": "Nothing of a known grey is in the photo, so how light the paints are rests on "
    "the dabs alone; lay a grey card beside them.",
    "unusual_camera": "The camera or the light is very unlike what is usual; a filter, a night or "
    "portrait mode, or mixed light may be on. Photograph again by daylight.",
    "light_unknown": "The light '{light}' is not known; say kelvins such as 2900, or A, D50, D65, "
    "LED.",
    "light_beyond": "A light of {kelvins:g} K is not offered; say {least:g} to {most:g} kelvins.",
    "no_own_light": "The box '{box}' was not made from a photo by this refmatch, so there is no "
    "light to be the same; {remedy}.",
    "nothing_known_beside": "Nothing of known colour is in '{photo}': no 24-patch chart was found; "
    "{remedy}.",
    "nothing_known_by_hand": "Nothing of known colour is in '{photo}': no 24-patch chart that can "
    "be used was found; {remedy}.",
    "no_black": "The box '{box}' has no black; {remedy}.",
    "no_such_state": lambda state, states: f"A dab is {', '.join(states)}; not '{state}'.",
    "clipped_dab": _clipped_dab,
    "recipe_doubted": _recipe_doubted,
    "metameric_reference": "The reference is not made of the dab's pigments, or nobody said so: "
    "what looks alike to you may look other to the camera, by about 1 ΔE00 and more by "
    "lamplight.",
    "strained_light": "What is known in the photo does not agree with any camera; is the grey card "
    "or the chart in the shade, or in another light than the dab? Photograph it again.",
    "sunk": "A sunk dab looks lighter and greyer than it is; it is judged as it will look oiled "
    "out or varnished, which in darks is less sure.",
    "too_few_dabs": "Only {count} dabs count, and {fewest} are the fewest; photograph the painted "
    "card, or take dabs back that were left out.",
    # which photos a box learns from
    "strained": "What is known in it does not agree with any camera; was the grey card or the "
    "chart in the shade, or in another light?",
    "surprising": _surprising,
    "alone": "It alone would move mixes of its tubes by {moves:.1f} ΔE00; held back until another "
    "photo, of another puddle or another day, agrees.",
    "sunk_dabs": "Its dabs have sunk, and look lighter and greyer than their paint is; that would "
    "be laid to the tubes. Oil them out and photograph them again.",
    "only_paint_known": "Nothing in it is known but paint, and paint is what is to be learnt; put "
    "a grey card beside the dab.",
    "other_box": "What it shows is mixed from another box. {why}",
    "taken_back": "What it had taught was taken back{remedy}.",
    "not_learnt": "The box has not learnt from this photo: {why}",
}

_PRINT_AGAIN = "print the dab card again"

REMEDIES: dict[str, Sentence] = {
    "no_card_code": "photograph it again, sharp and filling the picture, or give the box that it "
    "was printed for, or the layout that was written with it",
    "card_of_unknown_tubes": "give the box that it was printed for",
    "card_of_another_box": "give the layout that was written with the card you photographed",
    "card_of_another_painting": "print its own dab card and paint on that one",
    "grey_too_bright": "make the card again for the right grey",
    "another_value_finder": "give the layout that was written with the print you photographed",
    "no_dab_card": "print one",
    "card_file_unreadable": "make the card again",
    "no_card_file": "give the layout that was written with the card",
    "no_target_stands": _PRINT_AGAIN,
    "target_changed": _PRINT_AGAIN,
    "target_not_on_card": _PRINT_AGAIN,
    "no_own_light": "leave the light open, or name the lamp",
    "nothing_known_beside": "point to a grey card, or to a dab of known colour",
    "nothing_known_by_hand": "point to a grey card, or lay a chart beside the dabs",
    "no_black": "point to none",
    "taken_back": "",
}
"""What to do about it where no door says it in its own way."""
