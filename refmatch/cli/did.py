"""``refmatch did``: say what was done to a puddle after a look at it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli.options import Json
from refmatch.errors import UsageError

EXAMPLE = 'Example: refmatch did 1 --painting table --target-label "pear, lit side"'


def did(
    painting: Annotated[Path, typer.Option(metavar="FOLDER", help="The painting's folder.")],
    target_label: Annotated[
        str, typer.Option(metavar="LABEL", help="Whose puddle: a target's name or slip number.")
    ],
    number: Annotated[
        int | None,
        typer.Argument(metavar="[N]", help="Which correction of the last check; 1 is the first."),
    ] = None,
    added: Annotated[
        list[str] | None,
        typer.Option(
            metavar="TUBE=PARTS", help="What (else) went in, in its own parts; repeatable."
        ),
    ] = None,
    divided: Annotated[
        bool, typer.Option("--divided", help="Only a third was corrected, the rest put aside.")
    ] = False,
    mixed_anew: Annotated[
        bool, typer.Option("--mixed-anew", help="Another was mixed instead, by the recipe.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Say what you did after a check, so that the next one knows what is in the puddle."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.painting.done import DidAsked
    from refmatch.painting.done import did as put_down

    asked = DidAsked(number, tuple(_added(text) for text in added or ()), divided, mixed_anew)
    found = put_down(painting, target_label, asked)
    if as_json:
        belief = found.belief
        content = {
            "painting": painting,
            "target": found.target,
            "done": found.done,
            "replaced": found.replaced,
            "puddle": found.now,
            "predicted_lab": belief and belief.lab,
            "predicted_delta_e_00": found.delta_e_00,
            "parts_by": found.painting.parts_by,
            "next": say.next_step(painting, found),
        }
        print_json(content)
    else:
        print(say.recorded(painting, found))


def _added(text: str) -> tuple[str, float]:
    """Read what was added, "TUBE=PARTS"."""
    from refmatch.paint.portions import name_and_parts

    name, parts = name_and_parts(text)
    if not 0.0 < parts < math.inf:
        raise UsageError(
            f"'{text}' is not TUBE=PARTS; write it like \"titanium white=0.5\", in the puddle's "
            "own parts."
        )
    return name, parts
