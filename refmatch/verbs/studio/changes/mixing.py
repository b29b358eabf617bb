"""Mixing: the box, what is on the table, habits, the mix chosen, what goes for all."""

from __future__ import annotations

from dataclasses import replace

from refmatch.errors import UsageError
from refmatch.painting.asked import Asked, AskedPlan
from refmatch.painting.own_box import with_another_box
from refmatch.verbs.studio.changes.common import Changed, Table, called, hole_of, with_hole
from refmatch.verbs.studio.fields import Fields

FINISHES = ("gloss", "satin", "matt")
LAMPS = ("D50", "A", "LED-B3")
MOST_TUBES = 60


def box(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Take another box; what was said of tubes that it lacks is forgotten."""
    text = table.box_text(fields.text("box"))
    return Changed(with_another_box(asked, text), "take another box")


def away(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Say which tubes are not on the table today."""
    names = tubes_named(asked, fields.names("tubes"), table)
    return Changed(replace(asked, away=names), "change what is on the table")


def habits(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Hold tubes out of one hole's mix, or insist on them."""
    hole = hole_of(asked, fields)
    wanted = replace(
        hole,
        without=tubes_named(asked, fields.names("without"), table),
        insist=tubes_named(asked, fields.names("insist"), table),
    )
    return with_hole(asked, wanted, f"change the tubes of {called(asked, hole)}")


def choose(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Choose another of a hole's recipes, by what sets it apart."""
    hole = hole_of(asked, fields)
    return with_hole(
        asked, replace(hole, choice=fields.text("why")), f"choose a mix for {called(asked, hole)}"
    )


def options(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Change what goes for every recipe; what is not said stays as it is."""
    said: dict[str, object] = {}
    for key, least, most in (("tubes", 2, 5), ("total", 2, 64)):
        if key in fields:
            said[key] = int(fields.number(key, least, most))
    for key in ("easy_on_black", "no_white_in_darks", "no_stray_green"):
        if key in fields:
            said[key] = fields.truth(key)
    if "insist" in fields:
        said["insist"] = tubes_named(asked, fields.names("insist"), table)
    for key, known in (("finish", FINISHES), ("lamp", LAMPS)):
        if key in fields:
            said[key] = fields.text(key)
            if said[key] not in known:
                raise UsageError("no_such_choice", of=key, choice=said[key], known=known)
    mixing = replace(asked.mixing, **said)  # type: ignore[arg-type]
    return Changed(replace(asked, mixing=mixing), "change how mixes are made")


def plan(asked: Asked, fields: Fields, table: Table) -> Changed:
    """Mix the painting by a plan, keyed or not; with nothing said, each colour alone again."""
    if "keyed" not in fields:
        return Changed(replace(asked, plan=None), "mix each colour alone")
    tubes = int(fields.number("tubes", 2, MOST_TUBES)) if "tubes" in fields else None
    keep = asked.plan.keep if asked.plan else ()
    wanted = AskedPlan(keyed=fields.truth("keyed"), tubes=tubes, keep=keep)
    return Changed(replace(asked, plan=wanted), "mix by the plan")


def tubes_named(asked: Asked, names: tuple[str, ...], table: Table) -> tuple[str, ...]:
    """Return the names as the box has them, so that one tube has one name everywhere."""
    box = table.reckoner.box(asked.box, asked.mixing.finish)
    return tuple(dict.fromkeys(box.tube(name).name for name in names))
