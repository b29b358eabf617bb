"""``refmatch sample``: the colours in the holes of a card laid over a photo."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.options import Holes, Json, photo_asked, taking

EXAMPLE = (
    "Example: refmatch sample sample_images/garden-table.jpg --neutral 60%,80% "
    "--hole 30%,55%=pear --card-out card.png"
)


@taking("photo", photo_asked)
def sample(
    hole: Holes = None,
    card_out: Annotated[
        Path | None,
        typer.Option(metavar="FILE.png", help="Draw the photo hidden but for the holes."),
    ] = None,
    ground: Annotated[str, typer.Option(help="The card: grey, white or toned.")] = "grey",
    as_json: Json = False,
    *,
    photo: Any,
) -> None:
    """Read the colours of a photo through holes, each alone and in true light."""
    from refmatch.cli import asking, keeping, say
    from refmatch.cli.json import print_json
    from refmatch.painting.target_words import compared
    from refmatch.photo.picture import punched_card

    opened = asking.with_holes(asking.open_asked(photo), hole, None, punch=False)
    asked, reckoner = opened.asked, opened.reckoner
    view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
    samples = reckoner.samples(asked)
    if card_out:
        holes = [read.hole for read in samples]
        keeping.write_png(card_out, punched_card(view, balance, holes, ground), opened.path)
    flags = (*view.flags, *balance.flags)
    if as_json:
        content = {
            "samples": samples,
            "compared": list(compared(samples)),
            "balance": balance,
            "photo": view,
        }
        print_json(content, flags)
    else:
        print(say.samples(samples, compared(samples), balance))
        say.cautions(flags)
