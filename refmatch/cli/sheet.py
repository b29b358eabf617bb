"""``refmatch sheet``: from a photo to a mixing sheet for the easel."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli import light_options as light
from refmatch.cli import options as common

EXAMPLE = (
    "Example: refmatch sheet sample_images/garden-table.jpg --out table.pdf "
    "--hole 30%,55%=pear --hole 70%,40%=jug --keep-light 20 --painting table"
)


def sheet(
    photo: common.PhotoArgument,
    out: Annotated[
        Path, typer.Option(metavar="FILE", help="Where to write it: .pdf, .txt or .json.")
    ],
    hole: common.Holes = None,
    families: common.FamilyCount = None,
    box: common.BoxFile = None,
    painting: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Keep the painting in this folder, new or old."),
    ] = None,
    title: Annotated[str | None, typer.Option(help="What to call it.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    neutral: light.Neutral = None,
    neutral_value: light.NeutralValue = None,
    white: light.White = None,
    kelvin: light.Kelvin = None,
    tint: light.Tint = None,
    balance: light.BalanceMethod = None,
    keep_light: light.KeepLight = 0.0,
    keep_exposure: light.KeepExposure = False,
    crop: light.Crop = None,
    proportion: light.Proportion = None,
    tubes: common.Tubes = 4,
    total: common.Total = 32,
    without: common.Without = None,
    insist: common.With = None,
    easy_on_black: common.EasyOnBlack = False,
    no_white_in_darks: common.NoWhiteInDarks = False,
    no_stray_green: common.NoStrayGreen = False,
    as_json: common.Json = False,
) -> None:
    """Make a mixing sheet: each colour that matters, its recipe, and the card to judge it by."""
    from refmatch import wire
    from refmatch.cli import say
    from refmatch.cli.progress import bar
    from refmatch.recipe.habits import Habits
    from refmatch.recipe.solve import Options
    from refmatch.verbs import painting as verbs

    verbs.check_form(out)
    habits = Habits(
        tuple(without or ()), tuple(insist or ()), easy_on_black, no_white_in_darks, no_stray_green
    )
    options = Options(tubes, total, habits)
    asked = verbs.SheetAsked(
        photo=light.asked(
            photo,
            crop,
            proportion,
            method=balance,
            neutral=neutral,
            neutral_lstar=neutral_value,
            white=white,
            kelvin=kelvin,
            tint_duv=tint,
            keep_light=keep_light,
            set_exposure=not keep_exposure,
        ),
        holes=tuple(hole or ()),
        families=families,
        box=box,
        options=None if options == Options() else options,
        title=title,
        painting=painting,
    )
    with bar() as progress:
        made = verbs.plan_painting(asked, progress)
        verbs.write_sheet(made, out, paper)
    if as_json:
        print(wire.dump(wire.wire_sheet(made.painting, out, painting)))
    else:
        print(say.sheet(made.painting, out))
        say.cautions((*made.painting.flags, *made.painting.balance.flags))
