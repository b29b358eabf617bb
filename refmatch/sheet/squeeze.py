"""How much paint to squeeze out, and in what order round the palette.

Each target is given a puddle of one size, and a tube is owed the sum of its
shares in them; where a plan knows the canvas, its amounts are told and no others.
Our own decision: a puddle is a teaspoon, and a squeeze is told as a pea, a hazelnut
or a walnut, since nobody measures paint in millilitres.
"""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.lab import chroma, hue_deg
from refmatch.painting.model import Painting, TubeOnTable, chosen_recipe
from refmatch.plan.amounts import PUDDLE_ML
from refmatch.say.plan import runs, squeeze_words
from refmatch.sheet.content import Squeeze

GREY_CHROMA = 8.0
"""Below this C* of the tint a dark tube goes to the blacks' end of the palette."""

NO_SLIP = "no slip by itself"
"""A tube that only mother puddles or strings of a plan take."""


def squeezes(painting: Painting) -> tuple[Squeeze, ...]:
    """Return the tubes that the chosen recipes use, in the order to lay them out.

    Where the painting is mixed by a plan, they are those of its palette, each of them.
    """
    volumes, serves = _owed(painting)
    for tube in painting.plan.advice.chosen.tubes if painting.plan else ():
        volumes.setdefault(tube, 0.0)
        serves.setdefault(tube, [])
    if painting.plan and painting.plan.amounts:
        volumes = {tube: painting.plan.amounts.tubes_ml.get(tube, 0.0) for tube in volumes}
    used = [tube for tube in painting.table if tube.name in volumes]
    return tuple(
        Squeeze(
            tube=tube.name,
            pigments=" + ".join(tube.pigments),
            masstone=tube.masstone,
            tint=tube.tint,
            volume_ml=volumes[tube.name],
            size=squeeze_words(volumes[tube.name]),
            serves=runs(serves[tube.name]) or NO_SLIP,
        )
        for tube in round_the_palette(used)
    )


def round_the_palette(tubes: Sequence[TubeOnTable]) -> list[TubeOnTable]:
    """Return the tubes as they are laid out: white, yellows to reds to blues to greens, darks.

    Common practice, no source. Hue is read in the tint, since the masstone of a dark
    transparent paint shows none.
    """
    return sorted(tubes, key=_place)


def _place(tube: TubeOnTable) -> tuple[float, float]:
    if tube.is_white:
        return 0.0, -float(tube.masstone[0])
    if chroma(tube.tint) < GREY_CHROMA:
        return 2.0, -float(tube.masstone[0])
    # From a greenish yellow (h 120) down through red and blue and round to green.
    return 1.0, (120.0 - float(hue_deg(tube.tint))) % 360.0


def _owed(painting: Painting) -> tuple[dict[str, float], dict[str, list[int]]]:
    volumes: dict[str, float] = {}
    serves: dict[str, list[int]] = {}
    for index in range(len(painting.targets)):
        recipe = chosen_recipe(painting, index)
        portions = recipe.portions if recipe else ()
        total = sum(portion.parts for portion in portions)
        for portion in portions:
            share = PUDDLE_ML * portion.parts / total
            volumes[portion.tube] = volumes.get(portion.tube, 0.0) + share
            serves.setdefault(portion.tube, []).append(index + 1)
    return volumes, serves
