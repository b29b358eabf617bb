"""The light that the painter says it was: so many kelvin, and so much tint.

The number means what a camera set to daylight of about 5000 K would have seen,
because the photo's own white is D50. A camera that balanced the lamp itself has
already removed some of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from refmatch.errors import BalanceError
from refmatch.photo.light.balance import BalanceRequest, SeenLight
from refmatch.photo.light.locus import Temperature, light_of

if TYPE_CHECKING:
    from refmatch.photo.photo import Photo


def given_temperature(photo: Photo, request: BalanceRequest) -> SeenLight:
    """Return the light of the temperature and tint that the request states.

    Raises:
        BalanceError: the request states no temperature.
    """
    if request.kelvin is None:
        raise BalanceError("temperature_not_stated")
    return SeenLight(light_of(Temperature(request.kelvin, request.duv)))
