"""What to do about it at the prompt: options and commands; by the names of `refmatch.say`."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

REMEDIES: dict[str, Sentence] = {
    "box_file_not_read": "make one with 'refmatch box new'",
    "port_not_served": "choose another --port, or none",
    "no_network": "start the studio without --share",
    "nothing_to_plan": "give a --hole, or leave them all out",
    "typeface_missing": "install it with 'pip install {package}'",
}
