"""``refmatch demonstrate``: strips that show a class what mixing does, in the tutor's own tubes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from refmatch.cli.options import BoxFile, Json, Replace

if TYPE_CHECKING:
    from refmatch.paint.box import Box

EXAMPLE = 'Example: refmatch demonstrate "pyrrole red=1" --out demonstrations.pdf'


def demonstrate(
    portions: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="TUBE=PARTS...",
            help="The colour to show it on: tubes and parts; else the strongest tube that has room "
            "to lighten and to darken.",
        ),
    ] = None,
    box: BoxFile = None,
    only: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME",
            help="greyed, lightened, darkened, green-or-grey or chalky-and-flat; repeatable; "
            "else all.",
        ),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE.pdf", help="Print it, with a row to paint.")
    ] = None,
    paper: Annotated[str, typer.Option(metavar="PAPER", help="a4 or letter.")] = "a4",
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Show a class how a colour is greyed, lightened and darkened, as strips to paint."""
    from refmatch.cli import say_demonstrations
    from refmatch.cli.json import looked_at, print_json
    from refmatch.cli.progress import busy
    from refmatch.encode.forms import demonstration_form, portions_of
    from refmatch.plan.demonstrations import demonstrate as shown_on

    with busy("mixing the strips"):
        of = shown_on(portions or (), _box(box) if box else None, only or ())
        if out is not None:
            from refmatch.sheet.demonstration_pages import write_to  # ReportLab is slow to import

            write_to(out, of, paper, replace=replace)
    if as_json:
        content = {
            "file": out,
            "box": of.box.name,
            "puddle": portions_of((tube.name, parts) for tube, parts in of.portions),
            "demonstrations": [demonstration_form(one, of.portions) for one in of.demonstrations],
            "parts_by": of.box.parts,
            **looked_at(of.box.surface),
        }
        print_json(content, of.flags)
    else:
        print(say_demonstrations.demonstrations(of, out))


def _box(named: Path) -> Box:
    """Return a box by its file or name, of a class the tutor's, of a painting its own."""
    from refmatch.atelier.roll import LESSON, is_class
    from refmatch.paint.box_file import read_box
    from refmatch.painting.own_box import box_of
    from refmatch.painting.store import is_painting, read_painting

    folder = named / LESSON if is_class(named) else named
    return box_of(read_painting(folder)) if is_painting(folder) else read_box(named)
