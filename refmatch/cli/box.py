"""``refmatch box``: the tubes you own."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli.options import BoxFile, Json

app = typer.Typer(
    help="The tubes you own: list what a box can be made of, show one, make a new one.",
    no_args_is_help=True,
    rich_markup_mode=None,
)


@app.command("list", epilog="Example: refmatch box list")
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


@app.command("show", epilog="Example: refmatch box show my-box.toml")
def show(
    box: Annotated[
        str, typer.Argument(metavar="BOX", help="A box file, or the name of one from 'box list'.")
    ] = "garden-table",
    as_json: Json = False,
) -> None:
    """Show the tubes of a box, each with its colour as squeezed and in white."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.verbs.box import find_box

    found = find_box(box)
    if as_json:
        print_json({"box": found})
    else:
        print(say.box(found))


@app.command(
    "measure",
    epilog="Example: refmatch box measure swatches.txt --plan plan.csv --specular excluded "
    "--by mass --out my-box.toml",
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
        str | None, typer.Option(help="included or excluded, where the file does not say.")
    ] = None,
    by: Annotated[str, typer.Option(help="What parts were counted by: mass or volume.")] = "volume",
    name: Annotated[str | None, typer.Option(help="What to call the box.")] = None,
    as_json: Json = False,
) -> None:
    """Make a box of your own tubes from an instrument's readings of their swatches."""
    from refmatch.cli import say_measured
    from refmatch.verbs.measure import MeasureAsked, measure_box

    made = measure_box(MeasureAsked(file, plan, specular, by, name), out)
    more = {
        "specular": made.specular,
        "saunderson": {"k1": made.surface.k1, "k2": made.surface.k2},
        "swatches": say_measured.residuals("sample_id", made.misses),
    }
    if as_json:
        say_measured.told_in_json(made.box, made.flags, out, more)
    else:
        say_measured.told(made.box, made.flags, out, "measured")


@app.command(
    "photograph",
    epilog="Example: refmatch box photograph dabs.jpg --card card.json --box my-box.toml "
    "--out known-box.toml",
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
    neutral_value: Annotated[float, typer.Option(metavar="L", help="L* of the grey card.")] = 49.5,
    light: Annotated[
        str | None, typer.Option(metavar="K|A|LED", help="The light, where you know it.")
    ] = None,
    name: Annotated[str | None, typer.Option(help="What to call the box.")] = None,
    as_json: Json = False,
) -> None:
    """Make a box of your own tubes from a photo of their dabs."""
    from refmatch.cli import say_measured
    from refmatch.cli.json import charts
    from refmatch.verbs.photograph import PhotographAsked, photograph_box

    asked = PhotographAsked(
        tuple(photos), box, card, tuple(dab or ()), neutral, neutral_value, light, name
    )
    made = photograph_box(asked, out)
    if as_json:
        more = {
            "dabs": say_measured.residuals("label", made.misses),
            "chart": charts(made.charts),
        }
        say_measured.told_in_json(made.box, made.flags, out, more)
    else:
        say_measured.told(made.box, made.flags, out, "photographed")


@app.command(
    "advise", epilog='Example: refmatch box advise "62,14,38" "35,5,-30" --box my-box.toml'
)
def advise(
    colours: Annotated[
        list[str] | None, typer.Argument(metavar='["L,a,b"...]', help="Colours you need.")
    ] = None,
    box: BoxFile = None,
    painting: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="The mixes of this painting.")
    ] = None,
    count: Annotated[int, typer.Option(min=1, max=20, help="At most so many dabs.")] = 5,
    as_json: Json = False,
) -> None:
    """Say which few dabs, painted and measured, would most reduce the doubt of your mixes."""
    from refmatch.cli import say_measured
    from refmatch.cli.json import print_json
    from refmatch.verbs.advise import advise_box

    told = advise_box(colours or (), box, painting, count)
    if as_json:
        print_json({"dabs": told})
    else:
        print(say_measured.dabs(told))


@app.command("learn", epilog="Example: refmatch box learn --painting table --out my-box.toml")
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
    as_json: Json = False,
) -> None:
    """Let a painting's box learn from the dabs you checked, and mix anew what is not begun."""
    from refmatch.cli import say_learnt
    from refmatch.cli.json import print_json
    from refmatch.verbs.learn_asked import LearnAsked, learn_as_asked, switch_said

    asked = LearnAsked(painting, undo, switch_said(automatic), out)
    found = learn_as_asked(asked)
    if as_json:
        print_json(say_learnt.told_in_json(asked, found))
    else:
        print(say_learnt.told(asked, found))


@app.command(
    "new", epilog='Example: refmatch box new --tube PB29 --tube "PW6=my white" --out my-box.toml'
)
def new(
    tube: Annotated[
        list[str],
        typer.Option(metavar="PIGMENT[=NAME]", help="A tube, by pigment and your name for it."),
    ],
    out: Annotated[Path, typer.Option(metavar="FILE.toml", help="Where to write the box.")],
    name: Annotated[str | None, typer.Option(help="What to call the box.")] = None,
    as_json: Json = False,
) -> None:
    """Make a box from built-in pigments: a file you can edit by hand."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.verbs.box import new_box

    made = new_box(tube, out, name)
    if as_json:
        content = {"box_file": out, "box": made}
        print_json(content)
    else:
        print(say.box(made))
        print(f"\nWritten to {out}.")
