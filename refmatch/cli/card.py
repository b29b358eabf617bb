"""``refmatch card``: the frame with windows by which a box learns its own tubes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli.options import BoxFile, Json

EXAMPLE = "Example: refmatch card --box my-box.toml --out card.pdf"


def card(
    out: Annotated[Path, typer.Option(metavar="FILE.pdf", help="Where to write the card.")],
    box: BoxFile = None,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    neutral_value: Annotated[
        float, typer.Option(metavar="LSTAR", help="L* of the grey card that you lay on it.")
    ] = 49.5,
    as_json: Json = False,
) -> None:
    """Print a calibration card: paint a dab of each tube in its windows, and photograph it."""
    from refmatch import wire
    from refmatch.cli import say_card
    from refmatch.verbs.card import layout_beside, make_card

    made = make_card(box, out, paper, neutral_value)
    layout = layout_beside(out)
    if as_json:
        print(wire.dump(wire.wire_card(made, out, layout)))
    else:
        print(say_card.card(made, out, layout))
