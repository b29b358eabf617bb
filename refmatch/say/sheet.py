"""What is said on sheets and of files that are written: care, light, dates, amounts.

What concerns paints is fact of the trade (common practice, no source; labelling by ASTM D4236
and EU CLP): the tube's own label and local rules come before anything said here.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from refmatch.colorimetry.hues import hue_name
from refmatch.plan.amounts import CM_PER_INCH, FILM_UM, SPARE
from refmatch.say.light import light_words
from refmatch.say.sentence import NBSP, PLAIN, Remedies, Sentence, listed, sentence, sentence_of

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.painting.model import OtherPhoto, TubeOnTable
    from refmatch.photo.light.balance import Balance
    from refmatch.plan.amounts import Canvas
    from refmatch.target import Target


def _no_such_paper(paper: str, known: Sequence[str]) -> str:
    return f"There is no paper '{paper}'; choose one of {', '.join(known)}."


SENTENCES: dict[str, Sentence] = {
    "no_such_paper": _no_such_paper,
    "no_such_pages": "There are no pages '{pages}'; choose easel, slips or all.",
    "no_such_slips": "There are no slips '{slips}'; choose full or compact.",
    "no_such_grid": "There is no grid '{grid}'; choose thirds, cm, in or none.",
    "grid_without_canvas": "Squares of a canvas of no known size cannot be drawn; say the "
    "canvas{remedy}, or take thirds.",
    "typeface_missing": "The sheet's typeface is missing; {remedy}.",
    "painting_without_picture": "This painting has no picture of its photo; make the sheet anew.",
    "recipe_names_no_tube": "This painting's recipe names '{tube}', which is not in its box.",
}

REMEDIES: dict[str, Sentence] = {
    "grid_without_canvas": "",
    "typeface_missing": "install the package {package}",
}

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

KEPT_WORDS = {10: "a tenth", 20: "a fifth", 25: "a quarter", 33: "a third", 50: "half"}
"""Shares of the light's cast that have a plain name, in per cent."""

NOTHING_YET = "No hole is punched yet: there is nothing to mix."

KEYED = "The key is on: slips and puddles aim at the keyed colours, with the palette's tubes alone."
LEFT_OFF = (
    "The key is off: slips and puddles aim at the photo's own colours, with the palette's tubes "
    "alone."
)
UNCHANGED = "So slips and puddles aim at the photo's own colours, with the palette's tubes alone."

EASEL_BY_PLAN = (
    "All puddles, numbered in the order of work. Left what the photo has there, right the mix; "
    "the plate bears the number on the photo."
)
EASEL_ALONE = (
    "All puddles, light and clean before dark. Left what the photo has there, right the mix; the "
    "plate bears the number on the photo."
)
EASEL_IN_LAYERS = (
    "All puddles layer by layer, light before dark. Left what the photo has there, right the mix; "
    "the plate bears its number."
)
"""What the easel page says at its head."""

ONLY_DRAWN_FROM = "only to draw from"
NO_MIX = "no mix of these tubes"

NO_CANVAS = "Say how large the canvas is, and this page tells how much of each tube it takes."

EXPECTED = {
    "match": "expect a match",
    "good": "expect a good match",
    "near": "expect it near",
    "far": "expect it far off",
    "another colour": "expect another colour",
}
"""What a recipe's verdict comes to in real paint, which the mix as reckoned does not show."""

HARMFUL = {
    "antimony",
    "barium",
    "cadmium",
    "chromium",
    "cobalt",
    "copper",
    "lead",
    "manganese",
    "nickel",
    "selenium",
    "zinc",
}
"""Metals that must not be swallowed or breathed in; "chromium III" is one of them too."""

HANDLING = (
    "Gloves; no eating or drinking at the palette; no brush to the lips; "
    "never sand or spray it; nothing into the sink."
)

GENERAL = (
    "Solvents: fresh air, lids on. Oily rags and paper can catch fire by themselves: "
    "spread them to dry out of doors, or close them up under water in a metal can.",
    "Each tube's own label and local rules come first.",
)

OTHERS = {
    "dust": "a danger only as dry dust; do not sand it or breathe it in",
    "fades": "fades in light; keep it out of thin layers and pale tints",
    "tints may fade": "pale tints may fade in strong light",
    "weak to acid": "bleached by acid",
    "brittle film": "dries brittle; use it thin",
}
"""A sentence for each caution of another kind; an unknown one is printed as it stands."""


def day(iso: str) -> str:
    """Return "2026-11-24" as "24 November 2026"; other text stays as it is."""
    try:
        when = date.fromisoformat(iso)
    except ValueError:
        return iso
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


_VALUE_IN_NAME = re.compile(r", value \d*½?(?: \(\d+\))?$")


def heading(target: Target, number: int) -> str:
    """Return the name of a slip; a hole that is only a number is called by its hue.

    The value that tells two masses of one name apart is left to the line below, which says it.
    """
    if target.label == str(number):
        return hue_name(target.lab)
    return _VALUE_IN_NAME.sub("", target.label)


def beside_heading(words: str, title: str) -> str:
    """Return what a colour's words say beyond its title: of "value 5, grey" below "grey" half."""
    value, *others = words.split(", ")
    named = f" {title.lower()} "
    return ", ".join([value, *(word for word in others if f" {word.lower()} " not in named)])


def expected_words(verdict: str) -> str:
    """Return how near a real puddle comes: "expect it near"."""
    return EXPECTED.get(verdict, verdict)


def place_words(order: int) -> str:
    """Return a puddle's number in the work, by which what is drawn from it names it."""
    return f"puddle{NBSP}{order} in the order of work"


def one_puddle_words(number: int, others: Sequence[tuple[int, str]]) -> str:
    """Say which targets share a slip: "2 and 5 (cup, shadow side): one puddle."."""
    named = [f"{other} ({title})" for other, title in others]
    return f"{listed([str(number), *named])}: one puddle."


def light_line(balance: Balance) -> str:
    """Return what was done about the light: "light warm, about 3200 K, taken out".

    How much of it was kept is told as a plain share: "; a fifth of it kept".
    """
    cast, kept = light_words(balance).partition(";")[0], round(balance.keep_light_percent)
    if cast.startswith("no cast"):
        return f"{cast} in the light"
    if balance.cast_kelvin is None:
        return f"light {cast}"
    if kept >= 100:
        return f"light {cast}, left as it is"
    if kept <= 0:
        return f"light {cast}, taken out"
    share = KEPT_WORDS.get(kept, f"{kept} %")
    return f"light {cast}, taken out; {share} of it kept"


def viewing_words(viewing: str) -> str:
    """Return what light the colours are told for: "colours for daylight (D50)"."""
    illuminant = viewing.split(",")[0].strip()
    name = f"daylight ({illuminant})" if illuminant.startswith("D") else illuminant
    return f"colours for {name}"


def palette_words(puddle_ml: float, canvas: Canvas | None) -> str:
    """Say for how much paint the squeezes of the cover's palette are: a canvas, or puddles."""
    if canvas is not None:
        return f"For this canvas of {canvas_size(canvas)}."
    return f"For puddles of a teaspoon ({puddle_ml:g} ml) each."


def advice(finish: str) -> tuple[str, ...]:
    """Say in what light, and how dry, mixes are to be judged; ``finish`` is the painting's."""
    skin = {"gloss": "glossy", "matt": "sunken matt"}.get(finish, finish)
    return (
        "One light on canvas, palette and print.",
        "A printer's colours are only so good: trust parts and words, and judge by a dab "
        "on the rim of the punched card.",
        f"Mixes are told as {skin} paint; a sunken dark looks lighter and greyer until "
        "oiled out. Compare acrylics dry.",
    )


def other_cautions(others: Sequence[OtherPhoto], remedies: Remedies = PLAIN) -> tuple[str, ...]:
    """Say what is to be known of other photos and their lights, each with its photo's name."""
    return tuple(
        f"Photo “{other.name}”: {sentence_of(flag, remedies)}"
        for other in others
        for flag in (*other.flags, *other.balance.flags)
    )


def lessons_words(step_delta_e_00: float) -> str:
    """Say what the pages of nudges teach, each nudge as far as ``step_delta_e_00``."""
    return (
        "Which tube moves each puddle which way with the least side effect, and below the line "
        "what is often reached for instead. Each step is large enough to be seen in print (about "
        f"ΔE00{NBSP}{step_delta_e_00:g}) and at most a quarter of the puddle, counted in the "
        "recipe's own parts; at the palette begin with half."
    )


GREYS_WORDS = (
    "From each colour to its grey, by its complement. Below each step: parts of the puddle + parts "
    "of its complement, then the value, and what keeps it where the mix would turn lighter or "
    "darker. Lay the string out, and you have every grey between."
)
"""What the pages of strings to grey teach."""


def canvas_words(canvas: Canvas) -> str:
    """Say what a plan's amounts of paint are reckoned with."""
    return (
        f"For a canvas of {canvas_size(canvas)}, a film of "
        f"{FILM_UM / 1000:g} mm and {100 * SPARE:.0f} % to spare (common practice). "
        "Lengths are of a bead from a 40 ml tube."
    )


def canvas_size(canvas: Canvas) -> str:
    """Return the canvas's sides as it is sold: "40 × 30 cm", "16 × 20 in (40.6 × 50.8 cm)"."""
    width_cm, height_cm = canvas.width_cm, canvas.height_cm
    if not canvas.in_inches:
        return f"{width_cm:g} × {height_cm:g} cm"
    inches = f"{width_cm / CM_PER_INCH:g} × {height_cm / CM_PER_INCH:g} in"
    return f"{inches} ({width_cm:.1f} × {height_cm:.1f} cm)"


def study_words(canvas: Canvas | None, square: str, left_out: float) -> str:
    """Say what the lines of the study are, and what of the photo the canvas does not show."""
    lines = f"Squares of {square}, counted from the top left" if square else "Lines at the thirds"
    of = f" of a canvas of {canvas_size(canvas)}" if canvas else " of the picture"
    words = f"{lines}{of}. Draw the same on the canvas, then what crosses where."
    if round(100.0 * left_out) < 1:
        return words
    return (
        f"{words} The photo is of another shape: {100.0 * left_out:.0f} % of it, at its edges, "
        "is left out."
    )


def cautions(tubes: Sequence[TubeOnTable]) -> tuple[str, ...]:
    """Return what to beware of with these tubes, harm first, and then what holds for all."""
    by_caution: dict[str, list[str]] = {}
    for tube in tubes:
        for caution in tube.cautions:
            by_caution.setdefault(caution, []).append(tube.name)
    metals = {name: held for name, held in by_caution.items() if _is_metal(name)}
    others = {name: held for name, held in by_caution.items() if not _is_metal(name)}
    harm = (f"{_metals(metals)} {HANDLING}",) if metals else ()
    return (*harm, *(_other(name, held) for name, held in others.items()), *GENERAL)


def _is_metal(caution: str) -> bool:
    return caution.split()[0] in HARMFUL if caution else False


def _metals(held: dict[str, list[str]]) -> str:
    """Return "Cadmium and selenium in cadmium orange; cobalt in cerulean blue."."""
    by_tubes: dict[str, list[str]] = {}
    for metal, tubes in held.items():
        by_tubes.setdefault(listed(tubes), []).append(metal)
    parts = [f"{listed(metals)} in {tubes}" for tubes, metals in by_tubes.items()]
    return sentence("; ".join(parts))


def _other(caution: str, tubes: list[str]) -> str:
    return sentence(f"{listed(tubes)}: {OTHERS.get(caution, caution)}")
