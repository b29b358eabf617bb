"""The system's own Firefox, driven over WebDriver BiDi, as `playwright` drives what it knows.

Run as a program in the browser's place, ``python -m tests.browser.stock_firefox FIREFOX ...``, it
stands between the two: a command that this Firefox does not know yet, and that the tests do not
need, becomes one that it answers and that changes nothing. A message keeps its length, so that the
frames round it stay as they are (RFC 6455, section 5.2).
"""

from __future__ import annotations

import asyncio
import re
import signal
import sys

LACKING = b"emulation.setMediaFeaturesOverride"
"""Known to Firefox from later than the extended support release 153 on."""

LISTENING = re.compile(rb"WebDriver BiDi listening on ws://127\.0\.0\.1:(\d+)")
CHUNK = 1 << 16


def harmless(message: bytes) -> bytes:
    """Return a command that only asks for the state, as long as the one it stands for."""
    number = re.search(rb'"id":(\d+)', message)
    if LACKING not in message[:200] or not number:
        return message
    asked = b'{"id":' + number[1] + b',"method":"session.status","params":{}}'
    return asked + b" " * (len(message) - len(asked))


async def frames(reader: asyncio.StreamReader, writer: asyncio.StreamWriter, port: int) -> None:
    """Pass on what the driver sends to a port, frame by frame; it masks all of it."""
    asked = await reader.readuntil(b"\r\n\r\n")
    writer.write(re.sub(rb"(?i)(\r\nhost: 127\.0\.0\.1):\d+", rb"\1:%d" % port, asked))
    while True:
        head = await reader.readexactly(2)
        wide = {126: 2, 127: 8}.get(head[1] & 127, 0)
        head += await reader.readexactly(wide)
        length = int.from_bytes(head[2:], "big") if wide else head[1] & 127
        mask = await reader.readexactly(4)
        message = masked(harmless(masked(await reader.readexactly(length), mask)), mask)
        writer.write(head + mask + message)
        await writer.drain()


def masked(message: bytes, mask: bytes) -> bytes:
    """Mask or unmask a message: the same either way (RFC 6455, section 5.3)."""
    keys = mask * (len(message) // 4 + 1)
    whole = int.from_bytes(message, "big") ^ int.from_bytes(keys[: len(message)], "big")
    return whole.to_bytes(len(message), "big")


async def answers(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    """Pass on what the browser answers, as it is."""
    while data := await reader.read(CHUNK):
        writer.write(data)
        await writer.drain()


async def serve(port: int) -> int:
    """Stand before the browser's port; return the port to come to."""

    async def between(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        from_browser, to_browser = await asyncio.open_connection("127.0.0.1", port)
        ways = frames(reader, to_browser, port), answers(from_browser, writer)
        tasks = [asyncio.create_task(way) for way in ways]
        await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
        for end in (writer, to_browser):
            end.close()
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    server = await asyncio.start_server(between, "127.0.0.1", 0)
    own: int = server.sockets[0].getsockname()[1]
    return own


async def run(words: list[str]) -> int:
    """Run the browser until it ends, and say where this stands before it."""
    browser = await asyncio.create_subprocess_exec(*words, stderr=asyncio.subprocess.PIPE)
    for end in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(end, browser.terminate)
    assert browser.stderr
    async for line in browser.stderr:
        if found := LISTENING.search(line):
            own = await serve(int(found[1]))
            line = line.replace(found[0], b"WebDriver BiDi listening on ws://127.0.0.1:%d" % own)
        sys.stderr.buffer.write(line)
        sys.stderr.buffer.flush()
    return await browser.wait()


if __name__ == "__main__":
    sys.exit(asyncio.run(run(sys.argv[1:])))
