"""``refmatch studio``: the page where a painting is planned by clicking on its photo."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

EXAMPLE = "Example: refmatch studio my-photo.jpg --share"


def studio(
    photo: Annotated[
        Path | None,
        typer.Argument(metavar="[PHOTO]", help="A photo, or the folder of a painting."),
    ] = None,
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Where to serve; 0 for any free port.")
    ] = 0,
    share: Annotated[
        bool, typer.Option("--share", help="Let a tablet or phone on this network come in.")
    ] = False,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Print the link only, open nothing.")
    ] = False,
    paintings: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Where your paintings are kept."),
    ] = None,
) -> None:
    """Open the studio: click spots on the photo, watch the mixes, print the sheet."""
    from refmatch.web.serve import Serving, Studio
    from refmatch.web.shelf import Shelf, lay_out, usual_folder

    shelf = Shelf(paintings or usual_folder())
    opening = lay_out(shelf, photo) if photo else ""
    Studio(shelf, Serving(port, share, not no_browser, opening)).run()
