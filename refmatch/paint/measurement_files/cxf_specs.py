"""The colour specifications of a CxF file: how its values were measured and reckoned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from refmatch.paint.measurement_files.model import OBSERVERS
from refmatch.paint.measurement_files.number import number

if TYPE_CHECKING:
    from colour_cxf.cxf3 import ColorSpecification, CxF, MeasurementSpec

SPHERE = {"Specular_Included": "included", "Specular_Excluded": "excluded"}
FIELD_OF_VIEW = {"2_Degree": OBSERVERS["2"], "10_Degree": OBSERVERS["10"]}


@dataclass(frozen=True)
class Specification:
    """One of them; what it does not say is empty, or None."""

    illuminant: str = ""
    observer: str = ""
    specular: str = ""
    start_nm: float | None = None
    step_nm: float | None = None

    @property
    def is_ours(self) -> bool:
        """Whether its colours hold under the tool's own D50 and 2 degrees."""
        return (self.illuminant, self.observer) == ("D50", OBSERVERS["2"])


def specifications(document: CxF) -> dict[str, Specification]:
    """Return the colour specifications of a document by their Id."""
    resources = document.resources
    collection = resources and resources.color_specification_collection
    found = collection.color_specification if collection else []
    return {str(each.id): _specification(each) for each in found}


def said(value: object) -> str:
    """Return the word of a value: an enumeration's, or what stands there in its place."""
    return str(getattr(value, "value", value) or "")


def as_number(value: object) -> float | None:
    """Return an attribute as a number, however the file writes it."""
    return number(str(value).strip()) if value is not None else None


def _specification(raw: ColorSpecification) -> Specification:
    tristimulus, measured = raw.tristimulus_spec, raw.measurement_spec
    light = tristimulus and tristimulus.illuminant_or_custom_illuminant
    observer = tristimulus and tristimulus.observer
    extent = measured and measured.wavelength_range
    return Specification(
        illuminant=said(getattr(light, "value", None)),
        observer=FIELD_OF_VIEW.get(said(observer and observer.value), ""),
        specular=_specular(measured),
        start_nm=as_number(extent and extent.start_wl),
        step_nm=_step(as_number(extent and extent.increment)),
    )


def _step(stated_nm: float | None) -> float | None:
    """Return a spacing that can be one; anything else counts as not stated."""
    return stated_nm if stated_nm is not None and 0.0 < stated_nm < 1000.0 else None


def _specular(measured: MeasurementSpec | None) -> str:
    """Return how the geometry sees the shine: 45/0 does not, a sphere says."""
    choice = getattr(measured and measured.geometry_choice, "choice", None)
    angles = {
        getattr(choice, "illumination_angle", None),
        getattr(choice, "measurement_angle", None),
    }
    return "excluded" if angles == {45.0, 0.0} else SPHERE.get(said(choice), "")
