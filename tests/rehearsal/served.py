"""The server of a plan in a thread of the test, and raw requests to it."""

from __future__ import annotations

import asyncio
import http.client
import json
import socket
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from typing import Any

from wiring.rehearsal.guard import Keys
from wiring.rehearsal.server import listening, server_of

SPECS = Path(__file__).parents[2] / "specs"


class Served:
    """A running server: where it is, and its keys."""

    def __init__(self, port: int, keys: Keys) -> None:
        self.port, self.keys = port, keys
        self.host = f"127.0.0.1:{port}"
        self.url = f"http://{self.host}/"

    def raw(self, data: bytes) -> bytes:
        """What answers raw bytes, up to the end of the connection or the first pause."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=2) as wire:
            wire.sendall(data)
            found = b""
            try:
                while piece := wire.recv(65536):
                    found += piece
                    if b"\r\n\r\n" in found:
                        break
            except (TimeoutError, ConnectionError):
                pass
            return found

    def act(self, data: Mapping[str, Any]) -> tuple[int, dict[str, Any]]:
        """Status and answer of an act."""
        wire = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        headers = {"Content-Type": "application/json", "Origin": f"http://{self.host}"}
        wire.request("POST", "/act", json.dumps(data), headers)
        answer = wire.getresponse()
        found = answer.status, json.loads(answer.read())
        wire.close()
        return found

    def ready(self) -> None:
        """Wait until the plan was read."""
        for _ in range(400):
            if self.act({"do": "clock"})[0] == 200:
                return
            time.sleep(0.02)
        raise AssertionError("the machine was never there")


@contextmanager
def served(plan: Path) -> Iterator[Served]:
    """A server of a plan until the end of the block."""
    sock, keys = listening("127.0.0.1", 0), Keys()
    server = server_of(plan, [sock], keys)
    thread = Thread(target=lambda: asyncio.run(server.serve(sockets=[sock])), daemon=True)
    thread.start()
    try:
        yield Served(sock.getsockname()[1], keys)
    finally:
        server.should_exit = True
        thread.join(15)
        assert not thread.is_alive(), "the server did not end"
