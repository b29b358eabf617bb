"""A painting planned anew for another box: a puddle that is begun is one, in slip and order."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.paint.box import built_in_tube
from refmatch.paint.box_file import box_to_toml, built_in_box
from refmatch.painting.asked import AskedPlan
from refmatch.painting.model import Painting
from refmatch.painting.own_box import hole_of
from refmatch.painting.planned import plan_of
from refmatch.painting.record import with_round
from refmatch.painting.remix import with_box
from refmatch.plan.mothers import Mixed
from tests.painting import example
from tests.painting.rounds_example import look, round_of

STRONGER = 1.6


@pytest.fixture(scope="module")
def planned() -> Painting:
    """A painting of eight near colours, mixed by a plan with puddles drawn from others."""
    plain = example.painting(8)
    asked = replace(plain.asked, box=box_to_toml(built_in_box()), plan=AskedPlan())
    plain = replace(plain, asked=asked)
    labs = np.array([[62 - 5 * n, 10 + n, 24 + 2 * n] for n in range(8)], dtype=float)
    targets = tuple(replace(t, lab=lab) for t, lab in zip(plain.targets, labs, strict=True))
    plain = replace(plain, targets=targets)
    holes = [hole_of(plain, place) for place in range(8)]
    plan = plan_of(plain.asked, targets, (), holes=holes, box=built_in_box())
    return replace(plain, targets=plan.targets, recipes=plan.answers, chosen=plan.chosen, plan=plan)


def stronger() -> str:
    """The box with tubes that are stronger, some more than others."""
    box = built_in_box()
    tubes = tuple(
        built_in_tube(tube.keys[0], tube.name, strength=STRONGER if n % 2 else 1.0)
        for n, tube in enumerate(box.tubes)
    )
    return box_to_toml(replace(box, tubes=tubes))


def puddle_of(painting: Painting, place: int) -> Mixed:
    assert painting.plan
    return next(p for p in painting.plan.puddles.puddles if p.target == place)


def test_a_begun_puddle_keeps_its_mix_in_slip_and_order(planned: Painting) -> None:
    assert planned.plan
    drawn = [p for p in planned.plan.puddles.puddles if p.drawn_from and p.target is not None]
    assert drawn
    for before in drawn:
        place = before.target
        begun = with_round(planned, look(1), round_of(planned, place, look(1), (1, 1, 1), []))
        after = with_box(begun, stronger())
        assert after.plan
        puddle, recipe = puddle_of(after, place), after.recipes[place].recipes[0]
        assert (puddle.drawn_from, puddle.of_it) == (before.drawn_from, before.of_it)
        assert puddle.laid_out == before.laid_out == recipe.laid_out
        order = after.plan.puddles.puddles
        for target, answer in enumerate(after.plan.answers):
            source = answer.recipes[after.plan.chosen[target]].from_puddle
            if source is not None:
                assert order[source.number - 1].label == source.label
                assert source.label == puddle_of(after, target).drawn_from
        others = [t for t in range(8) if t != place]
        assert any(puddle_of(after, t).laid_out != puddle_of(planned, t).laid_out for t in others)
