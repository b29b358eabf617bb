"""Forty tablets of a class at one shared studio: how long a click takes.

Run by hand: ``python -m tests.benchmarks.tablets [TABLETS] [SECONDS]``. Every tablet comes in by a
link of its own, and opens a painting of its own and an event stream. A click punches a hole, and is
timed until its answer is there. First one tablet clicks while the others listen; then all do,
each once in ten seconds at a moment of its own; then all at the very same moment. The studio is a
process of its own.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import httpx
import numpy as np

TABLETS, SECONDS, EVERY_S = 40, 40.0, 10.0
ALONE = 20
SEED = 40
SAMPLE = "garden-table"
LONGEST_S = 300.0

STUDIO = """
import os
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does
import sys
from pathlib import Path
from refmatch.web import serve
from refmatch.web.shelf import Shelf
serve.local_address = lambda: "127.0.0.2"
studio = serve.Studio(Shelf(Path(sys.argv[1])), serve.Serving(shared=True, opens_browser=False))
for _ in range(int(sys.argv[2])):
    print(studio.link(studio.hosts[-1]), flush=True)
studio.run()
"""


class Tablet:
    """A browser that has come in, with a painting of its own."""

    def __init__(self, link: str, seed: int) -> None:
        self.link, (self.address, _, _) = link, link.partition("/enter")
        self.chance = np.random.default_rng(seed)
        self.client = httpx.AsyncClient(
            base_url=self.address, headers={"origin": self.address}, timeout=LONGEST_S
        )
        self.painting, self.revision, self.holes = "", 0, 0

    async def come_in(self) -> None:
        (await self.client.get(self.link)).raise_for_status()
        made = await self.client.post(f"/api/paintings?sample={SAMPLE}")
        self.painting = f"/api/paintings/{made.json()['id']}"
        shown = (await self.client.get(self.painting)).json()
        self.revision = shown["revision"]

    async def click(self) -> float:
        """Punch a hole and return how many seconds it took."""
        x, y = self.chance.uniform((100.0, 100.0), (1700.0, 1100.0))
        change = {"revision": self.revision, "do": "punch", "x_px": float(x), "y_px": float(y)}
        began = time.perf_counter()
        answer = await self.client.post(f"{self.painting}/changes", json=change)
        took = time.perf_counter() - began
        answer.raise_for_status()
        self.revision = answer.json()["revision"]
        return took

    async def listen(self) -> None:
        async with self.client.stream("GET", f"{self.painting}/events") as stream:
            async for _ in stream.aiter_lines():
                pass

    async def work(self, until: float) -> list[float]:
        took = []
        await asyncio.sleep(self.chance.uniform(0.0, EVERY_S))
        while time.perf_counter() < until:
            took.append(await self.click())
            await asyncio.sleep(max(0.0, self.chance.normal(EVERY_S, EVERY_S / 4.0) - took[-1]))
        return took


@contextlib.contextmanager
def studio(count: int) -> Iterator[tuple[list[str], int]]:
    """Run a studio; give so many links to it, and the number of its process."""
    with tempfile.TemporaryDirectory() as folder:
        words = [sys.executable, "-c", STUDIO, str(Path(folder)), str(count)]
        process = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
        assert process.stdout
        try:
            lines = [process.stdout.readline().strip() for _ in range(count)]
            while not process.stdout.readline().startswith("The studio is open"):
                pass
            yield lines, process.pid
        finally:
            process.terminate()
            process.wait(30.0)


@contextlib.asynccontextmanager
async def listening(tablets: list[Tablet]) -> AsyncIterator[None]:
    ears = [asyncio.create_task(tablet.listen()) for tablet in tablets]
    try:
        yield
    finally:
        for ear in ears:
            ear.cancel()
        await asyncio.gather(*ears, return_exceptions=True)
        for tablet in tablets:
            await tablet.client.aclose()


def processor_s(process: int) -> float:
    """Return the processor time a process has taken (Linux, proc(5))."""
    fields = Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def say(what: str, took: list[float], spent_s: float) -> None:
    middle, most = np.percentile(took, (50, 95))
    print(
        f"{what:34s} {len(took):4d} clicks  half within {middle:5.2f} s, 95 % {most:5.2f} s, "
        f"longest {max(took):5.2f} s, processor {spent_s / len(took):5.2f} s a click",
        flush=True,
    )


async def measure(links: list[str], process: int, seconds: float) -> None:
    tablets = [Tablet(link, SEED + number) for number, link in enumerate(links)]
    for tablet in tablets:
        await tablet.come_in()

    async def all_work() -> list[float]:
        until = time.perf_counter() + seconds
        worked = await asyncio.gather(*(tablet.work(until) for tablet in tablets))
        return [took for own in worked for took in own]

    async def all_at_once() -> list[float]:
        return await asyncio.gather(*(tablet.click() for tablet in tablets))

    async def one_alone() -> list[float]:
        return [await tablets[0].click() for _ in range(ALONE)]

    async with listening(tablets):
        for what, clicks in {
            "one clicks, the others listen": one_alone,
            f"all, once in {EVERY_S:.0f} s each": all_work,
            "all at one moment": all_at_once,
        }.items():
            before = processor_s(process)
            took = await clicks()
            say(what, took, processor_s(process) - before)


if __name__ == "__main__":
    asked = sys.argv[1:]
    tablets_asked = int(asked[0]) if asked else TABLETS
    seconds_asked = float(asked[1]) if len(asked) > 1 else SECONDS
    with studio(tablets_asked) as (given, number):
        asyncio.run(measure(given, number, seconds_asked))
