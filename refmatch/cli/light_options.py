"""What is said of the photo and its light, alike for every command that looks at one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

METHODS = "neutral, white, temperature, grey-world, grey-edge or as-shot"

PhotoFile = Annotated[
    Path, typer.Argument(metavar="PHOTO", help="A photo, or the folder of a painting.")
]
Neutral = Annotated[
    str | None,
    typer.Option(metavar="X,Y[,DIAMETER]", help="A spot truly grey, such as a grey card."),
]
NeutralValue = Annotated[
    float | None, typer.Option(metavar="LSTAR", help="The grey spot's lightness; 49.5 if unsaid.")
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
Method = Annotated[
    str | None,
    typer.Option(
        metavar="METHOD", help=f"{METHODS}; else what the other options call for, else as-shot."
    ),
]
KeepLight = Annotated[
    float | None,
    typer.Option(metavar="0-100", help="How much of the light's cast stays, in percent; 0."),
]
KeepExposure = Annotated[
    bool | None,
    typer.Option(
        "--keep-exposure/--set-exposure",
        help="Take the cast out; leave light and dark as shot, or set them by the spot.",
        show_default=False,
    ),
]
Crop = Annotated[
    str | None,
    typer.Option(metavar="LEFT,TOP,WIDTH,HEIGHT", help="Keep this part, px or percent."),
]
Proportion = Annotated[
    str | None,
    typer.Option(metavar="W:H", help="Keep the largest middle part of the canvas's shape."),
]


def photo_asked(
    *,
    photo: PhotoFile,
    neutral: Neutral = None,
    neutral_value: NeutralValue = None,
    white: White = None,
    kelvin: Kelvin = None,
    tint: Tint = None,
    balance: Method = None,
    keep_light: KeepLight = None,
    keep_exposure: KeepExposure = None,
    crop: Crop = None,
    proportion: Proportion = None,
) -> Any:
    """Return what is said of a photo."""
    from refmatch.cli.said import LightSaid, PhotoSaid

    light = LightSaid(
        method=balance,
        neutral=neutral,
        neutral_lstar=neutral_value,
        white=white,
        kelvin=kelvin,
        tint_duv=tint,
        keep_light=keep_light,
        set_exposure=None if keep_exposure is None else not keep_exposure,
    )
    return PhotoSaid(photo, crop, proportion, light)
