"""No character vanishes: what the typeface lacks is printed by its code point."""

from __future__ import annotations

import string
import unicodedata

import pytest

from refmatch.cli.remedies import REMEDIES
from refmatch.errors import LibraryMissing
from refmatch.sheet import pen
from tests.refusals import refused


@pytest.mark.parametrize(
    "text",
    [
        string.ascii_letters + string.digits + string.punctuation,
        "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ αβγδεζηθικλμνξοπρςστυφχψω άέήίόύώϊϋΐΰ",
        "àâäãåæçéèêëíìîïñóòôöõøœúùûüýÿß ÀÂÄÃÅÆÇÉÈÊËÍÌÎÏÑÓÒÔÖÕØŒÚÙÛÜÝŸẞ",
        "ąćęłńóśźż čďěňřšťůž ăâîșț ğış őű ðþ đ",
        "→ ← ↑ ↓ Δ ° × – — − ½ ¼ ¾ ± ≈ ≤ ≥ … • · “ ” ‘ ’ « »",
        "АБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ абвгдежзийклмнопрстуфхцчшщъыьэюя",
    ],
)
def test_european_letters_and_signs_are_in_the_typeface(text):
    assert pen.visible(text) == unicodedata.normalize("NFC", text)


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("汉", "[U+6C49]"),
        ("🎨", "[U+1F3A8]"),
        ("a\nb\tc", "a b c"),
        ("n\u0303", "ñ"),
        ("five\u2009ml", "five\u00a0ml"),
        ("blue\u2011green", "blue-green"),
        ("e\u200bf\u202e", "ef"),
    ],
)
def test_other_characters_are_replaced_in_sight(text, printed):
    assert pen.visible(text) == printed


def test_every_face_can_print_what_is_called_printable():
    from reportlab.pdfbase import pdfmetrics

    pen.register()
    for name in pen.FILES:
        glyphs = pdfmetrics.getFont(name).face.charToGlyph
        assert all(ord(c) in glyphs for c in pen.visible("Ζωγράφος → ocre jaune ñ 汉 ½ ΔE"))


def test_what_is_too_long_is_cut_with_an_ellipsis():
    short = pen.fitted("a very long title " * 9, pen.PLAIN, 10.0, 100.0)
    assert short.endswith("…")
    assert pen.width(short, pen.PLAIN, 10.0) <= 100.0
    assert pen.fitted("short", pen.PLAIN, 10.0, 100.0) == "short"


def test_a_missing_typeface_is_told(monkeypatch):
    def nowhere(name: str):
        raise ModuleNotFoundError(name)

    monkeypatch.setattr(pen, "files", nowhere)
    with refused(LibraryMissing, match="install the package fontpkg-fira-sans"):
        pen.register.__wrapped__()
    with refused(LibraryMissing, match="'pip install fontpkg-fira-sans'", remedies=REMEDIES):
        pen.register.__wrapped__()
