"""``refmatch did``: say what was done to a puddle after a look at it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli.options import Json

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
    from refmatch.cli import say_record
    from refmatch.cli.json import print_json
    from refmatch.verbs import record as verbs

    asked = verbs.DidAsked(number, tuple(added or ()), divided, mixed_anew)
    found = verbs.did(painting, target_label, asked)
    if as_json:
        predicted = found.predicted
        content = {
            "painting": painting,
            "target": found.target,
            "done": found.done,
            "replaced": found.replaced,
            "puddle": found.now,
            "predicted_lab": predicted and predicted.predicted_lab,
            "predicted_delta_e_00": predicted and predicted.predicted_delta_e_00,
            "parts_by": found.painting.parts_by,
            "next": found.next,
        }
        print_json(content)
    else:
        print(say_record.recorded(found))
