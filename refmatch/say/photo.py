"""What is said of photos, their light, holes and masses."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence

_KNOWN_OF_LIGHT = {
    "keep_light": ("The part of the light to keep", "%"),
    "neutral_lstar": ("The lightness of the neutral spot", "L*"),
    "white_lstar": ("The lightness of the white spot", "L*"),
    "duv": ("The tint of the light", "Duv"),
    "kelvin": ("The light's temperature", "K"),
}

_CROP = "write LEFT,TOP,WIDTH,HEIGHT in pixels or percent, such as 10%,0,80%,100%"


def _unknown_balance_method(method: str, methods: Sequence[str]) -> str:
    *most, last = methods
    return f"There is no balance method '{method}'; choose {', '.join(most)} or {last}."


def _cast_suspected(kelvin: float, duv: float) -> str:
    from refmatch.photo.light.locus import Temperature
    from refmatch.say.light import cast_words

    return (
        f"The photo seems to have a cast ({cast_words(Temperature(kelvin, duv))}) and is left as "
        "shot; give a neutral spot, or balance by 'grey-world', to take it out."
    )


def _clipped(of: str = "dab", share: float = 0.0, dab: str = "") -> str:
    """Say what is clipped: a hole, the photo, or a dab on a printed card."""
    if of == "dab":
        return f"'{dab}' is blown out in a channel: how bright it is there is only a bound."
    if of == "hole":
        return (
            f"In {100.0 * share:.0f} % of this hole the photo is clipped (burnt out or lost in "
            "black): the true colour is lost there."
        )
    digits = 1 if share < 0.01 else 0
    return (
        f"{100.0 * share:.{digits}f} % of the photo is clipped (burnt out, lost in black, or "
        "stronger than the camera could record): no colour can be read there."
    )


def _light_out_of_range(what: str, number: float, low: float, high: float) -> str:
    named, unit = _KNOWN_OF_LIGHT[what]
    return f"{named} cannot be {number:g} {unit}; give a number from {low:g} to {high:g}."


def _uneven(dab: str = "", percent: float = 0.0) -> str:
    """Say it of a dab on a printed card, or of a hole where no dab is named."""
    if dab:
        return (
            f"'{dab}' is uneven: {percent:.0f} % of its window is left out; paint it flat and to "
            "the edge."
        )
    return "This hole is uneven; it is measured by its mean light."


def _known_spot_clipped(kind: str, share: float) -> str:
    return (
        f"The {kind} spot is clipped (burnt out or lost in black) in {100.0 * share:.0f} % "
        "of it, so its colour is lost; choose a spot in softer light."
    )


def _at_spot(kind: str, seen: str) -> str:
    return f"At the {kind} spot: {seen[0].lower()}{seen[1:]}"


def _exposure_far_off(kind: str, seen_lstar: float, stated_lstar: float, stops: float) -> str:
    turned = "lightened" if stops > 0.0 else "darkened"
    return (
        f"The {kind} spot is L* {seen_lstar:.0f} in the photo and was stated as "
        f"{stated_lstar:.0f}: the whole photo is {turned} by {abs(stops):.1f} stops; check the "
        "stated lightness."
    )


def _unknown_card_ground(ground: str, known: Sequence[str]) -> str:
    return f"There is no ground '{ground}' for the card; choose one of {', '.join(known)}."


def _photo_of_too_many_pixels(file: str, width_px: int, height_px: int, most: int) -> str:
    return (
        f"'{file}' has {width_px} x {height_px} pixels, more than the {most // 1_000_000} million "
        "this program takes; save it smaller."
    )


def _photo_file_too_large(path: str, most_bytes: int) -> str:
    return f"'{path}' is over {most_bytes >> 30} gigabytes; save a smaller photo."


def _specks_left_out(share: float) -> str:
    return (
        f"{100.0 * share:.0f} % of this hole, glints or specks, is left out; if they belong to "
        "the colour, punch a wider hole."
    )


def _few_values(values: int) -> str:
    has = "one value" if values == 1 else f"{values} different values"
    return f"The picture has only {has}, so its value study shows no more."


SENTENCES: dict[str, Sentence] = {
    # the light
    "unknown_balance_method": _unknown_balance_method,
    "cast_suspected": _cast_suspected,
    "light_beyond_colours": (
        "No light that one can see by has so strong a colour, so it cannot be taken out; "
        "bring the tint nearer to 0, or give a spot that is truly grey."
    ),
    "clipped": _clipped,
    "temperature_not_stated": (
        "Balancing by temperature needs the light's temperature; "
        "state it in kelvin, such as 2700 for a warm lamp."
    ),
    # guesses
    "light_not_to_be_guessed": (
        "Hardly any of this photo is neither burnt out nor black, so its light cannot be "
        "guessed; leave it as shot, or give a neutral spot."
    ),
    "one_hue": (
        "Nearly all the colour in this photo is {hue}: a guess takes that for the light. Give a "
        "neutral spot if there is one, or leave the photo as shot."
    ),
    "estimates_disagree": (
        "The two ways of guessing the light differ by {degrees:.0f} degrees here; "
        "trust neither without looking."
    ),
    "unlikely_light": (
        "No lamp or sky has the colour that was guessed for the light here; it is more "
        "likely the colour of the things."
    ),
    "light_out_of_range": _light_out_of_range,
    # a spot
    "neutral_spot_missing": (
        "Balancing by a neutral spot needs the spot; "
        "say where something grey is, such as a grey card."
    ),
    "white_spot_missing": (
        "Balancing by a white spot needs the spot; "
        "say where something white is that is not burnt out."
    ),
    "known_spot_clipped": _known_spot_clipped,
    "known_spot_black": (
        "The {kind} spot is nearly black (L* {lstar:.0f}), too dark to tell its colour; "
        "choose a lighter one."
    ),
    "spot_partly_outside": _at_spot,
    "spot_too_few_pixels": _at_spot,
    "spot_clipped": _at_spot,
    "spot_two_colours": _at_spot,
    "spot_uneven": _at_spot,
    "spot_specks_left_out": _at_spot,
    "spot_coloured": (
        "The {kind} spot is strongly coloured in this photo, more than lamps or the sky "
        "would make it; make sure that the thing itself has no colour."
    ),
    "exposure_far_off": _exposure_far_off,
    # card_view
    "unknown_card_ground": _unknown_card_ground,
    # crop
    "crop_malformed": f"'{{crop}}' is not a crop; {_CROP}.",
    "crop_outside_photo": (
        "The crop '{crop}' does not lie within the photo, which is "
        f"{{width_px}} x {{height_px}} pixels; {_CROP}."
    ),
    "proportion_malformed": (
        "'{proportion}' is not a proportion; write WIDTH:HEIGHT of the canvas, such as 3:4 or "
        "50:70."
    ),
    # decode
    "photo_file_empty": "'{file}' is empty; copy the photo again from where it came.",
    "photo_of_unknown_format": (
        "'{file}' is not a JPEG, PNG, TIFF, WebP, HEIC or AVIF photo, whatever its name says; "
        "save or export it as one of these."
    ),
    "photo_library_missing": (
        "'{file}' cannot be read: a library is missing ({reason}); install refmatch anew."
    ),
    "photo_too_large_for_memory": (
        "'{file}' does not fit into this computer's memory; save it smaller."
    ),
    "photo_damaged": (
        "'{file}' is damaged or cut short and cannot be read; "
        "copy it again from the camera or phone."
    ),
    # families
    "families_out_of_range": "{count} masses cannot be found; ask for 1 to {most}.",
    # formats
    "heic_library_missing": (
        "HEIC photos need the Python library pillow-heif; install it, or save a JPEG."
    ),
    "photo_high_dynamic_range": (
        "'{file}' is a high dynamic range photo; export it as an ordinary JPEG or HEIC."
    ),
    "photo_cut_short": "'{file}' is cut short; copy it again from the camera or phone.",
    "not_numbers": "Some samples of the photo are not numbers; they count as clipped.",
    "photo_is_raw": (
        "'{file}' is a camera's raw file; develop it first and save a 16-bit TIFF, or install the "
        "Python library rawpy, which refmatch then develops it with."
    ),
    "raw_developed": (
        "The raw file is developed plainly, by the camera's white balance and without a tone "
        "curve; it may look darker than the camera's own picture."
    ),
    "gain_map_left": (
        "The photo brings a second picture for screens of high dynamic range; the ordinary one "
        "is used."
    ),
    "several_pictures": "The file holds several pictures; the first is used.",
    "photo_of_too_many_scans": (
        "'{file}' draws its picture in {scans} passes, more than any camera or program needs; "
        "export it again as an ordinary JPEG."
    ),
    "tiff_of_odd_colours": "'{file}' is a TIFF in {space}; save it as an RGB TIFF.",
    "tiff_of_odd_numbers": ("'{file}' holds {numbers} numbers; save it as a TIFF of 8 or 16 bits."),
    "tiff_floats_above_white": (
        "'{file}' holds floats far above 1, its white; save it as a TIFF of 16 bits."
    ),
    # header
    "photo_without_pixels": "'{file}' has no pixels; export the photo again.",
    "photo_too_small": (
        "'{file}' has {width_px} x {height_px} pixels; colours cannot be told apart below "
        "{least}, so take the photo itself and not its thumbnail."
    ),
    "photo_of_too_many_pixels": _photo_of_too_many_pixels,
    # hole
    "hole_without_width": "The hole '{hole}' has no width; give it a diameter above 0.",
    "hole_outside_photo": (
        "The hole '{hole}' at {x_px:g},{y_px:g} lies outside the photo, which is "
        "{width_px} x {height_px} pixels; move it inside."
    ),
    "hole_on_nothing": (
        "The hole '{hole}' at {x_px:g},{y_px:g} lies where the photo is transparent; move it onto "
        "the picture."
    ),
    # load
    "greyscale": "The photo is in shades of grey: it tells value, not hue or chroma.",
    "transparent_left_out": "The photo is transparent in places; they are left out.",
    "photo_all_transparent": "'{file}' is transparent all over; export the photo again.",
    "photo_is_folder": "'{path}' is a folder; give the name of a photo.",
    "photo_is_no_file": "'{path}' is not a file; give the name of a photo.",
    "photo_file_too_large": _photo_file_too_large,
    "photo_missing": "There is no photo '{path}'; check the name and the folder.",
    "photo_not_opened": (
        "The photo '{path}' cannot be opened ({reason}); check that you may read it."
    ),
    # mask
    "partly_outside": (
        "Part of this hole lies outside the photo, or where it is transparent; only the rest is "
        "measured."
    ),
    "too_few_pixels": (
        "This hole covers only {pixels:.0f} pixels; make it wider for a colour to trust."
    ),
    "two_colours": "Two colours meet in this hole; punch one for each.",
    "uneven": _uneven,
    "specks_left_out": _specks_left_out,
    # opencv
    "opencv_missing": (
        "OpenCV cannot start ({reason}); on a bare server install what it needs with "
        "'apt-get install libgl1 libglib2.0-0'."
    ),
    # place
    "place_malformed": (
        "'{written}' is not a place on a photo; write X,Y or X,Y,DIAMETER in pixels or percent "
        "and a name if you like, such as 640,410,30=pear or 25%,60%."
    ),
    "place_without_width": (
        "'{written}' has a diameter of nothing; give one above 0, such as 640,410,30."
    ),
    # profile
    "assumed_srgb": "The photo carries no colour profile; it is taken as sRGB.",
    "profile_unreadable": "The photo's colour profile cannot be read; it is taken as sRGB.",
    "space_stated": (
        "The photo carries no colour profile but names its colour space; that is used."
    ),
    "inks_without_profile": (
        "'{file}' is in printing inks (CMYK) without a profile that says how they look; "
        "save it as an RGB photo."
    ),
    # values
    "long_side_not_offered": "A study {side} pixels long is not drawn; ask for {least} to {most}.",
    "unknown_value_levels": "A study in {levels} values is not made; ask for 2, 3, 5 or 7.",
    "few_values": _few_values,
}
