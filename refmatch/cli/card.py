"""``refmatch card``: the frames with windows that dabs are painted in and photographed with."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli.options import BoxFile, Json

EXAMPLE = "Example: refmatch card --box my-box.toml --out card.pdf"


def card(
    out: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE.pdf",
            help="Where to write it; a painting's goes into its folder if unsaid.",
        ),
    ] = None,
    box: BoxFile = None,
    painting: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="A painting, whose dabs one photo is to check."),
    ] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    neutral_value: Annotated[
        float, typer.Option(metavar="LSTAR", help="L* of the grey card that you lay on it.")
    ] = 49.5,
    as_json: Json = False,
) -> None:
    """Print a card to paint dabs on: of a box's tubes, or of a painting's puddles."""
    from refmatch.errors import UsageError

    if painting is None:
        print(_of_box(box, out, (paper, neutral_value), as_json=as_json))
        return
    if box is not None:
        raise UsageError(
            "A card is for the tubes of a --box or for the targets of a --painting, which has its "
            "own box; give one of the two."
        )
    print(_of_painting(painting, out, (paper, neutral_value), as_json=as_json))


def _of_box(box: Path | None, out: Path | None, paper: tuple[str, float], *, as_json: bool) -> str:
    from refmatch.cli import say
    from refmatch.cli.json import card_of_box, dumped
    from refmatch.errors import UsageError
    from refmatch.paint.box_file import open_box
    from refmatch.sheet.card_files import layout_beside, make_card

    if out is None:
        raise UsageError("Say where the card is to be written: --out card.pdf.")
    made, layout = make_card(open_box(box), out, *paper), layout_beside(out)
    if as_json:
        return dumped(card_of_box(made, out, layout))
    return say.card(made, out, layout)


def _of_painting(
    painting: Path, out: Path | None, paper: tuple[str, float], *, as_json: bool
) -> str:
    from refmatch.cli import say
    from refmatch.cli.json import card_of_painting, dumped
    from refmatch.painting.check import dab_card_layout
    from refmatch.sheet.card_files import dab_card_pdf, make_dab_card

    out = out or dab_card_pdf(painting)
    made = make_dab_card(painting, out, *paper)
    if as_json:
        return dumped(card_of_painting(made, out, dab_card_layout(painting)))
    return say.dab_card(made, out, painting)
