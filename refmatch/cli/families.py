"""``refmatch families``: the few colours a picture is made of, and its values."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.light_options import photo_asked
from refmatch.cli.options import FamilyCount, Json
from refmatch.cli.shared import taking

EXAMPLE = "Example: refmatch families sample_images/garden-table.jpg --values 3"


@taking("asked", photo_asked)
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
    asked: Any,
) -> None:
    """Find the masses of a photo, where to punch a hole for each, and its values."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.verbs import photo as verbs

    seen = verbs.look(asked)
    found = verbs.masses(seen, families)
    study = verbs.values(seen, values)
    verbs.write_views(seen, found, study, verbs.Views(values_out, squint_out, masses_out))
    if as_json:
        content = {
            "families": found.items,
            "values": study,
            "balance": seen.balance,
            "photo": seen.photo,
        }
        print_json(content, (*seen.flags, *study.flags))
    else:
        print(say.families(found, study, seen.balance))
        say.cautions((*seen.flags, *study.flags))
