"""Hostile requests: whatever is not the page's own, small and plain is refused, and nothing is done.

The first list holds what a prototype of this server was tried with; the second is more of every kind.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.rehearsal.served import SPECS, Served, served
from wiring.rehearsal.acts import RefusedError
from wiring.rehearsal.guard import Guard, Keys
from wiring.rehearsal.what_if import _need_local

BODY = b'{"do":"mains","on":false}'


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    path = tmp_path_factory.mktemp("plan") / "sander.yaml"
    path.write_text((SPECS / "drum-sander.yaml").read_text("utf-8"), "utf-8")
    with served(path) as found:
        found.ready()
        yield found


def request(line: str, *headers: str, body: bytes = b"") -> bytes:
    return "\r\n".join([line, *headers, "", ""]).encode("utf-8", "surrogateescape") + body


def post(
    server: Served, *headers: str, path: str = "/act", body: bytes = BODY, host: str = "", own: bool = True
) -> bytes:
    """A POST as the page sends it, but for what is given."""
    usual = [f"Origin: http://{server.host}", "Content-Type: application/json", f"Content-Length: {len(body)}"]
    named = {one.split(":")[0].lower() for one in headers}
    kept = [one for one in usual if own and one.split(":")[0].lower() not in named]
    return request(f"POST {path} HTTP/1.1", f"Host: {host or server.host}", *kept, *filter(None, headers), body=body)


def get(server: Served, path: str = "/", *headers: str, host: str = "") -> bytes:
    return request(f"GET {path} HTTP/1.1", f"Host: {host or server.host}", *headers)


def hostile(server: Served) -> dict[str, bytes]:
    here, port = server.host, server.port
    deep = b'{"do":' + b"[" * 2000 + b"]" * 2000 + b"}"
    first = {
        "another host": get(server, host="evil.example"),
        "a name that leads here": get(server, host=f"evil.example:{port}"),
        "no host": request("GET / HTTP/1.1"),
        "two hosts": request("GET / HTTP/1.1", f"Host: {here}", f"Host: {here}"),
        "another port": get(server, host="127.0.0.1:1"),
        "foreign origin": post(server, "Origin: http://evil.example"),
        "null origin": post(server, "Origin: null"),
        "no origin": post(server, f"Content-Length: {len(BODY)}", "Content-Type: application/json", own=False),
        "https origin": post(server, f"Origin: https://{here}"),
        "cross site": get(server, "/events", "Sec-Fetch-Site: cross-site"),
        "same site": get(server, "/events", "Sec-Fetch-Site: same-site"),
        "plain form": post(server, "Content-Type: application/x-www-form-urlencoded"),
        "plain text": post(server, "Content-Type: text/plain"),
        "no type": post(server, "Content-Type: "),
        "chunked": post(server, "Transfer-Encoding: chunked", body=b"5\r\nhello\r\n0\r\n\r\n"),
        "too long": post(server, body=b'{"do":"' + b"x" * 5000 + b'"}'),
        "deep": post(server, body=deep),
        "put": request("PUT /act HTTP/1.1", f"Host: {here}", f"Origin: http://{here}"),
        "up the tree": get(server, "/../../etc/passwd"),
        "websocket": get(
            server,
            "/events",
            "Upgrade: websocket",
            "Connection: Upgrade",
            "Sec-WebSocket-Key: eA==",
            "Sec-WebSocket-Version: 13",
        ),
        "many headers": get(server, "/", *(f"X-{n}: {'y' * 100}" for n in range(100))),
    }
    paths = [
        "/%2e%2e/%2e%2e/etc/passwd",
        "/..%2f..%2fetc%2fpasswd",
        "//etc/passwd",
        "/page.css/../../guard.py",
        "/page/page.js",
        "/page.css%00.html",
        "/act%00",
        "/.git/config",
        "/specs/drum-sander.yaml",
        "/sander.yaml",
        "/page.JS",
        "/act/",
        "/act;x",
        "/%61dmin",
        "/favicon.ico",
        "/robots.txt",
        "/docs",
        "/openapi.json",
        "/static/page.js",
        "/sheet/1",
        "/C:/Windows",
        "/\\..\\..",
        "http://evil.example/",
        "/?q=" + "x" * 300,
        "/key",
        "/act",
        "*",
    ]
    methods = ("DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PROPFIND", "BREW", "get")
    bodies = {
        "no JSON": b"{do:",
        "a list": b"[1]",
        "a text": b'"mains"',
        "null": b"null",
        "empty": b"",
        "not UTF-8": b'{"do":"\xff\xfe"}',
        "not a number": b'{"do":"clock","seconds":NaN}',
        "for ever": b'{"do":"clock","seconds":1e999}',
        "backwards": b'{"do":"clock","seconds":-1}',
        "true for a number": b'{"do":"clock","seconds":true}',
        "another act": b'{"do":"__init__"}',
        "no act": b'{"on":true}',
        "a list for an act": b'{"do":["mains"]}',
        "no such part": b'{"do":"work","part":"../S1","actuator":"operator","on":true}',
        "no such way": b'{"do":"work","part":"S1","actuator":"__class__","on":true}',
        "one for true": b'{"do":"mains","on":1}',
        "no such fault": b'{"do":"fault","id":"open:nothing","on":true}',
        "no such state": b'{"do":"state","name":"nothing"}',
        "no such story": b'{"do":"story","stop":"x","device":"y","fault":"z"}',
        "a step of none": b'{"do":"step"}',
        "nothing to take": b'{"do":"take","serial":0,"local":true}',
        "nothing to take back": b'{"do":"take back"}',
        "values of no part": b'{"do":"values","part":"/etc/passwd"}',
        "a reading without a sheet": b'{"do":"reading","line":"1.1","text":"ok","edition":0}',
        "a long name": b'{"do":"state","name":"' + b"x" * 300 + b'"}',
    }
    second = {f"path {path}": get(server, path) for path in paths}
    second |= {
        f"method {one}": request(f"{one} /act HTTP/1.1", f"Host: {here}", f"Origin: http://{here}") for one in methods
    }
    second |= {f"body {name}": post(server, body=body) for name, body in bodies.items()}
    second |= {
        "body with GET": request("GET / HTTP/1.1", f"Host: {here}", "Content-Length: 5", body=b"hello"),
        "two lengths": post(server, f"Content-Length: {len(BODY)}", "Content-Length: 3"),
        "length in words": post(server, "Content-Length: ten"),
        "length below zero": post(server, "Content-Length: -1"),
        "two origins": post(server, f"Origin: http://{here}", "Origin: http://evil.example"),
        "origin of another port": post(server, "Origin: http://127.0.0.1:1"),
        "origin with a path": post(server, f"Origin: http://{here}/x"),
        "host with a user": get(server, host=f"a@{here}"),
        "host in capitals": get(server, host=f"LOCALHOST.:{port}"),
        "smuggled": request(
            "GET / HTTP/1.1", f"Host: {here}", "Transfer-Encoding: chunked", "Content-Length: 4", body=b"0\r\n\r\n"
        ),
        "no HTTP": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        "old HTTP": b"GET / HTTP/0.9\r\n\r\n",
        "a header that folds": get(server, "/", "X-A: b\r\n c: d\r\n\tOrigin: x") + b"",
        "NUL in a header": get(server, "/", "X-A: \x00"),
        "act asked for": get(server, "/act"),
        "events sent": post(server, path="/events"),
        "page sent": post(server, path="/"),
    }
    return first | second


def status(answer: bytes) -> int:
    return int(answer.split()[1]) if answer.startswith(b"HTTP/") else 0


def test_every_hostile_request_is_refused_and_does_nothing(server: Served) -> None:
    """71 at least. 0 is a connection that was closed without a word. Nothing may answer with 200, a page or a file."""
    tried = hostile(server)
    assert len(tried) >= 71
    before = server.act({"do": "clock"})[1]
    #: Folded header lines are joined by the parser to one harmless header.
    answers = {name: status(server.raw(data)) for name, data in tried.items()}
    passed = {name: code for name, code in answers.items() if 200 <= code < 400}
    assert set(passed) <= {"a header that folds"}, passed
    after = server.act({"do": "clock"})[1]
    for key in ("mains", "worked", "state", "faults", "pulled", "clock"):
        assert after[key] == before[key], key


def test_every_answer_carries_the_policy(server: Served) -> None:
    for data in (get(server), get(server, "/page.js"), get(server, "/nothing"), get(server, host="evil.example")):
        answer = server.raw(data).decode().lower()
        assert "content-security-policy: default-src 'none'; script-src 'self'; style-src 'self'" in answer
        assert "unsafe" not in answer
        for name in ("x-content-type-options: nosniff", "referrer-policy: no-referrer", "cache-control: no-store"):
            assert name in answer


def test_the_page_fetches_nothing_and_has_no_script_of_its_own() -> None:
    page = Path("wiring/rehearsal/page")
    for path in page.iterdir():
        text = path.read_text("utf-8").replace("http://www.w3.org/2000/svg", "")
        assert "http://" not in text, path
        assert "https://" not in text, path
        for word in ("innerHTML", "eval(", "Function(", "document.write", "onclick="):
            assert word not in text, (path, word)


def scope(path: str, cookie: str = "", client: str = "192.168.0.7", method: str = "GET") -> dict[str, object]:
    headers = [(b"host", b"192.168.0.2:1")] + ([(b"cookie", cookie.encode())] if cookie else [])
    if method == "POST":
        headers += [
            (b"origin", b"http://192.168.0.2:1"),
            (b"content-type", b"application/json"),
            (b"content-length", b"2"),
        ]
    return {"method": method, "path": path, "query_string": b"", "headers": headers, "client": (client, 5)}


def test_another_device_needs_a_key_and_a_key_is_good_once() -> None:
    keys = Keys()
    guard = Guard(lambda *_: None, ["192.168.0.2:1"], keys, ["/", "/events", "/act", "/key"])  # type: ignore[arg-type]
    assert guard.refusal(scope("/events")) == 401
    assert guard.refusal(scope("/act", method="POST")) == 401
    assert guard.refusal(scope("/")) == 0, "the door opens for everyone"
    key = keys.key
    for wrong in (None, 7, "", "x", key[:-1], key + "x", key.upper() + "é"):
        assert keys.spend(wrong) is None
    cookie = keys.spend(key)
    assert cookie
    assert keys.spend(key) is None, "a key is good once"
    assert guard.refusal(scope("/events", f"rehearsal={cookie}")) == 0
    assert guard.refusal(scope("/events", "rehearsal=x")) == 401
    assert guard.refusal(scope("/events", "x" * 40 + "\x7f=;;;")) == 401
    assert guard.refusal(scope("/events", client="127.0.0.1")) == 0


def test_another_device_does_not_change_the_plan() -> None:
    with pytest.raises(RefusedError, match="Only the computer"):
        _need_local({"do": "take", "local": False})


def test_what_a_request_says_of_itself_is_not_believed(server: Served) -> None:
    """The server says who is local; a body that says it is another does not become one, nor the other way round."""
    assert server.act({"do": "take", "serial": 0, "local": False})[1]["said"] == "There is nothing to take over."


def test_a_right_act_is_done(server: Served) -> None:
    """So that the refusals above are no accident of a server that refuses everything."""
    code, seen = server.act({"do": "mains", "on": False})
    assert (code, seen["mains"]) == (200, False)
    assert server.act({"do": "undo"})[1]["mains"] is True
    assert b"200 OK" in server.raw(post(server, body=json.dumps({"do": "clock"}).encode()))
