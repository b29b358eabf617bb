"""``refmatch predict``: the colour of a recipe."""

from __future__ import annotations

from typing import Annotated

import typer

from refmatch.cli.options import BoxFile, Json

EXAMPLE = 'Example: refmatch predict "ultramarine=3" "burnt sienna=2" "titanium white=5"'


def predict(
    portions: Annotated[
        list[str], typer.Argument(metavar="TUBE=PARTS...", help="Tubes and their parts.")
    ],
    box: BoxFile = None,
    finish: Annotated[str, typer.Option(help="gloss, satin or matt (sunken).")] = "gloss",
    specular: Annotated[
        str, typer.Option(help="included or excluded: whether the skin's shine is seen.")
    ] = "excluded",
    as_json: Json = False,
) -> None:
    """Say what colour parts of tubes make when mixed."""
    from refmatch.cli import say
    from refmatch.cli.json import looked_at, print_json
    from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
    from refmatch.encode import doubt
    from refmatch.paint.box_file import read_box
    from refmatch.recipe.prediction import predict as predicted

    found = predicted(portions, read_box(box) if box else None, finish, specular)
    if as_json:
        content = {
            "lab": found.lab,
            **doubt(found.lab, found.covariance),
            "reflectance": found.reflectance,
            "wavelengths_nm": [int(nm) for nm in WAVELENGTHS_NM],
            **looked_at(found.surface, found.finish, found.specular),
            "parts_by": found.parts,
        }
        print_json(content, found.flags)
    else:
        print(say.colour(found.lab))
        say.cautions(found.flags)
