"""``refmatch canvas``: a photo of the painting held against its reference."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from refmatch.cli.options import (
    BlackDab,
    GreyCard,
    GreyCardLightness,
    Json,
    KnownLight,
    PaintState,
    Replace,
    WhiteDab,
)

if TYPE_CHECKING:
    from refmatch.painting.canvas import CanvasChecked

EXAMPLE = (
    "Example: refmatch canvas sample_images/garden-canvas.jpg --painting table "
    "--neutral 1296,520,120"
)


def canvas(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="A photo of the whole canvas.")],
    painting: Annotated[
        Path, typer.Option(metavar="FOLDER", help="The painting, whose record this sitting joins.")
    ],
    corners: Annotated[
        tuple[str, str, str, str] | None,
        typer.Option(
            metavar="X,Y X,Y X,Y X,Y", help="The canvas' corners; found by themselves if unsaid."
        ),
    ] = None,
    neutral: GreyCard = None,
    neutral_value: GreyCardLightness = 49.5,
    white_hole: WhiteDab = None,
    black_hole: BlackDab = None,
    light: KnownLight = None,
    state: PaintState = "wet",
    figures: Annotated[
        bool, typer.Option("--figures", help="Every difference in figures, with its doubt.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FILE.pdf", help="Print it as a page, with pictures of both."),
    ] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Hold a photo of the canvas against its reference: values, temperature, chroma."""
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.cli.say import cautions
    from refmatch.dabs.spots import Places
    from refmatch.encode import canvas_form
    from refmatch.painting.canvas import CanvasAsked, check_canvas
    from refmatch.photo.place import parse_place
    from refmatch.sheet.canvas_file import check_page, write_page

    grey, white, black = (
        None if text is None else parse_place(text) for text in (neutral, white_hole, black_hole)
    )
    asked = CanvasAsked(
        photo=photo,
        painting=painting,
        corners=tuple(parse_place(text) for text in corners or ()),
        places=Places(None, grey, neutral_value, white, black),
        light=light,
        state=state,
    )
    if out is not None:
        check_page(out, replace=replace)
    with busy("looking at the canvas"):
        checked = check_canvas(asked)
        if out is not None:
            write_page(checked.painting, painting, out)
    if as_json:
        print_json(canvas_form(checked), checked.all_flags)
    else:
        print(_said(checked, with_figures=figures))
        if out is not None:
            print(f"\nWritten to {out}.")
        cautions(checked.all_flags)


def _said(checked: CanvasChecked, *, with_figures: bool) -> str:
    """Return what is said of a canvas, then a line for each mass, hole and step of value."""
    from refmatch.canvas.compare import STEP
    from refmatch.say.canvas import (
        figures_line,
        headings,
        judged_by,
        region_line,
        region_name,
        sentences,
    )

    lines = [f"Sitting {checked.sitting}, {judged_by(checked.way)}", ""]
    lines += sentences(checked.regions, checked.since, checked.changes)
    rows = [one for one in checked.regions if one.region.kind != STEP]
    rows.sort(key=lambda one: -one.region.share)
    steps = [one for one in checked.regions if one.region.kind == STEP]
    width = max(26, *(len(region_name(one)) for one in checked.regions))
    for title, group in (("Values", steps), ("Masses and holes", rows)):
        if not group:
            continue
        lines += ["", f"{title:<{width}} {headings()}"]
        for one in group:
            lines.append(region_line(one, width))
            if with_figures:
                lines.append(f"    {figures_line(one)}")
    return "\n".join(lines)
