"""Options that several commands share, so that they read and behave alike."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

PhotoArgument = Annotated[
    Path, typer.Argument(metavar="PHOTO", help="A photo, or the folder of a painting.")
]
Json = Annotated[bool, typer.Option("--json", help="One JSON object on standard output.")]
BoxFile = Annotated[
    Path | None,
    typer.Option("--box", metavar="FILE", help="Your box of tubes; else a dozen usual ones."),
]
Tubes = Annotated[int, typer.Option("--tubes", metavar="MAX", help="At most so many tubes, 2-5.")]
Total = Annotated[int, typer.Option("--total", metavar="PARTS", help="At most so many parts.")]
Without = Annotated[
    list[str] | None, typer.Option("--without", metavar="TUBE", help="Hold a tube out; repeatable.")
]
With = Annotated[
    list[str] | None,
    typer.Option("--with", metavar="TUBE", help="Insist on a tube; repeatable."),
]
EasyOnBlack = Annotated[
    bool, typer.Option("--easy-on-black", help="Take black only where it gains.")
]
NoWhiteInDarks = Annotated[
    bool, typer.Option("--no-white-in-darks", help="No white below value 4.")
]
NoStrayGreen = Annotated[
    bool,
    typer.Option(
        "--no-stray-green",
        help="No greenish blue into a yellowish orange where a brown serves.",
    ),
]
Holes = Annotated[
    list[str] | None,
    typer.Option(
        "--hole",
        metavar="X,Y[,DIAMETER][=LABEL]",
        help="A hole of the card, in pixels or percent from the top left; repeatable.",
    ),
]
FamilyCount = Annotated[
    int | None,
    typer.Option(metavar="N", help="How many families; without it the picture decides."),
]
