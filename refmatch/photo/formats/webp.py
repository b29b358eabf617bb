"""WebP: 8 bits, lossy or lossless; of a moving one, the first picture."""

from __future__ import annotations

from refmatch.photo.decoded import Decoded, by_channels
from refmatch.photo.header import open_header, said_by


def decode_webp(data: bytes, name: str) -> Decoded:
    """Decode a WebP."""
    import imagecodecs
    from PIL.WebPImagePlugin import WebPImageFile

    header = open_header(WebPImageFile, data, name)
    samples, kind = by_channels(imagecodecs.webp_decode(data))
    return Decoded(samples, kind, 8, **said_by(header))
