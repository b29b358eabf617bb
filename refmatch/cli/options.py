"""Single options that several commands share, so that they read and behave alike."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli import help

Replace = Annotated[
    bool,
    typer.Option("--replace", help="Write over a card, a box or a painting's own file, too."),
]

Json = Annotated[bool, typer.Option("--json", help="One JSON object on standard output.")]

# What is said of a photo of paint, whether of a dab or of the canvas.

PLACE = "X,Y[,DIAMETER]"
GreyCard = Annotated[
    str | None, typer.Option(metavar=PLACE, help="The grey card; a chart is found by itself.")
]
GreyCardLightness = Annotated[
    float, typer.Option(metavar="LSTAR", help="How light the grey card is, L*.")
]
WhiteDab = Annotated[
    str | None, typer.Option(metavar=PLACE, help="A dab of the box's white, as squeezed.")
]
BlackDab = Annotated[
    str | None, typer.Option(metavar=PLACE, help="A dab of the box's black, as squeezed.")
]
KnownLight = Annotated[
    str | None,
    typer.Option(
        metavar="K|A|LED|same",
        help="The light, where you know it; same: phone and light of the box's own photo.",
    ),
]
PaintState = Annotated[
    str, typer.Option(metavar="STATE", help="wet, dry (some shine), or sunk (matt).")
]

BoxFile = Annotated[
    Path | None,
    typer.Option(
        "--box",
        metavar="BOX",
        help="Your box of tubes: a file, or a name from 'refmatch box list'; else garden-table, "
        "a dozen usual ones.",
    ),
]
Holes = Annotated[
    list[str] | None,
    typer.Option(
        "--hole",
        metavar="[PHOTO:]X,Y[,DIAMETER][=LABEL]",
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
Layers = Annotated[
    list[str] | None,
    typer.Option(
        "--layer",
        metavar="LABEL=LAYER",
        help="Which layer a puddle is for: underpainting, block-in, finish or glaze; repeatable.",
    ),
]
Mediums = Annotated[
    list[str] | None,
    typer.Option(
        "--medium",
        metavar="WHAT=MEDIUM[,PERCENT]",
        help="What is worked into a puddle or a layer: none, solvent, linseed, stand-oil, "
        "painting-medium, gel, wax or alkyd; repeatable.",
    ),
]
Also = Annotated[
    list[str] | None,
    typer.Option(
        "--also",
        metavar="NAME=FILE",
        help="Another photo for the same painting, such as sky=clouds.jpg; its holes are "
        "--hole sky:X,Y; sky=none takes it away; repeatable.",
    ),
]
AlsoLight = Annotated[
    list[str] | None,
    typer.Option(
        "--also-light",
        metavar="NAME=HOW",
        help="The light of another photo: neutral:X,Y[,D], white:X,Y[,D], 5200K, as-shot, "
        "grey-world or grey-edge.",
    ),
]
AlsoCrop = Annotated[
    list[str] | None,
    typer.Option(
        "--also-crop",
        metavar="NAME=LEFT,TOP,WIDTH,HEIGHT",
        help="Keep this part of another photo, px or percent; all keeps the whole.",
    ),
]


def photos_asked(
    *, also: Also = None, also_light: AlsoLight = None, also_crop: AlsoCrop = None
) -> Any:
    """Return what is said of the photos besides the painting's own."""
    return PhotosSaid(tuple(also or ()), tuple(also_light or ()), tuple(also_crop or ()))


Dry = Annotated[
    list[str] | None,
    typer.Option(
        "--dry",
        metavar="LABEL[=COLOUR]",
        help="Meet the dry passage again, not the photo: as its last dry dab, or a colour; "
        "=photo goes back; repeatable.",
    ),
]
CanvasGround = Annotated[
    str | None,
    typer.Option(
        "--canvas-ground",
        metavar="GROUND",
        help="What the canvas is toned with: white, grey or toned; none forgets it.",
    ),
]
FamilyCount = Annotated[
    int | None,
    typer.Option(metavar="N", help="How many masses; without it the picture decides."),
]


def recipe_options(
    tubes: Annotated[
        int | None,
        typer.Option(
            rich_help_panel=help.ABOUT_RECIPES,
            metavar="MAX",
            help="At most so many tubes, 2 to 5; 4 if unsaid.",
        ),
    ] = None,
    total: Annotated[
        int | None,
        typer.Option(
            rich_help_panel=help.ABOUT_RECIPES,
            metavar="PARTS",
            help="At most so many parts; 32 if unsaid.",
        ),
    ] = None,
    without: Annotated[
        list[str] | None,
        typer.Option(
            rich_help_panel=help.ABOUT_RECIPES, metavar="TUBE", help="Hold a tube out; repeatable."
        ),
    ] = None,
    insist: Annotated[
        list[str] | None,
        typer.Option(
            "--with",
            rich_help_panel=help.ABOUT_RECIPES,
            metavar="TUBE",
            help="Insist on a tube; repeatable.",
        ),
    ] = None,
    easy_on_black: Annotated[
        bool | None,
        typer.Option(
            "--easy-on-black/--free-with-black",
            rich_help_panel=help.ABOUT_RECIPES,
            help="Black only where it gains, never alone.",
            show_default=False,
        ),
    ] = None,
    no_white_in_darks: Annotated[
        bool | None,
        typer.Option(
            "--no-white-in-darks/--white-in-darks",
            rich_help_panel=help.ABOUT_RECIPES,
            help="No white below value 4.",
            show_default=False,
        ),
    ] = None,
    no_stray_green: Annotated[
        bool | None,
        typer.Option(
            "--no-stray-green/--stray-green",
            rich_help_panel=help.ABOUT_RECIPES,
            help="No greenish blue into a yellowish orange where a brown serves.",
            show_default=False,
        ),
    ] = None,
) -> Any:
    """Return what is said of the recipes."""
    return MixingSaid(
        tubes=tubes,
        total=total,
        without=None if without is None else tuple(without),
        insist=None if insist is None else tuple(insist),
        easy_on_black=easy_on_black,
        no_white_in_darks=no_white_in_darks,
        no_stray_green=no_stray_green,
    )


METHODS = "neutral, white, temperature, grey-world, grey-edge or as-shot"

PhotoFile = Annotated[
    Path, typer.Argument(metavar="PHOTO", help="A photo, or the folder of a painting.")
]
Neutral = Annotated[
    str | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="X,Y[,DIAMETER]",
        help="A spot that is truly neutral: a grey card, stone, paper.",
    ),
]
NeutralValue = Annotated[
    float | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="LSTAR",
        help="How light that spot is, L*: 49.5 a grey card; unsaid, light and dark stay as shot.",
    ),
]
White = Annotated[
    str | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="X,Y[,DIAMETER]",
        help="A spot that is truly white.",
    ),
]
Kelvin = Annotated[
    float | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="K",
        help="The light's colour temperature, if known.",
    ),
]
Tint = Annotated[
    float | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="DUV",
        help="How far the light is greener (+) or pinker (-).",
    ),
]
Method = Annotated[
    str | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="METHOD",
        help=f"{METHODS}; else what the other options call for, else as-shot.",
    ),
]
KeepLight = Annotated[
    float | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="0-100",
        help="How much of the light's cast stays, in percent; 0.",
    ),
]
KeepExposure = Annotated[
    bool | None,
    typer.Option(
        "--keep-exposure/--set-exposure",
        rich_help_panel=help.ABOUT_PHOTO,
        help="Take the cast out; leave light and dark as shot, or set them by the spot.",
        show_default=False,
    ),
]
Crop = Annotated[
    str | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="LEFT,TOP,WIDTH,HEIGHT",
        help="Keep this part, px or percent.",
    ),
]
Proportion = Annotated[
    str | None,
    typer.Option(
        rich_help_panel=help.ABOUT_PHOTO,
        metavar="W:H",
        help="Keep the largest middle part of the canvas's shape.",
    ),
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


# Options that several commands share, declared once and handed on as one object.

Command = Callable[..., None]


def taking(name: str, gather: Callable[..., Any]) -> Callable[[Command], Command]:
    """Give a command the options of ``gather`` in place of its own parameter ``name``.

    The shell sees the options that ``gather`` declares; the command gets what
    ``gather`` makes of them.
    """

    def decorate(command: Command) -> Command:
        own = inspect.signature(command, eval_str=True).parameters
        shared = inspect.signature(gather, eval_str=True).parameters

        @functools.wraps(command)
        def run(**given: Any) -> None:
            handed = gather(**{key: given.pop(key) for key in shared})
            command(**given, **{name: handed})

        merged: list[inspect.Parameter] = []
        for key, parameter in own.items():
            merged += shared.values() if key == name else [parameter]
        shown = [one.replace(kind=inspect.Parameter.KEYWORD_ONLY) for one in merged]
        run.__signature__ = inspect.Signature(shown)  # type: ignore[attr-defined]
        run.__annotations__ = {one.name: one.annotation for one in shown}
        return run

    return decorate


@dataclass(frozen=True)
class LightSaid:
    """What is said of the light; spots are still in words."""

    method: str | None = None
    neutral: str | None = None
    neutral_lstar: float | None = None
    white: str | None = None
    kelvin: float | None = None
    tint_duv: float | None = None
    keep_light: float | None = None
    set_exposure: bool | None = None


@dataclass(frozen=True)
class PhotoSaid:
    """Which photo or folder, which part of it, and what is known of its light."""

    path: Path
    crop: str | None = None
    proportion: str | None = None
    light: LightSaid = LightSaid()


@dataclass(frozen=True)
class PhotosSaid:
    """Which photos besides the painting's own, their lights and their parts, still in words."""

    files: tuple[str, ...] = ()
    lights: tuple[str, ...] = ()
    crops: tuple[str, ...] = ()


@dataclass(frozen=True)
class MixingSaid:
    """What is said of recipes: limits, tubes and habits."""

    tubes: int | None = None
    total: int | None = None
    without: tuple[str, ...] | None = None
    insist: tuple[str, ...] | None = None
    easy_on_black: bool | None = None
    no_white_in_darks: bool | None = None
    no_stray_green: bool | None = None
