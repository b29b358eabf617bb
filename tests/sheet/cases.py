"""Sheets of every awkward kind, invented for the tests."""

from __future__ import annotations

from dataclasses import replace

from refmatch.sheet.compose import compose
from refmatch.sheet.content import Content
from tests.painting import example

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


CASES = {
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
}
