"""The formats of photo files: a format a file, each a function from bytes to `Decoded`."""

from __future__ import annotations
