"""What the first choice gives up beside the closest recipe, and what it gains, in words."""

from __future__ import annotations

from refmatch.recipe.model import Recipe

SEEN_BY_HAND = 0.2
"""A difference in dE00 by hand that is worth a word."""

SEEN_UNDER_LAMPS = 0.5
"""The same for straying under lamps."""

FARTHER = 0.05
"""Less than this is not called farther off."""


def trade_words(chosen: Recipe, closest: Recipe, lamps: float, closest_lamps: float) -> str:
    """Return why the chosen recipe stands first though another is closer.

    ``lamps`` are how far each strays from its rivals under lamps, in dE00. Such as
    "0.3 farther off than the closest, but steadier in the hand (1.2 against 2.3) and
    one tube fewer."; empty where neither is nearer, or nothing is gained.
    """
    farther = chosen.delta_e_00 - closest.delta_e_00
    gains = _gains(chosen, closest)
    if closest_lamps - lamps > SEEN_UNDER_LAMPS:
        gains.insert(0, "steadier under a lamp")
    if not gains or farther < FARTHER:
        return ""
    *most, last = gains
    listed = f"{', '.join(most)} and {last}" if most else last
    return f"{farther:.1f} farther off than the closest, but {listed}."


def _gains(chosen: Recipe, closest: Recipe) -> list[str]:
    gains = []
    if closest.delta_e_00_hand - chosen.delta_e_00_hand > SEEN_BY_HAND:
        hands = f"{chosen.delta_e_00_hand:.1f} against {closest.delta_e_00_hand:.1f}"
        gains.append(f"steadier in the hand ({hands})")
    fewer = len(closest.portions) - len(chosen.portions)
    if fewer > 0:
        gains.append("one tube fewer" if fewer == 1 else f"{fewer} tubes fewer")
    if _total(chosen) < _total(closest):
        gains.append(f"{_total(chosen)} parts instead of {_total(closest)}")
    return gains


def _total(recipe: Recipe) -> int:
    return sum(laid.parts for laid in recipe.laid_out)
