"""Writing what a command made: the sheet, and the painting in its folder."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from refmatch.cli.asking import Opened, owned
from refmatch.cli.remedies import REMEDIES
from refmatch.disk import check_folder_of, write_whole
from refmatch.encode import content_form, dump, envelope, sheet_form
from refmatch.encode.plan_form import plan_form
from refmatch.errors import OutputError, StaleRevision, UsageError
from refmatch.painting.model import Painting
from refmatch.painting.outputs import check_replaceable
from refmatch.painting.record import with_record_of
from refmatch.painting.remix import save_step
from refmatch.painting.store import (
    Mark,
    create,
    is_painting,
    keep_photo,
    mark_of,
    read_painting,
    save,
)
from refmatch.photo.picture import Picture, as_png
from refmatch.sheet.compose import Wanted, compose
from refmatch.sheet.formats import FORMATS

JSON = "json"
"""The form for programs, beside those for people."""

AT_THE_PROMPT = "plan on the command line"
"""What a step is called that a command took."""


@dataclass(frozen=True, eq=False)
class Kept:
    """The folder that a painting goes into, and what lay there when the command began.

    ``old`` and ``mark`` are None where nothing did.
    """

    folder: Path
    old: Painting | None = None
    mark: Mark | None = None


def kept_in(folder: Path | None, opened: Opened) -> Kept | None:
    """Return where a painting is kept, as it is before any long work; None for nowhere.

    Raises:
        UsageError: the folder keeps the painting of another photo.
        OutputError: it cannot be made there.
    """
    if folder is None:
        return None
    if opened.folder is not None and folder.exists() and folder.samefile(opened.folder):
        return Kept(folder, opened.painting, opened.mark)
    if not is_painting(folder):
        if not folder.exists():
            check_folder_of(folder)
        return Kept(folder)
    mark = mark_of(folder)
    old = read_painting(folder)
    if old.photo.sha256 != opened.reckoner.whole.sha256:
        raise UsageError("folder_of_another_photo", folder=str(folder))
    return Kept(folder, old, mark)


def check_form(out: Path, *, replace: bool = False) -> None:
    """Refuse, before any long work, a sheet of unknown form or one that cannot be put there.

    Raises:
        UsageError, OutputError.
    """
    if _form(out) not in (*FORMATS, JSON):
        known = ", ".join(f".{name}" for name in (*FORMATS, JSON))
        raise UsageError("sheet_of_no_form", name=out.name, known=known)
    check_folder_of(out)
    check_replaceable(out, replace=replace)


def write_sheet(
    painting: Painting,
    pictures: Mapping[str, bytes],
    out: Path,
    *,
    paper: str,
    wanted: Wanted,
    kept: Kept | None,
    opened: Opened,
) -> Painting:
    """Write a painting's sheet in the form that the file's ending names, and keep the painting.

    Raises:
        StaleRevision: the folder's painting was changed meanwhile; then no sheet is written.
        OutputError: the sheet, or the folder, cannot be written.
    """
    if kept and kept.old:
        painting = with_record_of(painting, kept.old)
    content = compose(painting, pictures, wanted)
    if _form(out) != JSON:
        data = FORMATS[_form(out)](content, paper)
    else:  # what --json says, and what is printed
        form = {**sheet_form(painting, Path(out.name), None), "content": content_form(content)}
        if painting.plan:
            form["content"]["plan"] = plan_form(
                painting.plan, owned(painting.asked), layers=painting.layers
            )
        flags = (*painting.flags, *painting.balance.flags)
        data = f"{dump(envelope(form, flags, REMEDIES))}\n".encode()
    if kept and kept.mark and mark_of(kept.folder) != kept.mark:
        raise StaleRevision("painting_changed_meanwhile")
    write_whole(out, data)
    if kept is None:
        return painting
    row = {"file": out.name, "paper": paper, "date": date.today().isoformat()}
    return _keep(kept, painting, pictures, row, opened)


def check_pictures(outs: Iterable[Path | None], photo: Path, *, replace: bool = False) -> None:
    """Refuse, before any work, a picture over the photo itself, or under another form's name.

    Raises:
        UsageError, OutputError.
    """
    for out in outs:
        if out is None:
            continue
        if out.suffix.lower() != ".png":
            raise UsageError("picture_of_no_form", name=out.name)
        if out.exists() and out.samefile(photo):
            raise OutputError("picture_over_photo", out=str(out))
        check_folder_of(out)
        check_replaceable(out, replace=replace)


def write_png(out: Path, picture: Picture) -> None:
    """Write a picture.

    Raises:
        OutputError: it cannot be written.
    """
    write_whole(out, as_png(picture))


def _form(out: Path) -> str:
    return out.suffix.lower().lstrip(".")


def _keep(
    kept: Kept,
    painting: Painting,
    pictures: Mapping[str, bytes],
    sheet: Mapping[str, str],
    opened: Opened,
) -> Painting:
    """Save the painting with one more sheet in its record, over the state that was seen."""
    old = kept.old
    if old is None:
        new = replace(painting, sheets=(sheet,), step=0, revision=0, pictures=None)
        others = {each.file: opened.others[each.sha256] for each in new.asked.photos}
        return create(kept.folder, opened.path, new, pictures, others)
    new = replace(
        painting,
        photo=old.photo,
        pictures=old.pictures,
        sheets=(*old.sheets, sheet),
        step=old.step,
        revision=old.revision,
    )
    for each in new.asked.photos:
        if each not in old.asked.photos:
            keep_photo(kept.folder, opened.others[each.sha256], each.file)
    if new.asked == old.asked:
        return save(kept.folder, new, pictures, over=kept.mark)
    new = replace(new, revision=old.revision + 1)
    return save_step(kept.folder, new, old, AT_THE_PROMPT, over=kept.mark, pictures=pictures)
