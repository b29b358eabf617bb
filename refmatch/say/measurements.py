"""What is said of measurements, and of the plan of what was painted for them.

Most of it begins with the place in the file where the trouble stands.
"""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence

LONGEST_CELL = 40
"""So many letters of a cell are said."""


def _listed(names: Sequence[str], most: int = 6) -> str:
    """Return names for a sentence, the first few and how many more."""
    shown = ", ".join(names[:most])
    return f"{shown} and {len(names) - most} more" if len(names) > most else shown


def _tables_on_two_scales(place: str, percent: bool, first_line: int) -> str:
    return (
        f"{place} begins spectra that look like {'percent' if percent else 'fractions'}, but those "
        f"of line {first_line} do not; name the fields SPECTRAL_PCT400 and so on, or "
        "SPECTRAL_DEC400 and so on."
    )


def _field_of_three_wrong(place: str, field: str, fields: Sequence[str], is_missing: bool) -> str:
    wrong = "lacks" if is_missing else "names more than once"
    return f"{place} {wrong} the field {field}; {', '.join(fields)} go together."


def _field_without_number(place: str, cell: str, field: str) -> str:
    shown = cell if len(cell) <= LONGEST_CELL else f"{cell[:LONGEST_CELL]}..."
    has = f"has '{shown}'" if cell else "has nothing"
    return f"{place} {has} where the field {field} needs a number."


def _count_not_held(place: str, key: str, declared: str, count: int) -> str:
    kind = "fields are named" if key == "NUMBER_OF_FIELDS" else "sets follow"
    return (
        f"{place} says {key} {declared}, but {count} {kind}; the file may be cut or mended "
        "wrongly, so export it again."
    )


def _block_not_closed(place: str, mark: str) -> str:
    end = mark.replace("BEGIN", "END")
    return f"{place} has {mark}, but no {end} follows; the file seems to be cut short."


def _objects_without_colour(names: Sequence[str]) -> str:
    return f"No usable reflectance or colour is given for {_listed(names)}; they were left out."


def _several_spectra(place: str, count: int, specular: str) -> str:
    wanted = f" with the specular {specular}" if specular else ""
    return (
        f"{place} has {count or 'no'} spectra{wanted}; say whether the specular is included or "
        "excluded, or export one spectrum each."
    )


def _sample_measured_twice(place: str, sample: str, first_line: int | None) -> str:
    both = "" if first_line is None else f", first in line {first_line}"
    return (
        f"{place} has the sample '{sample}' a second time{both}; give each measurement a "
        "SAMPLE_ID of its own."
    )


def _viewing_not_stated(names: Sequence[str]) -> str:
    return (
        "The file does not say under which illuminant and observer the Lab of "
        f"{_listed(names)} holds; D50 and 2 degrees are assumed."
    )


def _other_viewing(names: Sequence[str], illuminant: str, observer: str, ours: str) -> str:
    return (
        f"The Lab of {_listed(names)} holds under {illuminant} and {observer}, not under D50 and "
        f"{ours}; spectra would serve any light."
    )


def _lab_disagrees(names: Sequence[str], most: float) -> str:
    return (
        f"The Lab of {_listed(names)} differs by up to {most:.1f} ΔE00 from that of the spectra "
        "beside it; check how the file was exported. The spectra are used."
    )


def _lab_impossible(place: str, lab: Sequence[float]) -> str:
    return f"{place} has Lab {lab[0]:g}, {lab[1]:g}, {lab[2]:g}, which no surface can have."


def _xyz_impossible(place: str, xyz: Sequence[float]) -> str:
    return f"{place} has XYZ {xyz[0]:g}, {xyz[1]:g}, {xyz[2]:g}; Y lies between 0 and 100."


def _xyz_under_other_light(place: str, illuminant: str, observer: str) -> str:
    return (
        f"{place} has XYZ under {illuminant or 'an unnamed light'} and {observer}; export spectra "
        "or Lab instead."
    )


def _below_zero(names: Sequence[str]) -> str:
    return f"The reflectance of {_listed(names)} fell a little below zero; it was taken as 0."


def _planned_name_shared(place: str, sample: str, names: Sequence[str]) -> str:
    return f"{place} plans '{sample}', the name of several: {_listed(names)}; say which."


def _planned_not_measured(
    place: str, sample: str, near: Sequence[str], known: Sequence[str]
) -> str:
    hint = f"did you mean {' or '.join(near)}" if near else f"it holds {_listed(known)}"
    return f"{place} plans '{sample}', which the measurements do not hold; {hint}."


def _not_planned(names: Sequence[str]) -> str:
    return f"The plan does not speak of {_listed(names)}; these measurements were not used."


def _plan_word_unknown(place: str, column: str, word: str, known: Sequence[str]) -> str:
    return f"{place} has the {column} '{word}'; it is {', '.join(known)}."


def _plan_empty(place: str, columns: Sequence[str]) -> str:
    return f"{place} is empty; begin with the row {','.join(columns)}."


def _plan_column_unknown(
    place: str, column: str, near: Sequence[str], columns: Sequence[str]
) -> str:
    hint = f"did you mean {near[0]}" if near else f"the columns are {', '.join(columns)}"
    return f"{place} names the column '{column}', unknown to a plan; {hint}."


def _plan_column_missing(place: str, column: str, columns: Sequence[str]) -> str:
    return f"{place} names no column {column}; begin with the row {','.join(columns)}."


def _of_unknown_kind(path: str, kinds: Sequence[str]) -> str:
    return f"'{path}' is no measurement file of a known kind; export it as {' or '.join(kinds)}."


def _file_too_large(path: str, most_bytes: int) -> str:
    return f"'{path}' is larger than {most_bytes // 1_000_000} megabytes; export fewer samples."


SENTENCES: dict[str, Sentence] = {
    # model: the places where something stands
    "in_file": "'{where}'",
    "at_line": "Line {line} of '{where}'",
    "at_object": "The object '{item}' of '{where}'",
    # readers
    "measurement_file_of_unknown_kind": _of_unknown_kind,
    "measurement_file_not_read": (
        "The measurement file '{path}' cannot be read ({reason}); check its name."
    ),
    "measurement_file_too_large": _file_too_large,
    # cgats
    "no_samples": "{place} holds no samples between BEGIN_DATA and END_DATA.",
    "tables_on_two_scales": _tables_on_two_scales,
    # cgats_fields
    "samples_not_told_apart": (
        "{place} names no field SAMPLE_ID or SAMPLE_NAME to tell the samples apart."
    ),
    "wavelengths_in_two_ways": (
        "{place} names wavelengths both as fields and as values; keep one of them."
    ),
    "wavelength_twice": "{place} names the wavelength {nm:g} nm twice; keep one set of spectra.",
    "fields_without_colour": (
        "{place} names no spectrum (SPECTRAL_NM400, NM_400, R_400 ...), no LAB_L and no XYZ_X."
    ),
    "wavelengths_without_values": (
        "{place} names SPECTRAL_NM {wavelengths} times, but {values} values (SPECTRAL_PCT or "
        "SPECTRAL_DEC) for it."
    ),
    "field_of_three_wrong": _field_of_three_wrong,
    "two_scales_named": "{place} names both SPECTRAL_PCT and SPECTRAL_DEC; keep one of them.",
    # cgats_rows
    "other_wavelengths": (
        "{place} has other wavelengths than line {first_line}; keep samples of each kind in a "
        "table of their own."
    ),
    "xyz_scale_unknown": (
        "{place} names XYZ, but no Y is above {most:g}; write them so that a perfect white has "
        "Y = 100."
    ),
    "field_without_number": _field_without_number,
    "row_without_sample": "{place} names no sample; give it a SAMPLE_ID.",
    # cgats_tables
    "data_without_fields": "{place} begins data whose fields nothing names.",
    "end_without_begin": "{place} has {mark}, but nothing was begun.",
    "quote_not_closed": "{place} has a quote that never closes.",
    "values_miscounted": (
        "{place} holds {values} values for {fields} fields; is one missing, or does a "
        "name with spaces lack its quotes?"
    ),
    "count_not_held": _count_not_held,
    "block_not_closed": _block_not_closed,
    # cgats_write
    "nothing_to_write": (
        "The reading '{sample}' has no sample_id, or nothing measured; leave it out."
    ),
    # cxf
    "no_coloured_objects": "{place} holds no object with a reflectance spectrum, CIELAB or XYZ.",
    "document_type_declared": "{place} declares a document type, which no CxF file does.",
    "cxf_library_missing": (
        "CxF files need the Python library colour-cxf; install it with 'pip install colour-cxf'."
    ),
    "cxf_not_whole": "'{where}' is no whole CxF document ({reason}); export it again.",
    "objects_without_colour": _objects_without_colour,
    # cxf_objects
    "interval_inferred": (
        "The file does not state the spacing of its spectra; it was inferred from where they begin "
        "and how many values they have."
    ),
    "several_spectra": _several_spectra,
    "spectrum_without_start": (
        "{place} has a spectrum that does not say where it begins (StartWL)."
    ),
    "numbers_due": "{place} has something else where numbers are due; export it again.",
    "spacing_not_stated": (
        "{place} has {count} values from {start_nm:g} nm, and no spacing (WavelengthRange, "
        "Increment) is stated for them."
    ),
    # gather
    "sample_measured_twice": _sample_measured_twice,
    "viewing_not_stated": _viewing_not_stated,
    "other_viewing": _other_viewing,
    "lab_disagrees": _lab_disagrees,
    # grid
    "spectra_too_short": (
        "{place} has spectra from {first_nm:g} to {last_nm:g} nm; they must reach from "
        "{from_nm:g} or less to {to_nm:g} or more."
    ),
    "too_few_wavelengths": "{place} has a spectrum of fewer than two wavelengths.",
    "not_nanometres": "{place} has the wavelength {wavelength:g}; write nanometres.",
    "wavelengths_uneven": (
        "{place} has wavelengths that are not evenly spaced (see {nm:g} nm); export them so."
    ),
    "wavelengths_too_far_apart": (
        "{place} has spectra in steps of {step_nm:g} nm; the widest of use is {most_nm:g} nm."
    ),
    "ends_extended": (
        "The spectra reach from {first_nm:g} to {last_nm:g} nm only; beyond, each is taken "
        "to stay as it ends, which may shift blues and reds a little."
    ),
    # limits
    "reflectance_impossible": (
        "{place} has a reflectance of {reflectance:.4g} (1 is a perfect white) at {nm:g} nm; "
        "measure that sample again, or leave it out."
    ),
    "lab_impossible": _lab_impossible,
    "xyz_impossible": _xyz_impossible,
    "xyz_under_other_light": _xyz_under_other_light,
    "below_zero": _below_zero,
    # scale
    "scale_taken_as_fractions": (
        "The file does not say whether its spectra are fractions or percent; they are read as "
        "fractions of 1, but would be percent if all its samples were blacks."
    ),
    "percent_contradicted": (
        "{place} names percent (SPECTRAL_PCT), but its values end at {most:g}; if they are "
        "fractions, name the field SPECTRAL_DEC."
    ),
    "scale_not_stated": (
        "{place} does not say whether its spectra are percent, and with {most:g} as the largest "
        "value they may be either; name the fields SPECTRAL_PCT400 and so on, or "
        "SPECTRAL_DEC400 and so on."
    ),
    # plan
    "plan_not_read": "The plan '{path}' cannot be read ({reason}); check its name.",
    "ground_planned_twice": (
        "{place} gives the bare {backing} ground a second time, after line {first_line}; keep one "
        "of them."
    ),
    "plan_without_paint": "{place} plans no sample with paint; give each a row for each tube.",
    "tube_of_two_pigments": (
        "{place} gives the tube '{tube}' the pigment {pigment}, but it was {before} before; one "
        "tube has one pigment."
    ),
    "tube_twice_in_sample": (
        "{place} has the tube '{tube}' in the sample '{sample}' a second time, after line "
        "{first_line}; add its parts up in one row."
    ),
    "row_without_tube": (
        "{place} names no tube, but the sample '{sample}' has other rows; a bare ground is a "
        "sample of its own."
    ),
    "row_of_nothing": (
        "{place} names no tube and no ground; name the tube, or say whether it is the bare white "
        "or the bare black ground."
    ),
    "plan_word_unknown": _plan_word_unknown,
    "plan_words_differ": (
        "{place} gives the sample '{sample}' the {column} {word}, but line {first_line} says "
        "{before}; a sample has one."
    ),
    # plan_rows
    "plan_empty": _plan_empty,
    "quotes_not_paired": "{place} has quotes that do not pair; each cell closes its own.",
    "plan_column_unknown": _plan_column_unknown,
    "plan_column_twice": "{place} names the column {column} twice; keep one.",
    "plan_column_missing": _plan_column_missing,
    "plan_cells_too_many": (
        "{place} has more cells than the {columns} columns; quote a name that holds the "
        "separator, and separate columns by semicolons where numbers have commas."
    ),
    "plan_row_without_sample": (
        "{place} names no sample; write its sample_id in each of its rows."
    ),
    "pigment_is_number": (
        "{place} has the pigment '{pigment}', a number; separate columns by semicolons where "
        "numbers have commas."
    ),
    "parts_of_no_tube": (
        "{place} gives {written} parts of no tube; name it, or leave the parts empty."
    ),
    "parts_missing": "{place} says no parts of '{tube}'; 1 if it is alone.",
    "parts_no_number": "{place} has the parts '{written}' of '{tube}', which is no number.",
    "parts_not_above_zero": (
        "{place} has {written} parts of '{tube}'; write how much there is, or drop the row."
    ),
    # pairing
    "measurement_planned_twice": (
        "{place} plans '{sample}', the same measurement as '{before}' in line {first_line}; call "
        "each by its SAMPLE_ID."
    ),
    "planned_name_shared": _planned_name_shared,
    "planned_not_measured": _planned_not_measured,
    "not_planned": _not_planned,
}
