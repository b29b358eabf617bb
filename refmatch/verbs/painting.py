"""From a photo to a painting's whole plan and its sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from refmatch.disk import check_folder_of, write_whole
from refmatch.encode import content_form, dump, envelope, sheet_form
from refmatch.encode.plan import plan_form
from refmatch.errors import UsageError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.painting.gather import Findings, drawn, gather
from refmatch.painting.model import Painting
from refmatch.painting.record import with_record_of
from refmatch.painting.store import create, is_painting, open_folder, read_painting, save
from refmatch.recipe.solve import Options
from refmatch.sheet.compose import compose
from refmatch.sheet.formats import FORMATS
from refmatch.sheet.plan import plan_shown
from refmatch.verbs.mix import mix, open_box
from refmatch.verbs.photo import PhotoAsked, Seen, values
from refmatch.verbs.planning import PlanWanted, plan_of
from refmatch.verbs.progress import Progress, silent
from refmatch.verbs.wanted import wanted

AS_USUAL = Options()
JSON = "json"
"""The form for programs, beside those for people."""

VALUE_STEPS = 5


@dataclass(frozen=True)
class SheetAsked:
    """What a sheet is made of: the photo, the colours wanted, the tubes, and where it goes.

    With ``nudges`` it also teaches what moves each puddle which way, with ``plan`` it tells
    the plan of the whole painting.
    """

    photo: PhotoAsked
    holes: tuple[str, ...] = ()
    families: int | None = None
    box: Path | None = None
    options: Options = AS_USUAL
    title: str | None = None
    painting: Path | None = None
    nudges: bool = False
    plan: PlanWanted | None = None

    @property
    def reprints(self) -> bool:
        """Whether nothing but the photo (or folder) is named, so a folder is printed as it is."""
        return self == SheetAsked(
            PhotoAsked(self.photo.path),
            painting=self.painting,
            nudges=self.nudges,
            plan=self.plan,
        )


@dataclass(frozen=True, eq=False)
class Made:
    """A painting, its photo, and its pictures (encoded, by name), ready to be set as a sheet."""

    painting: Painting
    photo: Path
    pictures: Mapping[str, bytes]


def make_sheet(
    asked: SheetAsked, out: Path, paper: str = "a4", progress: Progress = silent
) -> Painting:
    """Plan a painting, write its sheet in the form that the file's ending names, and keep it.

    With ``asked.painting`` the plan is saved in that folder, new or old; the
    sheet's name goes into its record.

    Raises:
        RefmatchError: whatever is wrong with photo, holes, light, box, folder or file;
            then no sheet is written.
    """
    check_form(out)
    made = plan_painting(asked, progress)
    if asked.painting:
        _check_folder(asked.painting, made.painting)
        made = _with_its_record(asked.painting, made)
    write_whole(out, _sheet(made, out, paper, asked))
    if asked.painting is None:
        return made.painting
    return _keep(asked.painting, made, {"file": out.name, "paper": paper, "date": _today()})


def plan_painting(asked: SheetAsked, progress: Progress = silent) -> Made:
    """Plan a painting: its light, its targets, a recipe for each, and the pictures to print.

    A folder with nothing else asked is opened as it is; otherwise the plan is made anew.

    Raises:
        RefmatchError: whatever is wrong with photo, holes, light or box.
    """
    if is_painting(asked.photo.path) and asked.reprints:
        opened = open_folder(asked.photo.path)
        return Made(opened.painting, opened.photo, opened.pictures)
    progress(0, 1, "reading the photo")
    sought = wanted(asked.photo, asked.holes, asked.families)
    seen, found, samples, targets = sought.seen, sought.families, sought.samples, sought.targets
    box = _box(asked, seen)
    mixes = mix(targets, box, asked.options, progress)
    findings = Findings(
        photo=seen.photo,
        balance=seen.balance,
        samples=samples,
        families=found,
        values=values(seen, VALUE_STEPS),
        box=box,
        targets=targets,
        answers=mixes.answers,
        flags=mixes.flags,
    )
    painting = gather(findings, _title(asked, seen), _today(), asked.photo.proportion)
    painting = replace(painting, options=asked.options)
    if seen.opened is not None:
        painting = with_record_of(painting, seen.opened.painting)
    return Made(painting, seen.photo.path, drawn(findings))


def check_form(out: Path) -> None:
    """Refuse, before any long work, a sheet of unknown form or one that cannot be put there.

    Raises:
        UsageError, OutputError.
    """
    if _form(out) not in (*FORMATS, JSON):
        known = ", ".join(f".{name}" for name in (*FORMATS, JSON))
        raise UsageError(f"A sheet is not written as '{out.name}'; end its name in {known}.")
    check_folder_of(out)


def _form(out: Path) -> str:
    return out.suffix.lower().lstrip(".")


def _sheet(made: Made, out: Path, paper: str, asked: SheetAsked) -> bytes:
    """Return the sheet as bytes; as JSON it is what ``--json`` says, and what is printed."""
    painting = made.painting
    plan = plan_of(painting, asked.plan) if asked.plan else None
    keyed = asked.plan is not None and asked.plan.keyed
    shown = plan_shown(plan, painting, keyed=keyed) if plan else None
    content = compose(painting, made.pictures, nudges=asked.nudges, plan=shown)
    if _form(out) != JSON:
        return FORMATS[_form(out)](content, paper)
    form = sheet_form(painting, Path(out.name), None)
    printed = content_form(content)
    if plan:
        printed["plan"] = plan_form(plan, box_from_toml(painting.box))
    flags = (*painting.flags, *painting.balance.flags)
    return f"{dump(envelope({**form, 'content': printed}, flags))}\n".encode()


def _box(asked: SheetAsked, seen: Seen) -> Box:
    if asked.box is None and seen.opened is not None:
        return box_from_toml(seen.opened.painting.box, "the painting's box")
    return open_box(asked.box)


def _today() -> str:
    return date.today().isoformat()


def _title(asked: SheetAsked, seen: Seen) -> str:
    """Return the title asked for, or the painting's own, or the photo's name."""
    if asked.title:
        return asked.title
    if seen.opened:
        return seen.opened.painting.title
    words = asked.photo.path.stem.replace("-", " ").replace("_", " ").strip() or "painting"
    return words[0].upper() + words[1:]


def _check_folder(folder: Path, painting: Painting) -> None:
    """Refuse a folder that cannot be made, or that holds the painting of another photo."""
    if is_painting(folder):
        if open_folder(folder).painting.photo.sha256 != painting.photo.sha256:
            raise UsageError(
                f"The painting in '{folder}' belongs to another photo; choose another folder."
            )
    elif not folder.exists():
        check_folder_of(folder)


def _with_its_record(folder: Path, made: Made) -> Made:
    """Return a plan with what the folder's record says of its dabs, for its slips to tell."""
    if not is_painting(folder):
        return made
    return replace(made, painting=with_record_of(made.painting, read_painting(folder)))


def _keep(folder: Path, made: Made, sheet: Mapping[str, str]) -> Painting:
    """Save the painting in its folder with one more sheet in its record."""
    if not is_painting(folder):
        return create(folder, made.photo, replace(made.painting, sheets=(sheet,)), made.pictures)
    old = open_folder(folder).painting
    kept = with_record_of(made.painting, old)
    kept = replace(kept, photo=old.photo, sheets=(*old.sheets, sheet))
    return save(folder, kept, made.pictures)
