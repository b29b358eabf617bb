"""``refmatch nudge``: which tube moves a puddle lighter, duller, redder."""

from __future__ import annotations

from typing import Annotated

import typer

from refmatch.cli.options import BoxFile, Json

EXAMPLE = 'Example: refmatch nudge "ultramarine=3" "burnt sienna=2" "titanium white=5"'


def nudge(
    portions: Annotated[
        list[str],
        typer.Argument(metavar="TUBE=PARTS...", help="What is in the puddle: tubes and parts."),
    ],
    box: BoxFile = None,
    tube: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Try only this tube of the box; repeatable."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Say which tube moves a puddle each way with the least side effect."""
    from refmatch.cli import say
    from refmatch.cli.json import looked_at, print_json
    from refmatch.encode.forms import alone_form, lesson_form, portions_of
    from refmatch.paint.box_file import read_box
    from refmatch.recipe.lesson import nudge as taught

    found = taught(portions, read_box(box) if box else None, tuple(tube or ()))
    if as_json:
        content = {
            "puddle": {"lab": found.lesson.lab, "portions": portions_of(found.portions)},
            "nudges": lesson_form(found.lesson),
            "instead": alone_form(found.lesson),
            "parts_by": found.box.parts,
            **looked_at(found.box.surface),
        }
        print_json(content, found.flags)
    else:
        print(say.lesson(found.lesson))
        say.cautions(found.flags)
