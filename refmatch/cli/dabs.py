"""``refmatch card``, ``check`` and ``did``: a dab looked at, and what was done about it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli.options import (
    PLACE,
    BlackDab,
    BoxFile,
    GreyCard,
    GreyCardLightness,
    Json,
    KnownLight,
    PaintState,
    Replace,
    WhiteDab,
    taking,
)
from refmatch.errors import UsageError

CARD_EXAMPLE = "Example: refmatch card --box garden-table --out my-card.pdf"


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
    paper: Annotated[str, typer.Option(metavar="PAPER", help="a4 or letter.")] = "a4",
    neutral_value: Annotated[
        float,
        typer.Option(metavar="LSTAR", help="How light the grey card is that you lay on it, L*."),
    ] = 49.5,
    short: Annotated[
        bool, typer.Option("--short", help="Of a box: leave out the dabs of two tubes.")
    ] = False,
    values: Annotated[
        bool,
        typer.Option("--values", help="Instead: a value finder, grey steps with holes to punch."),
    ] = False,
    photo: Annotated[
        Path | None,
        typer.Option(
            metavar="PHOTO",
            help="With --values: a photo of the printed finder; tells what its steps truly are.",
        ),
    ] = None,
    printed: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE.json",
            help="With --photo: the layout of the print, where it was made for a printer already.",
        ),
    ] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Print a card: for dabs of a box's tubes or a painting's puddles, or a value finder."""
    from refmatch.errors import UsageError
    from refmatch.painting.outputs import check_replaceable

    if out is not None:
        check_replaceable(out, replace=replace)
    if values:
        if box is not None or painting is not None or short:
            raise UsageError("A value finder has no --box, --painting or --short; leave them out.")
        _value_finder(
            out, (paper, neutral_value), (photo, printed), replace=replace, as_json=as_json
        )
        return
    if photo is not None or printed is not None:
        raise UsageError("--photo and --printed go with --values; leave them out.")
    if painting is None:
        made = (paper, neutral_value)
        print(_of_box(box, out, made, is_short=short, replace=replace, as_json=as_json))
        return
    if short:
        raise UsageError("Only the card of a --box may be --short; leave it out.")
    if box is not None:
        raise UsageError(
            "A card is for the tubes of a --box or for the targets of a --painting, which has its "
            "own box; give one of the two."
        )
    print(_of_painting(painting, out, (paper, neutral_value), as_json=as_json))


def _of_box(
    box: Path | None,
    out: Path | None,
    paper: tuple[str, float],
    *,
    is_short: bool,
    replace: bool,
    as_json: bool,
) -> str:
    from refmatch.cli import say
    from refmatch.cli.json import card_of_box, dumped
    from refmatch.cli.progress import busy
    from refmatch.errors import UsageError
    from refmatch.paint.box_file import open_box
    from refmatch.sheet.card_files import layout_beside, make_card

    if out is None:
        raise UsageError("Say where the card is to be written: --out card.pdf.")
    with busy("drawing the card"):
        made = make_card(open_box(box), out, *paper, is_short=is_short, replace=replace)
    layout = layout_beside(out)
    if as_json:
        return dumped(card_of_box(made, out, layout))
    return say.card(made, out, layout)


def _of_painting(
    painting: Path, out: Path | None, paper: tuple[str, float], *, as_json: bool
) -> str:
    from refmatch.cli import say
    from refmatch.cli.json import card_of_painting, dumped
    from refmatch.cli.progress import busy
    from refmatch.painting.check import dab_card_layout
    from refmatch.sheet.card_files import dab_card_pdf, make_dab_card

    out = out or dab_card_pdf(painting)
    with busy("drawing the card"):
        made = make_dab_card(painting, out, *paper)
    if as_json:
        return dumped(card_of_painting(made, out, dab_card_layout(painting)))
    return say.dab_card(made, out, painting)


def _value_finder(
    out: Path | None,
    made: tuple[str, float],
    shown: tuple[Path | None, Path | None],
    *,
    replace: bool,
    as_json: bool,
) -> None:
    """Print a value finder, or tell what a photo shows of one and print it for that printer."""
    from refmatch.cli import say, say_values
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.dabs.value_finder import compose, measure, read_finder
    from refmatch.photo.load import load
    from refmatch.sheet.card_files import layout_beside, make_value_finder

    photo, layout = shown
    if photo is None and layout is not None:
        raise UsageError("--printed is the layout of what a --photo shows; give that, too.")
    if photo is None and out is None:
        raise UsageError("Say where the value finder is to be written: --out values.pdf.")
    card, found = compose(made[0], neutral_value=made[1]), None
    if photo is not None:
        with busy("reading the photo"):
            found = measure(load(photo), read_finder(layout) if layout else card)
            card = compose(made[0], found.corrected(), made[1])
    files = {}
    if out is not None:
        with busy("drawing the value finder"):
            make_value_finder(card, out, replace=replace)
        files = {"card": out, "card_file": layout_beside(out)}
    flags = found.flags if found else ()
    if as_json:
        print_json({**files, **say_values.finder_in_json(card, found)}, flags)
    else:
        print("\n".join(say_values.finder(found, files)))
        say.cautions(flags)


CHECK_EXAMPLE = (
    "Example: refmatch check sample_images/dab-board.jpg --hole 612,616,58 --neutral 781,1280,77 "
    '--target "72,12,18" --recipe "burnt-sienna=2" --recipe "PW6=3"'
)


def places_asked(
    *,
    hole: Annotated[
        str | None, typer.Option(metavar=PLACE, help="Where the dab is; a dab card tells itself.")
    ] = None,
    neutral: GreyCard = None,
    neutral_value: GreyCardLightness = 49.5,
    white_hole: WhiteDab = None,
    black_hole: BlackDab = None,
    reference_hole: Annotated[
        str | None,
        typer.Option(metavar=PLACE, help="A colour you know in the same photo: a print, a dab."),
    ] = None,
) -> Any:
    """Return where things lie on the photo, None where nothing is pointed to."""
    from refmatch.dabs.spots import Places
    from refmatch.photo.place import parse_place

    others = (neutral, white_hole, black_hole, reference_hole)
    if hole is None and any(other is not None for other in others):
        raise UsageError("Say where the dab is, too: --hole X,Y,D.")
    if hole is None:
        return None
    dab, grey, white, black, reference = (
        None if text is None else parse_place(text)
        for text in (hole, neutral, white_hole, black_hole, reference_hole)
    )
    assert dab is not None
    return Places(dab, grey, neutral_value, white, black, reference)


@taking("places", places_asked)
def check(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="A photo of the dab, or dabs.")],
    target: Annotated[
        str | None,
        typer.Option(metavar="COLOUR", help="What the dab should be: Lab, hex, Munsell."),
    ] = None,
    recipe: Annotated[
        list[str] | None,
        typer.Option(metavar="TUBE=PARTS", help="What is in the puddle; repeatable."),
    ] = None,
    box: BoxFile = None,
    light: KnownLight = None,
    state: PaintState = "wet",
    reference_lab: Annotated[
        str | None,
        typer.Option(metavar="COLOUR", help="The reference's colour: Lab, hex, Munsell."),
    ] = None,
    reference_recipe: Annotated[
        list[str] | None,
        typer.Option(metavar="TUBE=PARTS", help="What the reference is made of; repeatable."),
    ] = None,
    puddle: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME:TUBE=PARTS,...", help="Another puddle on the palette; repeatable."
        ),
    ] = None,
    painting: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="The painting whose record this joins.")
    ] = None,
    target_label: Annotated[
        str | None, typer.Option(metavar="LABEL", help="Whose dab: a target's name or slip number.")
    ] = None,
    as_json: Json = False,
    *,
    places: Any,
) -> None:
    """Look at a photo of a dab: how far it is off its target, and what to add."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.dabs.spots import Reference
    from refmatch.encode import checks_form
    from refmatch.painting.check import CheckAsked
    from refmatch.painting.check import check as looked_at
    from refmatch.target import parse_colour

    pointed = places is not None and places.reference is not None
    if pointed != (reference_lab is not None):
        raise UsageError(
            "A reference needs both its place, --reference-hole X,Y,D, and its colour, "
            '--reference-lab "L,a,b".'
        )
    if reference_recipe and not pointed:
        raise UsageError("--reference-recipe is for a reference: say where it lies, too.")
    _check_together(target, recipe, painting, target_label)
    reference = None
    if reference_lab is not None:
        reference = Reference(parse_colour(reference_lab), parts_said(reference_recipe))
    asked = CheckAsked(
        photo=photo,
        places=places,
        target_lab=None if target is None else parse_colour(target),
        recipe=parts_said(recipe),
        box=box,
        light=light,
        state=state,
        reference=reference,
        puddles=tuple(_puddle_said(text) for text in puddle or ()),
        painting=painting,
        target_label=target_label,
    )
    with busy("looking at the photo"):
        checks = looked_at(asked)
    if as_json:
        own = () if checks.whole_card else checks.found[0].flags
        print_json(checks_form(checks), (*checks.flags, *own))
    else:
        print(say.checks(checks, painting))
        say.cautions([*checks.flags, *(flag for one in checks.found for flag in one.flags)])


def parts_said(texts: Sequence[str] | None) -> tuple[tuple[str, float], ...]:
    """Read parts of tubes, each "TUBE=PARTS".

    Raises:
        UsageError: it is not that, or all parts are 0.
    """
    parts = tuple(_part_said(text) for text in texts or ())
    if parts and not any(share > 0.0 for _, share in parts):
        raise UsageError('No part is above 0; give some paint, such as "PB29=3".')
    return parts


def _part_said(text: str) -> tuple[str, float]:
    from refmatch.paint.portions import name_and_parts

    name, parts = name_and_parts(text)
    if not 0.0 <= parts < math.inf:
        raise UsageError(f"'{text}' is not TUBE=PARTS; write it like \"PB29=3\".")
    return name, parts


def _puddle_said(text: str) -> tuple[str, tuple[tuple[str, float], ...]]:
    """Read another puddle on the palette, "NAME:TUBE=PARTS,TUBE=PARTS"."""
    from refmatch.paint.portions import listed

    name, colon, recipe = text.partition(":")
    if not colon or not name.strip() or not recipe.strip():
        raise UsageError(
            f"'{text}' is not a puddle; write NAME:TUBE=PARTS,TUBE=PARTS, such as "
            '"grey:ultramarine=1,burnt sienna=1,titanium white=4".'
        )
    return name.strip(), listed(recipe)


def _check_together(
    target: str | None,
    recipe: list[str] | None,
    painting: Path | None,
    target_label: str | None,
) -> None:
    """Refuse options that do not go together."""
    if painting is None and target_label is not None:
        raise UsageError("--target-label names a target of a painting; give its --painting FOLDER.")
    if painting is not None and target is not None:
        raise UsageError(
            "A painting knows its targets; name one with --target-label, not --target."
        )
    if recipe and painting is not None and target_label is None:
        raise UsageError("--recipe is of one puddle; name its target with --target-label LABEL.")


DID_EXAMPLE = (
    "Example: refmatch did --painting table --target-label pear "
    '--mixed "4½ white, 1 burnt sienna, 1 yellow ochre"'
)


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
    mixed: Annotated[
        str | None,
        typer.Option(
            metavar="PARTS",
            help='What it was really mixed of, before a check or anew: "4½ white, ¼ black".',
        ),
    ] = None,
    mixed_anew: Annotated[
        bool, typer.Option("--mixed-anew", help="Another was mixed instead, by the recipe.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Say what you did after a check, so that the next one knows what is in the puddle."""
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import busy
    from refmatch.paint.portions import listed
    from refmatch.painting.done import DidAsked
    from refmatch.painting.done import did as put_down

    if mixed is not None and (number is not None or added or divided or mixed_anew):
        raise UsageError("--mixed says all that is in the puddle; leave out what else was done.")
    extra = listed(mixed) if mixed is not None else tuple(_added(text) for text in added or ())
    asked = DidAsked(number, extra, divided, mixed_anew or mixed is not None)
    with busy("putting down what was done"):
        recorded = put_down(painting, target_label, asked)
    if as_json:
        belief = recorded.belief
        content = {
            "painting": painting,
            "target": recorded.target,
            "done": recorded.done,
            "replaced": recorded.replaced,
            "puddle": recorded.now,
            "predicted_lab": belief and belief.lab,
            "predicted_delta_e_00": recorded.delta_e_00,
            "parts_by": recorded.painting.parts_by,
            "next": say.next_step(painting, recorded),
        }
        print_json(content)
    else:
        print(say.recorded(painting, recorded))


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
