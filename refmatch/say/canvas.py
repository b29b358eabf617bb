"""What a tutor says of the canvas beside its reference: values first, the largest things first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from refmatch.canvas.compare import HOLE, MASS, STEP
from refmatch.canvas.verdicts import (
    CHROMA,
    NEAR,
    OFF,
    TEMPERATURE,
    UNTOLD,
    VALUE,
    Change,
    Dimension,
    Judged,
)
from refmatch.colorimetry.hues import munsell_value
from refmatch.colorimetry.words import (
    CHROMA_LEAST,
    CHROMA_MUCH,
    CHROMA_PLAIN,
    TURN_LEAST,
    TURN_MUCH,
    TURN_PLAIN,
    graded,
    number_word,
    value_amount,
)
from refmatch.recipe.choice import TOO
from refmatch.say.sentence import Sentence, capital, listed, sentence, signed
from refmatch.say.sheet import day

STEPS = {
    3: ("shadows", "half-tones", "lights"),
    5: ("darkest darks", "darks", "middle values", "lights", "highest lights"),
}
"""What the steps of a value study are called, dark to light."""

MOST_MASSES = 4
"""So many masses or holes get a sentence of their own; the table has the rest."""

MOST_SENTENCES = 7

TOO_WORDS = {"lighter": "too light", "darker": "too dark", "stronger": "too strong"}
TOO_WORDS |= {"duller": "too dull", **TOO}


def region_name(judged: Judged) -> str:
    """Return what a region is called: a mass or a hole by its name, a step by its place."""
    region = judged.region
    if region.kind == STEP and region.study in STEPS:
        return STEPS[region.study][region.level]
    return region.label


def dimension_words(dimension: Dimension) -> str:
    """Return what is off in one way: "one value too light", "too cold", "a touch too strong"."""
    too = TOO_WORDS[dimension.word]
    if dimension.kind == VALUE:
        return f"{value_amount(abs(dimension.difference))} {too}"
    ends = {
        TEMPERATURE: (TURN_LEAST, TURN_PLAIN, TURN_MUCH),
        CHROMA: (CHROMA_LEAST, CHROMA_PLAIN, CHROMA_MUCH),
    }[dimension.kind]
    return graded(abs(dimension.difference), ends, (too, too))


def verdict_words(judged: Judged) -> str:
    """Return the verdict on a region: what is off, else that it is near, or cannot be told."""
    off = [dimension_words(each) for each in judged.dimensions if each.verdict == OFF]
    if off:
        return listed(off)
    return judged.verdict


def sentences(
    regions: Sequence[Judged], since: str = "", changed: Sequence[Change] = ()
) -> tuple[str, ...]:
    """Return what is said of a canvas, values first, the largest first, at most seven sentences.

    ``since`` is the date of the sitting before, "" where there is none.
    """
    said = [*_of_values(regions), *_of_masses(regions)]
    last = [*_of_the_rest(regions, bool(said)), *_of_changes(since, changed)]
    return (*said[: MOST_SENTENCES - len(last)], *last)


def _of_values(regions: Sequence[Judged]) -> Iterator[str]:
    """Tell of the three values of a study, and of the five what the three do not show."""
    three = [one for one in regions if one.region.kind == STEP and one.region.study == 3]
    off = [one for one in three if one.value.verdict == OFF]
    if len(off) == len(three) > 1 and len({one.value.word for one in off}) == 1:
        least = min(abs(one.value.difference) for one in off)
        too = TOO_WORDS[off[0].value.word]
        yield f"The whole canvas is {value_amount(least)} {too}, or more."
        off = [one for one in off if abs(one.value.difference) > least + 0.5]
    for one in sorted(off, key=lambda each: -abs(each.value.difference))[:2]:
        yield f"The {region_name(one)} are {dimension_words(one.value)}."
    if not off:
        ends = [one for one in regions if one.region.kind == STEP and one.region.study == 5]
        far = [one for one in ends if one.value.verdict == OFF and one.region.level in (0, 4)]
        for one in far[:1]:
            yield f"The {region_name(one)} are {dimension_words(one.value)}."


def _of_masses(regions: Sequence[Judged]) -> Iterator[str]:
    """Tell of masses and holes that are off: the largest, by what of the picture they are."""
    parts = [one for one in regions if one.region.kind in (MASS, HOLE) and one.verdict == OFF]
    parts.sort(key=lambda one: -_weight(one))
    for one in parts[:MOST_MASSES]:
        yield f"{capital(named(one))} is {verdict_words(one)}."


def named(judged: Judged) -> str:
    """Return a mass with its article, a hole by its name in quotation marks."""
    if judged.region.kind == HOLE:
        return f"the hole '{judged.region.label}'"
    return f"the {region_name(judged)}"


def _weight(judged: Judged) -> float:
    """Return how much a region matters: how far off it is, and how much of the picture it is."""
    far = max(
        abs(each.difference) / (3.0 * each.p90 + 1e-6)
        for each in judged.dimensions
        if each.verdict == OFF
    )
    value = 2.0 if judged.value.verdict == OFF else 1.0
    return float(value * min(far, 2.0) * max(judged.region.share, 0.01) ** 0.5)


def _of_the_rest(regions: Sequence[Judged], any_off: bool) -> Iterator[str]:
    parts = [one for one in regions if one.region.kind in (MASS, HOLE)]
    near = [one for one in parts if one.verdict == NEAR]
    untold = [one for one in parts if one.verdict == UNTOLD]
    if near and len(near) == len(parts) and not any_off:
        yield "All of it is as near as this photo can tell."
    elif near:
        yield sentence(f"{_some(near)} as near as this photo can tell")
    if untold:
        yield sentence(f"of {listed([named(one) for one in untold[:3]])} this photo cannot tell")


def _some(near: Sequence[Judged]) -> str:
    if len(near) > 3:
        holes = any(one.region.kind == HOLE for one in near)
        return f"{number_word(len(near))} masses{' and holes' if holes else ''} are"
    names = listed([named(one) for one in near])
    return f"{names} {'is' if len(near) == 1 else 'are'}"


def change_words(change: Change) -> str:
    """Return how a region changed: "the shadows darker, nearer"."""
    so = "nearer" if change.is_nearer else "farther off"
    return f"{change_name(change)} {change.word}, {so}"


def change_name(change: Change) -> str:
    """Return what a change is of, with its article."""
    if change.of == HOLE:
        return f"the hole '{change.label}'"
    if change.of == STEP:
        level, _, study = change.label.partition(" of ")
        return f"the {STEPS[int(study)][int(level) - 1]}"
    return f"the {change.label}"


def _of_changes(since: str, changed: Sequence[Change]) -> Iterator[str]:
    if not since:
        return
    since = day(since)
    if not changed:
        yield f"Since {since} nothing has changed that this photo can tell."
        return
    first = {change_name(each): each for each in reversed(changed)}
    told = [each for each in changed if first[change_name(each)] is each][:3]
    yield f"Since {since}: {'; '.join(change_words(each) for each in told)}."


def judged_by(way: str) -> str:
    """Return by what a canvas was judged: "judged by a grey card"."""
    return f"judged by a {way}" if way else "judged beside itself alone"


def headings() -> str:
    """Return what stands over a table of regions: the value of the reference, and the canvas'."""
    return "value  canvas"


def region_line(judged: Judged, width: int = 26) -> str:
    """Return a region in one line: its name, both values, the verdict."""
    wanted, seen = munsell_value(judged.region.target_lab), munsell_value(judged.lab)
    of = f" (of {judged.region.study})" if judged.region.kind == STEP else ""
    name = f"{region_name(judged)}{of}"
    return f"{name:<{width}} {float(wanted):5.1f}  {float(seen):6.1f}  {verdict_words(judged)}"


def figures_line(judged: Judged) -> str:
    """Return a region's differences from its target in figures, each with its p90."""
    said = ", ".join(
        f"{each.kind} {signed(each.difference)} ± {each.p90:.1f}" for each in judged.dimensions
    )
    apart = "" if judged.region.kind == STEP else f"; ΔE00 {judged.delta_e_00:.1f}"
    return f"{said}{apart}"


def _other_photos(photos: Sequence[str]) -> str:
    return (
        f"The holes of {listed([f'“{name}”' for name in photos])} are not judged, as nothing says "
        "where they lie on the canvas; what is painted from there is held against this photo."
    )


def _before_glaze(labels: Sequence[str]) -> str:
    holes = listed([f"'{label}'" for label in labels])
    return f"{holes} {'is' if len(labels) == 1 else 'are'} judged as after the glaze."


def _shines(label: str, share: float) -> str:
    return (
        f"'{label}' shines in {100.0 * share:.0f} % of its area; that is left out. Light from both "
        "sides, and none from behind the camera, shows the paint itself."
    )


SENTENCES: dict[str, Sentence] = {
    "no_canvas_seen": "No canvas like the painting's reference is seen in '{photo}'; photograph "
    "all of it, its four corners in the picture, or {remedy}.",
    "no_such_corners": "The four corners must lie within '{photo}' and make a four-sided shape; "
    "{remedy}.",
    "canvas_unsure": "The canvas was not found surely; {remedy}.",
    "canvas_turned": "The canvas lies on its side in the photo; it was turned upright.",
    "canvas_unlike": "What lies within the four corners is little like the reference; were they "
    "the canvas' own, and is it this painting?",
    "canvas_other_proportion": "The canvas in the photo is of another proportion than the part of "
    "the reference that is painted; it was stretched onto it.",
    "canvas_light_falls_off": "The light falls off by {percent:.0f} % along the canvas; that is "
    "divided out, but even light tells more.",
    "canvas_light_unknown": "Nothing in the photo is known, so the canvas as a whole is taken to "
    "be right and its parts are judged beside each other alone; {remedy}.",
    "canvas_shines": _shines,
    "canvas_other_photos": _other_photos,
    "canvas_before_glaze": _before_glaze,
    "dark_may_shine": "'{label}' is a dark, and wet or sunk paint looks lighter and greyer than it "
    "is: look at it from the side, or oil it out, before it is painted darker.",
    "region_thin": "'{label}' is so thin that a shape a little off its place would mislead.",
    "region_clipped": "'{label}' is at an end of the photo's scale, so the photo tells only a "
    "bound; photograph it again, a little darker or lighter.",
    "canvas_page_is_pdf": "The page of the canvas is a PDF; give a name such as '{name}'.",
    "dab_card_not_used": "The dab card in the photo was not used: {why}",
}

REMEDIES: dict[str, Sentence] = {
    "no_canvas_seen": "point to them",
    "no_such_corners": "point to them again",
    "canvas_unsure": "look whether its outline is right, or point to its corners",
    "canvas_light_unknown": "lay a grey card or a 24-patch chart beside it",
}
"""What to do about it where no door says it in its own way."""
