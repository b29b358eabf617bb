"""What is said of paintings, their folders and records."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence, listed


def _no_such_target(label: str, known: Sequence[str]) -> str:
    there = f"it has: {', '.join(known)}" if known else "no hole is punched yet"
    return f"There is no target '{label}' in this painting; {there}."


def _no_such_correction(target: str, number: int, count: int) -> str:
    numbers = "only correction 1 was" if count == 1 else f"corrections 1 to {count} were"
    return f"There is no correction {number} for '{target}': {numbers} told."


TYPED = {
    "lstar": "The lightness, L*,",
    "kelvin": "The lamp's temperature in kelvin",
    "duv": "The tint, Duv,",
    "width_cm": "The canvas's width in centimetres",
    "height_cm": "The canvas's height in centimetres",
    "grid_cm": "The grid in centimetres",
}
"""What a painter calls the fields that are typed by hand; the others come from the page alone."""


def _field(name: str) -> str:
    return TYPED.get(name, f"'{name}'")


def _at(key: str) -> str:
    return f" at '{key}'" if key else ", or something is missing"


def _damaged(why: str, path: str, good: str | None, remedy: str) -> str:
    if good is None:
        return f"{why} '{path}' is damaged and no good state is left; begin a new folder."
    return f"{why} The last good state is '{good}'; {remedy}."


def _no_number(field: str, least: float, most: float) -> str:
    return f"{_field(field)} must be a number from {least:g} to {most:g}."


def _out_of_range(field: str, value: float, least: float, most: float) -> str:
    return f"{_field(field)} cannot be {value:g}; give {least:g} to {most:g}."


def _no_choice(of: str, choice: str, known: Sequence[str]) -> str:
    return f"There is no {of} '{choice}'; it is {', '.join(known)}."


KEPT_THERE = {
    "painting": "a painting's own file",
    "box": "a box of tubes",
    "card": "the layout of a printed card",
    "json": "a JSON file of another kind",
    "photo": "a photo",
}


def _kept_there(path: str, kind: str, remedy: str) -> str:
    return f"'{path}' is already there, {KEPT_THERE[kind]}; choose another name{remedy}."


SENTENCES: dict[str, Sentence] = {
    # what is written
    "kept_there": _kept_there,
    "no_place_on_the_way": "There is no place for the photo on its way, since nothing can be "
    "written in the system's folder for temporary files; free some space and try again.",
    "written_meanwhile": "'{path}' was written by another program meanwhile, and stays; choose "
    "another name{remedy}.",
    # the folder
    # the record of checks
    "no_such_target": _no_such_target,
    "nothing_mixed": "There is no recipe for '{target}' yet, so nothing is mixed for it.",
    "not_looked_at": "No dab of '{target}' was looked at yet; {remedy}.",
    "looked_at_meanwhile": "Another dab of '{target}' was looked at meanwhile; it is shown as it "
    "is now.",
    "dab_unknown": "Say where the dab is, what it should be, and what is in it{remedy}.",
    "whose_dab": "Say whose dab it is that lies there{remedy}.",
    "nothing_done": "Say what was done{remedy}.",
    "anew_and_corrected": "A puddle mixed anew was neither corrected nor divided{remedy}.",
    "correction_of_the_whole": "Correction {number} is for the whole puddle; if you divided it "
    "first, say what went into the third{remedy}.",
    "no_correction_told": "No correction was told for '{target}'; {remedy}.",
    "no_such_correction": _no_such_correction,
    "addition_of_nothing": "An addition has a name, and parts above 0 in the puddle's own.",
    "nothing_left_over": "Nothing is left over of the puddle of '{target}'.",
    "core_of_nothing": "A first puddle has no core yet; name its tubes.",
    "no_core": "The puddle of '{target}' is all white, so it has no core.",
    "no_such_amount": "An amount is millilitres above 0{remedy}.",
    "volume_unknown": "This box counts its parts by mass, and how heavy its paints are is not "
    "known: weigh out the shares, or the parts; how much they make in millilitres cannot be told.",
    # what a box has learnt
    "nothing_to_learn": "No dab of this painting was looked at yet, so there is nothing to learn "
    "from; {remedy}.",
    "nothing_learnt": "This painting's box has learnt nothing that could be taken back.",
    "kept_box_gone": "'{file}' is gone, so nothing can be learnt or taken back; put it back, or "
    "give the painting another box.",
    "kept_box_changed": "'{file}' has changed, so nothing can be learnt or taken back; put the "
    "first one back, or give the painting another box.",
    # photos on the table, boxes in the making
    "photo_put_away": "That photo is no longer there; drop it again.",
    "photo_not_on_table": "That photo is not on the table any more; drop it again.",
    "photo_gone": "That photo is no longer there; it was taken away meanwhile.",
    "no_card_to_check_by": "This painting has no dab card yet; point to the dab instead.",
    "hole_gone": "That hole is no longer there; it was taken away meanwhile.",
    "no_such_bench": "There is no such box in the making; it may have been moved away.",
    "no_such_tidying": "'{do}' is nothing that can be done with a painting on the shelf.",
    "no_such_bench_change": "There is no change '{change}' to a box in the making.",
    "photos_on_other_paper": "The photos here show the card on other paper; take them away first.",
    "box_without_name": "The box needs a name; give it a word.",
    "no_photo_of_page": "No photo shows that page yet; drop one first.",
    "bench_unreadable": "What was noted of this box cannot be opened.",
    "bench_damaged": lambda key: (
        f"What was noted of this box cannot be read{_at(key)}; it is damaged, or from a newer "
        "refmatch."
    ),
    # what was asked, and how it is saved
    "not_a_canvas": "'{text}' is not a canvas; write its sides in centimetres or inches, like "
    "40x30 or 16x20in.",
    "canvas_not_offered": "A canvas of {text} is not offered; its sides may be up to "
    "{most_cm:.0f} cm.",
    "folder_of_another_photo": "The painting in '{folder}' belongs to another photo; choose "
    "another folder.",
    "no_photo_called": lambda photo, known: (
        f"No other photo is called '{photo}' here"
        f"{'; there is ' + listed(known, 'and') if known else ''}."
    ),
    "hole_in_another_photo": "That hole lies in another photo; show that one to move it.",
    "photo_not_at_hand": "The photo '{photo}' is not at hand; open the painting again.",
    "not_a_photo_name": "'{name}' is no name for a photo: begin with a letter, then letters, "
    "figures, spaces or hyphens.",
    "not_said_of_a_photo": "'{text}' does not say of which photo: write the photo's name, =, and "
    "what is said of it, such as sky=clouds.jpg.",
    "hole_beyond": "The hole '{label}' at {x_px:g},{y_px:g} lies outside the photo, which is "
    "{width_px} x {height_px} pixels; move it inside.",
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
    "painting_form_wrong": lambda key: f"This painting's saved form is wrong{_at(key)}.",
    "painting_not_json": "This painting's saved form is not whole JSON.",
    "painting_not_object": "This painting's saved form is not a JSON object.",
    "asked_form_wrong": lambda key: f"What was asked is not saved as it should be{_at(key)}.",
    "painting_colour_wrong": "This painting's saved form has a colour that is not three numbers.",
    "targets_without_recipes": "This painting's targets and recipes do not belong together.",
    "choice_not_there": "This painting's choice for '{label}' is not there.",
    "history_damaged": "The history in {where} is damaged; move that file away to go on without "
    "undo.",
    "history_set_aside": "The history of this painting was damaged: earlier steps cannot be taken "
    "back. The damaged file is kept beside the new one.",
    "nothing_to_rescue": "The painting in '{folder}' is whole; there is nothing to rescue.",
    "no_state_left": "No whole state is left in '{folder}'; its photo and the photos of dabs are "
    "still there, so begin a new painting with them.",
    "sheet_not_recorded": "The sheet was printed, but nothing can be written in this painting's "
    "folder: it does not stand in the record.",
    "history_mended": "The last step was cut short when it was written, by a full disk or a crash, "
    "and is left out; look whether it is still wanted.",
    "photo_of_painting_unread": "The photo '{path}' cannot be read; is it still there?",
    "photo_of_painting_gone": "The photo '{path}' is gone; put it back to open this painting.",
    "photo_of_painting_changed": "The photo '{path}' has changed since this painting was begun; "
    "put the first one back, or begin a new painting folder with this one.",
    "folder_taken": "'{folder}' already holds a painting; open it or choose another.",
    "no_such_picture": "This painting has no picture '{picture}'; make the sheet anew.",
    "picture_gone": "The picture '{path}' is gone; make the sheet anew.",
    "picture_damaged": "The picture '{path}' is damaged; make the sheet anew.",
    "picture_neither_jpeg_nor_png": "A picture of a painting must be JPEG or PNG.",
    "photo_of_dabs_gone": "The photo of dabs '{path}' is gone; put it back or check another.",
    "photo_of_dabs_changed": "The photo of dabs '{path}' has changed; put back the first one.",
    "painting_unread": "'{path}' cannot be read; check who may read it.",
    "painting_damaged": _damaged,
    "no_painting_here": "There is no painting in '{folder}'{remedy}.",
    "folder_is_a_file": "'{folder}' is a file; give the name of a folder.",
    "folder_not_made": "The folder '{folder}' cannot be made; choose another place.",
    "folder_is_link": "'{folder}' is a link, and nothing is written through it; put a folder of "
    "its own in its place.",
    "file_outside_folder": "The painting in '{folder}' names a file outside it: '{file}'.",
    "no_schema_named": "This is not a saved painting: it names no schema.",
    "newer_schema": "This painting was saved by a newer refmatch (schema {found}; this one reads "
    "up to {known}); update refmatch to open it.",
    "unknown_schema": "This painting's schema {found} is not one that refmatch wrote.",
    "no_such_change": "There is no change '{change}'.",
    "folder_moved_away": "This painting's folder was moved or thrown away; put it back, or begin "
    "again.",
    "changed_in_another_window": "This painting was changed in another window meanwhile; it is "
    "shown as it is now.",
    "bench_changed_in_another_window": "This box was changed in another window meanwhile; it is "
    "shown as it is now, and your change was not made: make it again where it is still wanted.",
    "nothing_to_undo": "There is nothing to {way}.",
    "field_no_number": _no_number,
    "field_out_of_range": _out_of_range,
    "field_no_text": "'{field}' must be a text.",
    "field_no_names": "'{field}' must be a list of names.",
    "field_no_truth": "'{field}' must be true or false.",
    "text_too_long": "'{begins}…' is too long; {longest} letters are the most.",
    "too_many_names": "'{field}' has {count} names; {most} are the most.",
    "no_such_kind_of_spot": "A spot is taken for neutral or white, not for '{kind}'.",
    "no_such_reduction": "Tiles are reduced by 1 to {most}, not {reduction}.",
    "photo_looks_otherwise": "The photo is shown in another light now; look again.",
    "no_such_view": "There is no view '{view}' of the photo.",
    "no_such_tile": "There is no such tile.",
    "light_kept_out_of_range": "Of the light 0 to 100 per cent can be kept.",
    "no_such_value_study": "A value study in {levels} values is not offered.",
    "no_such_plan": "There is no such plan; it is keyed or as-shot.",
    "no_such_page": "This sheet has no page {page}; it has {pages}.",
    "no_such_painting": "There is no such painting; it may have been moved away.",
    "no_such_sample": "There is no such sample photo.",
    "no_such_box": "There is no such box; it may have been moved away.",
    "shelf_not_made": "The folder '{folder}' cannot be made; name another{remedy}.",
    "hole_taken_away": "That hole is no longer there; it was taken away meanwhile.",
    "no_such_choice": _no_choice,
    "painting_without_title": "A painting needs a title; give it a word.",
    "no_such_way_to_the_light": "There is no way '{way}' to find the light.",
    "no_neutral_spot": "Say where in the photo the thing is that is truly neutral{remedy}.",
    "hole_called_by_number": "A hole that is called by a number would be mistaken; give it a word.",
    "another_hole_called": "Another hole is called '{label}'; give each its own name.",
    "too_many_holes": "{most} holes are the most; remove some first.",
    "advice_for_no_mix": 'For which mixes? Give colours such as "62,14,38", or a painting{remedy}.',
    "painting_without_mixes": "The painting in '{folder}' has no mixes yet; punch a hole first.",
}

REMEDIES: dict[str, Sentence] = {
    "kept_there": "",
    "written_meanwhile": "",
    "painting_damaged": "copy it over '{path}' to go on from it",
    "no_painting_here": "",
    "shelf_not_made": "",
    "no_neutral_spot": "",
    "advice_for_no_mix": "",
    "light_as_it_was_found": "",
    "light_in_two_ways": "",
    "tint_without_temperature": "that",
    "lightness_without_spot": "that",
    "no_plan_to_say_that_of": "",
    "not_looked_at": "check one first",
    "dab_unknown": "",
    "whose_dab": "; or print a dab card, which tells of itself",
    "nothing_done": "",
    "anew_and_corrected": ": tell only what is in it, where that is not the recipe",
    "correction_of_the_whole": "",
    "no_correction_told": "say what you added instead",
    "no_such_amount": ", such as 20",
    "nothing_to_learn": "check one first",
}
"""What to do about it where no door says it in its own way."""
