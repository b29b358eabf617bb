"""What to do about it at the prompt: options and commands; by the names of `refmatch.say`."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

REMEDIES: dict[str, Sentence] = {
    "no_painting_here": "; 'refmatch sheet' can begin one",
    "shelf_not_made": " with --paintings",
    "advice_for_no_mix": ": --painting FOLDER",
    "light_as_it_was_found": ", with --neutral, --white, --kelvin or --balance",
    "light_in_two_ways": ": --neutral, --white or --kelvin, or choose with --balance",
    "tint_without_temperature": "--kelvin",
    "lightness_without_spot": "--neutral",
    "no_plan_to_say_that_of": "; add --plan, or leave out --palette, --canvas and --no-key",
}
