"""What is said of paintings, their folders and records."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

SENTENCES: dict[str, Sentence] = {
    "not_a_canvas": "'{text}' is not a canvas; write its sides in centimetres, like 40x30.",
    "canvas_not_offered": "A canvas of {text} cm is not offered; its sides may be up to "
    "{most_cm:.0f} cm.",
    "folder_of_another_photo": "The painting in '{folder}' belongs to another photo; choose "
    "another folder.",
    "hole_beyond": "The hole '{label}' at {x_px:g},{y_px:g} lies outside the photo, which is "
    "{size_px[0]} x {size_px[1]} pixels; move it inside.",
    "two_holes_one_name": "Two holes are called '{label}'; give each its own name.",
    "light_in_two_ways": "The light is given in two ways; give one of them{remedy}.",
    "tint_without_temperature": "A tint goes with the light's temperature; give {remedy} too.",
    "lightness_without_spot": "A neutral value goes with a neutral spot; give {remedy} too.",
    "light_as_it_was_found": "Of this painting's light only what was found of it is known, so no "
    "other part of it can be kept; say the light anew{remedy}.",
    "no_plan_to_say_that_of": "There is no plan to say that of{remedy}.",
    "sheet_of_no_form": "A sheet is not written as '{name}'; end its name in {known}.",
    "picture_of_no_form": "A picture is not written as '{name}'; end its name in .png.",
    "picture_over_photo": "'{out}' is the photo itself; choose another name for the picture.",
    "painting_changed_meanwhile": "This painting was changed by another program meanwhile; look "
    "at it as it is now and do the last step again if it is still wanted.",
    "shares_guessed": "How much of the picture a hole stands for is not known: each mass counts "
    "for the hole nearest to it in colour.",
    "painting_form_wrong": "This painting's saved form has something missing or wrong.",
    "painting_not_json": "This painting's saved form is not whole JSON.",
    "painting_not_object": "This painting's saved form is not a JSON object.",
    "asked_form_wrong": "What was asked is saved with something missing or wrong.",
    "painting_colour_wrong": "This painting's saved form has a colour that is not three numbers.",
    "targets_without_recipes": "This painting's targets and recipes do not belong together.",
    "choice_not_there": "This painting's choice for '{label}' is not there.",
}

REMEDIES: dict[str, Sentence] = {
    "light_as_it_was_found": "",
    "light_in_two_ways": "",
    "tint_without_temperature": "that",
    "lightness_without_spot": "that",
    "no_plan_to_say_that_of": "",
}
"""What is said where no door has words of its own."""
