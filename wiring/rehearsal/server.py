"""The server of the page: few fixed routes behind one guard, for this computer and, with a key, for others."""

from __future__ import annotations

import asyncio
import json
import socket
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from functools import cache
from pathlib import Path
from typing import Any

import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from wiring.rehearsal.acts import RefusedError
from wiring.rehearsal.guard import COOKIE, Guard, Keys, is_local
from wiring.rehearsal.hub import Hub
from wiring.rehearsal.session import Session, failed_words
from wiring.reports.html_page.page import DRAWN_SCRIPT, DRAWN_STYLE

_PAGE = Path(__file__).parent / "page"
_KINDS = {".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8"}
_FILES = {
    f"/{file.name}": file
    for file in (
        DRAWN_STYLE,
        DRAWN_SCRIPT,
        *(_PAGE / name for name in ("page.css", "page.js", "circuit.js", "cabinet.js", "whatif.js", "door.js")),
    )
}
#: Connections at once; a browser keeps up to six.
_MOST_CONNECTIONS = 100


@cache
def _file(path: Path) -> bytes:
    return path.read_bytes()


class App:
    """The routes over one session."""

    def __init__(self, session: Session, keys: Keys, hosts: Sequence[str]) -> None:
        self.session, self.keys = session, keys
        routes = [
            Route("/", self.page),
            Route("/events", self.events),
            Route("/act", self.act, methods=["POST"]),
            Route("/key", self.key, methods=["POST"]),
            *(Route(path, self.file) for path in _FILES),
        ]
        inner = Starlette(routes=routes, lifespan=self.lifespan)
        self.guard = Guard(inner, hosts, keys, (route.path for route in routes))

    @asynccontextmanager
    async def lifespan(self, _: Starlette) -> AsyncIterator[None]:
        """Follow the plan as long as the server runs."""
        self.session.start(self.session.follow())
        yield
        await self.session.end()

    async def page(self, request: Request) -> Response:
        """The page, or the door for a device without its cookie."""
        known = is_local(request.scope) or self.guard.is_known(request.headers.get("cookie", ""))
        return Response(_file(_PAGE / ("page.html" if known else "door.html")), media_type="text/html; charset=utf-8")

    async def file(self, request: Request) -> Response:
        """A style or script of the page."""
        path = _FILES[request.url.path]
        return Response(_file(path), media_type=_KINDS[path.suffix])

    async def events(self, request: Request) -> Response:
        """Everything that is shown, as it changes."""
        if self.session.hub.is_full:
            return Response("Too many pages are open. Close one.\n", 503)
        return StreamingResponse(self.session.hub.stream(), media_type="text/event-stream")

    async def act(self, request: Request) -> Response:
        """One act, named in a small JSON object."""
        data = await _object(request)
        if data is None:
            return JSONResponse({"said": "Expected a small JSON object."}, 400)
        try:
            return JSONResponse(await self.session.act(data | {"local": is_local(request.scope)}))
        except RefusedError as problem:
            return JSONResponse({"said": str(problem), "now": problem.now}, 409)
        except Exception as error:
            return JSONResponse({"said": failed_words(error)}, 500)

    async def key(self, request: Request) -> Response:
        """A key for a cookie."""
        data = await _object(request)
        cookie = self.keys.spend((data or {}).get("key"))
        if cookie is None:
            return JSONResponse({"said": "This key is spent or wrong. Let the server print a new one."}, 401)
        answer = JSONResponse({"said": "in"})
        answer.set_cookie(COOKIE, cookie, httponly=True, samesite="strict", path="/")
        return answer


async def _object(request: Request) -> dict[str, Any] | None:
    """The body as a JSON object; None where it is none, however deep it is nested."""
    try:
        data = json.loads(await request.body())
    except (ValueError, RecursionError):
        return None
    return data if isinstance(data, dict) else None


def listening(host: str, port: int) -> socket.socket:
    """A socket that listens at an address of this computer. Raises OSError where the port is taken."""
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((host, port))
        found.listen(64)
    except OSError:
        found.close()
        raise
    return found


def lan_address() -> str | None:
    """The address under which this computer is known on its network; None without one. Nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation, RFC 5737
        except OSError:
            return None
        found = str(probe.getsockname()[0])
    return None if found.startswith("127.") else found


def _end_streams_first(server: uvicorn.Server, hub: Hub) -> None:
    """Lets a server end its streams before it waits for its connections, which else it would cut off loudly."""
    whole = server.shutdown

    async def end(sockets: list[socket.socket] | None = None) -> None:
        hub.close()
        await whole(sockets)

    server.shutdown = end  # type: ignore[method-assign]


def server_of(plan: Path, sockets: Sequence[socket.socket], keys: Keys) -> uvicorn.Server:
    """A server for a plan that listens at some sockets; the first is that of this computer alone."""
    hosts = [f"{one.getsockname()[0]}:{one.getsockname()[1]}" for one in sockets]
    hosts.append(f"localhost:{sockets[0].getsockname()[1]}")
    hub = Hub()
    app = App(Session(plan, hub), keys, hosts)
    config = uvicorn.Config(
        app.guard,
        http="h11",
        ws="none",
        lifespan="on",
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=_MOST_CONNECTIONS,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=16_384,
    )
    server = uvicorn.Server(config)
    _end_streams_first(server, hub)
    return server


def serve(plan: Path, sockets: Sequence[socket.socket], keys: Keys) -> None:
    """Serve until the person ends it."""
    server = server_of(plan, sockets, keys)
    asyncio.run(server.serve(sockets=list(sockets)))
