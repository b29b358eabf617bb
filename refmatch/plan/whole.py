"""The plan of a whole painting: one key, a palette, a mix for each target, and how much.

The order is the painter's: first the key, since it decides what is asked of the tubes;
then the tubes; then, with those on the table, the key once more, the mixes and the
puddles.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.plan.advise import Advice, Reach, advise, only, reaches
from refmatch.plan.amounts import Amounts, Canvas, amounts
from refmatch.plan.choose import Choice, of_tubes
from refmatch.plan.cores import cores_of
from refmatch.plan.glaze import Glaze, glaze_for
from refmatch.plan.key import Key, key, unkeyed
from refmatch.plan.layers import GLAZE, Coat, order_of, painted
from refmatch.plan.mothers import Mixed, Plan, Set
from refmatch.plan.order import dries, plan_puddles
from refmatch.plan.recipes import as_planned, held_kind, parts_of, renumbered
from refmatch.plan.strings import ColourString, strings
from refmatch.recipe.habits import Habits
from refmatch.recipe.mixture import Entries, entries_of
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.solve import Options, lay_out, solve_all
from refmatch.target import DRY_PASSAGE, Target

AS_USUAL = Options()

BY_MASS = Flag("amounts_by_mass")


@dataclass(frozen=True, eq=False)
class Wish:
    """What a plan is made for: the targets, their shares of the picture, and the tubes.

    ``count`` is how many tubes the palette may have, white included; None asks for the
    smallest that reaches all targets. It holds the tubes named in ``keep``. ``keyed`` says
    whether the values are keyed. ``of_each`` are the options of each target where they are not
    alike for all; ``chosen`` names the kind of recipe that the plan is held to for each (its
    `why`), "" where it is left free. ``coats`` are the layers that the targets are for, none
    where the painting is not built in layers.
    """

    targets: tuple[Target, ...]
    shares: Array
    box: Box
    count: int | None = None
    keep: tuple[str, ...] = ()
    keyed: bool = True
    canvas: Canvas | None = None
    options: Options = AS_USUAL
    of_each: tuple[Options, ...] = ()
    chosen: tuple[str, ...] = ()
    coats: tuple[Coat, ...] = ()


@dataclass(frozen=True, eq=False)
class WholePlan:
    """The plan: ``targets`` are those mixed for, as the key leaves them; the rest runs beside.

    ``box`` is what the palette is chosen from, ``advice`` what was chosen, for the targets
    keyed to the whole box; ``on_table`` is the same palette, for the ``targets``, which are
    keyed to that palette. ``puddles`` is the order of work; of each answer it mixes the recipe
    that ``chosen`` names, the first. ``glazes`` has one for each target, None where opaque paint
    does as well; ``amounts`` is None without a canvas.
    """

    box: Box
    targets: tuple[Target, ...]
    shares: Array
    key: Key
    advice: Advice
    on_table: Choice
    answers: tuple[Answer, ...]
    chosen: tuple[int, ...]
    puddles: Plan
    strings: tuple[ColourString, ...]
    glazes: tuple[Glaze | None, ...]
    amounts: Amounts | None
    flags: tuple[Flag, ...]

    @property
    def recipes(self) -> tuple[Recipe, ...]:
        """The recipe that is mixed for each target."""
        return tuple(
            answer.recipes[place] for answer, place in zip(self.answers, self.chosen, strict=True)
        )

    @functools.cached_property
    def reaches(self) -> tuple[Reach, ...]:
        """What the palette, the whole box and those of the trade reach; drawn when asked for."""
        return reaches(self.box, self.advice)


Solver = Callable[[Box, Options, Sequence[Target]], tuple[Answer, ...]]
"""Recipes for targets from a box: `solved`, or one that remembers what was solved before."""


def solved(box: Box, options: Options, targets: Sequence[Target]) -> tuple[Answer, ...]:
    """Return the recipes for some targets from one box, in one call of the solver."""
    return solve_all(lay_out(box, options), targets)


def whole_plan(wish: Wish, solver: Solver = solved) -> WholePlan:
    """Return the whole plan.

    Raises:
        UsageError: no target, or a palette of so many tubes is not offered.
        BoxError: the box has no white, or no colour beside it. UnknownTube: ``keep`` names one.
    """
    if not wish.targets:
        raise UsageError("nothing_to_plan")
    habits = wish.options.habits
    box = wish.box.without(habits.without)
    keep = [box.tube(name).name for name in wish.keep]
    labs, shares = _bytes(_keyed(wish, box).after), _bytes(wish.shares)
    advice = _advice(_fields(box), labs, habits, shares, (wish.count, tuple(keep)))
    table = _table(_fields(box), advice.chosen.tubes)
    keyed = _keyed(wish, table)
    targets = _as_keyed(wish.targets, keyed)
    entries = entries_of(table)
    answers = _answers(wish, table, targets, solver)
    kinds = tuple(
        held_kind(answer, why)
        for answer, why in zip(answers, wish.chosen or ("",) * len(answers), strict=True)
    )
    asked = _set(entries, targets, wish.shares, answers, kinds)
    layers = tuple(_layer(place, coat) for place, coat in enumerate(wish.coats))
    asked = replace(asked, options=_of_each(wish, table), layers=layers)
    puddles = plan_puddles(entries, asked)
    planned = as_planned(entries, targets, answers, kinds, puddles)
    glazes = tuple(_glaze(wish, table, place, answer) for place, answer in enumerate(answers))
    puddles = _glazed(wish, table, puddles, glazes)
    return WholePlan(
        box=box,
        targets=targets,
        shares=wish.shares,
        key=keyed,
        advice=advice,
        on_table=_choice(_fields(table), _bytes(keyed.after), habits, shares, advice.chosen.tubes),
        answers=planned,
        chosen=(0,) * len(answers),
        puddles=puddles,
        strings=tuple(
            string
            for string in strings(entries, asked, puddles)
            if len({layers[place] for place in string.targets} if layers else {0}) == 1
        ),
        glazes=glazes,
        amounts=_amounts(wish, table, puddles),
        flags=(*keyed.flags, *([BY_MASS] if wish.canvas and box.parts == "mass" else [])),
    )


# Choosing a palette takes longest. It hangs on colours and tubes, so a hole that is named or a
# recipe that is picked must not pay for it again.


@functools.lru_cache(8)
def _advice(
    box: tuple[Any, ...],
    labs: bytes,
    habits: Habits,
    shares: bytes,
    wanted: tuple[int | None, tuple[str, ...]],
) -> Advice:
    cores = cores_of(Box(*box), np.frombuffer(labs).reshape(-1, 3), habits)
    return advise(cores, np.frombuffer(shares), *wanted)


@functools.lru_cache(8)
def _choice(
    box: tuple[Any, ...], labs: bytes, habits: Habits, shares: bytes, tubes: tuple[str, ...]
) -> Choice:
    cores = cores_of(Box(*box), np.frombuffer(labs).reshape(-1, 3), habits)
    return of_tubes(cores, np.frombuffer(shares), tubes)


@functools.lru_cache(32)
def _table(box: tuple[Any, ...], tubes: tuple[str, ...]) -> Box:
    """Return the box of a palette; the same one again, by which solvers know their answers."""
    return only(Box(*box), tubes)


def _fields(box: Box) -> tuple[Any, ...]:
    """Return a box so that two of the same tubes are equal: boxes themselves never are."""
    return tuple(getattr(box, field.name) for field in fields(box))


def _bytes(values: Array) -> bytes:
    return np.ascontiguousarray(values, dtype=float).tobytes()


def _keyed(wish: Wish, box: Box) -> Key:
    """Return the targets keyed to what a box can do, or left alone where that is asked."""
    labs = np.array([target.lab for target in wish.targets])
    clipped = [any(flag.name == "clipped" for flag in target.flags) for target in wish.targets]
    keyed = (key if wish.keyed else unkeyed)(labs, wish.shares, box, clipped=clipped)
    dry = np.array([DRY_PASSAGE in target.flags for target in wish.targets])
    if not dry.any():
        return keyed
    moved = np.where(dry, 0.0, keyed.delta_e_00)
    return replace(
        keyed,
        after=np.where(dry[:, None], keyed.before, keyed.after),
        delta_e_00=moved,
        mean_delta_e_00=float(np.average(moved, weights=wish.shares)),
    )


def _glaze(wish: Wish, table: Box, place: int, answer: Answer) -> Glaze | None:
    """Return the glaze that reaches what no puddle does, or that is asked for, if there is one."""
    if wish.coats and wish.coats[place].layer == GLAZE:
        return glaze_for(table, answer.target_lab, np.inf)
    if answer.in_gamut:
        return None
    nearest = min(recipe.delta_e_00 for recipe in answer.recipes)
    return glaze_for(table, answer.target_lab, nearest)


def _layer(place: int, coat: Coat) -> int:
    """Return a target's layer; each glaze is one of its own, since none is drawn from another."""
    return order_of(coat) + (place if coat.layer == GLAZE else 0)


def _glazed(wish: Wish, table: Box, plan: Plan, glazes: Sequence[Glaze | None]) -> Plan:
    """Return the order of work with the glazes of the glaze layer in place of opaque puddles."""
    if not any(coat.layer == GLAZE for coat in wish.coats):
        return plan
    puddles = []
    for puddle in plan.puddles:
        place = puddle.target
        glaze = None if place is None else glazes[place]
        if glaze is not None and place is not None and wish.coats[place].layer == GLAZE:
            parts = {laid.tube: laid.parts for laid in glaze.laid_out}
            net = np.array([parts.get(tube.name, 0) for tube in table.tubes], dtype=float)
            net /= net.sum()
            puddle = replace(
                puddle,
                drawn_from=None,
                of_it=0,
                laid_out=glaze.laid_out,
                net=net,
                lab=glaze.lab,
                delta_e_00=glaze.delta_e_00,
                dries=dries(table.tubes, net),
            )
        puddles.append(puddle)
    return replace(plan, puddles=tuple(puddles))


def _amounts(wish: Wish, table: Box, puddles: Plan) -> Amounts | None:
    if wish.canvas is None:
        return None
    tubes = [tube.name for tube in table.tubes]
    in_layers = painted(wish.coats, wish.shares) if wish.coats else None
    return amounts(wish.canvas, wish.shares, puddles.puddles, tubes, in_layers)


def _as_keyed(targets: Sequence[Target], keyed: Key) -> tuple[Target, ...]:
    return tuple(
        replace(target, lab=lab, flags=(*target.flags, *flags))
        for target, lab, flags in zip(targets, keyed.after, keyed.of_each, strict=True)
    )


def chosen_of(answer: Answer, why: str) -> int:
    """Return the place of the recipe of a kind; the first where there is none of that kind."""
    whys = [recipe.why for recipe in answer.recipes]
    return whys.index(why) if why in whys else 0


def _answers(
    wish: Wish, table: Box, targets: Sequence[Target], solver: Solver
) -> tuple[Answer, ...]:
    """Return each target's recipes from the tubes on the table, in one call for all alike."""
    options_of_each = _of_each(wish, table)
    answers: dict[int, Answer] = {}
    for options in dict.fromkeys(options_of_each):
        places = [place for place, other in enumerate(options_of_each) if other == options]
        solved_now = solver(table, options, [targets[place] for place in places])
        answers |= zip(places, solved_now, strict=True)
    return tuple(answers[place] for place in range(len(targets)))


def _of_each(wish: Wish, table: Box) -> tuple[Options, ...]:
    """Return the options of each target, for the tubes on the table."""
    options = wish.of_each or (wish.options,) * len(wish.targets)
    return tuple(_of_table(wish, one, table) for one in options)


def _of_table(wish: Wish, options: Options, table: Box) -> Options:
    """Return options whose habits name no tubes but those on the table."""
    names, habits = {tube.name for tube in table.tubes}, options.habits

    def there(named: Sequence[str]) -> tuple[str, ...]:
        return tuple(name for name in named if wish.box.tube(name).name in names)

    habits = replace(habits, without=there(habits.without), insist=there(habits.insist))
    return replace(options, habits=habits)


def _set(
    entries: Entries,
    targets: Sequence[Target],
    shares: Array,
    answers: Sequence[Answer],
    kinds: Sequence[str],
) -> Set:
    """Return the targets and their recipes as the planning of puddles takes them."""
    chosen = [chosen_of(answer, kind) for answer, kind in zip(answers, kinds, strict=True)]
    return Set(
        labels=[target.label for target in targets],
        labs=np.array([target.lab for target in targets]),
        shares=np.asarray(shares, dtype=float),
        parts=np.array(
            [
                parts_of(entries, answer.recipes[place].laid_out)
                for answer, place in zip(answers, chosen, strict=True)
            ]
        ),
        others=[
            (target, parts_of(entries, recipe.laid_out))
            for target, (answer, first) in enumerate(zip(answers, chosen, strict=True))
            for place, recipe in enumerate(answer.recipes)
            if place != first
        ],
        held=[place for place, kind in enumerate(kinds) if kind],
    )


# A painting that is planned anew while some of its puddles lie on the palette.


def with_begun(fresh: WholePlan, old: WholePlan, begun: Collection[int]) -> WholePlan:
    """Return a fresh plan in which puddles that are begun stay as the old plan mixed them.

    ``begun`` are the places of their targets. What a begun puddle was drawn from stays with it,
    where the fresh plan has no puddle of that name.
    """
    before = {puddle.target: puddle for puddle in old.puddles.puddles}
    kept = {place: before[place] for place in begun if place in before}
    order = [kept.get(-1 if p.target is None else p.target, p) for p in fresh.puddles.puddles]
    labels = {puddle.label for puddle in order}
    sources = {puddle.drawn_from for puddle in kept.values()} - labels
    mothers = [replace(p, target=None) for p in old.puddles.puddles if p.label in sources]
    order = _mothers_first([*mothers, *order])
    numbers = {puddle.label: number for number, puddle in enumerate(order, start=1)}
    answers = [old.answers[p] if p in kept else a for p, a in enumerate(fresh.answers)]
    return replace(
        fresh,
        puddles=replace(fresh.puddles, puddles=tuple(order)),
        answers=tuple(renumbered(answer, numbers) for answer in answers),
        chosen=tuple(old.chosen[p] if p in kept else c for p, c in enumerate(fresh.chosen)),
    )


def _mothers_first(puddles: Sequence[Mixed]) -> list[Mixed]:
    """Return puddles in their order, but each after the one that it is drawn from."""
    order: list[Mixed] = []
    waiting = list(puddles)
    while waiting:
        laid = {None, *(puddle.label for puddle in order)}
        # a begun puddle may be drawn from what is now drawn from it: it lies there already
        ready = next((puddle for puddle in waiting if puddle.drawn_from in laid), waiting[0])
        order.append(ready)
        waiting = [puddle for puddle in waiting if puddle is not ready]
    return order
