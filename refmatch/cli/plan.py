"""``refmatch plan``: one key, the right palette, few puddles, and how much of each."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refmatch.cli.options import BoxFile, FamilyCount, Holes, Json, NoKey, photo_asked, taking

EXAMPLE = "Example: refmatch plan sample_images/garden-table.jpg --tubes 5 --canvas 40x30"


@taking("photo", photo_asked)
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
    no_key: NoKey = None,
    as_json: Json = False,
    *,
    photo: Any,
) -> None:
    """Plan a whole painting: its key, the tubes to lay out, its puddles, and amounts."""
    from refmatch.cli import asking, say, say_plan
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar
    from refmatch.encode.plan import plan_form

    opened = asking.with_canvas(asking.with_box(asking.open_asked(photo), box), canvas)
    said = asking.PlanSaid(tubes, insist, without, no_key, buy=buy)
    opened = asking.with_holes(asking.with_plan(opened, said), hole, families)
    with bar() as progress:
        made = opened.reckoned(opened.asked, progress)
    assert made.plan is not None
    box_owned, flags = asking.owned(opened.asked), (*made.flags, *made.balance.flags)
    if as_json:
        print_json(plan_form(made.plan, box_owned, made.finish), flags)
    else:
        print(say_plan.plan(made.plan, box_owned))
        say.cautions(flags)
