"""From a painting's layers and its ground to what their page says."""

from __future__ import annotations

from refmatch.painting.model import Painting
from refmatch.photo.picture import GROUNDS
from refmatch.plan.layers import PaintLayer
from refmatch.say import layers as words
from refmatch.say import sheet as say
from refmatch.say.sentence import capital, sentence_of
from refmatch.sheet.content import CoatLine, GroundShown, LayerLine, LayersShown


def layers_shown(painting: Painting) -> LayersShown | None:
    """Return what the page of layers says; None where nothing is asked of layers or ground."""
    layers, ground = painting.layers, painting.asked.ground
    if not layers and not ground:
        return None
    return LayersShown(
        words=words.LAYERS_WORDS if layers else "",
        lines=tuple(_line(painting, place) for place in range(len(layers))),
        whole=words.whole_words(layers) if len(layers) > 1 else "",
        cares=words.cares(layers),
        ground=_ground(painting, ground) if ground else None,
    )


def _line(painting: Painting, place: int) -> LayerLine:
    layer = painting.layers[place]
    below = painting.layers[place - 1] if place else None
    return LayerLine(
        name=capital(layer.name),
        oil=layer.oil,
        wait=words.wait_words(below, layer) if below else "",
        words=capital(words.film_words(layer)),
        cautions=tuple(sentence_of(flag) for flag in layer.flags),
        puddles=tuple(_puddles(painting, layer)),
    )


def _puddles(painting: Painting, layer: PaintLayer) -> list[CoatLine]:
    puddles = {p.target: p for p in painting.plan.puddles.puddles} if painting.plan else {}
    lines = []
    for puddle in layer.puddles:
        place = puddle.target
        planned, target = puddles.get(place), painting.targets[place]
        recipe = painting.recipes[place].recipes[painting.chosen[place]]
        lines.append(
            CoatLine(
                number=place + 1,
                label=say.heading(target, place + 1),
                mix=planned.lab if planned else recipe.lab,
                words=words.puddle_words(puddle),
            )
        )
    return lines


def _ground(painting: Painting, ground: str) -> GroundShown:
    labs = tuple((place, target.lab) for place, target in enumerate(painting.targets, start=1))
    return GroundShown(GROUNDS[ground], labs, words.ground_words(ground, GROUNDS[ground], labs))
