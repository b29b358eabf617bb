"""What to do about it at the prompt: options and commands; by the names of `refmatch.say`."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

_CARD = "print the card again with 'refmatch card --painting FOLDER'"

REMEDIES: dict[str, Sentence] = {
    "card_of_another_box": "give the .json that was written with the card you photographed",
    "card_of_another_painting": "print its card with 'refmatch card --painting FOLDER' and paint "
    "on that one",
    "grey_too_bright": "make the card again with the right --neutral-value",
    "no_dab_card": "print one with 'refmatch card --painting FOLDER'",
    "card_file_unreadable": "'refmatch card' writes it beside the PDF",
    "no_card_file": "give the .json that 'refmatch card' wrote with the PDF",
    "no_target_stands": _CARD,
    "target_changed": _CARD,
    "target_not_on_card": _CARD,
    "no_own_light": "leave --light out, or name the lamp",
    "nothing_known_beside": "point to a grey card with --neutral X,Y,D, or to a dab of known Lab "
    "with --reference-hole and --reference-lab",
    "nothing_known_by_hand": "point to a grey card with --neutral X,Y,D, or lay a chart beside the "
    "dabs",
    "no_canvas_seen": "point to them with --corners X,Y X,Y X,Y X,Y",
    "no_such_corners": "give --corners X,Y X,Y X,Y X,Y",
    "canvas_unsure": "look at its corners with --json, or point to them with --corners X,Y X,Y X,Y "
    "X,Y",
    "canvas_light_unknown": "point to a grey card with --neutral X,Y,D, or lay a 24-patch chart "
    "beside it",
    "no_black": "leave --black-hole out",
    "not_looked_at": "'refmatch check PHOTO --painting FOLDER --target-label \"{target}\"' begins",
    "dab_unknown": ': --hole X,Y,D, --target "L,a,b", --recipe "TUBE=PARTS"; or give a --painting, '
    "which knows",
    "whose_dab": ", with --target-label LABEL; or print a dab card with 'refmatch card --painting "
    "FOLDER', which tells of itself",
    "nothing_done": ": the number of the correction told, or --added TUBE=PARTS, --divided, or "
    "--mixed-anew",
    "anew_and_corrected": ": with --mixed-anew only --added may stand, for all that is in it where "
    "that is not the recipe",
    "correction_of_the_whole": ', such as --divided --added "{tube}={parts:g}"',
    "no_correction_told": "say what you added with --added TUBE=PARTS",
    "no_such_amount": ", such as --amount 20",
    "nothing_to_learn": "'refmatch check PHOTO --painting FOLDER' begins",
    "specular_stated": "leave --specular out",
    "specular_unknown": "--specular included or excluded",
    "taken_back": "; 'refmatch box learn' takes it in again",
    "pigment_without_neighbour": '--neighbour "{tube}=PIGMENT"',
    "box_file_not_read": "make one with 'refmatch box new'",
    "port_not_served": "choose another --port, or none",
    "no_network": "start the studio without --share",
    "no_dry_dab": "look at one with 'refmatch check PHOTO --painting FOLDER --state dry "
    '--target-label "{label}"\', or give its colour: --dry "{label}=L,a,b"',
    "nothing_to_plan": "give a --hole, or leave them all out",
    "typeface_missing": "install it with 'pip install {package}'",
    "no_painting_here": "; 'refmatch sheet' can begin one",
    "painting_damaged": "'refmatch painting rescue FOLDER' goes on from it",
    "kept_there": ", or write over it with --replace",
    "written_meanwhile": ", or write over it with --replace",
    "shelf_not_made": " with --paintings",
    "advice_for_no_mix": ": --painting FOLDER",
    "light_as_it_was_found": ", with --neutral, --white, --kelvin or --balance",
    "light_in_two_ways": ": --neutral, --white or --kelvin, or choose with --balance",
    "tint_without_temperature": "--kelvin",
    "lightness_without_spot": "--neutral",
    "grid_without_canvas": " with --canvas 40x30",
    "no_class_here": "'refmatch class new FOLDER PHOTO' begins one",
    "class_empty": "'refmatch class add FOLDER --student NAME' adds somebody",
    "student_taken": "or write over that one with --replace",
    "no_plan_to_say_that_of": "; add --plan, or leave out --palette and --no-key",
}
