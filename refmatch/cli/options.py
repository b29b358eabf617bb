"""Single options that several commands share, so that they read and behave alike."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="One JSON object on standard output.")]
BoxFile = Annotated[
    Path | None,
    typer.Option("--box", metavar="FILE", help="Your box of tubes; else a dozen usual ones."),
]
Holes = Annotated[
    list[str] | None,
    typer.Option(
        "--hole",
        metavar="X,Y[,DIAMETER][=LABEL]",
        help="A hole of the card, in pixels or percent from the top left; repeatable.",
    ),
]
NoKey = Annotated[
    bool | None,
    typer.Option(
        "--no-key/--key",
        help="Of a plan: leave the photo's values as they are, or key them.",
        show_default=False,
    ),
]
FamilyCount = Annotated[
    int | None,
    typer.Option(metavar="N", help="How many families; without it the picture decides."),
]
