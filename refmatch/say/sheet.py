"""What is said on sheets and of files that are written: care, light, dates, amounts.

What concerns paints is fact of the trade (common practice, no source; labelling by ASTM D4236
and EU CLP): the tube's own label and local rules come before anything said here.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from refmatch.colorimetry.hues import hue_name
from refmatch.plan.amounts import FILM_UM, SPARE
from refmatch.say.light import light_words
from refmatch.say.sentence import NBSP, Sentence, listed, sentence

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.painting.model import TubeOnTable
    from refmatch.photo.light.balance import Balance
    from refmatch.plan.amounts import Canvas
    from refmatch.target import Target


def _no_such_paper(paper: str, known: Sequence[str]) -> str:
    return f"There is no paper '{paper}'; choose one of {', '.join(known)}."


SENTENCES: dict[str, Sentence] = {
    "no_such_paper": _no_such_paper,
    "typeface_missing": "The sheet's typeface is missing; {remedy}.",
    "painting_without_picture": "This painting has no picture of its photo; make the sheet anew.",
    "recipe_names_no_tube": "This painting's recipe names '{tube}', which is not in its box.",
}

REMEDIES: dict[str, Sentence] = {
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

NO_CANVAS = "How much of each tube is told where the size of the canvas is known."

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


def heading(target: Target, number: int) -> str:
    """Return the name of a slip; a hole that is only a number is called by its hue."""
    return hue_name(target.lab) if target.label == str(number) else target.label


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


def palette_words(puddle_ml: float) -> str:
    """Say for how much paint the squeezes of the cover's palette are."""
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


def lessons_words(step_delta_e_00: float) -> str:
    """Say what the pages of nudges teach, each nudge as far as ``step_delta_e_00``."""
    return (
        "What moves each puddle which way: the tube of this box that goes least astray, and what "
        f"is reached for instead. Each is as much as moves it about ΔE00{NBSP}"
        f"{step_delta_e_00:g} the wanted way, at most a quarter of the puddle, counted in the "
        "recipe's own parts; at the palette begin with half."
    )


GREYS_WORDS = (
    "From each colour to its grey by its complement. Under a step stand the parts of the puddle + "
    "the parts of its complement, the value, and what holds that where it wanders. "
    "Lay the string out, and the greys between are yours."
)
"""What the pages of strings to grey teach."""


def canvas_words(canvas: Canvas) -> str:
    """Say what a plan's amounts of paint are reckoned with."""
    return (
        f"For a canvas of {canvas.width_cm:g} × {canvas.height_cm:g} cm, a film of "
        f"{FILM_UM / 1000:g} mm and {100 * SPARE:.0f} % to spare (common practice). "
        "Lengths are of a bead from a 40 ml tube."
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
