"""Sheets of every awkward kind, invented for the tests."""

from __future__ import annotations

import functools
from dataclasses import replace

import numpy as np

from refmatch.flag import Flag
from refmatch.painting.asked import AskedPlan
from refmatch.painting.model import Added, Done, Painting
from refmatch.painting.own_box import box_of, tubes_on_table
from refmatch.painting.planned import plan_of
from refmatch.painting.record import with_round
from refmatch.plan.amounts import Canvas
from refmatch.sheet.compose import Wanted, compose
from refmatch.sheet.content import Content
from tests.painting import example
from tests.painting.rounds_example import boxed, look, round_of

LONG = "the third pear from the left, its turning edge against the enamel jug's cast shadow " * 2
ODD = "Ζωγράφος → ocre jaune ñ 汉"


def content(count: int = 8, size: tuple[int, int] = (900, 600)) -> Content:
    return compose(example.painting(count, size), example.pictures(*size))


def labelled(label: str, count: int = 4) -> Content:
    """Return a sheet on which every label is ``label``."""
    made = content(count)
    return replace(
        made,
        title=label,
        slips=tuple(replace(slip, label=label) for slip in made.slips),
        masses=tuple(replace(mass, label=label, words=label) for mass in made.masses),
        palette=tuple(replace(squeeze, tube=label) for squeeze in made.palette),
    )


def crowded() -> Content:
    """Return a sheet whose holes lie in one knot."""
    made = content(12)
    marks = tuple(
        replace(mark, x=0.5 + 0.012 * (mark.number % 4), y=0.5 + 0.015 * (mark.number // 4))
        for mark in made.marks
    )
    return replace(made, marks=marks)


def wordy() -> Content:
    """Return a sheet whose tubes have names as long as their makers allow."""
    name = "extra fine permanent transparent warm reddish earth of the old quarry, series 4"
    made = content(5)
    slips = tuple(
        replace(
            slip,
            parts=tuple(replace(part, words=name) for part in slip.parts),
            steps=tuple(replace(step, words=f"add 3 {name}, in touches") for step in slip.steps),
            alternatives=tuple(
                replace(other, parts=f"9 {name} + 1 {name} + 3 {name} + 2 {name}", remarks=name)
                for other in slip.alternatives * 3
            ),
            flags=(LONG, LONG),
            neighbours=(LONG,),
        )
        for slip in made.slips
    )
    return replace(made, slips=slips, cautions=(*made.cautions, LONG, LONG))


def bare() -> Content:
    """Return a sheet with as little on it as there can be."""
    made = content(2)
    slips = tuple(
        replace(
            slip, mix=None, parts=(), steps=(), alternatives=(), total="", distance="",
            difference="", differences="", out_of_reach="No tube comes near.",
        )
        for slip in made.slips
    )  # fmt: skip
    return replace(
        made, slips=slips, masses=(), palette=(), values=None, values_words="", marks=(), unused=""
    )


def checked() -> Content:
    """Return a sheet of puddles that were looked at: often, once, given up, of a long name."""
    painting = example.painting(4)
    whites = Added("titanium white", 0.5, (("titanium white", 1.0),))
    named = Added(LONG, 1.0, (("titanium white", 1.0),))
    for number in range(1, 10):
        done = Done(number == 4, (whites,), "added ½ part of titanium white")
        painting = _looked_at(painting, 0, number, done)
    painting = _looked_at(painting, 1, 10, Done(False, (named,), f"added 1 part of {LONG}"))
    painting = _looked_at(painting, 3, 11, Done(False, (), "mixed it anew", anew=True))
    painting = _looked_at(painting, 3, 12, None)
    return compose(painting, example.pictures())


def _looked_at(painting: Painting, place: int, number: int, done: Done | None) -> Painting:
    seen = look(number, f"2026-11-{number:02d}")
    off = (9.0 / number, -0.6 * number, 12.0 / number)
    return with_round(painting, seen, round_of(painting, place, seen, off=off, done=done))


def nudged() -> Content:
    """Return a sheet that teaches: three puddles, one in words as long as names make them."""
    made = compose(boxed(3), example.pictures(), Wanted(nudges=True))
    wordy = tuple(replace(nudge, words=LONG) for nudge in made.lessons[0].nudges)
    return replace(made, lessons=(replace(made.lessons[0], nudges=wordy), *made.lessons[1:]))


@functools.cache
def planned() -> Content:
    """Return a sheet with a plan: a key that draws both ends in, one end lost by the camera."""
    painting = boxed(8)
    light, dark = painting.targets[3], painting.targets[6]
    targets = list(painting.targets)
    targets[3] = replace(light, lab=np.array([99.5, -2.0, 8.0]))
    lost = Flag("clipped", "The camera recorded nothing here.")
    targets[6] = replace(dark, lab=np.array([2.0, 0.0, -1.0]), flags=(lost,))
    painting = replace(painting, targets=tuple(targets))
    return compose(mixed_by_a_plan(painting, AskedPlan(), Canvas(40.0, 30.0)), example.pictures())


def mixed_by_a_plan(painting: Painting, plan: AskedPlan, canvas: Canvas | None) -> Painting:
    """Return a painting that is mixed by a plan, from its own box."""
    asked, box = replace(painting.asked, plan=plan, canvas=canvas), box_of(painting)
    holes = [None] * len(painting.targets)
    made = plan_of(asked, painting.targets, painting.families, holes=holes, box=box)
    return replace(
        painting,
        asked=asked,
        plan=made,
        targets=made.targets,
        recipes=made.answers,
        chosen=made.chosen,
        table=tubes_on_table(box),
    )


def planned_long() -> Content:
    """Return a sheet with a plan of many long names."""
    made = planned()
    plan = made.plan
    assert plan
    key = replace(plan.key, lines=tuple(replace(line, label=LONG) for line in plan.key.lines * 3))
    tubes = tuple(replace(tube, tube=LONG, without=LONG) for tube in plan.tubes * 2)
    work = tuple(replace(line, label=LONG, words=LONG) for line in plan.work * 2)
    strings = tuple(replace(s, label=LONG, words=LONG) for s in plan.strings * 2)
    reaches = tuple(replace(reach, tubes=LONG) for reach in plan.reaches)
    plan = replace(
        plan, key=key, tubes=tubes, work=work, strings=strings, reaches=reaches,
        dots=plan.dots * 5, glazes=(LONG,), known=(LONG,), prices=(LONG,) * 3,
    )  # fmt: skip
    return replace(made, plan=plan)


def small() -> Content:
    """Return a sheet of many small slips, one of them at length."""
    made = content(24)
    at_length = replace(wordy().slips[0], number=1)
    return replace(made, slips=(at_length, *made.slips[1:]), slip_size="compact")


def small_below_a_plan() -> Content:
    """Return a sheet whose few small slips stand in what a short plan leaves of its page."""
    painting = mixed_by_a_plan(boxed(3), AskedPlan(), None)
    return compose(painting, example.pictures(), Wanted(slips="compact"))


def to_draw_by(count: int, size: tuple[int, int], canvas: Canvas, grid: str = "") -> Content:
    """Return a sheet with a page to transfer the drawing by."""
    painting = example.painting(count, size)
    painting = replace(painting, asked=replace(painting.asked, canvas=canvas))
    return compose(painting, example.pictures(*size), Wanted(grid=grid))


CASES = {
    "compact": small,
    "compact below a plan": small_below_a_plan,
    "to draw by": lambda: to_draw_by(2, (900, 600), Canvas(50.8, 40.64)),
    "to draw upright": lambda: to_draw_by(2, (600, 900), Canvas(30.0, 40.0)),
    "eight": lambda: content(8),
    "one": lambda: content(1),
    "twenty": lambda: content(20),
    "none": lambda: content(0),
    "upright": lambda: content(6, (600, 900)),
    "tall": lambda: content(6, (300, 1500)),
    "square": lambda: content(5, (700, 700)),
    "panorama": lambda: content(6, (1800, 400)),
    "ribbon": lambda: content(1, (3000, 60)),
    "long labels": lambda: labelled(LONG),
    "one long word": lambda: labelled("Birnenschattenübergangsfarbton" * 5),
    "odd labels": lambda: labelled(ODD),
    "crowded": crowded,
    "wordy": wordy,
    "many masses": lambda: replace(content(8), masses=content(8).masses * 3),
    "bare": bare,
    "checked": checked,
    "nudged": nudged,
    "planned": planned,
    "planned at length": planned_long,
}
