"""What a command prints for people: short lines, figures aligned."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from refmatch.cli.remedies import REMEDIES
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe
from refmatch.dabs.card import Card
from refmatch.dabs.checked import ALONE, Checked, Checks
from refmatch.dabs.dab_card import DabCard
from refmatch.dabs.verdict import difference_words
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.library import ConvenienceMixture, Pigment, short_name
from refmatch.painting.record import counted, figure, parts_line
from refmatch.plan.amounts import millilitres
from refmatch.recipe.mixture import predict
from refmatch.recipe.model import Answer, Laid, Recipe
from refmatch.recipe.neutral import GreyString
from refmatch.recipe.nudge import Lesson, Nudge
from refmatch.say.dabs import apart_words, verdict_sentence
from refmatch.say.light import light_words
from refmatch.say.nudges import alone_words, nudge_words, step_words, string_words
from refmatch.say.plan import squeeze_words
from refmatch.say.recipe import distance_words, laid_words, puddle_name
from refmatch.say.sentence import NBSP, sentence_of

if TYPE_CHECKING:
    from pathlib import Path

    from refmatch.painting.again import Again, TubeAgain
    from refmatch.painting.done import Recorded
    from refmatch.painting.model import OtherPhoto, Painting
    from refmatch.photo.hole import Sample
    from refmatch.photo.light.balance import Balance
    from refmatch.photo.masses import Families
    from refmatch.photo.values import ValueStudy


OPACITY = {"O": "opaque", "SO": "semi-opaque", "ST": "semi-transparent", "T": "transparent"}


def numbers(lab: Array) -> str:
    """Return Lab for reading: "L* 62.0  a* 14.0  b* 38.0"."""
    lightness, a, b = (float(value) for value in np.round(lab, 1) + 0.0)
    return f"L* {lightness:.1f}  a* {a:.1f}  b* {b:.1f}"


def colour(lab: Array) -> str:
    """Return a colour in numbers and words."""
    return f"{numbers(lab)}   {describe(lab)}"


def cautions(flags: Iterable[Flag]) -> None:
    """Print cautions on standard error, each once."""
    for text in dict.fromkeys(sentence_of(flag, REMEDIES) for flag in flags):
        print(f"! {text}", file=sys.stderr)


def other_photos(others: Sequence[OtherPhoto]) -> None:
    """Print what is to be known of the photos besides a painting's own, on standard error."""
    from refmatch.say.sheet import other_cautions

    for text in dict.fromkeys(other_cautions(others, REMEDIES)):
        print(f"! {text}", file=sys.stderr)


def answer(mixed: Answer, asked: str = "") -> str:
    """Return a target and its recipes; ``asked`` is how it was written, where not as Lab."""
    written = f", asked as {asked.strip()}" if asked and asked.count(",") != 2 else ""
    lines = [f"{mixed.label}   {colour(mixed.target_lab)}{written}"]
    if mixed.reach:
        lines.append(f"    {mixed.reach}")
    if mixed.recipes and mixed.recipes[0].trade:
        lines.append(f"    First choice: {mixed.recipes[0].trade}")
    for recipe in mixed.recipes:
        lines.append(f"    {recipe.why + ':':20}{laid(recipe.laid_out)}")
        lines.append(f"    {'':20}{_distance(recipe)}")
    if mixed.recipes:
        lines.append("    Steps of the first:")
        steps = mixed.recipes[0].steps
        lines += [f"      {i}. {step.text}" for i, step in enumerate(steps, start=1)]
    return "\n".join(lines) + "\n"


def light(balance: Balance) -> str:
    """Return what was done about the light, and how sure a guess is."""
    if balance.confidence is None:
        return f"Light: {light_words(balance)}"
    return f"Light: {light_words(balance)}; guessed, confidence {100.0 * balance.confidence:.0f} %"


def samples(read: Sequence[Sample], compared: Sequence[str], balance: Balance) -> str:
    """Return the colours in the holes, and what sets neighbours apart."""
    lines = [light(balance), ""]
    if not read:
        lines.append("Name a place to read its colour, such as --hole 50%,50%.")
    for sample in read:
        lines.append(f"{sample.hole.label:>4}  {colour(sample.lab)}")
        lines += [f"      ! {sentence_of(flag)}" for flag in sample.flags]
    return "\n".join([*lines, "", *compared]).rstrip()


def families(masses: Families, study: ValueStudy, balance: Balance) -> str:
    """Return the masses, largest first, and the values."""
    lines = [light(balance), "", "Masses: share, colour, and where to punch a hole"]
    for mass in masses.items:
        hole = mass.hole
        place = f"at {hole.x_px:.0f},{hole.y_px:.0f},{hole.diameter_px:.0f}"
        lines.append(f"{100 * mass.share:4.0f} %  {mass.label:28} {numbers(mass.lab)}  {place}")
    lines += ["", "Values: share, Munsell value"]
    for value, share in zip(study.values, study.shares, strict=True):
        lines.append(f"{100 * share:4.0f} %  {value:.1f}")
    return "\n".join(lines)


def sheet(painting: Painting, out: Path) -> str:
    """Return what the sheet holds, a line each, and where it is."""
    lines = [f"{painting.title}: light {light_words(painting.balance)}", ""]
    for number, (target, answer, chosen) in enumerate(
        zip(painting.targets, painting.recipes, painting.chosen, strict=True), start=1
    ):
        name = "" if target.label == str(number) else f"{target.label}: "
        lines.append(f"{number:>3}  {name}{describe(target.lab)}")
        recipe = answer.recipes[chosen]
        lines.append(f"     {goes_in(recipe)}  ({recipe.verdict})")
    return "\n".join([*lines, "", f"Written to {out}."])


def box(owned: Box) -> str:
    """Return the tubes of a box, each with its masstone and its tint in nine of white."""
    lines = [f"{owned.name}: {len(owned.tubes)} tubes, parts by {owned.parts}", ""]
    width = max(len(tube.name) for tube in owned.tubes)
    for tube in owned.tubes:
        masstone = describe(predict([tube], [1.0], owned.surface))
        tint = describe(predict([tube, owned.white], [1.0, 9.0], owned.surface))
        lines.append(f"{tube.name:{width}}  {'+'.join(tube.pigments):14} {masstone}")
        if not tube.is_white:
            lines.append(f"{'':{width}}  {'in 9 white':14} {tint}")
        if tube.curves_from:
            lines.append(f"{'':{width}}  {'curves':14} {'; '.join(tube.curves_from)}")
    return "\n".join(lines)


def pigment_list(
    pigments: Iterable[Pigment], mixtures: Iterable[ConvenienceMixture], boxes: Sequence[str]
) -> str:
    """Return all that a box can be made of."""
    lines = [
        "Pigments (name, Colour Index name, opacity, lightfastness, where the curves come from, "
        "cautions)",
        "",
    ]
    for pigment in pigments:
        index = "/".join(pigment.index_names)
        care = ", ".join(pigment.cautions)
        lines.append(
            f"  {pigment.key:28} {index:12} {OPACITY[pigment.opacity]:17} "
            f"{pigment.lightfastness:21} {pigment.medium:18} {care}".rstrip()
        )
    lines += ["", "Ready mixtures", ""]
    for mixture in mixtures:
        parts = ", ".join(f"{parts:g} {pigment}" for pigment, parts in mixture.portions)
        lines.append(f"  {mixture.key:28} {parts}")
    lines += ["", "Boxes that come with refmatch", "", *(f"  {name}" for name in boxes)]
    lines += ["", "The name you may use is the plain name, or the Colour Index name where it"]
    lines += [f"leads to one pigment, such as {_examples()}."]
    return "\n".join(lines)


def _examples() -> str:
    from refmatch.paint.library import find_pigment

    return ", ".join(short_name(find_pigment(name)) for name in ("PW6", "PB29", "PY74"))


def laid(parts: Sequence[Laid]) -> str:
    """Return what is laid out: "3 ultramarine let-down (1 : 9 white), 2 burnt sienna"."""
    return ", ".join(f"{part.parts} {laid_words(part).replace(NBSP, ' ')}" for part in parts)


def goes_in(recipe: Recipe) -> str:
    """Return all that goes into a mix, what is taken of a plan's puddle first."""
    source = recipe.from_puddle
    taken = [f"{source.parts} {puddle_name(source)}"] if source else []
    return ", ".join([*taken, *([laid(recipe.laid_out)] if recipe.laid_out else [])])


def _distance(recipe: Recipe) -> str:
    better = f"{recipe.better}; " if recipe.better else ""
    words = f"{better}{distance_words(recipe).replace(NBSP, ' ')}"
    return f"{words}; {recipe.words}" if recipe.words else words


def card(made: Card, out: Path, layout: Path) -> str:
    """Return which dabs to paint, tube by tube, and what was written."""
    width = max(len(tube.name) for tube in made.tubes)
    lines = [
        f"{made.box_name}: {len(made.windows)} dabs on {_pages(made.pages)}, "
        f"parts by {made.parts_by}",
        "",
    ]
    for tube in made.tubes:
        windows = [window for window in made.windows if window.tube == tube.name]
        parts = ", ".join(window.parts_in_words for window in windows)
        lines.append(f"{tube.name:{width}}  {parts}")
    lines += [
        "",
        f"Written to {out}. Its code tells how to read a photo of it; {layout} says the same.",
    ]
    return "\n".join(lines)


def dab_card(made: DabCard, out: Path, painting: Path) -> str:
    """Return which dabs to paint in which window, and what to do with the card."""
    count = len(made.targets)
    rows = [
        (f"{window.number}", window.target, window.recipe or "no recipe") for window in made.targets
    ]
    first = [window for window in made.paints if window.page == 1]
    rows += [("", window.tube, window.parts_in_words) for window in first]
    wide, label = (max(len(row[column]) for row in rows) for column in (0, 1))
    lines = [
        f"{made.title}: {count} dab{'s' if count > 1 else ''} on {_pages(made.pages)}, "
        f"parts by {made.parts_by}",
        "",
        *(f"{number:>{wide}}  {name:{label}}  {parts}" for number, name, parts in rows),
        "",
        f"Written to {out}. Paint the dabs, photograph each page, and say",
        f"refmatch check PHOTO --painting {painting}",
    ]
    return "\n".join(lines)


def _pages(pages: int) -> str:
    return "1 page" if pages == 1 else f"{pages} pages"


def checks(checked: Checks, painting: Path | None) -> str:
    """Return each pile judged, and how to say what was done."""
    lines = [f"Looked at by: {checked.way}", ""]
    for dab in checked.found:
        lines += [*_checked(dab), ""]
    if checked.learnt:
        lines += ["Your box has learnt:", *(f"  {words}" for words in checked.learnt), ""]
    if painting is not None and any(dab.advice.corrections for dab in checked.found):
        lines.append(
            "When it is done, say so: refmatch did 1 --painting "
            f"{shlex.quote(str(painting))} --target-label LABEL"
        )
    return "\n".join(lines).rstrip()


def _checked(dab: Checked) -> list[str]:
    job = dab.job
    lines = [] if job.label == ALONE else [f"{job.label}, puddle {job.pile}, look {job.number}"]
    verdict = dab.verdict
    lines += [
        f"target        {colour(job.target_lab)}",
        f"photographed  {colour(dab.measured_lab)}",
        f"              {apart_words(verdict.photo)}",
        f"believed      {colour(dab.lab)}",
        f"              {apart_words(verdict.belief)}",
        verdict_sentence(*verdict[:3], dab.lacks),
    ]
    if not dab.advice.corrections:
        lines.append(dab.advice.words)
    for number, correction in enumerate(dab.advice.corrections, start=1):
        lines.append(f"  {number}. {correction.words}")
        off, by_hand = correction.predicted_delta_e_00, correction.expected_delta_e_00
        lines.append(f"     then {off:.1f} ΔE00 off, or {by_hand:.1f} with the hand and all doubt")
    if dab.fresh is not None:
        lines.append(f"  anew: {laid(dab.fresh.laid_out)}")
    return lines


def lesson(taught: Lesson) -> str:
    """Return the puddle, a line for each way, and what is reached for instead."""
    lines = [colour(taught.lab), ""]
    lines += [_line(nudge, nudge_words(taught, nudge)) for nudge in taught.nudges]
    lines += ["", "What is reached for instead:"]
    lines += [_line(nudge, alone_words(taught, nudge)) for nudge in taught.instead]
    return "\n".join(lines)


def grey_string(string: GreyString) -> str:
    """Return a puddle, what greys it, and a line for each step to its grey."""
    lines = [colour(string.lab), "", string_words(string)]
    for number, step in enumerate(string.steps, start=1):
        lines += [f"  {number}. {step_words(string, step)}", f"     {numbers(step.lab)}"]
    return "\n".join(lines)


def _line(nudge: Nudge, words: str) -> str:
    return f"{nudge.direction:10}{words}"


FROM = {
    "photo and recipe": "By what was seen of it",
    "tubes as seen": "By its tubes as they were seen",
    "box": "By the box alone, since no photo tells of it",
}
"""On what the colour of a puddle to be mixed again rests."""


def recorded(folder: Path, done: Recorded) -> str:
    """Return what was recorded, what the puddle now holds, and what to do next."""
    lines = [f"{done.target}: {done.done.words}."]
    if done.replaced is not None and done.replaced != done.done:
        lines.append(f"    In place of what was said before: {done.replaced.words}.")
    whole = sum(share for _, share in done.now.parts)
    holds = "The new puddle holds" if done.done.anew else "The puddle now holds"
    lines.append(
        f"    {holds} {parts_line(done.now.parts)}: {counted(whole)} by {done.painting.parts_by}."
    )
    if done.belief is not None:
        lines.append(
            f"    By what was seen and added it is now {done.delta_e_00:.1f} ΔE00 from its target."
        )
    return "\n".join([*lines, f"    {next_step(folder, done)}"])


def next_step(folder: Path, done: Recorded) -> str:
    """Return what to do after something was done to a puddle: paint a dab, and look."""
    whose = f"--painting {shlex.quote(str(folder))} --target-label {shlex.quote(done.target)}"
    check = f"refmatch check PHOTO {whose}"
    if done.done.anew:
        return f"Paint a dab of the new puddle, and look at it: {check}"
    return f"Paint a new dab, photograph it beside the grey card, and look again: {check}"


def again(puddle: Again) -> str:
    """Return a puddle to be mixed again: how much of what, where it leads, and in what order."""
    by_volume = puddle.box.parts == "volume"
    much = f"{puddle.amount_ml:g} ml" if by_volume else "by its shares"
    lines = [f"{puddle.target.label}, {much}   {colour(puddle.target.lab)}", puddle.ended.words, ""]
    width = max(len(row.tube) for row in puddle.tubes)
    lines += [f"    {_tube(row, width)}" for row in puddle.tubes]
    off = difference_words(puddle.lab, puddle.target.lab)
    words = f"{FROM[puddle.lab_from]}: {colour(puddle.lab)}; "
    words += f"{puddle.delta_e_00:.1f} ΔE00 from the target"
    lines += ["", f"    {words}{f', {off}' if off else ''}."]
    if puddle.last_look is not None:
        last = puddle.last_look
        then = difference_words(puddle.box_lab, last.lab)
        words = f"Seen on {last.date}: {colour(last.lab)}; the box alone would expect"
        far = f"{last.delta_e_00_from_now:.1f} ΔE00 from that"
        lines.append(f"    {words} it {far}{f', {then}' if then else ''}.")
    lines += ["", "    Steps:"]
    lines += [f"      {i}. {step.text}" for i, step in enumerate(puddle.steps, start=1)]
    return "\n".join(lines)


def _tube(row: TubeAgain, width: int) -> str:
    share, unit = f"{100.0 * row.share:.1f} %", "part " if row.parts <= 1.0 else "parts"
    much = "" if row.volume_ml is None else f"{millilitres(row.volume_ml):>9}  "
    squeeze = "" if row.volume_ml is None else f"  {squeeze_words(row.volume_ml)}"
    return f"{much}{row.tube:{width}}  {figure(row.parts):>5} {unit} {share:>7}{squeeze}"
