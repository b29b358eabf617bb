"""Leave the photo as the camera gave it.

Cameras balance every photo already, by better means than one picture alone gives
and often to the photographer's taste; without a spot that is known to be grey,
leaving that be is the honest choice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from refmatch.photo.balance.request import BalanceRequest, SeenLight

if TYPE_CHECKING:
    from refmatch.photo.photo import Photo


def as_shot(photo: Photo, request: BalanceRequest) -> SeenLight:
    """Return no light at all, so that nothing is removed."""
    return SeenLight(xyz=None)
