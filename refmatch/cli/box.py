"""``refmatch box``: the tubes you own."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli.options import Json

app = typer.Typer(
    help="The tubes you own: list what a box can be made of, show one, make a new one.",
    no_args_is_help=True,
    rich_markup_mode=None,
)


@app.command("list", epilog="Example: refmatch box list")
def list_all(as_json: Json = False) -> None:
    """List the built-in pigments, the ready mixtures, and the boxes that come with refmatch."""
    from refmatch import wire
    from refmatch.cli import say
    from refmatch.paint.box_file import built_in_boxes
    from refmatch.paint.library import mixtures, pigments

    if as_json:
        content = {
            "pigments": [wire.wire_pigment(pigment) for pigment in pigments().values()],
            "mixtures": [wire.wire_mixture(mixture) for mixture in mixtures().values()],
            "boxes": list(built_in_boxes()),
        }
        print(wire.dump(wire.envelope(content)))
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
    from refmatch import wire
    from refmatch.cli import say
    from refmatch.verbs.box import find_box

    found = find_box(box)
    if as_json:
        print(wire.dump(wire.envelope({"box": wire.wire_box(found)})))
    else:
        print(say.box(found))


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
    from refmatch import wire
    from refmatch.cli import say
    from refmatch.verbs.box import new_box

    made = new_box(tube, out, name)
    if as_json:
        content = {"box_file": str(out), "box": wire.wire_box(made)}
        print(wire.dump(wire.envelope(content)))
    else:
        print(say.box(made))
        print(f"\nWritten to {out}.")
