"""What is said of the photo and its light, alike for every command that looks at one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from refmatch.verbs.photo import PhotoAsked

Crop = Annotated[
    str | None,
    typer.Option(metavar="LEFT,TOP,WIDTH,HEIGHT", help="Keep this part, in pixels or percent."),
]
Proportion = Annotated[
    str | None,
    typer.Option(metavar="W:H", help="Keep the largest middle part of the canvas's proportion."),
]
BalanceMethod = Annotated[
    str | None,
    typer.Option(
        "--balance",
        metavar="METHOD",
        help="neutral, white, temperature, grey-world, grey-edge or as-shot; "
        "without it, what the other options call for, else as-shot.",
    ),
]
Neutral = Annotated[
    str | None,
    typer.Option(metavar="X,Y[,DIAMETER]", help="A spot that is truly grey, such as a grey card."),
]
NeutralValue = Annotated[
    float | None,
    typer.Option(metavar="LSTAR", help="The grey spot's lightness; 49.5, a grey card, if unsaid."),
]
White = Annotated[
    str | None, typer.Option(metavar="X,Y[,DIAMETER]", help="A spot that is truly white.")
]
Kelvin = Annotated[
    float | None, typer.Option(metavar="K", help="The light's colour temperature, if known.")
]
Tint = Annotated[
    float | None,
    typer.Option(metavar="DUV", help="How far the light is greener (+) or pinker (-)."),
]
KeepLight = Annotated[
    float, typer.Option(metavar="0-100", help="How much of the light's cast stays, in percent.")
]
KeepExposure = Annotated[
    bool,
    typer.Option("--keep-exposure", help="Take the cast out, but leave light and dark as shot."),
]


def asked(
    photo: Path, crop: str | None, proportion: str | None, **light: str | float | bool | None
) -> PhotoAsked:
    """Return what is asked of a photo, as the verbs take it."""
    from refmatch.verbs.photo import LightAsked, PhotoAsked

    return PhotoAsked(photo, crop, proportion, LightAsked(**light))  # type: ignore[arg-type]
