"""What is said of pigments, tubes and boxes."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence


def _unknown_tube(tube: str, box: str | None, near: Sequence[str], known: Sequence[str]) -> str:
    searched = "the built-in pigments" if box is None else f"the box '{box}'"
    hint = "did you mean" if near else "it holds"
    return f"There is no '{tube}' in {searched}; {hint}: {', '.join(near or known)}."


def _box_file_not_toml(where: str, line: int | None, column: int | None) -> str:
    place = "at its end" if line is None else f"in line {line}, column {column}"
    return (
        f"'{where}' cannot be read as a box {place}: look there for a quotation mark, a bracket "
        'or an = that is missing, as in name = "my white".'
    )


def _unknown_built_in_box(box: str, known: Sequence[str]) -> str:
    return f"No box comes with refmatch under the name '{box}'; these do: {', '.join(known)}."


def _index_name_shared(index_name: str, pigments: Sequence[str]) -> str:
    return (
        f"'{index_name}' is the Colour Index name of several pigments; say which: "
        f"{', '.join(pigments)}."
    )


def _or(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} or {names[-1]}"


def _no_spectra(is_stated: bool, illuminant: str) -> str:
    stated = "told for" if is_stated else "taken to be for"
    return (
        f"Some readings are Lab only, {stated} {illuminant}: how they look by other lamps, and in "
        "mixes, is known less well."
    )


def _other_viewing(file: str, stated: Sequence[str], illuminant: str, observer: str) -> str:
    return (
        f"The colours in '{file}' are told for {' and '.join(stated)}; export spectra, or Lab for "
        f"{illuminant} and {observer}."
    )


def _neighbour_only(tube: str, neighbour: str) -> str:
    taken = f"taken to be like {neighbour}" if neighbour else "taken for a middling grey"
    return (
        f"refmatch does not know the pigment of '{tube}': it is {taken}, and may be far from it "
        "until its dabs are measured or photographed; how it dries and what it may do is unknown: "
        "see the tube's label."
    )


def _neighbour_listed(
    *,
    tube: str,
    label: str,
    neighbour: str,
    why: str,
    delta_e_00: float,
    of_neighbour: float,
    known: bool,
) -> str:
    own_label = "" if known else "; how it dries and what it may do, its label says"
    return (
        f"'{tube}' ({label}) is taken to be like {neighbour}, though it is not the same: {why}. In "
        f"nine parts of white it may be {delta_e_00:.0f} ΔE00 off, where another maker's "
        f"{neighbour} may be {of_neighbour:.0f}, until its dabs are measured or "
        f"photographed{own_label}."
    )


SENTENCES: dict[str, Sentence] = {
    "no_part_above_nothing": 'No part is above 0; give at least one, such as "PB29=1".',
    "not_a_portion": '\'{text}\' is not TUBE=PARTS; write it like "PB29=3", or "4½ white".',
    "not_an_amount": "'{text}' is no amount of a tube; write it like \"4½ white\".",
    "no_such_finish": "There is no finish '{finish}'; it is gloss, satin or matt.",
    "not_a_colour": (
        "'{text}' is not a colour; write L*,a*,b* such as \"62,14,38\", a screen's such as "
        '"#6a5f3c", or Munsell\'s such as "10YR 5/4" or "N 5/".'
    ),
    "munsell_hue_beyond": "'{text}' is no Munsell hue: each of the ten, such as YR, runs to 10.",
    "munsell_value_beyond": "'{text}' is no Munsell colour: value, before the stroke, runs to 10.",
    "munsell_beyond": (
        "'{text}' is beyond the Munsell renotation, which there ends at chroma {most:g}; name a "
        "weaker colour."
    ),
    "parts_by": "Parts are counted by mass or by volume, not by '{by}'.",
    "no_such_specular": "Specular is included or excluded, not '{specular}'.",
    "specular_stated": "'{file}' says that the specular was {stated}; {remedy}, or check the file.",
    "specular_unknown": "Was the surface's shine (the specular) included in '{file}'? Say "
    "{remedy}; a 45/0 instrument excludes it.",
    "no_spectra": _no_spectra,
    "colours_of_other_viewing": _other_viewing,
    "plan_without_white": "The plan has no white; give the white's pigment in the column "
    "'pigment', such as PW6.",
    "ground_without_spectrum": "'{sample}' has no spectrum; a ground's is needed for films upon "
    "it.",
    "taken_as_hiding": "'{sample}' lies on a {ground} ground, but its twin on the other ground, or "
    "a bare ground, is not in the plan; it is taken to hide.",
    # errors
    "unknown_tube": _unknown_tube,
    # box
    "paint_name_shared": lambda label, paints: (
        f"'{label}' may be {_or(paints)}; say which, as the tube's label does."
    ),
    "tube_name_shared": lambda label, tubes: (
        f"'{label}' may be {_or(tubes)} of this box; say which."
    ),
    "box_without_white": "The box '{box}' has no white; add one, such as PW6.",
    "unknown_grade": "The tube '{tube}' has grade '{grade}'; a grade is artist or student.",
    "strength_not_above_zero": "The tube '{tube}' has strength {strength:g}; it must be above 0.",
    # box_camera
    "box_camera_damaged": (
        "The [camera] in '{where}' is damaged; take it out, and photos are read without it."
    ),
    # box_file
    "box_file_not_read": "The box file '{path}' cannot be read; {remedy}.",
    "box_file_not_toml": _box_file_not_toml,
    "box_file_without_format": (
        "'{where}' is not a box file: it lacks the line format = \"{format}\"."
    ),
    "box_file_newer": "'{where}' was written by a newer refmatch; update refmatch to read it.",
    "box_parts_unknown": '\'{where}\' says parts = {parts!r}; write "volume" or "mass".',
    "box_without_tubes": (
        "The box '{where}' is empty; add a [[tube]] with a name and its pigments."
    ),
    "box_by_mass_of_built_in": (
        "'{where}' counts parts by mass, but built-in curves are by volume; write "
        'parts = "volume", or measure the tubes.'
    ),
    "unknown_built_in_box": _unknown_built_in_box,
    "box_value_wrong": "'{where}' has something wrong at '{key}'; put it right, or take that line "
    "out.",
    "tube_without_name": "A tube in '{where}' has no name; write name = \"...\" under [[tube]].",
    "tube_name_with_signs": "The tube '{tube}' in '{where}' may not have '=' or ',' in its name.",
    "tube_strength_no_number": (
        "The tube '{tube}' in '{where}' needs a number above 0 as its strength."
    ),
    "tube_without_pigments": (
        "The tube '{tube}' in '{where}' names no pigment and has no curves; name one, or a "
        "neighbour that it may be taken for, or measure it."
    ),
    "tube_pigments_wrong": (
        "The pigments of '{tube}' in '{where}' must be a list of names, such as [\"PB29\"]."
    ),
    "tube_portions_wrong": (
        "The portions of '{tube}' in '{where}' each need a pigment and its parts."
    ),
    "tube_modes_not_finite": "The modes of '{tube}' in '{where}' must be finite numbers.",
    "tube_curve_wrong": "The tube '{tube}' in '{where}' needs {count} positive numbers as {curve}.",
    "pigment_without_neighbour": "{why} Or say what '{tube}' may be taken for: {remedy}.",
    "tubes_of_two_surfaces": (
        "The tubes in '{where}' carry different k1 and k2; one box has one pair."
    ),
    "tubes_of_one_name": "Two tubes in '{where}' are called '{tube}'; give each its own name.",
    # library
    "index_name_shared": _index_name_shared,
    # curves that are fitted
    "swatch_missed": (
        "Swatch '{swatch}' is missed by {delta_e_00:.1f} ΔE00; was it mixed as written?"
    ),
    "few_swatches": "'{tube}' has {swatches} swatch; a tint, 1 to 9 white, would tell more.",
    "tints_decide": "'{tube}' is so dark as squeezed that it says little; its tints decide.",
    "unknown_pigment": (
        "refmatch does not know the pigment of '{tube}': only its swatches tell its colour; how it "
        "dries and what it may do is unknown: see the tube's label."
    ),
    "neighbour_only": _neighbour_only,
    "neighbour_listed": _neighbour_listed,
    "white_by_prior": ("No swatch mixes '{tube}' with a colour, so its strength is only presumed."),
    "no_swatches": "There is no swatch to learn from.",
    "tube_without_swatch": "No swatch holds '{tube}'; measure one, or leave the tube out.",
    "reference_white_unknown": (
        "'{tube}' is to be the reference white, but its pigment is not said."
    ),
}

REMEDIES: dict[str, Sentence] = {
    "pigment_without_neighbour": "a pigment that is near to it",
    "box_file_not_read": "make one anew",
    "specular_stated": "say nothing of it",
    "specular_unknown": "which",
}
"""What to do about it where no door says it in its own way."""
