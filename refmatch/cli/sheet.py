"""``refmatch sample``, ``families``, ``plan``, ``sheet``: from a photo to what is mixed of it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.options import (
    BoxFile,
    CanvasGround,
    Dry,
    FamilyCount,
    Holes,
    Json,
    Layers,
    Mediums,
    NoKey,
    Replace,
    photo_asked,
    photos_asked,
    recipe_options,
    taking,
)

SAMPLE_EXAMPLE = (
    "Example: refmatch sample sample_images/garden-table.jpg --neutral 1709,1146,38 "
    "--neutral-value 49.5 --hole 983,896,60=pear --card-out pear.png"
)


@taking("photo", photo_asked)
def sample(
    hole: Holes = None,
    card_out: Annotated[
        Path | None,
        typer.Option(metavar="FILE.png", help="Draw the photo hidden but for the holes."),
    ] = None,
    ground: Annotated[
        str, typer.Option(metavar="GROUND", help="The card: grey, white or toned.")
    ] = "grey",
    replace: Replace = False,
    as_json: Json = False,
    *,
    photo: Any,
) -> None:
    """Read the colours of a photo through holes, each alone and in true light."""
    from refmatch.cli import asking, keeping, say
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.painting.target_words import compared
    from refmatch.photo.picture import punched_card

    with busy("reading the photo"):
        opened = asking.with_holes(asking.open_asked(photo), hole, None, punch=False)
        opened = asking.of_its_own_photo(opened)
        asked, reckoner = opened.asked, opened.reckoner
        view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
        keeping.check_pictures([card_out], opened.path, replace=replace)
        samples = reckoner.samples(asked)
        if card_out:
            holes = [read.hole for read in samples]
            keeping.write_png(card_out, punched_card(view, balance, holes, ground))
    flags = (*view.flags, *balance.flags)
    if as_json:
        content = {
            "samples": samples,
            "compared": list(compared(samples)),
            "balance": balance,
            "photo": view,
        }
        print_json(content, flags)
    else:
        print(say.samples(samples, compared(samples), balance))
        say.cautions(flags)


FAMILIES_EXAMPLE = "Example: refmatch families sample_images/garden-table.jpg --values 3"


@taking("photo", photo_asked)
def families(
    families: FamilyCount = None,
    values: Annotated[
        int, typer.Option(metavar="2|3|5|7", help="How many values the study has.")
    ] = 5,
    values_out: Annotated[
        Path | None, typer.Option(metavar="FILE.png", help="Draw the value study.")
    ] = None,
    squint_out: Annotated[
        Path | None,
        typer.Option(metavar="FILE.png", help="Draw the photo as through squinted eyes."),
    ] = None,
    masses_out: Annotated[
        Path | None, typer.Option(metavar="FILE.png", help="Draw the masses, each in its colour.")
    ] = None,
    long_side: Annotated[
        int | None,
        typer.Option(metavar="PIXELS", help="How large they are drawn; else as the photo."),
    ] = None,
    replace: Replace = False,
    as_json: Json = False,
    *,
    photo: Any,
) -> None:
    """Find the masses of a photo, where to punch a hole for each, and its values."""
    from refmatch.cli import asking, keeping, say
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.photo.studies import masses_study, size_of, squint_study, values_study
    from refmatch.photo.values import squint

    with busy("looking for the masses"):
        opened = asking.open_asked(photo)
        pictures = (values_out, squint_out, masses_out)
        keeping.check_pictures(pictures, opened.path, replace=replace)
        asked, reckoner = opened.asked, opened.reckoner
        view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
        count = asked.masses if families is None else families
        masses = reckoner.masses(asked.frame, asked.light, count)
        study = reckoner.values(asked.frame, asked.light, values)
        size = size_of(view, long_side)
        if values_out:
            keeping.write_png(values_out, values_study(study, size))
        if squint_out:
            keeping.write_png(squint_out, squint_study(squint(view, balance), size))
        if masses_out:
            keeping.write_png(masses_out, masses_study(masses, size))
    flags = (*view.flags, *balance.flags, *study.flags)
    if as_json:
        content = {
            "families": masses.items,
            "values": study,
            "balance": balance,
            "photo": view,
        }
        print_json(content, flags)
    else:
        print(say.families(masses, study, balance))
        say.cautions(flags)


PLAN_EXAMPLE = "Example: refmatch plan sample_images/garden-table.jpg --palette 5 --canvas 40x30"


@taking("photo", photo_asked)
@taking("photos", photos_asked)
def plan(
    hole: Holes = None,
    families: FamilyCount = None,
    palette: Annotated[
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
        str | None,
        typer.Option(metavar="WxH", help="The canvas, 40x30 or 16x20in: how much of each paint."),
    ] = None,
    no_key: NoKey = None,
    layer: Layers = None,
    medium: Mediums = None,
    dry: Dry = None,
    as_json: Json = False,
    *,
    photos: Any,
    photo: Any,
) -> None:
    """Plan a whole painting: its key, the tubes to lay out, its puddles, and amounts."""
    from refmatch.cli import asking, asking_layers, say, say_plan
    from refmatch.cli.asking_photos import with_photos
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar
    from refmatch.encode.plan_form import plan_form

    opened = with_photos(asking.open_asked(photo), photos)
    opened = asking.with_canvas(asking.with_box(opened, box), canvas)
    opened = asking.with_plan(
        opened, tubes=palette, keep=insist, without=without, no_key=no_key, buy=buy
    )
    opened = asking_layers.with_layers(asking.with_holes(opened, hole, families), layer, medium)
    opened = asking_layers.with_dry(opened, dry)
    with bar() as progress:
        made = opened.reckon(opened.asked, progress)
    assert made.plan is not None
    box_owned, flags = asking.owned(opened.asked), (*made.flags, *made.balance.flags)
    if as_json:
        print_json(plan_form(made.plan, box_owned, made.finish, made.layers), flags)
    else:
        print(say_plan.plan(made.plan, box_owned, made.layers))
        say.cautions(flags)
        say.other_photos(made.others)


SHEET_EXAMPLE = (
    "Example: refmatch sheet sample_images/garden-table.jpg --out table.pdf "
    "--hole 983,896,60=pear --hole 1258,736,60=jug --neutral 1709,1146,38 --painting table"
)


@taking("photo", photo_asked)
@taking("photos", photos_asked)
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
    title: Annotated[
        str | None, typer.Option(metavar="TEXT", help="What to call it; else the photo's name.")
    ] = None,
    paper: Annotated[str, typer.Option(metavar="PAPER", help="a4 or letter.")] = "a4",
    pages: Annotated[
        str,
        typer.Option(
            metavar="PAGES", help="all; easel, all puddles on one page; or slips and the card."
        ),
    ] = "all",
    slips: Annotated[
        str, typer.Option(metavar="SIZE", help="full, or compact: small, for a third of the ink.")
    ] = "full",
    grid: Annotated[
        str,
        typer.Option(
            metavar="GRID",
            help="Add a page to transfer the drawing by: thirds, cm or in; or none. With a canvas "
            "its own squares if unsaid.",
            show_default=False,
        ),
    ] = "",
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
        typer.Option(
            metavar="K", help="The best palette of so many tubes, the white with them; with --plan."
        ),
    ] = None,
    canvas: Annotated[
        str | None,
        typer.Option(
            metavar="WxH",
            help="The canvas, 40x30 or 16x20in: squares to draw by; with --plan, how much paint.",
        ),
    ] = None,
    no_key: NoKey = None,
    layer: Layers = None,
    medium: Mediums = None,
    dry: Dry = None,
    canvas_ground: CanvasGround = None,
    replace: Replace = False,
    as_json: Json = False,
    *,
    mixing: Any,
    photos: Any,
    photo: Any,
) -> None:
    """Make a mixing sheet: each colour that matters, its recipe, and the card to judge it by."""
    import dataclasses

    from refmatch.cli import asking, asking_layers, keeping, say, say_plan
    from refmatch.cli.asking_photos import with_photos
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar, busy
    from refmatch.encode import sheet_form
    from refmatch.sheet.compose import Wanted, check

    keeping.check_form(out, replace=replace)
    opened = with_photos(asking.open_asked(photo, painting), photos)
    kept = keeping.kept_in(painting, opened)
    opened = asking.with_mixing(asking.with_box(opened, box), mixing)
    opened = asking.with_ground(asking.with_canvas(opened, canvas), canvas_ground)
    opened = asking.with_plan_of_sheet(opened, plan, palette, no_key)
    wanted = Wanted(nudges=nudges, pages=pages, slips=slips, grid=grid)
    check(wanted, opened.asked.canvas)
    opened = asking_layers.with_layers(asking.with_holes(opened, hole, families), layer, medium)
    opened = asking_layers.with_dry(opened, dry)
    asked = dataclasses.replace(opened.asked, title=title) if title else opened.asked
    with bar() as progress:
        made = opened.reckon(asked, progress)
        pictures = opened.drawn(made)
    with busy("drawing the sheet"):
        made = keeping.write_sheet(
            made, pictures, out, paper=paper, wanted=wanted, kept=kept, opened=opened
        )
    if as_json:
        print_json(sheet_form(made, out, painting), (*made.flags, *made.balance.flags))
    else:
        print(say.sheet(made, out))
        if plan and canvas is None:
            print(say_plan.HOW_MUCH)
        say.cautions((*made.flags, *made.balance.flags))
        say.other_photos(made.others)
