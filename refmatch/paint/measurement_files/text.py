"""From bytes to lines, whichever system and decade the file is from."""

from __future__ import annotations

import codecs
import re

LINE_END = re.compile(r"\r\n|\n|\r")
UTF16_BOMS = {codecs.BOM_UTF16_LE: "utf-16-le", codecs.BOM_UTF16_BE: "utf-16-be"}


def decoded(data: bytes) -> str:
    """Return the text of a file in UTF-8, UTF-16 or Latin-1, with or without a mark.

    Without a mark: UTF-16 where every other byte is mostly zero (ASCII in two
    bytes each), UTF-8 where the bytes allow it, else Latin-1, which always can.
    """
    text = data.decode(_encoding(data), errors="replace")
    return text.removeprefix("\ufeff")


def lines(text: str) -> list[str]:
    """Return the lines of a text with Windows, Unix or old Macintosh ends.

    Only these end a line: `str.splitlines` would also break at form feeds and
    at Latin-1's control characters, and the line numbers would be wrong.
    """
    return LINE_END.split(text)


def _encoding(data: bytes) -> str:
    for mark, encoding in UTF16_BOMS.items():
        if data.startswith(mark):
            return encoding
    head = data[:2000]
    for encoding, zeros in (("utf-16-le", head[1::2]), ("utf-16-be", head[0::2])):
        if len(zeros) > 10 and zeros.count(0) > 0.7 * len(zeros):
            return encoding
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "latin-1"
    return "utf-8"
