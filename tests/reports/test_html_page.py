"""The page without a browser: self-contained, escaped, and nothing but its own style and script allowed."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser
from pathlib import Path

import pytest

from tests.hostile import hostile
from wiring.design.load import Loaded, load
from wiring.findings import Report
from wiring.reports.html_page import render_html
from wiring.reports.html_page.facts import wire_facts
from wiring.rules.run import judge, rule_texts

ROOT = Path(__file__).parents[2]


def page_of(loaded: Loaded) -> str:
    assert loaded.design is not None, loaded.faults
    report = judge(loaded.design)
    return render_html(loaded.design, report, loaded.sources, rule_texts(report))


class Elements(HTMLParser):
    """Gathers elements with their attributes, and the text of every script and style."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))
        if tag in ("script", "style"):
            self.texts.append((tag, ""))

    def handle_data(self, data: str) -> None:
        if self.found and self.found[-1][0] in ("script", "style") and self.get_starttag_text():
            tag, text = self.texts[-1]
            self.texts[-1] = (tag, text + data)


@pytest.fixture(scope="module")
def hostile_page() -> str:
    return page_of(hostile())


def parsed(page: str) -> Elements:
    found = Elements()
    found.feed(page)
    return found


def test_hostile_names_make_no_element_and_no_handler(hostile_page: str) -> None:
    """One style, the data and one script, whatever a plan is called; no event attribute, no image, no link away."""
    found = parsed(hostile_page).found
    assert sum(tag == "script" for tag, _ in found) == 2
    assert not any(tag in ("img", "iframe", "object", "embed", "base", "form") for tag, _ in found)
    assert not any(name.startswith("on") for _, attributes in found for name in attributes)
    assert "window.bad=1</script>" not in hostile_page
    assert "\u202e" not in hostile_page
    assert "\x07" not in hostile_page


def test_nothing_is_fetched(hostile_page: str) -> None:
    """No attribute that loads something, and no address but the names of XML spaces."""
    for tag, attributes in parsed(hostile_page).found:
        assert not {"src", "srcset", "data", "background", "poster", "action"} & attributes.keys(), tag
        assert (attributes.get("href") or "#").startswith("#")
    addresses = set(re.findall(r"https?://[^\s\"'<>)]+", hostile_page))
    assert addresses <= {"http://www.w3.org/2000/svg"}


def test_the_policy_allows_the_page_its_own_style_and_script_only(hostile_page: str) -> None:
    """The hashes of the policy (Content Security Policy level 3) are those of what stands in the page."""
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', hostile_page)
    assert policy is not None
    style = re.search(r"<style>(.*?)</style>", hostile_page, re.DOTALL)
    script = re.search(r"<script>(.*?)</script>", hostile_page, re.DOTALL)
    assert style is not None
    assert script is not None
    digests = [b64encode(sha256(found[1].encode()).digest()).decode() for found in (style, script)]
    wanted = f"default-src 'none'; style-src 'sha256-{digests[0]}'; script-src 'sha256-{digests[1]}'"
    assert policy[1].startswith(wanted)
    assert "unsafe" not in policy[1]


def test_the_data_of_the_page_cannot_end_its_element(hostile_page: str) -> None:
    data = re.search(r'<script type="application/json" id="facts">(.*?)</script>', hostile_page, re.DOTALL)
    assert data is not None
    assert "<" not in data[1]
    assert json.loads(data[1])["wires"]


def test_the_page_ends_with_the_cautions() -> None:
    page = page_of(load(ROOT / "specs" / "bench-press-feeder.yaml"))
    end = page[page.index("<footer") :]
    assert page.index("<footer") > page.index('id="budget"')
    assert "does not certify" in end
    assert "prove every conductor dead" in end


def test_a_wire_tells_current_drop_and_temperature_of_every_state() -> None:
    """1.2 A through 2 m of 1 mm2: R20 = 19.5 ohm/km for class 5 (IEC 60228:2004, table 3), at 35 °C with
    alpha 0.00393 1/K 1 + 0.00393 * 15 = 1.059, so 41.3 mohm and 49.6 mV.
    """
    from tests.helpers import design

    plan = design(
        """
site: {ambient: 35 °C}
mains: {inlet: X0, system: single-phase, voltage: 230 V}
states: {on: {}, idle: {E1: off}}
parts:
  X0: {kind: inlet, poles: [L, N, PE], rated: 16 A}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, efficiency: 90 %}
  E1: {kind: load, rated: 24 V DC 1.2 A, behaviour: current}
wires:
  - {wire: 1, from: X0:L, to: G1:L, size: 1 mm2, length: 1 m}
  - {wire: 2, from: X0:N, to: G1:N, size: 1 mm2, length: 1 m}
  - {wire: 3, from: G1:V+, to: E1:1, size: 1 mm2, length: 2 m, colour: RD, insulation: pvc-70, conductor_class: 5}
  - {wire: 4, from: E1:2, to: G1:V-, size: 1 mm2, length: 2 m}
"""
    )
    facts = wire_facts(plan)["3"]
    assert facts["ends"] == ["G1:V+", "E1:1"]
    assert ["Size", "1 mm2"] in facts["facts"]
    assert ["Colour", "RD, red"] in facts["facts"]
    states = {row[0]: row[1:] for row in facts["states"]}
    assert set(states) == {"on", "idle"}
    amps, drop = (float(words.split()[0]) for words in states["on"][:2])
    assert amps == pytest.approx(1.2, rel=0.01)
    assert drop == pytest.approx(amps * 2 * 19.5 * 1.059, rel=0.01)
    assert states["idle"][0] in ("0 A", "0 µA")


def test_the_same_plan_gives_the_same_page_for_any_hash_seed() -> None:
    script = (
        "from tests.reports.test_html_page import page_of, ROOT, load; from hashlib import sha256;"
        "print(sha256(page_of(load(ROOT / 'specs' / 'coil-winder.yaml')).encode()).hexdigest())"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(found) == 1


def test_a_report_without_findings_says_so() -> None:
    loaded = load(ROOT / "specs" / "bench-press-feeder.yaml")
    assert loaded.design is not None
    report = Report("p.yaml", "na", (), ())
    page = render_html(loaded.design, report, {})
    assert "None that stands." in page
