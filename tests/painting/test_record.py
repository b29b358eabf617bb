"""The record of a puddle: parts are conserved, and what is in it follows from its rounds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.errors import PaintingError
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.model import Added, Done
from refmatch.painting.record import (
    corrections_done,
    last_round,
    left_over,
    pile_now,
    place_of,
    relabelled,
    rounds_of,
    with_done,
    with_round,
    worked_in,
)
from tests.painting import example
from tests.painting.rounds_example import advised, look, round_of
from tests.refusals import refused

LABEL = "pear, lit side"


def whole(parts) -> float:
    return sum(share for _, share in parts)


def white(parts: float) -> Added:
    return Added("titanium white", parts, (("titanium white", 1.0),))


def let_down(parts: float) -> Added:
    own = (("phthalo green", 1.0), ("titanium white", 9.0))
    return Added("phthalo green, 1 to 9 white", parts, own)


def checked(painting, number, **given):
    """Return the painting with one more round of its first target."""
    seen = look(number)
    return with_round(painting, seen, round_of(painting, 0, seen, **given))


def test_before_any_check_the_recipe_is_in_the_puddle():
    painting = example.painting(2)
    recipe = painting.recipes[0].recipes[0]
    now = pile_now(painting, LABEL)
    assert (now.pile, now.number) == (1, 1)
    assert dict(now.parts) == {portion.tube: portion.parts for portion in recipe.portions}
    other = replace(painting, chosen=(1, 0))
    chosen = painting.recipes[0].recipes[1]
    assert dict(pile_now(other, LABEL).parts) == {p.tube: p.parts for p in chosen.portions}


def test_a_second_look_finds_what_was_left():
    painting = checked(example.painting(1), 1)
    assert pile_now(painting, LABEL) == (pile_now(example.painting(1), LABEL).parts, 1, 2)
    assert corrections_done(painting, LABEL) == 0


def test_half_a_part_into_a_pile_of_so_many_makes_half_a_part_more():
    painting = checked(example.painting(1), 1)
    before = pile_now(painting, LABEL).parts
    painting = with_done(painting, LABEL, Done(False, (white(0.5), let_down(2.0)), ""))
    after = dict(pile_now(painting, LABEL).parts)
    assert whole(after.items()) == pytest.approx(whole(before) + 2.5, abs=1e-12)
    assert after["titanium white"] == pytest.approx(dict(before)["titanium white"] + 0.5 + 1.8)
    assert after["phthalo green"] == pytest.approx(dict(before)["phthalo green"] + 0.2)
    assert corrections_done(painting, LABEL) == 1


def test_of_a_divided_pile_a_third_is_left_in_the_same_proportions():
    painting = checked(example.painting(1), 1)
    before = dict(pile_now(painting, LABEL).parts)
    painting = with_done(painting, LABEL, Done(True, (), "divided it"))
    after = dict(pile_now(painting, LABEL).parts)
    assert after == {tube: pytest.approx(parts / 3.0) for tube, parts in before.items()}


def test_parts_are_conserved_through_any_dividing_and_adding():
    rng = np.random.default_rng(6)
    names = list(example.TUBES)
    for _ in range(200):
        tubes = rng.choice(names, size=rng.integers(1, 5), replace=False)
        parts = tuple((str(tube), float(rng.uniform(0.1, 30.0))) for tube in tubes)
        total = whole(parts)
        for _ in range(rng.integers(1, 6)):
            own = tuple((str(tube), float(rng.uniform(0.1, 9.0))) for tube in rng.choice(names, 2))
            added, divided = Added("some", float(rng.uniform(0.0, 4.0)), own), rng.random() < 0.4
            parts = worked_in(parts, Done(bool(divided), (added,), ""))
            total = (total / 3.0 if divided else total) + added.parts
            assert whole(parts) == pytest.approx(total, rel=1e-12)
            assert len(dict(parts)) == len(parts)  # a tube stands once
            assert all(share > 0.0 for _, share in parts)


def test_the_rounds_replayed_from_the_recipe_give_what_is_in_the_puddle():
    rng = np.random.default_rng(7)
    for _ in range(20):
        painting = example.painting(2)
        parts, pile, number = pile_now(painting, LABEL)
        for photo in range(1, 9):
            painting = checked(painting, photo)
            assert last_round(painting, LABEL).parts == parts
            assert (last_round(painting, LABEL).pile, last_round(painting, LABEL).number) == (
                pile,
                number,
            )
            number += 1
            if (way := rng.integers(4)) == 3:
                done = Done(False, (), "mixed anew", anew=True)
                parts, pile, number = pile_now(example.painting(2), LABEL).parts, pile + 1, 1
            elif way:
                done = Done(
                    bool(way == 2), (white(0.5 * float(rng.integers(1, 5))), let_down(1.0)), ""
                )
                parts = worked_in(parts, done)
            else:
                continue
            painting = with_done(painting, LABEL, done)
        again = from_bytes(to_bytes(painting))
        assert pile_now(again, LABEL) == pile_now(painting, LABEL) == (parts, pile, number)


def test_the_record_comes_back_exactly():
    done = Done(True, (white(0.5), let_down(1.0 / 3.0)), "divided it")
    painting = checked(
        example.painting(2), 1, corrections=[advised(white(0.1 + 0.2))], divide=True, done=done
    )
    again = from_bytes(to_bytes(painting))
    assert to_bytes(again) == to_bytes(painting)
    one, other = painting.rounds[0], again.rounds[0]
    assert other.done == done
    assert other.lab.tobytes() == one.lab.tobytes()
    assert other.measured_covariance.tobytes() == one.measured_covariance.tobytes()
    assert other.corrections[0].additions == one.corrections[0].additions
    assert again.looks[0].photo == painting.looks[0].photo
    assert (
        again.looks[0].beside[0].spot.xyz.tobytes()
        == painting.looks[0].beside[0].spot.xyz.tobytes()
    )


def test_the_same_photo_again_replaces_its_round_and_keeps_what_was_done():
    painting = checked(example.painting(2), 1)
    done = Done(False, (white(1.0),), "added white")
    painting = checked(with_done(painting, LABEL, done), 2)
    again = look(1)
    first = pile_now(painting, LABEL, again.photo.sha256)
    assert first == (pile_now(example.painting(2), LABEL).parts, 1, 1)
    new = replace(painting.rounds[0], words="too dark", done=None)
    painting = with_round(painting, again, new)
    assert painting.rounds[0].words == "too dark"
    assert painting.rounds[0].done == done
    assert len(painting.rounds) == len(painting.looks) == 2
    assert pile_now(painting, LABEL).number == 3


def test_of_a_photo_looked_at_before_only_what_came_first_counts():
    painting = example.painting(1)
    for number in (1, 2, 3):
        painting = checked(painting, number, done=Done(False, (white(1.0),), ""))
    assert corrections_done(painting, LABEL) == 3
    looks = [look(number).photo.sha256 for number in (1, 2, 3)]
    assert [corrections_done(painting, LABEL, each) for each in looks] == [0, 1, 2]


def test_what_is_left_over_is_of_the_last_pile_divided_or_given_up():
    painting = checked(example.painting(1), 1)
    assert left_over(painting, LABEL) is None
    painting = with_done(painting, LABEL, Done(True, (white(1.0),), ""))
    assert left_over(painting, LABEL) == painting.rounds[0].parts
    painting = checked(painting, 2, done=Done(False, (), "", anew=True))
    assert left_over(painting, LABEL) == painting.rounds[1].parts


def test_rounds_follow_their_holes_and_not_their_numbers():
    painting = example.painting(3)
    seen = look(1)
    for place in range(3):
        painting = with_round(painting, seen, round_of(painting, place, seen))
    kept = tuple(
        replace(each, target=name) for each, name in zip(painting.rounds, "123", strict=True)
    )
    all_three = {"a": "1", "b": "2", "c": "3"}

    def names(rounds):
        return [each.target for each in rounds]

    without = {"b": "1", "c": "2"}
    fewer = relabelled(kept, all_three, without)
    assert names(fewer)[1:] == ["1", "2"]
    assert names(fewer)[0] not in {*without.values(), *all_three.values()}
    renamed = {"b": "jug", "c": "1"}
    later = relabelled(fewer, without, renamed)
    assert names(later)[1:] == ["jug", "1"]
    again = relabelled(later, renamed, {"a": "1", "b": "jug", "c": "3"})
    assert names(again) == ["1", "jug", "3"]
    assert names(relabelled(kept, all_three, {"a": "2", "b": "1", "c": "3"})) == ["2", "1", "3"]
    assert names(relabelled(kept, all_three, all_three)) == ["1", "2", "3"]


def test_one_photo_of_two_dabs_is_one_look_and_two_rounds():
    painting, seen = example.painting(2), look(1)
    for place in (0, 1):
        painting = with_round(painting, seen, round_of(painting, place, seen))
    assert len(painting.looks) == 1
    assert [len(rounds_of(painting, t.label)) for t in painting.targets] == [1, 1]


def test_a_round_of_another_photo_is_refused():
    painting = example.painting(1)
    with pytest.raises(ValueError, match="belongs to the photo"):
        with_round(painting, look(2), round_of(painting, 0, look(1)))


def test_the_last_word_on_what_was_done_counts():
    painting = checked(example.painting(1), 1)
    for parts in (1.0, 3.0):
        painting = with_done(painting, LABEL, Done(False, (white(parts),), ""))
    before = pile_now(example.painting(1), LABEL).parts
    assert whole(pile_now(painting, LABEL).parts) == pytest.approx(whole(before) + 3.0)


def test_a_target_is_known_by_its_label_or_its_slip():
    painting = example.painting(3)
    assert place_of(painting, "PEAR, Turning") == 1
    assert place_of(painting, "3") == 2
    for unknown in ("plum", "0", "4", "", "²"):
        with refused(PaintingError, match=r"There is no target '.*it has: pear, lit side"):
            place_of(painting, unknown)
    with refused(PaintingError, match="no hole is punched"):
        place_of(example.painting(0), "pear")


def test_what_cannot_be_is_told():
    painting = example.painting(1)
    with refused(PaintingError, match="No dab of 'pear, lit side' was looked at yet"):
        with_done(painting, LABEL, Done(False, (), ""))
    bare = replace(painting.recipes[0], recipes=())
    with refused(PaintingError, match="no recipe for 'pear, lit side' yet"):
        pile_now(replace(painting, recipes=(bare,)), LABEL)
