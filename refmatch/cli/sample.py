"""``refmatch sample``: the colours in the holes of a card laid over a photo."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.light_options import photo_asked
from refmatch.cli.options import Holes, Json
from refmatch.cli.shared import taking

EXAMPLE = (
    "Example: refmatch sample sample_images/garden-table.jpg --neutral 60%,80% "
    "--hole 30%,55%=pear --card-out card.png"
)


@taking("asked", photo_asked)
def sample(
    hole: Holes = None,
    card_out: Annotated[
        Path | None,
        typer.Option(metavar="FILE.png", help="Draw the photo hidden but for the holes."),
    ] = None,
    ground: Annotated[str, typer.Option(help="The card: grey, white or toned.")] = "grey",
    as_json: Json = False,
    *,
    asked: Any,
) -> None:
    """Read the colours of a photo through holes, each alone and in true light."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.verbs import photo as verbs

    seen = verbs.look(asked)
    samples = verbs.sample(seen, hole or [])
    if card_out:
        verbs.write_card(seen, samples, card_out, ground)
    if as_json:
        content = {
            "samples": samples,
            "compared": list(verbs.compared(samples)),
            "balance": seen.balance,
            "photo": seen.photo,
        }
        print_json(content, seen.flags)
    else:
        print(say.samples(samples, verbs.compared(samples), seen.balance))
        say.cautions(seen.flags)
