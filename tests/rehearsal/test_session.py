"""Following a file through what can happen to it: nothing ends the following."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path
from typing import Any

import pytest

from tests.rehearsal.served import SPECS
from wiring.rehearsal import session as module
from wiring.rehearsal.hub import MOST_PAGES, Hub
from wiring.rehearsal.session import Session


def topic(hub: Hub, name: str) -> Any:
    return json.loads(hub._topics[name][1])


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "sander.yaml"
    path.write_text((SPECS / "drum-sander.yaml").read_text("utf-8"), "utf-8")
    return path


def test_a_failure_of_the_tool_is_told_and_the_next_version_is_read(
    plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = Session(plan, Hub())
    with monkeypatch.context() as broken:
        broken.setattr(module, "read_plan", lambda *_: 1 / 0)
        asyncio.run(session._refreshed())
    assert "wiring itself has failed" in topic(session.hub, "faults")["faults"][0]["summary"]
    asyncio.run(session._refreshed())
    assert topic(session.hub, "faults")["faults"] == []
    assert topic(session.hub, "plan")["machine"] == "Drum sander"


def test_a_plan_that_is_gone_is_told_and_what_was_read_stays(plan: Path) -> None:
    session = Session(plan, Hub())
    asyncio.run(session._refreshed())
    text = plan.read_text("utf-8")
    plan.unlink()
    asyncio.run(session._refreshed())
    assert topic(session.hub, "faults")["faults"]
    assert topic(session.hub, "drawing")["count"] > 2
    plan.write_text(text, "utf-8")
    asyncio.run(session._refreshed())
    assert topic(session.hub, "faults")["faults"] == []


def test_a_slow_page_gets_the_newest_of_each_topic_once() -> None:
    async def story() -> list[str]:
        hub = Hub()
        for n in range(1000):
            hub.put("machine", {"n": n})
        pages = [hub.stream() for _ in range(MOST_PAGES)]
        for page in pages:
            assert (await anext(page)).startswith("retry")
        found = [await anext(pages[0])]
        hub.put("machine", {"n": 999})
        hub.put("plan", {})
        found.append(await anext(pages[0]))
        assert hub.is_full
        hub.close()
        for page in pages:
            await page.aclose()
        assert not hub.is_full
        return found

    assert asyncio.run(story()) == ['event: machine\ndata: {"n":999}\n\n', "event: plan\ndata: {}\n\n"]
