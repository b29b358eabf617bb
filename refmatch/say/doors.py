"""What is said of what comes in and goes out: colours as numbers, files, the studio's address."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence


def _stronger_than_any_surface(label: str, lab: Sequence[float]) -> str:
    return (
        f"{label} {lab[0]:g},{lab[1]:g},{lab[2]:g} is stronger than any surface can look at that "
        "lightness; check the numbers, or bring a* and b* nearer to 0."
    )


SENTENCES: dict[str, Sentence] = {
    # disk
    "output_is_folder": "'{path}' is a folder; give the name of a file to write.",
    "output_folder_missing": (
        "The folder '{folder}' is not there; make it first or choose another place."
    ),
    "disk_full": "The disk is full: '{path}' was not written; free some space and try again.",
    "output_not_allowed": (
        "The folder '{folder}' does not let '{file}' be written; choose another one."
    ),
    "output_is_link": "'{path}' is a link; put a file or folder of its own in its place.",
    "output_not_written": "'{path}' could not be written ({reason}); try another place.",
    # target
    "not_a_lab": '{label} is not three numbers L*,a*,b*; write it like "62,14,38".',
    "lightness_out_of_range": (
        "{label} has L* {lstar:g}; lightness lies between 0 (black) and 100 (white)."
    ),
    "stronger_than_any_surface": _stronger_than_any_surface,
    # the studio
    "port_not_served": (
        "The studio cannot be served on {address}, port {port} ({reason}); {remedy}."
    ),
    "no_network": "This machine is on no network; join one, or {remedy}.",
    "address_on_the_internet": (
        "This machine's address {address} is open to the whole internet; "
        "share the studio only behind a router of your own."
    ),
}

REMEDIES: dict[str, Sentence] = {
    "port_not_served": "choose another port, or none",
    "no_network": "start the studio unshared",
}
