"""Camera raw: what the sensor counted, developed plainly, so that the samples are light."""

from __future__ import annotations

import io

from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.decoded import Decoded, check_size
from refmatch.photo.space import PROPHOTO_LINEAR

DEVELOPED = Flag("raw_developed")


def decode_raw(data: bytes, name: str) -> Decoded:
    """Develop a raw file: the camera's own white balance, no tone curve, no brightening.

    The samples are 16-bit ROMM RGB, linear in light, already upright.

    Raises:
        PhotoError: the library of the extra ``raw`` is not installed.
    """
    try:
        import rawpy
    except ImportError as error:
        raise PhotoError("photo_is_raw", file=name) from error
    with rawpy.imread(io.BytesIO(data)) as raw:
        check_size(raw.sizes.width, raw.sizes.height, name)
        samples = raw.postprocess(
            output_color=rawpy.ColorSpace.ProPhoto,
            output_bps=16,
            gamma=(1.0, 1.0),
            no_auto_bright=True,
            use_camera_wb=True,
        )
    return Decoded(samples, "rgb", 16, stated_space=PROPHOTO_LINEAR, flags=(DEVELOPED,))
