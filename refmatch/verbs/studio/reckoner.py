"""From what was asked to the painting: what did not change is not reckoned again.

Each stage hangs only on what it is given, and keeps its last results: the frame on
the photo, the balance on the light asked for, a sample on its hole, an answer on a
colour, a box and the habits. So a click costs one sample and one recipe.
"""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from refmatch.errors import BalanceError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.painting.asked import Asked, AskedHole, AskedLight, AskedMixing
from refmatch.painting.gather import Findings, drawn, gather, targets_of
from refmatch.painting.model import Painting
from refmatch.photo.balance import estimate
from refmatch.photo.crop import Frame
from refmatch.photo.families import Families, find
from refmatch.photo.light import Balance
from refmatch.photo.mask import Hole, Sample
from refmatch.photo.mask import sample as sample_hole
from refmatch.photo.photo import Photo
from refmatch.photo.values import ValueStudy, study
from refmatch.recipe.habits import Habits
from refmatch.recipe.model import Answer
from refmatch.recipe.outline import Outline, outline
from refmatch.recipe.solve import Bench, Options, lay_out, solve
from refmatch.recipe.together import UNDER_LAMP, side_by_side
from refmatch.target import Target, places_px
from refmatch.verbs.mix import generic_flags, skin
from refmatch.verbs.studio.balancing import balanced

VALUE_STEPS = 5
GUESSES = ("grey-world", "grey-edge")
"""The balance methods that need to be told nothing."""

MOST_ANSWERS = 1000

LabKey = tuple[float, float, float]
AnswerKey = tuple[LabKey, str, str, Options]


@dataclass(frozen=True, eq=False)
class Reckoned:
    """A painting, and what it was reckoned from; see `Findings`."""

    painting: Painting
    findings: Findings

    @property
    def pictures(self) -> dict[str, bytes]:
        """The pictures that go into the painting's folder."""
        return drawn(self.findings)


class Reckoner:
    """Reckons paintings of one photo. Safe to ask from several threads."""

    def __init__(self, whole: Photo) -> None:
        self.whole = whole
        self.view = functools.lru_cache(4)(self._view)
        self.balance = functools.lru_cache(32)(self._balance)
        self.masses = functools.lru_cache(8)(self._masses)
        self.values = functools.lru_cache(16)(self._values)
        self.sample = functools.lru_cache(2048)(self._sample)
        self.box = functools.lru_cache(8)(self._box)
        self.guess = functools.lru_cache(4)(self._guess)
        self._outline = functools.lru_cache(16)(self._outlined)
        self._laid_out = functools.lru_cache(8)(self._lay_out)
        self._answers: dict[AnswerKey, Answer] = {}

    def reckon(self, asked: Asked, date: str) -> Reckoned:
        """Return the painting that is asked for.

        Raises:
            RefmatchError: whatever is wrong with the light, a hole or the tubes.
        """
        view = self.view(asked.frame)
        punched = self.punched(asked)
        samples = tuple(
            replace(self.sample(asked.frame, asked.light, place), label=label)
            for place, label in zip(
                (place_of(hole) for hole in punched), labels_of(punched), strict=True
            )
        )
        masses = self.masses(asked.frame, asked.light, asked.masses)
        targets = targets_of(samples, masses)
        box = self.box(asked.box, asked.mixing.finish)
        answers = [
            self.answer(asked, hole, target) for hole, target in zip(punched, targets, strict=True)
        ]
        findings = Findings(
            photo=view,
            balance=self.balance(asked.light),
            samples=samples,
            families=masses,
            values=self.values(asked.frame, asked.light, VALUE_STEPS),
            box=box,
            targets=targets,
            answers=side_by_side(answers, box, places_px(targets)),
            flags=generic_flags(box.tubes),
        )
        canvas = asked.canvas
        proportion = f"{canvas.width_cm:g}:{canvas.height_cm:g}" if canvas else None
        painting = gather(findings, asked.title, date, proportion)
        chosen = tuple(
            chosen_of(hole, answer) for hole, answer in zip(punched, painting.recipes, strict=True)
        )
        return Reckoned(replace(painting, asked=asked, chosen=chosen), findings)

    def look(self, asked: Asked) -> str:
        """Return a digest of all that the pictures of the photo hang on."""
        what = repr((self.whole.sha256, asked.frame, asked.light, asked.masses))
        return hashlib.blake2b(what.encode(), digest_size=8).hexdigest()

    def punched(self, asked: Asked) -> tuple[AskedHole, ...]:
        """Return the holes whose middle lies within the frame; others wait for another crop."""
        view = self.view(asked.frame)
        return tuple(
            hole
            for hole in asked.holes
            if 0.0 <= hole.x_px - view.left_px <= view.width_px
            and 0.0 <= hole.y_px - view.top_px <= view.height_px
        )

    def labels(self, asked: Asked) -> dict[str, str]:
        """Return what the target of each hole within the frame is called, by the hole's key."""
        punched = self.punched(asked)
        return {hole.key: label for hole, label in zip(punched, labels_of(punched), strict=True)}

    def answer(self, asked: Asked, hole: AskedHole | None, target: Target) -> Answer:
        """Return the recipes for a target as the hole asks; None for as the painting asks.

        Raises:
            BoxError: no recipe keeps to what is asked.
        """
        options = options_of(asked, hole)
        key = (_lab_key(target), asked.box, asked.mixing.finish, options)
        found = self._answers.get(key)
        if found is None:
            bench = self.bench(asked.box, asked.mixing.finish, options)
            found = solve(bench, Target("", target.lab))
            if len(self._answers) >= MOST_ANSWERS:
                self._answers.clear()
            self._answers[key] = found
        return replace(found, label=target.label, flags=target.flags)

    def bench(self, box: str, finish: str, options: Options) -> Bench:
        """Return the box laid out."""
        return self._laid_out(box, finish, options)

    def reach(self, asked: Asked) -> Outline:
        """Return the outline of what the tubes on the table can mix.

        Raises:
            BoxError: too few tubes are on the table.
        """
        return self._outline(asked.box, asked.mixing.finish, asked.away)

    def remember(self, painting: Painting) -> None:
        """Take the answers of a saved painting as reckoned, so that opening it reckons nothing."""
        asked = painting.asked
        if asked is None:
            return
        punched = self.punched(asked)
        if len(punched) != len(painting.recipes):
            return
        for hole, target, answer in zip(punched, painting.targets, painting.recipes, strict=True):
            key = (_lab_key(target), asked.box, asked.mixing.finish, options_of(asked, hole))
            self._answers[key] = _without_lamps(answer)

    def _view(self, frame: Frame | None) -> Photo:
        if frame is None:
            return self.whole
        rows = slice(frame.top_px, frame.top_px + frame.height_px)
        columns = slice(frame.left_px, frame.left_px + frame.width_px)
        samples = self.whole.samples[rows, columns]
        return replace(self.whole, samples=samples, left_px=frame.left_px, top_px=frame.top_px)

    def _balance(self, light: AskedLight) -> Balance:
        """Judge the light by the whole photo, whatever part of it is painted."""
        return balanced(self.whole, light)

    def _guess(self, method: str) -> Balance | None:
        try:
            return estimate(self.whole, method)
        except BalanceError:
            return None

    def _masses(self, frame: Frame | None, light: AskedLight, count: int | None) -> Families:
        return find(self.view(frame), self.balance(light), count)

    def _values(self, frame: Frame | None, light: AskedLight, levels: int) -> ValueStudy:
        return study(self.view(frame), self.balance(light), levels)

    def _sample(
        self, frame: Frame | None, light: AskedLight, place: tuple[float, float, float]
    ) -> Sample:
        """Measure a place given in the whole photo's pixels; it comes back in the frame's."""
        view = self.view(frame)
        x, y, diameter = place
        hole = Hole(x - view.left_px, y - view.top_px, diameter, "")
        return sample_hole(view, self.balance(light), hole)

    def _box(self, text: str, finish: str) -> Box:
        box = box_from_toml(text, "the painting's box")
        return replace(box, surface=skin(box.surface, finish, "excluded"))

    def _outlined(self, box: str, finish: str, away: tuple[str, ...]) -> Outline:
        return outline(self.box(box, finish).without(away))

    def _lay_out(self, box: str, finish: str, options: Options) -> Bench:
        return lay_out(self.box(box, finish), options)


def options_of(asked: Asked, hole: AskedHole | None) -> Options:
    """Return the solver's options for a hole: the painting's habits and its own.

    A tube insisted on but not on the table today is passed over until it is back.
    """
    mixing: AskedMixing = asked.mixing
    own_without, own_insist = (hole.without, hole.insist) if hole else ((), ())
    habits = Habits(
        without=tuple(dict.fromkeys((*asked.away, *own_without))),
        insist=tuple(name for name in own_insist if name not in asked.away),
        easy_on_black=mixing.easy_on_black,
        no_white_in_darks=mixing.no_white_in_darks,
        no_stray_green=mixing.no_stray_green,
    )
    return Options(mixing.tubes, mixing.total, habits)


def labels_of(holes: Sequence[AskedHole]) -> tuple[str, ...]:
    """Return each hole's name, or its number where it has none."""
    return tuple(hole.label or str(number) for number, hole in enumerate(holes, start=1))


def place_of(hole: AskedHole) -> tuple[float, float, float]:
    """Return centre and diameter in pixels of the whole photo."""
    return hole.x_px, hole.y_px, hole.diameter_px


def chosen_of(hole: AskedHole, answer: Answer) -> int:
    """Return which recipe was chosen; the first where the chosen kind is no longer there."""
    whys = [recipe.why for recipe in answer.recipes]
    return whys.index(hole.choice) if hole.choice in whys else 0


def _lab_key(target: Target) -> LabKey:
    lightness, a, b = (float(value) for value in target.lab)
    return lightness, a, b


def _without_lamps(answer: Answer) -> Answer:
    """Undo what `side_by_side` added: it hangs on the neighbours, which may change."""
    recipes = tuple(
        replace(recipe, flags=tuple(flag for flag in recipe.flags if flag.name != UNDER_LAMP))
        for recipe in answer.recipes
    )
    return replace(answer, recipes=recipes)
