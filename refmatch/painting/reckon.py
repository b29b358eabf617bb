"""The one road from a photo to a painting: what was asked for, and what comes of it.

Every door, the prompt and the page, parses into an `Asked` and shows the painting that is
reckoned from it here; nothing else makes recipes, a plan or a sheet. So a painting is the same
whichever way it was asked for, and a change is another `Asked`.

Each stage hangs only on what it is given, and a `Reckoner` keeps its last results: the frame on
the photo, the balance on the light asked for, a sample on its hole, an answer on a colour, a box
and the habits. So at the page a click costs one sample and one recipe.
"""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Callable, Iterable, Sequence
from copy import copy
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.viewing import viewing
from refmatch.errors import BalanceError, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.painting.asked import (
    Asked,
    AskedHole,
    coats_of,
    key_for,
    labels_of,
    options_of,
    photo_named,
    place_of,
)
from refmatch.painting.layered import layered
from refmatch.painting.model import (
    Mass,
    OtherPhoto,
    Painting,
    SavedFile,
    SavedValues,
    picture_name,
)
from refmatch.painting.own_box import looked_at, tubes_on_table
from refmatch.painting.planned import plan_of, share_flags, shares_of
from refmatch.painting.puddles import same_colours, served_by
from refmatch.painting.target_words import words_of
from refmatch.photo.hole import Hole, Sample
from refmatch.photo.hole import sample as sample_hole
from refmatch.photo.light import estimate
from refmatch.photo.light.balance import AskedLight, Balance
from refmatch.photo.load import Frame
from refmatch.photo.masses import Families, beside_card, card_at, find, lies_in, names
from refmatch.photo.photo import Photo
from refmatch.photo.picture import as_jpeg, as_png, picture_of
from refmatch.photo.studies import size_of, values_study
from refmatch.photo.values import ValueStudy, study
from refmatch.plan.whole import WholePlan, chosen_of
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.model import Answer
from refmatch.recipe.outline import Outline, outline
from refmatch.recipe.solve import Bench, Options, lay_out, solve_all
from refmatch.recipe.together import side_by_side, without_lamps
from refmatch.target import DRY_PASSAGE, Target, places_px

Progress = Callable[[int, int, str], None]
"""Told how much is done of how much, and what comes next."""

VALUE_STEPS = 5
GUESSES = ("grey-world", "grey-edge")
"""The balance methods that need to be told nothing."""

LONGEST_SIDE_PX = 1600
"""Of the balanced picture: 150 to the inch on the long side of a sheet."""

MOST_ANSWERS = 1000

LabKey = tuple[float, float, float]
AnswerKey = tuple[LabKey, Box, Options]


def silent(done: int, of: int, what: str) -> None:
    """Tell nobody."""


def reckon(photo: Photo, asked: Asked, date: str, progress: Progress = silent) -> Painting:
    """Return the painting of a whole photo that is asked for; ``date`` is written YYYY-MM-DD.

    Raises:
        RefmatchError: whatever is wrong with the light, a hole or the tubes.
    """
    return Reckoner(photo).reckon(asked, date, progress)


class Reckoner:
    """Reckons paintings of one photo. Safe to ask from several threads."""

    def __init__(self, whole: Photo, others: Iterable[Photo] = ()) -> None:
        """``others`` are the photos that the painting may be painted from besides its own."""
        self.whole = whole
        self.others: dict[str, Reckoner] = {each.sha256: Reckoner(each) for each in others}
        self.view = functools.lru_cache(4)(self._view)
        self.balance = functools.lru_cache(32)(self._balance)
        self.masses = functools.lru_cache(8)(self._masses)
        self.values = functools.lru_cache(16)(self._values)
        self.sample = functools.lru_cache(2048)(self._sample)
        self.box = functools.lru_cache(8)(self._box)
        self.guess = functools.lru_cache(4)(self._guess)
        self._outline = functools.lru_cache(16)(self._outlined)
        self._laid_out = functools.lru_cache(8)(self._lay_out)
        self._plan = functools.lru_cache(8)(self._planned)
        self._mixed: dict[AnswerKey, Answer] = {}
        self._answers: dict[AnswerKey, Answer] = {}
        self._plans: dict[Asked, WholePlan] = {}

    def beside(self) -> Reckoner:
        """Return a reckoner for another painting of the same photo, such as a class makes.

        Both share what hangs on the photo, the box and the colour alone, whichever finds it. What
        a saved painting is remembered by, and its further photos, are its own.
        """
        other = copy(self)
        other._plan = functools.lru_cache(8)(other._planned)
        other._answers, other._plans, other.others = {}, {}, {}
        return other

    def reckon(self, asked: Asked, date: str, progress: Progress = silent) -> Painting:
        """Return the painting that is asked for; see `reckon`."""
        progress(0, 3, "reading the photo")
        view, punched = self.view(asked.frame), self.punched(asked)
        masses = self.masses(asked.frame, asked.light, asked.masses)
        values = self.values(asked.frame, asked.light, VALUE_STEPS)
        targets = self.targets(asked)
        flags: tuple[Flag, ...] = ()
        plan = None
        if asked.plan is None:
            progress(1, 3, "mixing")
            box = self.box(asked.box, asked.mixing.finish)
            firsts = served_by(punched, same_colours(targets))
            mixed = [punched[first] for first in firsts]
            answers = self.answers(asked, mixed, [targets[first] for first in firsts])
            chosen = tuple(
                chosen_of(answer, hole.choice) for hole, answer in zip(mixed, answers, strict=True)
            )
        else:
            progress(1, 3, "choosing a palette")
            plan = self.plan(asked)
            box, targets, answers, chosen = plan.box, plan.targets, plan.answers, plan.chosen
            flags = (*share_flags(targets), *plan.flags)
        answers = side_by_side(answers, box, places_px(targets)) if answers else ()
        recipes = [
            answer.recipes[place] if answer.recipes else None
            for answer, place in zip(answers, chosen, strict=True)
        ]
        layers = layered(
            asked,
            punched,
            recipes,
            [target.label for target in targets],
            box=box,
            shares=shares_of(targets, masses.items, coats_of(punched))[0],
            plan=plan,
        )
        progress(3, 3, "mixed")
        seen = viewing()
        return Painting(
            date=date,
            photo=SavedFile(self.whole.path.name, self.whole.sha256),
            asked=asked,
            frame=Frame(view.left_px, view.top_px, view.width_px, view.height_px),
            balance=self.balance(asked.light),
            viewing=f"{seen.illuminant}, {seen.observer}",
            targets=targets,
            words=words_of(targets),
            recipes=answers,
            chosen=chosen,
            families=tuple(Mass(item.label, item.lab, item.share) for item in masses.items),
            values=SavedValues(values.values, values.shares),
            table=tubes_on_table(box),
            plan=replace(plan, answers=answers) if plan else None,
            parts_by=box.parts,
            flags=(*view.flags, *generic_flags(box.tubes), *flags, *values.flags),
            layers=layers,
            others=self._others(asked),
        )

    def pictures(self, asked: Asked) -> dict[str, bytes]:
        """Return the pictures that go with a painting, encoded: "balanced" and "values"."""
        view, balance = self.view(asked.frame), self.balance(asked.light)
        values = self.values(asked.frame, asked.light, VALUE_STEPS)
        is_large = max(view.width_px, view.height_px) > LONGEST_SIDE_PX
        size = size_of(view, LONGEST_SIDE_PX if is_large else None)
        pictures = {
            "balanced": as_jpeg(picture_of(view, balance, LONGEST_SIDE_PX)),
            "values": as_png(values_study(values, size)),
        }
        for photo in asked.photos:
            reckoner, frame, light = self._of(asked, photo.name)
            shown = picture_of(reckoner.view(frame), reckoner.balance(light), LONGEST_SIDE_PX)
            pictures[picture_name(photo.name)] = as_jpeg(shown)
        return pictures

    def _others(self, asked: Asked) -> tuple[OtherPhoto, ...]:
        made = []
        for photo in asked.photos:
            reckoner, frame, light = self._of(asked, photo.name)
            view, balance = reckoner.view(frame), reckoner.balance(light)
            part = Frame(view.left_px, view.top_px, view.width_px, view.height_px)
            made.append(OtherPhoto(photo.name, part, balance, view.flags))
        return tuple(made)

    def look(self, asked: Asked) -> str:
        """Return a digest of all that the pictures of the photo hang on."""
        what = repr((self.whole.sha256, asked.frame, asked.light, asked.masses))
        what += repr(asked.photos) if asked.photos else ""
        return hashlib.blake2b(what.encode(), digest_size=8).hexdigest()

    def punched(self, asked: Asked) -> tuple[AskedHole, ...]:
        """Return the holes whose middle lies within the frame; others wait for another crop."""
        return tuple(
            hole for hole in asked.holes if _lies_in(hole, self.view_of(asked, hole.photo))
        )

    def view_of(self, asked: Asked, name: str) -> Photo:
        """Return what is shown of a photo by its name, "" of the painting's own."""
        reckoner, frame, _ = self._of(asked, name)
        return reckoner.view(frame)

    def _of(self, asked: Asked, name: str) -> tuple[Reckoner, Frame | None, AskedLight]:
        """Return by whom a photo is read, which part of it, and in what light.

        Raises:
            UsageError: there is none of that name.
        """
        if not name:
            return self, asked.frame, asked.light
        photo = photo_named(asked, name)
        if photo.sha256 not in self.others:
            raise UsageError("photo_not_at_hand", photo=name)
        return self.others[photo.sha256], photo.frame, photo.light

    def labels(self, asked: Asked) -> dict[str, str]:
        """Return what the target of each hole within the frame is called, by the hole's key."""
        punched = self.punched(asked)
        return {hole.key: label for hole, label in zip(punched, labels_of(punched), strict=True)}

    def samples(self, asked: Asked) -> tuple[Sample, ...]:
        """Return what is read in each hole within the frame, in the frame's pixels."""
        punched, samples = self.punched(asked), []
        for asked_hole, label in zip(punched, labels_of(punched), strict=True):
            reckoner, frame, light = self._of(asked, asked_hole.photo)
            sample = reckoner.sample(frame, light, place_of(asked_hole))
            samples.append(replace(sample, hole=replace(sample.hole, label=label)))
        return tuple(samples)

    def targets(self, asked: Asked) -> tuple[Target, ...]:
        """Return the colour of each hole within the frame, as the photo has it.

        Where a dry passage is to be met again, it is that one's.
        """
        pairs = zip(self.punched(asked), self.samples(asked), strict=True)
        return tuple(
            Target(
                label=sample.hole.label,
                lab=sample.lab if hole.dry is None else np.array(hole.dry),
                x_px=sample.hole.x_px,
                y_px=sample.hole.y_px,
                diameter_px=sample.hole.diameter_px,
                share=hole.share,
                flags=sample.flags if hole.dry is None else (DRY_PASSAGE,),
                spread_delta_e_00=sample.spread_delta_e_00,
                clipped_fraction=sample.clipped_fraction,
                photo=hole.photo,
            )
            for hole, sample in pairs
        )

    def mass_holes(self, asked: Asked, count: int | None) -> tuple[AskedHole, ...]:
        """Return a hole for each mass of the picture that has none by its name.

        The neutral that was pointed to is no part of the painting: a mass that is just that card
        gets none.

        Raises:
            UsageError: so many masses are not offered.
        """
        view, found = self.view(asked.frame), list(asked.holes)
        taken = {hole.label for hole in asked.holes}
        masses = self.masses(asked.frame, asked.light, count)
        card = _card(masses, asked.light, view)
        for mass in masses.items:
            if card is not None and lies_in(card, mass, masses.scale):
                continue
            x_px, y_px = mass.hole.x_px + view.left_px, mass.hole.y_px + view.top_px
            place = round(x_px, 1), round(y_px, 1), round(mass.hole.diameter_px, 1)
            if mass.label not in taken:
                key = key_for(place, (hole.key for hole in found))
                found.append(AskedHole(key, *place, label=mass.label, share=mass.share))
        return tuple(found[len(asked.holes) :])

    def answers(
        self, asked: Asked, holes: Sequence[AskedHole | None], targets: Sequence[Target]
    ) -> tuple[Answer, ...]:
        """Return the recipes for targets, each mixed alone as its hole asks.

        None stands for no hole: then as the painting asks. What was solved before is not solved
        again, and the rest is solved at once.

        Raises:
            BoxError: no recipe keeps to what is asked.
        """
        box = self.box(asked.box, asked.mixing.finish)
        each = [options_of(asked, hole) for hole in holes]
        found: dict[int, Answer] = {}
        for options in dict.fromkeys(each):
            places = [place for place, other in enumerate(each) if other == options]
            answers = self._solved(box, options, [targets[place] for place in places])
            found |= zip(places, answers, strict=True)
        return tuple(found[place] for place in range(len(targets)))

    def plan(self, asked: Asked) -> WholePlan:
        """Return the plan that is asked for; see `plan_of`."""
        plain = replace(asked, title="", mixing=replace(asked.mixing, lamp=""))
        known = self._plans.get(plain)
        return known or self._plan(plain)

    def reach(self, asked: Asked) -> Outline:
        """Return the outline of what the tubes on the table can mix.

        Raises:
            BoxError: too few tubes are on the table.
        """
        return self._outline(asked.box, asked.mixing.finish, asked.away)

    def remember(self, painting: Painting) -> None:
        """Take the answers of a saved painting as reckoned, so that opening it reckons nothing."""
        asked = painting.asked
        punched = self.punched(asked)
        if len(punched) != len(painting.recipes):
            return
        if painting.plan is not None:
            plain = replace(asked, title="", mixing=replace(asked.mixing, lamp=""))
            answers = tuple(without_lamps(answer) for answer in painting.plan.answers)
            self._plans = {plain: replace(painting.plan, answers=answers)}
            return
        box = self.box(asked.box, asked.mixing.finish)
        if len(self._answers) >= MOST_ANSWERS:
            self._answers.clear()
        for hole, target, answer in zip(punched, painting.targets, painting.recipes, strict=True):
            key = (_lab_key(target), box, options_of(asked, hole))
            self._answers[key] = without_lamps(answer)

    def _view(self, frame: Frame | None) -> Photo:
        if frame is None:
            return self.whole
        rows = slice(frame.top_px, frame.top_px + frame.height_px)
        columns = slice(frame.left_px, frame.left_px + frame.width_px)
        samples = self.whole.samples[rows, columns]
        return replace(self.whole, samples=samples, left_px=frame.left_px, top_px=frame.top_px)

    def _balance(self, light: AskedLight) -> Balance:
        """Judge the light by the whole photo, whatever part of it is painted."""
        return estimate(self.whole, light)

    def _guess(self, method: str) -> Balance | None:
        try:
            return estimate(self.whole, AskedLight(method))
        except BalanceError:
            return None

    def _masses(self, frame: Frame | None, light: AskedLight, count: int | None) -> Families:
        """Name each mass by what its hole shows, so that a slip's name and words agree."""
        view, balance = self.view(frame), self.balance(light)
        found = find(view, balance, count)
        card = _card(found, light, view)
        if card is not None:
            found = beside_card(view, balance, found, card)
        labs = [sample_hole(view, balance, mass.hole).lab for mass in found.items]
        items = (
            replace(mass, label=label)
            for mass, label in zip(found.items, names(np.stack(labs)), strict=True)
        )
        return replace(found, items=tuple(items))

    def _values(self, frame: Frame | None, light: AskedLight, levels: int) -> ValueStudy:
        return study(self.view(frame), self.balance(light), levels)

    def _sample(
        self, frame: Frame | None, light: AskedLight, place: tuple[float, float, float]
    ) -> Sample:
        """Measure a place given in the whole photo's pixels; it comes back in the frame's."""
        view = self.view(frame)
        x, y, diameter = place
        hole = Hole(x - view.left_px, y - view.top_px, diameter)
        return sample_hole(view, self.balance(light), hole)

    def _box(self, text: str, finish: str) -> Box:
        return looked_at(box_from_toml(text, "the painting's box"), finish)

    def _outlined(self, box: str, finish: str, away: tuple[str, ...]) -> Outline:
        return outline(self.box(box, finish).without(away))

    def _planned(self, asked: Asked) -> WholePlan:
        masses = self.masses(asked.frame, asked.light, asked.masses).items
        box = self.box(asked.box, asked.mixing.finish)
        targets, holes = self.targets(asked), self.punched(asked)
        return plan_of(asked, targets, masses, holes=holes, box=box, solver=self._solved)

    def _solved(self, box: Box, options: Options, targets: Sequence[Target]) -> tuple[Answer, ...]:
        """Solve in one call what was not solved before; an answer does not hang on the label."""
        keys = [(_lab_key(target), box, options) for target in targets]
        kept = {key: self._answers.get(key) or self._mixed.get(key) for key in keys}
        found = {key: answer for key, answer in kept.items() if answer is not None}
        missing = list(dict.fromkeys(key for key in keys if key not in found))
        if missing:
            plain = [Target("", np.array(lab)) for lab, *_ in missing]
            found |= zip(missing, solve_all(self._laid_out(box, options), plain), strict=True)
            if len(self._mixed) >= MOST_ANSWERS:
                self._mixed.clear()
            for key in missing:
                self._mixed[key] = found[key]
        return tuple(
            replace(found[key], label=target.label, flags=target.flags)
            for key, target in zip(keys, targets, strict=True)
        )

    def _lay_out(self, box: Box, options: Options) -> Bench:
        return lay_out(box, options)


def _lies_in(hole: AskedHole, view: Photo) -> bool:
    return (
        0.0 <= hole.x_px - view.left_px <= view.width_px
        and 0.0 <= hole.y_px - view.top_px <= view.height_px
    )


def _card(masses: Families, light: AskedLight, view: Photo) -> npt.NDArray[np.bool_] | None:
    """Return where the neutral lies that was pointed to, on the masses' small picture."""
    if light.method != "neutral" or light.x_px is None or light.y_px is None:
        return None
    return card_at(masses, light.x_px - view.left_px, light.y_px - view.top_px)


def _lab_key(target: Target) -> LabKey:
    lightness, a, b = (float(value) for value in target.lab)
    return lightness, a, b
