"""``refmatch box advise`` and ``box learn``: let a box know its tubes better."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from refmatch.cli.options import BoxFile, Json, Replace
from refmatch.errors import UsageError

if TYPE_CHECKING:  # slow to load
    from refmatch.painting.model import Painting


def advise(
    colours: Annotated[
        list[str] | None,
        typer.Argument(metavar="[COLOUR...]", help="Colours you need: Lab, hex, Munsell."),
    ] = None,
    box: BoxFile = None,
    painting: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="The mixes of this painting.")
    ] = None,
    count: Annotated[
        int, typer.Option(metavar="N", min=1, max=20, help="At most so many dabs.")
    ] = 5,
    as_json: Json = False,
) -> None:
    """Say which few dabs, painted and measured, would most reduce the doubt of your mixes."""
    from refmatch.cli import say_box
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.painting.advise import advise_box

    with busy("weighing what each dab would tell"):
        dabs = advise_box(colours or (), box, painting, count)
    if as_json:
        print_json({"dabs": dabs})
    else:
        print(say_box.dabs(dabs))


def learn(
    painting: Annotated[Path, typer.Option(metavar="FOLDER", help="The painting's folder.")],
    undo: Annotated[
        bool, typer.Option("--undo", help="Take back the last update, to the last byte.")
    ] = False,
    automatic: Annotated[
        str | None, typer.Option(metavar="on|off", help="Learn after every check, or only here.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE.toml", help="Write the box for other paintings.")
    ] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Let a painting's box learn from the dabs you checked, and mix anew what is not begun."""
    from refmatch.cli import say_box
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.painting.learning import learn_as_asked

    switch = _switch_said(automatic)
    if undo and switch is not None:
        raise UsageError("Take back what was learnt first, --undo, and switch --automatic then.")
    if out is not None:
        check_free(out, replace=replace)
    with busy("learning from the dabs"):
        saved, change = learn_as_asked(painting, undo=undo, automatic=switch)
    if out is not None:
        write_learnt(saved, out, replace=replace)
    if as_json:
        print_json(say_box.learnt_in_json(painting, saved, change, out))
    else:
        print(say_box.learnt(painting, change, switch, out))


def _switch_said(text: str | None) -> bool | None:
    """Read "on" or "off"; None where nothing was said."""
    if text is None:
        return None
    if text.strip().lower() not in ("on", "off"):
        raise UsageError(f"--automatic is on or off, not '{text}'.")
    return text.strip().lower() == "on"


def write_learnt(painting: Painting, out: Path, *, replace: bool = False) -> None:
    """Write a painting's box, as it now is, for other paintings."""
    from refmatch.disk import write_whole

    over = check_free(out, replace=replace)
    write_whole(out, painting.box.encode("utf-8"), over=over)


def check_free(out: Path, *, replace: bool) -> bool:
    """Refuse, before any work, a place where a box cannot be written.

    Returns whether it may be written over what is there: not over what comes there meanwhile.
    """
    from refmatch.disk import check_folder_of
    from refmatch.painting.outputs import check_replaceable

    check_folder_of(out)
    is_there = os.path.lexists(out)  # looked at first: what comes now already may not go
    check_replaceable(out, replace=replace)
    return replace or is_there
