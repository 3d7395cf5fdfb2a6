"""Following a file through what can happen to it: nothing ends the following."""

from __future__ import annotations

import asyncio
import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.rehearsal.served import SPECS
from wiring.cabinet import layout
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


def test_the_cabinet_is_laid_out_anew_for_a_part_a_size_or_an_end_and_marked_meanwhile(
    plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The layout is counted where it is made; `waits` of a drawing is the first sheet that is an old one."""
    session, made, told = Session(plan, Hub()), [], []
    laid_out, put = layout.lay_out, session.hub.put
    monkeypatch.setattr(layout, "lay_out", lambda *asked: made.append(asked) or laid_out(*asked))
    monkeypatch.setattr(session.hub, "put", lambda name, data: told.append((name, data)) or put(name, data))
    text = plan.read_text("utf-8")
    wider = text.replace("kind: terminals,", "kind: terminals, size: 90 x 60 x 50 mm,", 1)
    versions = [
        (text, True),
        (f"# a remark\n{text}", False),
        (text.replace("altitude: 300 m", "altitude: 900 m", 1), False),
        (re.sub(r"(wire_types:(?:.|\n)*?size: )[\d.]+", r"\g<1>2.5", text, count=1), False),
        (wider, True),
        (re.sub(r"(from: )(\S+)(, to: )([^,}]+)", r"\1\4\3\2", wider, count=1), True),
    ]
    for version, anew in versions:
        made.clear()
        told.clear()
        plan.write_text(version, "utf-8")
        asyncio.run(session._refreshed())
        assert topic(session.hub, "faults")["faults"] == []
        drawings = [data for name, data in told if name == "drawing"]
        assert bool(made) == anew, version[:200]
        assert [data["waits"] > 0 for data in drawings] == ([True, False] if anew else [False])


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
