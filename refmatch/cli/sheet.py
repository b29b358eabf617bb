"""``refmatch sheet``: from a photo to a mixing sheet for the easel."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.light_options import photo_asked
from refmatch.cli.options import BoxFile, FamilyCount, Holes, Json
from refmatch.cli.recipe_options import recipe_options
from refmatch.cli.shared import taking

EXAMPLE = (
    "Example: refmatch sheet sample_images/garden-table.jpg --out table.pdf "
    "--hole 30%,55%=pear --hole 70%,40%=jug --keep-light 20 --painting table"
)


@taking("asked", photo_asked)
@taking("options", recipe_options)
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
        bool, typer.Option("--plan", help="Add the plan of the whole: key, puddles, palette.")
    ] = False,
    palette: Annotated[
        int | None,
        typer.Option(metavar="K", help="With --plan: the best palette of so many tubes."),
    ] = None,
    canvas: Annotated[
        str | None, typer.Option(metavar="WxH", help="With --plan: the canvas in cm, for amounts.")
    ] = None,
    no_key: Annotated[
        bool, typer.Option("--no-key", help="With --plan: leave the photo's values as they are.")
    ] = False,
    as_json: Json = False,
    *,
    options: Any,
    asked: Any,
) -> None:
    """Make a mixing sheet: each colour that matters, its recipe, and the card to judge it by."""
    from refmatch.cli import say, say_plan
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar
    from refmatch.encode import sheet_form
    from refmatch.verbs import painting as verbs
    from refmatch.verbs.planning import plan_wanted

    wanted = verbs.SheetAsked(
        asked,
        tuple(hole or ()),
        families,
        box,
        options,
        title=title,
        painting=painting,
        nudges=nudges,
        plan=plan_wanted(palette, canvas, keyed=not no_key, told=plan),
    )
    with bar() as progress:
        made = verbs.make_sheet(wanted, out, paper, progress)
    if as_json:
        print_json(sheet_form(made, out, painting), (*made.flags, *made.balance.flags))
    else:
        print(say.sheet(made, out))
        if plan and canvas is None:
            print(say_plan.HOW_MUCH)
        say.cautions((*made.flags, *made.balance.flags))
