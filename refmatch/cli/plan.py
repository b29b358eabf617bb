"""``refmatch plan``: one key, the right palette, few puddles, and how much of each."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refmatch.cli.light_options import photo_asked
from refmatch.cli.options import BoxFile, FamilyCount, Holes, Json
from refmatch.cli.shared import taking

EXAMPLE = "Example: refmatch plan sample_images/garden-table.jpg --tubes 5 --canvas 40x30"


@taking("asked", photo_asked)
def plan(
    hole: Holes = None,
    families: FamilyCount = None,
    tubes: Annotated[
        int | None,
        typer.Option(metavar="K", help="The best palette of so many tubes, the white with them."),
    ] = None,
    box: BoxFile = None,
    insist: Annotated[
        list[str] | None,
        typer.Option("--with", metavar="TUBE", help="Lay this tube out anyhow; repeatable."),
    ] = None,
    without: Annotated[
        list[str] | None, typer.Option(metavar="TUBE", help="Hold a tube out; repeatable.")
    ] = None,
    buy: Annotated[
        bool, typer.Option("--buy", help="Choose from all built-in pigments: what to buy.")
    ] = False,
    canvas: Annotated[
        str | None, typer.Option(metavar="WxH", help="The canvas in cm: how much of each paint.")
    ] = None,
    no_key: Annotated[
        bool, typer.Option("--no-key", help="Leave the photo's values as they are.")
    ] = False,
    as_json: Json = False,
    *,
    asked: Any,
) -> None:
    """Plan a whole painting: its key, the tubes to lay out, its puddles, and amounts."""
    from refmatch.cli import say, say_plan
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar
    from refmatch.encode.plan import plan_form
    from refmatch.verbs import plan as verbs

    wanted = verbs.PlanAsked(
        photo=asked,
        holes=tuple(hole or ()),
        families=families,
        box=box,
        tubes=tubes,
        keep=tuple(insist or ()),
        without=tuple(without or ()),
        buy=buy,
        canvas=canvas,
        keyed=not no_key,
    )
    with bar() as progress:
        found = verbs.plan(wanted, progress)
    if as_json:
        print_json(plan_form(found.plan, found.owned), found.flags)
    else:
        print(say_plan.plan(found.plan, found.owned))
        say.cautions(found.flags)
