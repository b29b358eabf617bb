"""``refmatch check``: a photo of a dab against its target."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.options import BoxFile, Json
from refmatch.cli.shared import taking

EXAMPLE = (
    "Example: refmatch check dab.jpg --hole 640,410,60 --neutral 220,400,60 "
    '--target "62,14,38" --recipe "PW6=6" --recipe "yellow ochre=2"'
)

PLACE = "X,Y[,DIAMETER]"


def places_asked(
    *,
    hole: Annotated[
        str | None, typer.Option(metavar=PLACE, help="Where the dab is; a dab card tells itself.")
    ] = None,
    neutral: Annotated[
        str | None, typer.Option(metavar=PLACE, help="The grey card; a chart is found by itself.")
    ] = None,
    neutral_value: Annotated[float, typer.Option(metavar="L", help="L* of the grey card.")] = 49.5,
    white_hole: Annotated[
        str | None, typer.Option(metavar=PLACE, help="A dab of the box's white, as squeezed.")
    ] = None,
    black_hole: Annotated[
        str | None, typer.Option(metavar=PLACE, help="A dab of the box's black, as squeezed.")
    ] = None,
    reference_hole: Annotated[
        str | None,
        typer.Option(metavar=PLACE, help="A colour you know in the same photo: a print, a dab."),
    ] = None,
) -> Any:
    """Return where things lie on the photo, None where nothing is pointed to."""
    from refmatch.errors import UsageError
    from refmatch.verbs.looking.pointed import Places

    others = (neutral, white_hole, black_hole, reference_hole)
    if hole is None and any(other is not None for other in others):
        raise UsageError("Say where the dab is, too: --hole X,Y,D.")
    if hole is None:
        return None
    return Places(hole, neutral, neutral_value, white_hole, black_hole, reference_hole)


@taking("places", places_asked)
def check(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="A photo of the dab, or dabs.")],
    target: Annotated[
        str | None, typer.Option(metavar='"L,a,b"', help="What the dab should be.")
    ] = None,
    recipe: Annotated[
        list[str] | None,
        typer.Option(metavar="TUBE=PARTS", help="What is in the puddle; repeatable."),
    ] = None,
    box: BoxFile = None,
    light: Annotated[
        str | None,
        typer.Option(
            metavar="K|A|LED|same",
            help="The light, where you know it; same: phone and light of the box's own photo.",
        ),
    ] = None,
    state: Annotated[str, typer.Option(help="wet, dry (some shine), or sunk (matt).")] = "wet",
    reference_lab: Annotated[
        str | None, typer.Option(metavar='"L,a,b"', help="The reference's colour.")
    ] = None,
    reference_recipe: Annotated[
        list[str] | None,
        typer.Option(metavar="TUBE=PARTS", help="What the reference is made of; repeatable."),
    ] = None,
    puddle: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME:TUBE=PARTS,...", help="Another puddle on the palette; repeatable."
        ),
    ] = None,
    painting: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="The painting whose record this joins.")
    ] = None,
    target_label: Annotated[
        str | None, typer.Option(metavar="LABEL", help="Whose dab: a target's name or slip number.")
    ] = None,
    as_json: Json = False,
    *,
    places: Any,
) -> None:
    """Look at a photo of a dab: how far it is off its target, and what to add."""
    from refmatch.cli import say, say_check
    from refmatch.cli.json import print_json
    from refmatch.encode import checks_form
    from refmatch.verbs import check as verbs

    asked = verbs.CheckAsked(
        photo=photo,
        places=places,
        target=target,
        recipe=tuple(recipe or ()),
        box=box,
        light=light,
        state=state,
        reference_lab=reference_lab,
        reference_recipe=tuple(reference_recipe or ()),
        puddles=tuple(puddle or ()),
        painting=painting,
        target_label=target_label,
    )
    found = verbs.check(asked)
    if as_json:
        own = () if found.whole_card else found.found[0].flags
        print_json(checks_form(found), (*found.flags, *own))
    else:
        print(say_check.checks(found, painting))
        say.cautions([*found.flags, *(flag for each in found.found for flag in each.flags)])
