"""What pages are shown, by topic: a page gets the newest of every topic that it does not have yet, and nothing twice.

A slow page misses what was overtaken; nothing is queued, so nothing grows.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Any

#: Pages at once.
MOST_PAGES = 16
#: How often a quiet stream says that it is there [s].
_QUIET_S = 15.0


class Hub:
    """The topics, each with the number of its edition. All of it happens on the loop of the server."""

    def __init__(self) -> None:
        self._topics: dict[str, tuple[int, str]] = {}
        self._pages: set[asyncio.Event] = set()
        self._count = 0
        self._closed = False

    @property
    def is_full(self) -> bool:
        """Whether no further page fits."""
        return len(self._pages) >= MOST_PAGES

    def put(self, topic: str, data: Any) -> None:
        """Show something; what is shown already is not sent again."""
        text = json.dumps(data, separators=(",", ":"), allow_nan=False)
        if self._topics.get(topic, (0, ""))[1] == text:
            return
        self._count += 1
        self._topics[topic] = (self._count, text)
        for page in self._pages:
            page.set()

    def drop(self, *topics: str) -> None:
        """Forget topics, for pages that come later."""
        for topic in topics:
            self._topics.pop(topic, None)

    def close(self) -> None:
        """End every stream."""
        self._closed = True
        for page in self._pages:
            page.set()

    async def stream(self) -> AsyncIterator[str]:
        """Server-sent events for one page, until it goes."""
        sent: dict[str, int] = {}
        event = asyncio.Event()
        self._pages.add(event)
        try:
            yield "retry: 1000\n\n"
            while not self._closed:
                event.clear()
                for topic, (number, text) in list(self._topics.items()):
                    if sent.get(topic) != number:
                        sent[topic] = number
                        yield f"event: {topic}\ndata: {text}\n\n"
                try:
                    await asyncio.wait_for(event.wait(), _QUIET_S)
                except TimeoutError:
                    yield ": still here\n\n"
        finally:
            self._pages.discard(event)
