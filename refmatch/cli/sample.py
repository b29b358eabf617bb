"""``refmatch sample``: the colours in the holes of a card laid over a photo."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli import light_options as light
from refmatch.cli.options import Holes, Json, PhotoArgument

EXAMPLE = (
    "Example: refmatch sample sample_images/garden-table.jpg --neutral 60%,80% "
    "--hole 30%,55%=pear --card-out card.png"
)


def sample(
    photo: PhotoArgument,
    hole: Holes = None,
    neutral: light.Neutral = None,
    neutral_value: light.NeutralValue = None,
    white: light.White = None,
    kelvin: light.Kelvin = None,
    tint: light.Tint = None,
    balance: light.BalanceMethod = None,
    keep_light: light.KeepLight = 0.0,
    keep_exposure: light.KeepExposure = False,
    crop: light.Crop = None,
    proportion: light.Proportion = None,
    card_out: Annotated[
        Path | None,
        typer.Option(metavar="FILE.png", help="Draw the photo hidden but for the holes."),
    ] = None,
    ground: Annotated[str, typer.Option(help="The card: grey, white or toned.")] = "grey",
    as_json: Json = False,
) -> None:
    """Read the colours of a photo through holes, each alone and in true light."""
    from refmatch import wire
    from refmatch.cli import say
    from refmatch.verbs import photo as verbs

    asked = light.asked(
        photo,
        crop,
        proportion,
        method=balance,
        neutral=neutral,
        neutral_lstar=neutral_value,
        white=white,
        kelvin=kelvin,
        tint_duv=tint,
        keep_light=keep_light,
        set_exposure=not keep_exposure,
    )
    seen = verbs.look(asked)
    samples = verbs.sample(seen, hole or [])
    if card_out:
        verbs.write_card(seen, samples, card_out, ground)
    if as_json:
        content = {
            "samples": [wire.wire_sample(found) for found in samples],
            "compared": list(verbs.compared(samples)),
            "balance": wire.wire_balance(seen.balance),
            "photo": wire.wire_photo(seen.photo),
        }
        print(wire.dump(wire.envelope(content, seen.flags)))
    else:
        print(say.samples(samples, verbs.compared(samples), seen.balance))
        say.cautions(seen.flags)
