"""Make the still pictures of the documents: ``python docs/derivations/pictures.py``.

Needs the extra ``test`` (PyMuPDF draws the page of the PDF as a picture).
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import pymupdf
from PIL import Image

ROOT = Path(__file__).parents[2]
PHOTO = ROOT / "sample_images" / "garden-table.jpg"
CARD_PHOTO = ROOT / "sample_images" / "calibration-card.jpg"
PICTURES = ROOT / "docs" / "pictures"
NEUTRAL = ("--neutral", "1709,1146,38", "--neutral-value", "49.5")
HOLES = (
    "983,896,120=pear",
    "806,790,120=pear turning",
    "1258,736,120=jug",
    "1568,640,110=jug turning away",
    "1578,930,90=plum",
    "115,748,120=linen",
    "1248,1190,110=wood",
    "200,150,140=hedge",
    "1300,300,120=jug neck",
)


def refmatch(*words: str) -> None:
    """Run the command line."""
    script = Path(sys.executable).with_name("refmatch")
    subprocess.run([str(script), *words], check=True, stdout=subprocess.DEVNULL)


def main() -> None:
    """Write the three pictures."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        sheet = Path(folder) / "sheet.pdf"
        refmatch("sheet", str(PHOTO), *NEUTRAL, "--keep-light", "20", "--out", str(sheet))
        pymupdf.open(sheet)[2].get_pixmap(dpi=100).save(PICTURES / "sheet-page.png")
    card = PICTURES / "card.png"
    holes = [word for hole in HOLES for word in ("--hole", hole)]
    refmatch("sample", str(PHOTO), *NEUTRAL, *holes, "--card-out", str(card))
    with Image.open(CARD_PHOTO) as painted:
        small = painted.resize((684, 912), Image.Resampling.LANCZOS)
    small.save(PICTURES / "calibration-card.jpg", quality=85)


if __name__ == "__main__":
    main()
