"""``refmatch mix``: recipes for colours."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from refmatch.cli.options import BoxFile, Json
from refmatch.cli.recipe_options import recipe_options
from refmatch.cli.shared import taking

EXAMPLE = 'Example: refmatch mix "62,14,38" --tubes 3 --without "ivory black"'


@taking("options", recipe_options)
def mix(
    colours: Annotated[
        list[str], typer.Argument(metavar='"L,a,b"...', help="Colours to mix, CIELAB under D50.")
    ],
    box: BoxFile = None,
    as_json: Json = False,
    *,
    options: Any,
) -> None:
    """Say which tubes make a colour, in parts, and in what order to mix them."""
    from refmatch import wire
    from refmatch.cli import say
    from refmatch.cli.progress import bar
    from refmatch.verbs import mix as verbs

    targets = verbs.targets_of(colours)
    with bar() as progress:
        found = verbs.mix(targets, verbs.open_box(box), options, progress)
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
