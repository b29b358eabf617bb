"""``refmatch mix``, ``predict`` and ``nudge``: recipes for colours, and what a recipe makes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.options import BoxFile, Json, recipe_options, taking
from refmatch.errors import UsageError

MIX_EXAMPLE = 'Example: refmatch mix "62,14,38" --tubes 3 --without "ivory black"'


@taking("said", recipe_options)
def mix(
    colours: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="COLOUR...", help='CIELAB "62,14,38", sRGB "#6a5f3c", Munsell "10YR 5/4".'
        ),
    ] = None,
    box: BoxFile = None,
    again: Annotated[
        str | None,
        typer.Option(metavar="LABEL", help="Instead of colours: a painting's puddle, once more."),
    ] = None,
    painting: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="With --again: the painting's folder.")
    ] = None,
    amount: Annotated[
        float | None, typer.Option(metavar="ML", help="With --again: how many millilitres of it.")
    ] = None,
    as_json: Json = False,
    *,
    said: Any,
) -> None:
    """Say which tubes make a colour, in parts, and in what order to mix them."""
    if again is not None:
        _again(_asked(again, painting, amount, colours, said), box, as_json)
        return
    if painting is not None or amount is not None:
        raise UsageError("--painting and --amount go with --again LABEL; colours need neither.")
    if not colours:
        raise UsageError('Give a colour such as "62,14,38", or --again LABEL for a puddle.')
    _mix(colours, box, said, as_json)


def _mix(colours: list[str], box: Path | None, said: Any, as_json: bool) -> None:
    from refmatch.cli import say
    from refmatch.cli.json import looked_at, print_json
    from refmatch.cli.progress import busy
    from refmatch.paint.box_file import open_box
    from refmatch.recipe.doubt import generic_flags
    from refmatch.recipe.together import mixed
    from refmatch.target import targets_of

    targets, tubes = targets_of(colours), open_box(box)
    with busy("looking for mixes"):
        answers, flags = mixed(targets, tubes, _options(said)), generic_flags(tubes.tubes)
    if as_json:
        content = {
            "asked": colours,
            "results": answers,
            "box": tubes,
            "parts_by": tubes.parts,
            **looked_at(tubes.surface),
        }
        print_json(content, flags)
    else:
        for text, answer in zip(colours, answers, strict=True):
            print(say.answer(answer, text))
        say.cautions(flags)


def _options(said: Any) -> Any:
    """Return what is said of recipes as the solver takes it, the rest as usual."""
    from refmatch.recipe.habits import Habits
    from refmatch.recipe.solve import Options

    usual = Options()
    habits = Habits(
        tuple(said.without or ()),
        tuple(said.insist or ()),
        bool(said.easy_on_black),
        bool(said.no_white_in_darks),
        bool(said.no_stray_green),
    )
    return Options(
        usual.tubes if said.tubes is None else said.tubes,
        usual.total if said.total is None else said.total,
        habits,
    )


def _asked(
    again: str, painting: Path | None, amount: float | None, colours: list[str] | None, said: Any
) -> tuple[str, Path, float]:
    """Refuse what does not go with a puddle mixed again, and what it lacks."""
    from refmatch.cli.options import MixingSaid

    if colours:
        raise UsageError("Give colours, or --again LABEL, not both.")
    if said != MixingSaid():
        raise UsageError(
            "--again mixes what the puddle was; habits and limits of recipes have no say in it."
        )
    if painting is None or amount is None:
        raise UsageError("--again needs the painting and how much: --painting FOLDER --amount ML.")
    return again, painting, amount


def _again(asked: tuple[str, Path, float], box: Path | None, as_json: bool) -> None:
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.encode import again_form
    from refmatch.paint.box_file import read_box
    from refmatch.painting.again import mixed_again
    from refmatch.painting.own_box import looked_at
    from refmatch.painting.store import read_painting

    label, folder, amount_ml = asked
    with busy("mixing the puddle again"):
        painting = read_painting(folder)
        tubes = None if box is None else looked_at(read_box(box), painting.finish)
        puddle = mixed_again(painting, label, amount_ml, tubes)
    if as_json:
        print_json({"painting": folder, **again_form(puddle)}, puddle.flags)
    else:
        print(say.again(puddle))
        say.cautions(puddle.flags)


PREDICT_EXAMPLE = 'Example: refmatch predict "ultramarine=3" "burnt sienna=2" "titanium white=5"'


def predict(
    portions: Annotated[
        list[str], typer.Argument(metavar="TUBE=PARTS...", help="Tubes and their parts.")
    ],
    box: BoxFile = None,
    finish: Annotated[
        str, typer.Option(metavar="FINISH", help="gloss, satin or matt (sunken).")
    ] = "gloss",
    specular: Annotated[
        str,
        typer.Option(metavar="HOW", help="included or excluded: whether the skin's shine is seen."),
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

    colour = predicted(portions, read_box(box) if box else None, finish, specular)
    if as_json:
        content = {
            "lab": colour.lab,
            **doubt(colour.lab, colour.covariance),
            "reflectance": colour.reflectance,
            "wavelengths_nm": [int(nm) for nm in WAVELENGTHS_NM],
            **looked_at(colour.surface, colour.finish, colour.specular),
            "parts_by": colour.parts,
        }
        print_json(content, colour.flags)
    else:
        print(say.colour(colour.lab))
        say.cautions(colour.flags)


NUDGE_EXAMPLE = 'Example: refmatch nudge "ultramarine=3" "burnt sienna=2" "titanium white=5"'


def nudge(
    portions: Annotated[
        list[str],
        typer.Argument(metavar="TUBE=PARTS...", help="What is in the puddle: tubes and parts."),
    ],
    box: BoxFile = None,
    tube: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Try only this tube of the box; repeatable."),
    ] = None,
    to_grey: Annotated[
        bool,
        typer.Option("--to-grey", help="Instead: five steps to its grey, by its complement."),
    ] = False,
    as_json: Json = False,
) -> None:
    """Say which tube moves a puddle each way with the least side effect."""
    from refmatch.cli import say
    from refmatch.cli.json import looked_at, print_json
    from refmatch.cli.progress import busy
    from refmatch.encode.forms import alone_form, grey_string_form, lesson_form, portions_of
    from refmatch.paint.box_file import read_box
    from refmatch.recipe.lesson import nudge as taught

    with busy("trying each tube on the puddle"):
        puddle = taught(portions, read_box(box) if box else None, tuple(tube or ()))
    if as_json:
        lesson = puddle.lesson
        moves = {"nudges": lesson_form(lesson), "instead": alone_form(lesson)}
        content = {
            "puddle": {"lab": lesson.lab, "portions": portions_of(puddle.portions)},
            **({"to_grey": grey_string_form(puddle.to_grey)} if to_grey else moves),
            "parts_by": puddle.box.parts,
            **looked_at(puddle.box.surface),
        }
        print_json(content, puddle.flags)
    else:
        print(say.grey_string(puddle.to_grey) if to_grey else say.lesson(puddle.lesson))
        say.cautions(puddle.flags)
