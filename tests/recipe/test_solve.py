"""The solver's exam: targets whose recipes are known, and a search that leaves nothing out."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.errors import BoxError, UnknownTube, UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.habits import Habits
from refmatch.recipe.metric import metric
from refmatch.recipe.rank import Judge, rank
from refmatch.recipe.solve import Bench, Options, candidates, lay_out, solve
from refmatch.target import Target
from tests.recipe.boxes import eight_tubes, garden_table, tint_targets, whole_part_targets
from tests.refusals import refused


@pytest.fixture(scope="module")
def bench() -> Bench:
    return lay_out(garden_table())


def test_mixes_of_the_box_in_whole_parts_are_found_again(bench: Bench) -> None:
    targets = whole_part_targets(bench.entries.box, 60, seed=20261124)
    first = np.array([candidates(bench, lab).found.distance[0] for lab in targets])
    assert np.mean(first <= 0.5) >= 0.95


def test_continuous_tints_to_one_in_fifty_are_reached_with_let_downs(bench: Bench) -> None:
    targets = tint_targets(bench.entries.box, 60, seed=49)
    first = np.array([candidates(bench, lab).found.distance[0] for lab in targets])
    assert np.percentile(first, 95) <= 1.5


def test_let_downs_are_what_reaches_the_weak_tints(bench: Bench) -> None:
    box = bench.entries.box
    tint = whole_and_tint(box, "phthalo blue", 1.0, 49.0)
    with_let_down = candidates(bench, tint).found
    uses = with_let_down.parts[0][bench.entries.is_let_down]
    assert uses.sum() > 0


def whole_and_tint(box: Box, tube: str, parts: float, white: float) -> np.ndarray:
    from refmatch.recipe.mixture import predict

    return predict([box.tube(tube), box.white], [parts, white])


def test_nothing_is_missed_beside_a_search_of_every_recipe() -> None:
    bench = lay_out(eight_tubes(), Options(total=20))
    targets = whole_part_targets(bench.entries.box, 10, seed=8)
    targets += tint_targets(bench.entries.box, 10, seed=9)
    everything = _every_recipe(bench)
    lab = bench.entries.palette.lab(everything.astype(float))
    worse = []
    for target in targets:
        near = everything[np.linalg.norm(lab - target, axis=1) < 12.0]
        g = metric(target)
        judge = Judge(lambda seen, aim=target: delta_e_00(seen, aim), g)
        ours = candidates(bench, target)
        assert ours.within_reach
        first = ours.found.parts[:1]
        judged = rank(bench.entries, np.concatenate([near, first]), judge)
        at = (judged.parts == first).all(axis=1).argmax()
        worse.append(judged.objective[at] - judged.objective[0])
    assert max(worse) <= 0.3


def _every_recipe(bench: Bench) -> np.ndarray:
    """All recipes of up to four entries and up to 20 parts in lowest terms: about a million."""
    pieces = []
    for subsets in bench.subsets:
        size = subsets.size
        parts = np.array(
            [row for row in itertools.product(range(1, 21), repeat=size) if sum(row) <= 20],
            dtype=np.intp,
        )
        parts = parts[np.gcd.reduce(parts, axis=1) == 1]
        for members in subsets.members:
            full = np.zeros((len(parts), len(bench.entries.items)), dtype=np.intp)
            full[:, members] = parts
            pieces.append(full)
    return np.concatenate(pieces)


def test_a_recipe_keeps_to_its_tubes_and_parts(bench: Bench) -> None:
    small = lay_out(garden_table(), Options(tubes=3, total=12))
    for lab in whole_part_targets(bench.entries.box, 10, seed=3):
        found = candidates(small, lab).found
        assert found.parts.sum(axis=1).max() <= 12
        assert ((found.parts @ small.entries.net) > 0.0).sum(axis=1).max() <= 3


def test_a_plain_ratio_beats_an_awkward_one_where_the_eye_cannot_tell(bench: Bench) -> None:
    box = bench.entries.box
    awkward = whole_and_tint(box, "ultramarine", 6.0, 19.0)
    answer = solve(bench, Target("1", awkward))
    assert sum(laid.parts for laid in answer.recipes[0].laid_out) <= 8


def test_habits_hold_tubes_out_and_insist() -> None:
    target = Target("1", np.array([38.0, -2.0, -20.0]))
    habits = Habits(without=("ivory black",), insist=("burnt umber",))
    answer = solve(lay_out(garden_table(), Options(habits=habits)), target)
    for recipe in answer.recipes:
        tubes = {portion.tube for portion in recipe.portions}
        assert "ivory black" not in tubes
        assert "burnt umber" in tubes


def test_no_white_in_darks_below_value_four() -> None:
    """Common practice, no source."""
    bench = lay_out(garden_table(), Options(habits=Habits(no_white_in_darks=True)))
    dark = solve(bench, Target("1", np.array([30.0, 8.0, 12.0])))
    light = solve(bench, Target("1", np.array([70.0, 8.0, 12.0])))
    assert all("titanium white" not in {p.tube for p in r.portions} for r in dark.recipes)
    assert "titanium white" in {p.tube for p in light.recipes[0].portions}


def test_easy_on_black_takes_black_only_where_it_gains(bench: Bench) -> None:
    grey = Target("1", np.array([45.0, -1.0, -4.0]))
    easy = lay_out(garden_table(), Options(habits=Habits(easy_on_black=True)))
    plain = [p.tube for p in solve(bench, grey).recipes[0].portions]
    spared = [p.tube for p in solve(easy, grey).recipes[0].portions]
    assert "ivory black" in plain
    assert "ivory black" not in spared


def test_black_is_never_alone_for_a_painter_easy_on_black() -> None:
    """Common practice, no source: ivory black's own masstone, mixed without black alone."""
    box = garden_table()
    easy = lay_out(box, Options(habits=Habits(easy_on_black=True)))
    black = Target("1", whole_and_tint(box, "ivory black", 1.0, 0.0))
    for recipe in solve(easy, black).recipes:
        assert {portion.tube for portion in recipe.portions} - {"ivory black", "titanium white"}


def test_no_greenish_blue_into_a_yellowish_orange_where_a_brown_serves() -> None:
    """Common practice, no source."""
    bench = lay_out(garden_table(), Options(habits=Habits(no_stray_green=True)))
    for recipe in solve(bench, Target("1", np.array([60.0, 22.0, 50.0]))).recipes:
        tubes = {portion.tube for portion in recipe.portions}
        assert not ({"hansa yellow"} & tubes and {"phthalo blue", "phthalo green"} & tubes)


def test_alternatives_are_distinct_ways_not_spellings(bench: Bench) -> None:
    answer = solve(bench, Target("1", np.array([62.0, 14.0, 38.0])))
    assert len(answer.recipes) >= 3
    assert answer.recipes[0].why == "first choice"
    sets = [frozenset(p.tube for p in recipe.portions) for recipe in answer.recipes]
    others = [tubes for tubes, r in zip(sets, answer.recipes, strict=True) if r.why != "closest"]
    assert len(set(others)) == len(others)


@pytest.mark.parametrize("lab", [(65.0, 0.0, 0.0), (83.0, 0.0, 0.0), (39.0, 39.0, 42.0)])
def test_the_closest_is_not_only_so_on_paper(bench: Bench, lab: tuple[float, ...]) -> None:
    """Common practice, no source: opposed hues balanced into a grey drift with every touch."""
    first, *others = solve(bench, Target("1", np.array(lab))).recipes
    for recipe in others:
        if recipe.why == "closest":
            assert recipe.delta_e_00 < first.delta_e_00
            assert recipe.delta_e_00_hand < first.delta_e_00_hand + 1.0


def test_out_of_reach_says_so_and_holds_value(bench: Bench) -> None:
    strong_violet = np.array([42.0, 60.0, -62.0])
    answer = solve(bench, Target("1", strong_violet))
    assert not answer.in_gamut
    assert answer.reach
    assert abs(answer.recipes[0].delta_lstar) < 3.0
    assert answer.recipes[0].delta_cstar < -5.0


def test_the_choice_does_not_hang_on_the_order_of_the_tubes() -> None:
    box = garden_table()
    turned = Box(box.name, tuple(reversed(box.tubes)))
    target = Target("1", np.array([55.0, -12.0, 30.0]))
    one = solve(lay_out(box), target).recipes[0]
    two = solve(lay_out(turned), target).recipes[0]
    assert one.objective == pytest.approx(two.objective, abs=0.05)


def test_bad_requests_get_a_sentence() -> None:
    no_white = Box("dark", (built_in_tube("PB29"), built_in_tube("PY74")))
    with refused(BoxError, match="has no white"):
        lay_out(no_white)
    with refused(BoxError, match="leave one in"):
        lay_out(garden_table(), Options(habits=Habits(without=("titanium white",))))
    with refused(UnknownTube, match="did you mean: burnt umber"):
        lay_out(garden_table(), Options(habits=Habits(without=("burnt umbre",))))
    for tubes in (1, 6):
        with refused(UsageError, match="2 to 5"):
            Options(tubes=tubes)
    for total in (1, 65):
        with refused(UsageError, match="2 to 64"):
            Options(total=total)
