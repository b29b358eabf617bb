"""From a photo to a painting's whole plan and its sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from refmatch.colorimetry.comparison import compare_labelled, neighbours
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.colorimetry.words import describe
from refmatch.disk import write_whole
from refmatch.errors import OutputError, UsageError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, box_to_toml
from refmatch.painting.model import (
    Frame,
    Mass,
    Painting,
    SavedFile,
    SavedHole,
    SavedValues,
    TargetWords,
)
from refmatch.painting.store import create, is_painting, open_folder, save
from refmatch.painting.table import tubes_on_table
from refmatch.photo.families import Families, Family
from refmatch.photo.mask import Hole, Sample
from refmatch.photo.mask import sample as sample_hole
from refmatch.photo.picture import as_jpeg, as_png, picture_of
from refmatch.photo.values import ValueStudy, grey_picture
from refmatch.recipe.model import Answer
from refmatch.recipe.solve import Options
from refmatch.sheet.compose import compose
from refmatch.sheet.content import Content
from refmatch.sheet.formats import FORMATS
from refmatch.target import Target
from refmatch.verbs.mix import mix, open_box
from refmatch.verbs.photo import PhotoAsked, Seen, holes_on, look, masses, values
from refmatch.verbs.progress import Progress, silent

VALUE_STEPS = 5
PICTURE_PX = 1600


@dataclass(frozen=True)
class SheetAsked:
    """What a sheet is made of: the photo, the colours wanted, the tubes, and where it goes."""

    photo: PhotoAsked
    holes: tuple[str, ...] = ()
    families: int | None = None
    box: Path | None = None
    options: Options | None = None
    title: str | None = None
    painting: Path | None = None

    @property
    def reprints(self) -> bool:
        """Whether nothing but the photo (or folder) is named, so a folder is printed as it is."""
        return self == SheetAsked(PhotoAsked(self.photo.path), painting=self.painting)


@dataclass(frozen=True, eq=False)
class Made:
    """A painting and its pictures (encoded, by name), ready to be set as a sheet."""

    painting: Painting
    pictures: Mapping[str, bytes]


def plan_painting(asked: SheetAsked, progress: Progress = silent) -> Made:
    """Plan a painting: its light, its targets, a recipe for each, and the pictures to print.

    A folder with nothing else asked is opened as it is. Otherwise the plan is
    made anew, and with ``asked.painting`` saved there too.

    Raises:
        RefmatchError: whatever is wrong with photo, holes, light, box or folder.
    """
    if is_painting(asked.photo.path) and asked.reprints:
        opened = open_folder(asked.photo.path)
        made = Made(opened.painting, opened.pictures)
        return made if asked.painting is None else _keep(asked, made, opened.photo)
    if asked.painting:
        _check_folder(asked.painting)
    progress(0, 1, "reading the photo")
    seen = look(asked.photo)
    found = masses(seen, asked.families)
    samples = _samples(seen, asked, found)
    targets = [_target(each, found) for each in samples]
    box = _box(asked, seen)
    answers = mix(targets, box, asked.options, progress).answers
    study = values(seen, VALUE_STEPS)
    made = Made(
        _painting(asked, seen, _Findings(found, samples, targets, answers, study), box),
        {
            "balanced": as_jpeg(picture_of(seen.photo, seen.balance, PICTURE_PX)),
            "values": as_png(grey_picture(study)),
        },
    )
    return made if asked.painting is None else _keep(asked, made, seen.photo.path)


def write_sheet(made: Made, out: Path, paper: str = "a4") -> Content:
    """Write the sheet in the form that the file's ending names; return what it says.

    Raises:
        UsageError: an unknown ending or paper. OutputError: it cannot be written there.
    """
    check_form(out)
    content = compose(made.painting, made.pictures)
    write_whole(out, FORMATS[out.suffix.lower().lstrip(".")](content, paper))
    return content


def check_form(out: Path) -> None:
    """Refuse, before any long work, a sheet of unknown form or one that cannot be put there.

    Raises:
        UsageError, OutputError.
    """
    form = out.suffix.lower().lstrip(".")
    if form not in FORMATS:
        known = ", ".join(f".{name}" for name in FORMATS)
        raise UsageError(f"A sheet is not written as '{out.name}'; end its name in {known}.")
    if not out.parent.is_dir():
        raise OutputError(
            f"The folder '{out.parent}' is not there; make it first or choose another place."
        )


@dataclass(frozen=True, eq=False)
class _Findings:
    families: Families
    samples: Sequence[Sample]
    targets: Sequence[Target]
    answers: Sequence[Answer]
    study: ValueStudy


def _samples(seen: Seen, asked: SheetAsked, found: Families) -> list[Sample]:
    """Measure the holes asked for, or else one in each mass; both where both are asked."""
    holes = list(holes_on(seen.photo, asked.holes))
    if not holes or asked.families is not None:
        taken = {hole.label for hole in holes}
        holes += [_hole(family) for family in found.items if family.label not in taken]
    return [sample_hole(seen.photo, seen.balance, hole) for hole in holes]


def _hole(family: Family) -> Hole:
    return Hole(family.x_px, family.y_px, family.diameter_px, family.label)


def _target(sample: Sample, found: Families) -> Target:
    shares = {family.label: family.share for family in found.items}
    return Target(
        label=sample.label,
        lab=sample.lab,
        x_px=sample.x_px,
        y_px=sample.y_px,
        diameter_px=sample.diameter_px,
        share=shares.get(sample.label),
        flags=sample.flags,
    )


def _box(asked: SheetAsked, seen: Seen) -> Box:
    if asked.box is None and seen.opened is not None:
        return box_from_toml(seen.opened.painting.box, "the painting's box")
    return open_box(asked.box)


def _painting(asked: SheetAsked, seen: Seen, findings: _Findings, box: Box) -> Painting:
    left, top = float(seen.photo.left_px), float(seen.photo.top_px)
    of_day = viewing()
    old = seen.opened.painting if seen.opened else None
    return Painting(
        title=asked.title or (old.title if old else _titled(asked.photo.path)),
        date=date.today().isoformat(),
        photo=SavedFile(seen.photo.path.name, seen.photo.sha256),
        frame=Frame(left, top, float(seen.photo.width_px), float(seen.photo.height_px)),
        balance=seen.balance,
        viewing=f"{of_day.illuminant}, {of_day.observer}",
        holes=tuple(_saved_hole(each, left, top) for each in findings.samples),
        targets=tuple(_on_whole_photo(target, left, top) for target in findings.targets),
        words=_words(findings.targets),
        recipes=tuple(findings.answers),
        chosen=(0,) * len(findings.answers),
        families=tuple(Mass(f.label, f.lab, f.share) for f in findings.families.items),
        values=SavedValues(findings.study.values, findings.study.shares),
        box=box_to_toml(box),
        table=tubes_on_table(box),
        parts_by=box.parts,
        proportion=asked.photo.proportion,
        flags=seen.photo.flags,
        rounds=old.rounds if old else (),
        sheets=old.sheets if old else (),
    )


def _words(targets: Sequence[Target]) -> tuple[TargetWords, ...]:
    """Put each target in words, alone and beside those neighbours it is compared with."""
    beside: dict[int, list[str]] = {index: [] for index in range(len(targets))}
    for one, other in neighbours(len(targets), _points(targets)):
        for index, against in ((one, other), (other, one)):
            sentence = compare_labelled(
                str(index + 1), targets[index].lab, str(against + 1), targets[against].lab
            )
            beside[index].append(sentence)
    return tuple(
        TargetWords(describe(target.lab), tuple(beside[index]))
        for index, target in enumerate(targets)
    )


def _points(targets: Sequence[Target]) -> Array:
    return np.array([(target.x_px, target.y_px) for target in targets], dtype=float)


def _saved_hole(sample: Sample, left: float, top: float) -> SavedHole:
    return SavedHole(
        sample.label,
        sample.x_px + left,
        sample.y_px + top,
        sample.diameter_px,
        sample.spread_delta_e_00,
        sample.clipped_fraction,
    )


def _on_whole_photo(target: Target, left: float, top: float) -> Target:
    """Carry a target's place from the frame to the whole photo, where the folder keeps it."""
    if target.x_px is None or target.y_px is None:
        return target
    return replace(target, x_px=target.x_px + left, y_px=target.y_px + top)


def _titled(photo: Path) -> str:
    words = photo.stem.replace("-", " ").replace("_", " ").strip() or "painting"
    return words[0].upper() + words[1:]


def _check_folder(folder: Path) -> None:
    if not folder.exists() and not folder.parent.is_dir():
        raise OutputError(
            f"The folder '{folder.parent}' is not there; make it first or choose another place."
        )


def _keep(asked: SheetAsked, made: Made, photo: Path) -> Made:
    """Save the painting in its folder, new or already there, and return it as saved."""
    folder = asked.painting
    assert folder is not None
    if not is_painting(folder):
        return replace(made, painting=create(folder, photo, made.painting, made.pictures))
    old = open_folder(folder).painting
    if old.photo.sha256 != made.painting.photo.sha256:
        raise UsageError(
            f"The painting in '{folder}' belongs to another photo; choose another folder."
        )
    kept = replace(made.painting, photo=old.photo, rounds=old.rounds, sheets=old.sheets)
    return replace(made, painting=save(folder, kept, made.pictures))
