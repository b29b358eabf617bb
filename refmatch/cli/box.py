"""``refmatch box``: the tubes you own."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from refmatch.cli import help
from refmatch.cli.options import BoxFile, Json, Replace
from refmatch.errors import BoxError, UnknownTube, UsageError

if TYPE_CHECKING:  # these are slow to load
    from refmatch.dabs.photographs import DabPointed, PhotographedDabs
    from refmatch.paint.box import Box, Tube
    from refmatch.painting.model import Painting

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
    epilog="Example: refmatch box measure swatches.txt --plan plan.csv --specular excluded "
    "--by mass --out my-box.toml",
    cls=help.Command,
    rich_help_panel=OWN,
    context_settings=help.HELP,
)
def measure(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="Readings: CGATS.17 text, or CxF/X.")
    ],
    plan: Annotated[
        Path, typer.Option(metavar="PLAN.csv", help="What was painted for each sample.")
    ],
    out: Annotated[Path, typer.Option(metavar="FILE.toml", help="Where to write the box.")],
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

    over = _may_be_over(out, replace=replace)
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
    epilog="Example: refmatch box photograph sample_images/calibration-card.jpg --card card.json "
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
        Path | None, typer.Option(metavar="CARD.json", help="The card that 'refmatch card' made.")
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
        typer.Option(metavar="LSTAR", help="Without a card: how light the grey card is, L*."),
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

    over = _may_be_over(out, replace=replace)
    start, lamp = open_box(box), light_said(light) if light else None
    with busy("reading the dabs, and fitting camera and tubes to them"):
        if card is None:
            dabs = _dabs_pointed(photos, dab or (), neutral, neutral_value, start)
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
    "advise",
    epilog='Example: refmatch box advise "62,14,38" "35,5,-30" --box garden-table',
    cls=help.Command,
    rich_help_panel=LEARN,
    context_settings=help.HELP,
)
def advise(
    colours: Annotated[
        list[str] | None,
        typer.Argument(metavar="[COLOUR...]", help="Colours you need: Lab, hex, Munsell."),
    ] = None,
    box: BoxFile = None,
    painting: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="The mixes of this painting.")
    ] = None,
    count: Annotated[
        int, typer.Option(metavar="N", min=1, max=20, help="At most so many dabs.")
    ] = 5,
    as_json: Json = False,
) -> None:
    """Say which few dabs, painted and measured, would most reduce the doubt of your mixes."""
    from refmatch.cli import say_box
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.painting.advise import advise_box

    with busy("weighing what each dab would tell"):
        dabs = advise_box(colours or (), box, painting, count)
    if as_json:
        print_json({"dabs": dabs})
    else:
        print(say_box.dabs(dabs))


@app.command(
    "learn",
    epilog="Example: refmatch box learn --painting table",
    cls=help.Command,
    rich_help_panel=LEARN,
    context_settings=help.HELP,
)
def learn(
    painting: Annotated[Path, typer.Option(metavar="FOLDER", help="The painting's folder.")],
    undo: Annotated[
        bool, typer.Option("--undo", help="Take back the last update, to the last byte.")
    ] = False,
    automatic: Annotated[
        str | None, typer.Option(metavar="on|off", help="Learn after every check, or only here.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE.toml", help="Write the box for other paintings.")
    ] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Let a painting's box learn from the dabs you checked, and mix anew what is not begun."""
    from refmatch.cli import say_box
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.painting.learning import learn_as_asked

    switch = _switch_said(automatic)
    if undo and switch is not None:
        raise UsageError("Take back what was learnt first, --undo, and switch --automatic then.")
    if out is not None:
        _may_be_over(out, replace=replace)
    with busy("learning from the dabs"):
        saved, change = learn_as_asked(painting, undo=undo, automatic=switch)
    if out is not None:
        write_learnt(saved, out, replace=replace)
    if as_json:
        print_json(say_box.learnt_in_json(painting, saved, change, out))
    else:
        print(say_box.learnt(painting, change, switch, out))


def _switch_said(text: str | None) -> bool | None:
    """Read "on" or "off"; None where nothing was said."""
    if text is None:
        return None
    if text.strip().lower() not in ("on", "off"):
        raise UsageError(f"--automatic is on or off, not '{text}'.")
    return text.strip().lower() == "on"


def write_learnt(painting: Painting, out: Path, *, replace: bool = False) -> None:
    """Write a painting's box, as it now is, for other paintings."""
    from refmatch.disk import write_whole

    over = _may_be_over(out, replace=replace)
    write_whole(out, painting.box.encode("utf-8"), over=over)


def _may_be_over(out: Path, *, replace: bool) -> bool:
    """Refuse, before any work, a place where a box cannot be written.

    Returns whether it may be written over what is there: not over what comes there meanwhile.
    """
    from refmatch.disk import check_folder_of
    from refmatch.painting.outputs import check_replaceable

    check_folder_of(out)
    is_there = os.path.lexists(out)  # looked at first: what comes now already may not go
    check_replaceable(out, replace=replace)
    return replace or is_there


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
    over = _may_be_over(out, replace=replace)
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
