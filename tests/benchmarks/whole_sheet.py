"""A sheet of twelve colours from a 24-megapixel JPEG: time, and peak memory.

Run by hand: ``python -m tests.benchmarks.whole_sheet``. Time is told against plain
decoding of the same file in the same run, memory against the decoded 8-bit photo;
the second figure of each leaves out what Python and the libraries take by themselves.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.families_speed import COLUMNS, ROWS, large_jpeg

DECODED = ROWS * COLUMNS * 3
HOLES = [f"{8 + 7 * i}%,{10 + 6.5 * i}%,80" for i in range(12)]
PEAK = "print(re.search(r'VmHWM:\\s+(\\d+)', open('/proc/self/status').read())[1])"
DECODE = (
    "import re, sys, time, imagecodecs\n"
    "data = open(sys.argv[1], 'rb').read()\n"
    "start = time.perf_counter(); imagecodecs.jpeg_decode(data)\n"
    f"print(time.perf_counter() - start)\n{PEAK}"
)
SHEET = (
    "import re, sys, time\n"
    "from refmatch.cli.main import main\n"
    "start = time.perf_counter(); sys.argv[0] = 'refmatch'\n"
    "try: main()\n"
    "except SystemExit: pass\n"
    f"print(time.perf_counter() - start)\n{PEAK}"
)
IDLE = (
    "import re, cv2, imagecodecs, reportlab.pdfgen.canvas, cattrs, PIL.Image\n"
    f"import refmatch.painting.reckon, refmatch.cli.keeping\nprint(0)\n{PEAK}"
)


def run(script: str, *words: str) -> tuple[float, float]:
    """Return seconds and peak bytes of a fresh process."""
    ran = subprocess.run(
        [sys.executable, "-c", script, *words], capture_output=True, text=True, check=True
    )
    seconds, peak = ran.stdout.split()[-2:]
    return float(seconds), 1024.0 * float(peak)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        photo, out = Path(folder) / "large.jpg", Path(folder) / "sheet.pdf"
        photo.write_bytes(large_jpeg())
        holes = [word for hole in HOLES for word in ("--hole", hole)]
        decodes = [run(DECODE, str(photo))[0] for _ in range(5)]
        sheets = [run(SHEET, "sheet", str(photo), "--out", str(out), *holes) for _ in range(3)]
        pages = out.stat().st_size
    start = time.perf_counter()
    idle = run(IDLE)[1]
    loading = time.perf_counter() - start
    plain, sheet = min(decodes), min(seconds for seconds, _ in sheets)
    peak = max(peak for _, peak in sheets)
    print(f"plain decode {plain:.3f} s; a sheet of 12 targets {sheet:.2f} s, {pages / 1e3:.0f} kB")
    print(
        f"time: {sheet / plain:.1f} plain decodes, {(sheet - loading) / plain:.1f} beyond imports"
    )
    print(
        f"peak memory: {peak / DECODED:.2f} times the decoded photo, "
        f"{(peak - idle) / DECODED:.2f} beyond the libraries"
    )


if __name__ == "__main__":
    main()
