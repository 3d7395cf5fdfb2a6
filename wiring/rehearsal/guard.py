"""What stands before every request: whose it is, how large, from which page; and the key for other devices."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any

from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: Most bytes of a body, of all headers together, and of a query.
MOST_BODY, _MOST_HEADERS, _MOST_QUERY = 4096, 8192, 200
#: Devices that hold a cookie; the oldest is turned away first.
_MOST_DEVICES = 8
COOKIE = "rehearsal"
_LOOPBACK = ("127.0.0.1", "::1")
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; "
    "manifest-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_ALWAYS = (
    (b"content-security-policy", _POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)
_JSON = ("application/json", "application/json;charset=utf-8")
#: What a device without a cookie may ask for: the page that spends the key.
_OPEN = frozenset({"/", "/door.js", "/drawn.css", "/page.css", "/key"})


class Keys:
    """One-time keys for other devices, and the cookies that they were changed for."""

    def __init__(self) -> None:
        self.key = secrets.token_urlsafe(24)
        self._devices: list[str] = []

    def renew(self) -> str:
        """A new key; the one before is worth nothing any more."""
        self.key = secrets.token_urlsafe(24)
        return self.key

    def spend(self, key: object) -> str | None:
        """The cookie for a key that is right, which is then spent; None for any other."""
        if not isinstance(key, str) or not secrets.compare_digest(key.encode(), self.key.encode()):
            return None
        self.renew()
        self._devices.append(secrets.token_urlsafe(24))
        del self._devices[:-_MOST_DEVICES]
        return self._devices[-1]

    def knows(self, cookie: str) -> bool:
        """Whether a cookie is one that was given."""
        return any(secrets.compare_digest(cookie.encode(), one.encode()) for one in self._devices)


def is_local(scope: Scope) -> bool:
    """Whether a request comes from this computer itself."""
    client = scope.get("client")
    return client is not None and client[0] in _LOOPBACK


class Guard:
    """Lets a request through to the application, or answers it with a status of its own."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str], keys: Keys, paths: Iterable[str]) -> None:
        self.app, self.keys, self.paths = app, keys, frozenset(paths)
        self.hosts = frozenset(hosts)
        self.origins = frozenset(f"http://{host}" for host in self.hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers what must not pass; adds the headers of safety to everything."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*_own(message), *_ALWAYS]
            await send(message)

        status = self.refusal(scope)
        if status:
            await _answer(status, guarded)
        else:
            await self.app(scope, receive, guarded)

    def refusal(self, scope: Scope) -> int:
        """The status with which a request is refused, 0 where it may pass."""
        headers: list[tuple[bytes, bytes]] = scope["headers"]
        if sum(len(name) + len(value) for name, value in headers) > _MOST_HEADERS:
            return 431
        if len(scope["query_string"]) > _MOST_QUERY:
            return 414
        found: dict[str, str] = {}
        for name, value in headers:
            key = name.decode("latin-1").lower()
            if key in found and key != "cookie":
                return 400
            found[key] = value.decode("latin-1")
        return self._of_page(found) or self._of_form(scope, found) or self._of_device(scope, found)

    def _of_page(self, headers: MutableMapping[str, str]) -> int:
        """Whether the request is meant for this server and comes from its own page."""
        if headers.get("host") not in self.hosts:
            return 421
        if headers.get("origin", next(iter(self.origins))) not in self.origins:
            return 403
        if headers.get("sec-fetch-site", "none") not in ("same-origin", "none"):
            return 403
        return 400 if "upgrade" in headers else 0

    def _of_form(self, scope: Scope, headers: MutableMapping[str, str]) -> int:
        """Whether it has the one form in which something may be asked or sent."""
        if scope["path"] not in self.paths:
            return 404
        length = headers.get("content-length")
        if scope["method"] in ("GET", "HEAD"):
            return 400 if "transfer-encoding" in headers or length not in (None, "0") else 0
        if scope["method"] != "POST":
            return 405
        if "origin" not in headers:
            return 403
        if headers.get("content-type", "").replace(" ", "") not in _JSON:
            return 415
        if "transfer-encoding" in headers or length is None or not (length.isascii() and length.isdigit()):
            return 411
        return 413 if len(length) > 5 or int(length) > MOST_BODY else 0

    def _of_device(self, scope: Scope, headers: MutableMapping[str, str]) -> int:
        """Another device needs the cookie that its key was changed for."""
        if is_local(scope) or scope["path"] in _OPEN or self.is_known(headers.get("cookie", "")):
            return 0
        return 401

    def is_known(self, header: str) -> bool:
        """Whether a header of cookies holds one that this server gave."""
        try:
            cookie = SimpleCookie(header).get(COOKIE)
        except CookieError:
            return False
        return cookie is not None and self.keys.knows(cookie.value)


def _own(message: Message) -> list[tuple[bytes, bytes]]:
    own: list[tuple[bytes, bytes]] = list(message.get("headers", []))
    return [pair for pair in own if pair[0].lower() not in {name for name, _ in _ALWAYS}]


async def _answer(status: int, send: Any) -> None:
    body = f"Refused: {status}\n".encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
