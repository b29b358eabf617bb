"""``refmatch sheet``: from a photo to a mixing sheet for the easel."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.options import (
    BoxFile,
    FamilyCount,
    Holes,
    Json,
    NoKey,
    photo_asked,
    recipe_options,
    taking,
)

EXAMPLE = (
    "Example: refmatch sheet sample_images/garden-table.jpg --out table.pdf "
    "--hole 30%,55%=pear --hole 70%,40%=jug --keep-light 20 --painting table"
)


@taking("photo", photo_asked)
@taking("mixing", recipe_options)
def sheet(
    out: Annotated[
        Path, typer.Option(metavar="FILE", help="Where to write it: .pdf, .txt or .json.")
    ],
    hole: Holes = None,
    families: FamilyCount = None,
    box: BoxFile = None,
    painting: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Keep the painting in this folder, new or old."),
    ] = None,
    title: Annotated[str | None, typer.Option(help="What to call it.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    nudges: Annotated[
        bool, typer.Option("--nudges", help="Add what moves each puddle lighter, duller, redder.")
    ] = False,
    plan: Annotated[
        bool | None,
        typer.Option(
            "--plan/--no-plan",
            help="Mix all by one plan, and tell it: key, puddles, palette.",
            show_default=False,
        ),
    ] = None,
    palette: Annotated[
        int | None,
        typer.Option(metavar="K", help="With --plan: the best palette of so many tubes."),
    ] = None,
    canvas: Annotated[
        str | None, typer.Option(metavar="WxH", help="With --plan: the canvas in cm, for amounts.")
    ] = None,
    no_key: NoKey = None,
    as_json: Json = False,
    *,
    mixing: Any,
    photo: Any,
) -> None:
    """Make a mixing sheet: each colour that matters, its recipe, and the card to judge it by."""
    from dataclasses import replace

    from refmatch.cli import asking, keeping, say, say_plan
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar
    from refmatch.encode import sheet_form

    keeping.check_form(out)
    opened = asking.open_asked(photo, painting)
    kept = keeping.kept_in(painting, opened)
    opened = asking.with_mixing(asking.with_box(opened, box), mixing)
    opened = asking.with_canvas(opened, canvas)
    opened = asking.with_plan_told(opened, plan, palette, no_key, canvas_said=canvas is not None)
    opened = asking.with_holes(opened, hole, families)
    asked = replace(opened.asked, title=title) if title else opened.asked
    with bar() as progress:
        made = opened.reckoned(asked, progress)
        pictures = opened.drawn(made)
    made = keeping.write_sheet(
        made, pictures, out, paper=paper, nudges=nudges, kept=kept, photo=opened.path
    )
    if as_json:
        print_json(sheet_form(made, out, painting), (*made.flags, *made.balance.flags))
    else:
        print(say.sheet(made, out))
        if plan and canvas is None:
            print(say_plan.HOW_MUCH)
        say.cautions((*made.flags, *made.balance.flags))
