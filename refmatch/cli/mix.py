"""``refmatch mix``: recipes for colours."""

from __future__ import annotations

from typing import Annotated

import typer

from refmatch.cli.options import (
    BoxFile,
    EasyOnBlack,
    Json,
    NoStrayGreen,
    NoWhiteInDarks,
    Total,
    Tubes,
    With,
    Without,
)

EXAMPLE = 'Example: refmatch mix "62,14,38" --tubes 3 --without "ivory black"'


def mix(
    colours: Annotated[
        list[str], typer.Argument(metavar='"L,a,b"...', help="Colours to mix, CIELAB under D50.")
    ],
    box: BoxFile = None,
    tubes: Tubes = 4,
    total: Total = 32,
    without: Without = None,
    insist: With = None,
    easy_on_black: EasyOnBlack = False,
    no_white_in_darks: NoWhiteInDarks = False,
    no_stray_green: NoStrayGreen = False,
    as_json: Json = False,
) -> None:
    """Say which tubes make a colour, in parts, and in what order to mix them."""
    from refmatch import wire
    from refmatch.cli import say
    from refmatch.recipe.habits import Habits
    from refmatch.recipe.solve import Options
    from refmatch.target import Target
    from refmatch.verbs import mix as verbs

    habits = Habits(
        tuple(without or ()), tuple(insist or ()), easy_on_black, no_white_in_darks, no_stray_green
    )
    targets = [
        Target(str(index), verbs.parse_lab(text)) for index, text in enumerate(colours, start=1)
    ]
    found = verbs.mix(targets, verbs.open_box(box), Options(tubes, total, habits))
    if as_json:
        content = {
            "results": [wire.wire_answer(answer) for answer in found.answers],
            "box": wire.wire_box(found.box),
            "parts_by": found.box.parts,
            **wire.wire_surface(found.box.surface, "gloss", "excluded"),
        }
        print(wire.dump(wire.envelope(content, found.flags)))
    else:
        for answer in found.answers:
            print(say.answer(answer))
        say.cautions(found.flags)
