"""
A slow link in front of a server: what goes through is late by half a round trip each way and leaves
no faster than the link carries. Set-up of a connection costs one round trip; nothing gets lost.
"""

import asyncio
import contextlib
import threading
from collections.abc import Coroutine, Iterator
from dataclasses import dataclass
from typing import Any

# What Ethernet carries of TCP at once.
PIECE = 1460


@dataclass
class Link:
    """`round_trip` in seconds, `rate` in bits a second; both can be changed while it is open."""

    port: int
    round_trip: float = 0.0
    rate: float = float("inf")


@contextlib.contextmanager
def link_to(port: int) -> Iterator[Link]:
    """A link to that port of this machine, at first as fast as can be."""
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()

    def run(work: Coroutine[Any, Any, Any]) -> Any:
        return asyncio.run_coroutine_threadsafe(work, loop).result(timeout=10)

    link = Link(port=0)
    server = run(_open(link, port))
    link.port = server.sockets[0].getsockname()[1]
    try:
        yield link
    finally:
        run(_close(server))
        loop.call_soon_threadsafe(loop.stop)
        thread.join()
        loop.close()


async def _open(link: Link, port: int) -> asyncio.Server:
    async def accept(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        await asyncio.sleep(link.round_trip)
        with contextlib.suppress(OSError):
            far_reader, far_writer = await asyncio.open_connection("127.0.0.1", port)
            there = _carry(link, reader, far_writer)
            await asyncio.gather(there, _carry(link, far_reader, writer), return_exceptions=True)

    return await asyncio.start_server(accept, "127.0.0.1", 0)


async def _carry(link: Link, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    """One direction of one connection."""
    loop = asyncio.get_running_loop()
    under_way: asyncio.Queue[tuple[float, bytes]] = asyncio.Queue()

    async def deliver() -> None:
        while True:
            due, data = await under_way.get()
            await asyncio.sleep(due - loop.time())
            if not data:
                break
            writer.write(data)
            await writer.drain()
        writer.close()

    arriving = asyncio.create_task(deliver())
    leaves = loop.time()
    while data := await reader.read(PIECE):
        leaves = max(leaves, loop.time()) + len(data) * 8 / link.rate
        under_way.put_nowait((leaves + link.round_trip / 2, data))
    under_way.put_nowait((max(leaves, loop.time()) + link.round_trip / 2, b""))
    await arriving


async def _close(server: asyncio.Server) -> None:
    server.close()
    for task in asyncio.all_tasks() - {asyncio.current_task()}:
        task.cancel()
