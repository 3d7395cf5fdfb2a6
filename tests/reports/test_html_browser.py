"""The page in a browser: pointer, keyboard, search, print, phone, hostile names, and what axe-core says of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser import chromium
from tests.hostile import PART, SECOND, WIRE, hostile
from tests.reports.test_html_page import page_of
from wiring.design.load import load

ROOT = Path(__file__).parents[2]
AXE = Path(__file__).parent / "data" / "axe" / "axe.min.js"
FAULTY = "conductor-overloaded-dipper"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as found:
        yield found


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Pages of a plan with a finding, and of one full of hostile names."""
    folder = tmp_path_factory.mktemp("pages")
    texts = {"faulty": page_of(load(ROOT / "specs" / "faulty" / f"{FAULTY}.yaml")), "hostile": page_of(hostile())}
    for name, text in texts.items():
        (folder / f"{name}.html").write_text(text, "utf-8")
    return {name: folder / f"{name}.html" for name in texts}


class Opened:
    """A page in the browser with everything that it asked for or complained of."""

    def __init__(self, browser: Any, path: Path, address: str = "", **context: Any) -> None:
        self.context = browser.new_context(viewport={"width": 1400, "height": 900}, **context)
        self.page = self.context.new_page()
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.goto(path.as_uri() + address)


@pytest.fixture
def faulty(browser: Any, pages: dict[str, Path]) -> Iterator[Opened]:
    opened = Opened(browser, pages["faulty"])
    yield opened
    assert opened.complaints == []
    assert len(opened.requests) == 1
    opened.context.close()


def wire(page: Any, name: str) -> Any:
    return page.locator("figure.now g.wire").and_(page.locator(f"[data-id='{name}']")).first


def test_a_click_on_a_finding_shows_it_on_its_sheet(faulty: Opened) -> None:
    """The overloaded wire of this plan is 104; its sheet comes to the front with the mark and the wire lit."""
    page = faulty.page
    button = page.locator("article.finding .show").first
    number = button.locator(".mark").inner_text()
    button.click()
    mark = page.locator(f"figure.now g.finding[data-id='{number}']").first
    assert mark.is_visible()
    assert "lit" in mark.get_attribute("class")
    box, view = mark.bounding_box(), page.viewport_size
    assert 0 <= box["x"] <= view["width"]
    assert 0 <= box["y"] <= view["height"]
    assert "lit" in wire(page, "104").get_attribute("class")
    assert page.locator("#told h3").inner_text() == "Wire 104"


def test_the_pointer_on_a_wire_tells_its_figures(faulty: Opened) -> None:
    """The hit line is 3 mm wide, so that half a millimetre beside a horizontal wire still counts."""
    page = faulty.page
    page.locator("#told").scroll_into_view_if_needed()
    target = wire(page, "104")
    target.locator(".hit").first.hover(force=True)
    told = page.locator("#told").inner_text()
    for words in ("Wire 104", "F1:2 to K1:1", "0.75 mm2", "Ampacity", "Current", "Drop", "Temperature"):
        assert words in told
    states = page.locator("#told tbody tr").count()
    assert states >= 1
    assert "lit" in target.get_attribute("class")


def test_the_keyboard_reaches_wires_and_enter_follows_them(faulty: Opened) -> None:
    page = faulty.page
    page.locator("figure.now .paper").focus()
    page.keyboard.press("Tab")
    first = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert first
    for _ in range(400):
        if page.evaluate("document.activeElement.matches('g.wire')"):
            break
        page.keyboard.press("Tab")
    name = page.evaluate("document.activeElement.dataset.id")
    assert page.locator("#told h3").inner_text().endswith(name)
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.id") == name
    page.keyboard.press("Escape")
    assert page.locator("g.lit").count() == 0


def test_a_cross_reference_leads_to_the_other_piece(faulty: Opened) -> None:
    page = faulty.page
    reference = page.locator("figure.now g.reference[role=link]").first
    name = reference.get_attribute("data-id")
    before = page.locator(f"g.wire[data-id='{name}']").count()
    reference.focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.id") == name
    assert page.locator("g.wire.lit").count() == before
    assert before >= 2


def test_the_search_finds_wires_and_parts(faulty: Opened) -> None:
    page = faulty.page
    page.get_by_label("Find a wire or a part").fill("104")
    page.keyboard.press("Enter")
    assert page.locator("#told h3").inner_text() == "Wire 104"
    assert page.evaluate("document.activeElement.dataset.id") == "104"
    page.get_by_label("Find a wire or a part").fill("contactor")
    assert page.locator("#hits button").count() >= 1
    page.locator("#hits button").first.click()
    assert page.locator("figure.now g.symbol.lit").count() >= 1
    page.get_by_label("Find a wire or a part").fill("no such thing")
    assert page.locator("#hits-count").inner_text() == "0 found"


def test_every_sheet_can_be_brought_forward_and_enlarged(faulty: Opened) -> None:
    page = faulty.page
    for tab in page.locator("#sheets button").all():
        tab.click()
        assert page.locator("figure.now").count() == 1
        assert page.locator("figure.now").get_attribute("data-sheet") == tab.get_attribute("data-sheet")
        assert tab.get_attribute("aria-pressed") == "true"
    narrow = page.locator("figure.now svg").bounding_box()["width"]
    page.get_by_role("button", name="Larger").click()
    assert page.locator("figure.now svg").bounding_box()["width"] == pytest.approx(1.5 * narrow, rel=0.02)
    page.get_by_role("button", name="Fit").click()
    assert page.locator("figure.now svg").bounding_box()["width"] == pytest.approx(narrow, rel=0.01)


def test_the_print_has_every_sheet_on_a_page_of_its_own_and_the_cautions(faulty: Opened, tmp_path: Path) -> None:
    """Sheets come out on A3 (420 mm x 297 mm, ISO 216), the rest on A4."""
    from pypdf import PdfReader

    page = faulty.page
    sheets = page.locator("figure.sheet").count()
    path = tmp_path / "page.pdf"
    page.pdf(path=str(path), prefer_css_page_size=True)
    pages = PdfReader(path).pages
    wide = [one for one in pages if float(one.mediabox.width) == pytest.approx(420 / 25.4 * 72, abs=2)]
    assert len(wide) == sheets
    assert "does not certify" in pages[-1].extract_text().replace("\n", " ")


@pytest.mark.parametrize("width", [390, 960, 1440])
def test_nothing_covers_or_moves_anything(browser: Any, pages: dict[str, Path], width: int) -> None:
    """At a phone's, a small and a usual width: no scrolling sideways, findings and budget apart from each other at
    every place of the page, the drawing where it was while the pointer tells of a wire."""
    opened = Opened(browser, pages["hostile"])
    page = opened.page
    page.set_viewport_size({"width": width, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.goto(pages["faulty"].as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for place in ("#findings", "#budget", "footer"):
        page.locator(place).scroll_into_view_if_needed()
        findings, budget = (page.locator(one).bounding_box() for one in ("#findings", "#budget"))
        assert findings["y"] + findings["height"] <= budget["y"]
        assert budget["width"] > 0.9 * width
    paper = page.locator("figure.now .paper")
    paper.scroll_into_view_if_needed()
    before = page.locator("figure.now svg").bounding_box()
    assert width < 1280 or before["width"] > 0.4 * width  # a wide window has its panel beside the drawing
    for line in page.locator("figure.now g.wire .hit").all()[:12]:
        line.dispatch_event("pointerover")
        assert page.locator("#told h3").count() == 1
        assert page.locator("figure.now svg").bounding_box() == before
    opened.context.close()


def test_from_a_finding_to_the_drawing_and_to_the_wire_list_in_two_clicks(faulty: Opened) -> None:
    """What was pressed stays in the panel, wherever the pointer goes on its way to it."""
    page = faulty.page
    page.locator("article.finding .show").first.click()
    comes_into_view(page, "figure.now g.finding.lit")
    wire(page, "106").locator(".hit").first.dispatch_event("pointerover")
    page.locator("#told").get_by_role("button", name="Wires").click()
    row = page.locator("#lists tr.lit")
    assert row.locator("td").first.inner_text() == "104"
    comes_into_view(page, "#lists tr.lit")
    row.get_by_role("link", name="104").click()
    comes_into_view(page, "figure.now g.wire.lit")


def comes_into_view(page: Any, selector: str) -> None:
    """Waits until the middle of the first such element stands within the window and within the box that scrolls it; the
    page scrolls when it next draws."""
    page.wait_for_function(
        """(selector) => {
          const element = document.querySelector(selector), at = element.getBoundingClientRect();
          const x = at.x + at.width / 2, y = at.y + at.height / 2;
          const within = (box) => x >= box.left && x <= box.right && y >= box.top && y <= box.bottom;
          const boxes = [element.closest(".paper, .scroll").getBoundingClientRect(),
            { left: 0, top: 0, right: innerWidth, bottom: innerHeight }];
          return boxes.every(within);
        }""",
        arg=selector,
        timeout=10_000,
    )


@pytest.mark.parametrize(
    ("address", "lit", "told"),
    [
        ("#K1", "g.symbol[data-part='K1']", "K1, contactor"),
        ("#wire-104", "g.wire[data-id='104']", "Wire 104"),
        ("#finding-1", "article#finding-1", "Wire 104"),
    ],
)
def test_an_address_leads_to_what_it_names(
    browser: Any, pages: dict[str, Path], address: str, lit: str, told: str
) -> None:
    opened = Opened(browser, pages["faulty"], address)
    assert "lit" in opened.page.locator(lit).first.get_attribute("class")
    assert opened.page.locator("#told h3").inner_text().startswith(told)
    opened.context.close()


def test_wheel_fingers_and_mouse_move_the_drawing(browser: Any, pages: dict[str, Path]) -> None:
    """What lies under the pointer stays under it while the drawing grows; a drag picks nothing."""
    opened = Opened(browser, pages["faulty"], has_touch=True)
    page = opened.page
    paper, svg = page.locator("figure.now .paper"), page.locator("figure.now svg")
    box, small = paper.bounding_box(), svg.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    share = (x - small["x"]) / small["width"]
    page.mouse.move(x, y)
    page.mouse.wheel(0, -800)
    page.wait_for_function(
        "before => document.querySelector('figure.now svg').clientWidth > before", arg=small["width"]
    )
    large = svg.bounding_box()
    assert large["width"] > 2 * small["width"]
    assert (x - large["x"]) / large["width"] == pytest.approx(share, abs=0.01)
    page.mouse.down()
    page.mouse.move(x - 90, y - 40, steps=3)
    page.mouse.up()
    moved = svg.bounding_box()
    assert (moved["x"], moved["y"]) == pytest.approx((large["x"] - 90, large["y"] - 40), abs=2)
    assert page.locator("#told h3").count() <= 1
    assert "#" not in page.url
    touch = opened.context.new_cdp_session(page)
    for kind, apart in (("touchStart", 60), ("touchMove", 90), ("touchMove", 30), ("touchEnd", None)):
        points = [] if apart is None else [{"x": x - apart, "y": y, "id": 0}, {"x": x + apart, "y": y, "id": 1}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    assert svg.bounding_box()["width"] == pytest.approx(large["width"] / 2, rel=0.03)
    page.get_by_role("button", name="Fit").click()
    assert svg.bounding_box()["width"] == pytest.approx(small["width"], rel=0.01)
    opened.context.close()


def test_lists_are_filtered_and_sorted_and_findings_left_out(faulty: Opened) -> None:
    page = faulty.page
    page.locator("#lists summary", has_text="Wires").click()
    table = page.locator("#lists details[open]")
    rows = table.locator("tbody tr:visible")
    every = rows.count()
    table.locator("input").fill("K1:1")
    assert 0 < rows.count() < every
    assert all("K1:1" in row.inner_text() for row in rows.all())
    table.locator("input").fill("")
    table.locator("thead button", has_text="Length").click()
    metres = [
        float(cell.split()[0]) for cell in table.locator("td:nth-child(8)").all_inner_texts() if cell[0].isdigit()
    ]
    assert metres == sorted(metres)
    page.get_by_role("button", name="NOTICE").first.click()
    assert page.locator("article.finding[data-signal='NOTICE']:visible").count() == 0
    assert page.locator("article.finding[data-signal='WARNING']:visible").count() > 0


def test_hostile_names_run_nothing_and_are_shown_as_they_are(browser: Any, pages: dict[str, Path]) -> None:
    opened = Opened(browser, pages["hostile"])
    page = opened.page
    for name in (WIRE.replace("\u202e", ""), SECOND):
        page.get_by_label("Find a wire or a part").fill(name)
        page.keyboard.press("Enter")
        assert page.locator("#told h3").inner_text().startswith(f"Wire {name}")
    page.get_by_label("Find a wire or a part").fill(PART)
    page.keyboard.press("Enter")
    assert PART in page.locator("#told h3").inner_text()
    for tab in page.locator("#sheets button").all():
        tab.click()
    assert page.evaluate("window.bad") is None
    assert page.locator("img").count() == 0
    assert opened.complaints == []
    assert len(opened.requests) == 1
    opened.context.close()


@pytest.mark.parametrize(("name", "width", "scheme"), [("faulty", 1440, "light"), ("hostile", 390, "dark")])
def test_axe_finds_no_fault(browser: Any, pages: dict[str, Path], name: str, width: int, scheme: str) -> None:
    """The rules of WCAG 2.2 A and AA as axe-core 4.14.1 has them, and its best practices, with everything open."""
    opened = Opened(browser, pages[name], bypass_csp=True, color_scheme=scheme)
    opened.page.set_viewport_size({"width": width, "height": 900})
    opened.page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    opened.page.locator("article.finding .show").first.click()
    opened.page.evaluate(AXE.read_text("utf-8"))
    found = opened.page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    opened.context.close()
    faults = [
        (one["id"], one["impact"], [node["html"][:120] for node in one["nodes"]][:2]) for one in found["violations"]
    ]
    assert faults == []
