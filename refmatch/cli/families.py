"""``refmatch families``: the few colours a picture is made of, and its values."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.options import FamilyCount, Json, photo_asked, taking

EXAMPLE = "Example: refmatch families sample_images/garden-table.jpg --values 3"


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
    as_json: Json = False,
    *,
    photo: Any,
) -> None:
    """Find the masses of a photo, where to punch a hole for each, and its values."""
    import numpy as np

    from refmatch.cli import asking, keeping, say
    from refmatch.cli.json import print_json
    from refmatch.colorimetry.display import lab_to_srgb8
    from refmatch.photo.picture import to_srgb8
    from refmatch.photo.values import grey_picture, squint

    opened = asking.open_asked(photo)
    asked, reckoner = opened.asked, opened.reckoner
    view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
    count = asked.masses if families is None else families
    found = reckoner.masses(asked.frame, asked.light, count)
    study = reckoner.values(asked.frame, asked.light, values)
    if values_out:
        keeping.write_png(values_out, grey_picture(study), opened.path)
    if squint_out:
        keeping.write_png(squint_out, to_srgb8(squint(view, balance).xyz), opened.path)
    if masses_out:
        colours = lab_to_srgb8(np.stack([mass.lab for mass in found.items]))
        keeping.write_png(masses_out, colours[found.labels], opened.path)
    flags = (*view.flags, *balance.flags, *study.flags)
    if as_json:
        content = {
            "families": found.items,
            "values": study,
            "balance": balance,
            "photo": view,
        }
        print_json(content, flags)
    else:
        print(say.families(found, study, balance))
        say.cautions(flags)
