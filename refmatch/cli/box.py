"""``refmatch box``: the tubes you own."""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from refmatch.cli import box_learn, help
from refmatch.cli.box_learn import check_free
from refmatch.cli.options import BoxFile, Json, Replace
from refmatch.errors import BoxError, UnknownTube, UsageError

if TYPE_CHECKING:  # these are slow to load
    from refmatch.dabs.photographs import DabPointed, PhotographedDabs
    from refmatch.paint.box import Box, Tube

app = typer.Typer(
    help="The tubes you own: list what a box can be made of, show one, make a new one.",
    cls=help.Commands,
    no_args_is_help=True,
    context_settings=help.HELP,
    rich_markup_mode=None,
)

KNOW = "See what there is"
OWN = "Make a box of your own tubes"
LEARN = "Let it know your tubes better"


@app.command(
    "list",
    epilog="Example: refmatch box list",
    cls=help.Command,
    rich_help_panel=KNOW,
    context_settings=help.HELP,
)
def list_all(as_json: Json = False) -> None:
    """List the built-in pigments, the ready mixtures, and the boxes that come with refmatch."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.paint.box_file import built_in_boxes
    from refmatch.paint.library import mixtures, pigments

    if as_json:
        content = {
            "pigments": list(pigments().values()),
            "mixtures": list(mixtures().values()),
            "boxes": list(built_in_boxes()),
        }
        print_json(content)
    else:
        print(say.pigment_list(pigments().values(), mixtures().values(), built_in_boxes()))


@app.command(
    "show",
    epilog="Example: refmatch box show garden-table",
    cls=help.Command,
    rich_help_panel=KNOW,
    context_settings=help.HELP,
)
def show(
    box: Annotated[
        str, typer.Argument(metavar="BOX", help="A box file, or the name of one from 'box list'.")
    ] = "garden-table",
    as_json: Json = False,
) -> None:
    """Show the tubes of a box, each with its colour as squeezed and in white."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.paint.box_file import read_box

    shown = read_box(Path(box))
    if as_json:
        print_json({"box": shown})
    else:
        print(say.box(shown))


@app.command(
    "measure",
    epilog="Example: refmatch box measure swatches.txt --painted plan.csv --specular excluded "
    "--by mass --out my-box.toml",
    cls=help.Command,
    rich_help_panel=OWN,
    context_settings=help.HELP,
)
def measure(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="Readings: CGATS.17 text, or CxF/X.")
    ],
    out: Annotated[Path, typer.Option(metavar="FILE.toml", help="Where to write the box.")],
    painted: Annotated[
        Path | None,
        typer.Option(
            metavar="PLAN.csv",
            help="The plan: what was painted for each sample.  [required]",
            show_default=False,
        ),
    ] = None,
    plan: Annotated[Path | None, typer.Option(hidden=True)] = None,
    specular: Annotated[
        str | None,
        typer.Option(metavar="HOW", help="included or excluded, where the file does not say."),
    ] = None,
    by: Annotated[
        str, typer.Option(metavar="HOW", help="What parts were counted by: mass or volume.")
    ] = "volume",
    name: Annotated[str | None, typer.Option(metavar="TEXT", help="What to call the box.")] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Make a box of your own tubes from an instrument's readings of their swatches."""
    from refmatch.cli import say_box
    from refmatch.cli.progress import busy
    from refmatch.paint.measured_box import MeasureAsked, measure_box

    if plan is not None:
        print("! --plan is called --painted here now.", file=sys.stderr)
    plan = painted or plan
    if plan is None:
        raise UsageError(
            "'refmatch box measure' needs --painted (the plan: what was painted for each sample); "
            "such as: refmatch box measure swatches.txt --painted plan.csv --out my-box.toml"
        )
    over = check_free(out, replace=replace)
    with busy("fitting the tubes to their swatches"):
        made = measure_box(MeasureAsked(file, plan, specular, by, name), out, over=over)
    more = {
        "specular": made.specular,
        "saunderson": {"k1": made.surface.k1, "k2": made.surface.k2},
        "swatches": say_box.residuals("sample_id", made.misses),
    }
    if as_json:
        say_box.box_made_in_json(made.box, made.flags, out, more)
    else:
        say_box.box_made(made.box, made.flags, out, "measured")


@app.command(
    "photograph",
    epilog="Example: refmatch box photograph sample_images/calibration-card.jpg "
    "--box my-tubes.toml --out known-tubes.toml",
    cls=help.Command,
    rich_help_panel=OWN,
    context_settings=help.HELP,
)
def photograph(
    photos: Annotated[
        list[Path], typer.Argument(metavar="PHOTO...", help="One photo for each page of the card.")
    ],
    out: Annotated[Path, typer.Option(metavar="FILE.toml", help="Where to write the box.")],
    box: BoxFile = None,
    card: Annotated[
        Path | None,
        typer.Option(metavar="CARD.json", help="The card's layout, where its code cannot be read."),
    ] = None,
    dab: Annotated[
        list[str] | None,
        typer.Option(
            metavar="X,Y,D=TUBE,PARTS,WHITE_PARTS", help="Without a card: a dab; repeatable."
        ),
    ] = None,
    neutral: Annotated[
        str | None,
        typer.Option(
            metavar="X,Y,D", help="Without a card: the grey card, if no chart lies there."
        ),
    ] = None,
    neutral_value: Annotated[
        float,
        typer.Option(
            metavar="LSTAR", help="How light the grey card is, L*, where the card does not say."
        ),
    ] = 49.5,
    light: Annotated[
        str | None, typer.Option(metavar="K|A|LED", help="The light, where you know it.")
    ] = None,
    name: Annotated[str | None, typer.Option(metavar="TEXT", help="What to call the box.")] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Make a box of your own tubes from a photo of their dabs."""
    from refmatch.cli import say_box
    from refmatch.cli.json import charts
    from refmatch.cli.progress import busy
    from refmatch.dabs.camera import light_said
    from refmatch.dabs.photographs import photographed_box
    from refmatch.paint.box_file import open_box, write_box

    over = check_free(out, replace=replace)
    start, lamp = open_box(box), light_said(light) if light else None
    with busy("reading the dabs, and fitting camera and tubes to them"):
        if card is None and (dab or neutral):
            dabs = _dabs_pointed(photos, dab or (), neutral, neutral_value, start)
        elif card is None:
            start, dabs = _dabs_on_shown_card(photos, start if box else None, neutral_value)
        else:
            dabs = _dabs_on_card(photos, card, start)
        made = photographed_box(start, dabs, name or out.stem, lamp)
    write_box(out, made.box, over=over)
    if as_json:
        more = {
            "dabs": say_box.residuals("label", made.misses),
            "chart": charts(made.charts),
        }
        say_box.box_made_in_json(made.box, made.flags, out, more)
    else:
        say_box.box_made(made.box, made.flags, out, "photographed")


def _dabs_on_shown_card(
    photos: Sequence[Path], box: Box | None, lstar: float
) -> tuple[Box, PhotographedDabs]:
    from refmatch.dabs.photographs import dabs_on_shown_card
    from refmatch.photo.load import load

    return dabs_on_shown_card([load(photo) for photo in photos], box, lstar)


def _dabs_on_card(photos: Sequence[Path], card: Path, box: Box) -> PhotographedDabs:
    from refmatch.dabs.photographs import dabs_on_card
    from refmatch.photo.load import load

    return dabs_on_card([load(photo) for photo in photos], card, box)


def _dabs_pointed(
    photos: Sequence[Path], dabs: Sequence[str], neutral: str | None, lstar: float, box: Box
) -> PhotographedDabs:
    """Read one photo by what only a painter can say.

    ``dabs`` are "X,Y[,D]=TUBE,PARTS,WHITE_PARTS"; ``neutral``, "X,Y[,D]", is a grey of ``lstar``.
    """
    from refmatch.dabs.photographs import dabs_by_pointing
    from refmatch.photo.load import load
    from refmatch.photo.place import parse_place

    if len(photos) != 1:
        raise UsageError("Dabs without a card are read from one photo; give one, or --card.")
    if not dabs:
        raise UsageError(
            'Without --card, name each dab with --dab "X,Y,D=TUBE,PARTS,WHITE_PARTS", and a '
            "grey card with --neutral X,Y,D; a 24-patch chart is found by itself."
        )
    grey = None if neutral is None else parse_place(neutral)
    pointed = [_dab_said(text) for text in dabs]
    return dabs_by_pointing(load(photos[0]), pointed, box, grey, lstar)


def _dab_said(text: str) -> DabPointed:
    """Read a dab, "X,Y[,D]=TUBE,PARTS,WHITE_PARTS"."""
    from refmatch.dabs.photographs import DabPointed
    from refmatch.photo.place import parse_place

    place, equals, mix = text.rpartition("=")
    try:
        tube, parts, white_parts = mix.split(",")
        amounts = float(parts), float(white_parts)
    except ValueError:
        raise UsageError(
            f"'{text}' is not a dab; write X,Y,D=TUBE,PARTS,WHITE_PARTS, such as "
            '"640,410,60=ultramarine,1,9".'
        ) from None
    if not equals or not 0.0 < amounts[0] < math.inf or not 0.0 <= amounts[1] < math.inf:
        raise UsageError(f"'{text}' needs a place, parts above 0, and parts of white from 0.")
    return DabPointed(parse_place(place), tube.strip(), *amounts)


@app.command(
    "new",
    epilog='Example: refmatch box new --tube PB29 --tube "PW6=my white" --out my-box.toml',
    cls=help.Command,
    rich_help_panel=OWN,
    context_settings=help.HELP,
)
def new(
    tube: Annotated[
        list[str],
        typer.Option(metavar="PIGMENT[=NAME]", help="A tube, by pigment and your name for it."),
    ],
    out: Annotated[Path, typer.Option(metavar="FILE.toml", help="Where to write the box.")],
    neighbour: Annotated[
        list[str] | None,
        typer.Option(
            metavar="TUBE=PIGMENT",
            help="What a tube of a pigment not listed here is taken for, or 'unknown'; repeatable.",
        ),
    ] = None,
    grade: Annotated[
        list[str] | None,
        typer.Option(
            metavar="[TUBE=]student|artist",
            help="A student's line is weaker: of all tubes, or of one; repeatable.",
        ),
    ] = None,
    name: Annotated[str | None, typer.Option(metavar="TEXT", help="What to call the box.")] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Make a box from built-in pigments: a file you can edit by hand."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.cli.remedies import REMEDIES
    from refmatch.paint.box_file import write_box
    from refmatch.say.sentence import sentence_of

    said = _Said(
        dict(_beside_said(text, NEIGHBOUR_LIKE) for text in neighbour or ()),
        dict(_beside_said(text, GRADE_LIKE, whole=True) for text in grade or ()),
    )
    over = check_free(out, replace=replace)
    made = _new_box(tube, said, name or out.stem)
    write_box(out, made, over=over)
    flags = [flag for tube in made.tubes for flag in tube.flags]
    if as_json:
        content = {"box_file": out, "box": made}
        print_json(content, flags)
    else:
        print(say.box(made))
        print(f"\nWritten to {out}.")
        for flag in flags:
            print(sentence_of(flag, REMEDIES))


NEIGHBOUR_LIKE = 'TUBE=PIGMENT, such as "my green=phthalo-green"'
GRADE_LIKE = 'a grade; write student, or one tube\'s, such as "my blue=student"'
EVERY = ""
"""Stands for every tube where a grade is said of none."""


@dataclass
class _Said:
    """What is said of tubes by their names, in small letters; what is used is taken out."""

    neighbours: dict[str, str]
    grades: dict[str, str]


def _new_box(tubes: Sequence[str], said: _Said, name: str) -> Box:
    """Return a box of tubes, each given as ``PIGMENT`` or ``PIGMENT=name``."""
    from refmatch.paint.box import Box
    from refmatch.paint.box_file import box_from_toml, box_to_toml

    if not tubes:
        raise BoxError("A box needs tubes; add them one by one, such as --tube PW6 --tube PB29.")
    usual = said.grades.pop(EVERY, "artist")
    box = Box(name, tuple(_tube_said(text, said, usual) for text in tubes))
    for option, left in (("--neighbour", said.neighbours), ("--grade", said.grades)):
        if left:
            raise UsageError(f"{option} names '{next(iter(left))}', which is no --tube here.")
    _ = box.white
    return box_from_toml(box_to_toml(box), name)


def _tube_said(text: str, said: _Said, usual: str) -> Tube:
    """Read a tube, ``PIGMENT`` or ``PIGMENT=name``, of the ``usual`` grade where none is said."""
    from refmatch.paint.fit.belief import tube_beside
    from refmatch.paint.labelled import tube_labelled

    pigment, name = (
        part.strip() for part in (text.rpartition("=")[::2] if "=" in text else (text, ""))
    )
    neighbour = said.neighbours.pop((name or pigment).lower(), None)
    grade = said.grades.pop((name or pigment).lower(), usual)
    if neighbour is not None:
        return tube_beside(name or pigment, [pigment] if pigment else [], neighbour, grade)
    try:
        return tube_labelled(pigment, name or None, grade)
    except UnknownTube as error:
        raise BoxError("pigment_without_neighbour", tube=name or pigment, why=error) from error


def _beside_said(text: str, like: str, *, whole: bool = False) -> tuple[str, str]:
    """Read ``TUBE=WHAT``, the tube in small letters; where the ``whole`` box may be meant, WHAT."""
    tube, equals, what = text.rpartition("=")
    if not what.strip() or not (tube.strip() if equals else whole):
        raise UsageError(f"'{text}' is not {like}.")
    return tube.strip().lower() or EVERY, what.strip()


app.command(
    "advise",
    epilog='Example: refmatch box advise "62,14,38" "35,5,-30" --box garden-table',
    cls=help.Command,
    rich_help_panel=LEARN,
    context_settings=help.HELP,
)(box_learn.advise)

app.command(
    "learn",
    epilog="Example: refmatch box learn --painting table",
    cls=help.Command,
    rich_help_panel=LEARN,
    context_settings=help.HELP,
)(box_learn.learn)
