"""The page in a browser: it follows the file, and on it the machine is worked."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser import chromium
from tests.rehearsal.served import SPECS, Served, served

AXE = Path(__file__).parents[1] / "reports" / "data" / "axe" / "axe.min.js"


def until(what: Callable[[], Any], seconds: float = 15.0) -> Any:
    """Wait until something is true; the page's policy forbids the browser's own way of waiting for a function."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = what()
        if found:
            return found
        time.sleep(0.03)
    raise AssertionError("it never came")


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as found:
        yield found


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("plan") / "winder.yaml"
    path.write_text((SPECS / "coil-winder.yaml").read_text("utf-8"), "utf-8")
    return path


@pytest.fixture(scope="module")
def server(plan: Path) -> Iterator[Served]:
    with served(plan) as found:
        found.ready()
        yield found


@pytest.fixture
def page(browser: Any, server: Served) -> Iterator[Any]:
    server.act({"do": "begin"})
    found = browser.new_page(viewport={"width": 1280, "height": 900})
    problems: list[str] = []
    found.on("pageerror", lambda error: problems.append(str(error)))
    found.on("console", lambda message: problems.append(message.text) if message.type == "error" else None)
    found.goto(server.url)
    found.wait_for_selector("#sheet svg g.hand")
    yield found
    assert [one for one in problems if "ERR_INTERNET_DISCONNECTED" not in one] == []
    found.close()


def works(page: Any, words: str) -> Callable[[], bool]:
    """Whether the row of what the machine does says so."""
    return lambda: words in page.inner_text("#works")


def hand(page: Any, name: str) -> Any:
    return page.locator(f"#operators button[data-part='{name}']")


def press(page: Any, name: str) -> None:
    """Down, then up, as a finger does."""
    hand(page, name).dispatch_event("pointerdown", {"button": 0, "pointerId": 1})
    hand(page, name).dispatch_event("pointerup", {"button": 0, "pointerId": 1})


def test_a_saved_value_is_a_new_finding_and_a_broken_file_keeps_the_drawing(page: Any, plan: Path) -> None:
    """Fuse F3 feeds a drive that takes 2.45 A in `winding`, by the plan's own data: at 1 A it must be told."""
    whole = plan.read_text("utf-8")
    assert "No finding" in page.inner_text("#findings") or "F3 is rated" not in page.inner_text("#findings")
    changed = whole.replace("F3: {kind: fuse, rating: 5 A", "F3: {kind: fuse, rating: 1 A")
    assert changed != whole
    plan.write_text(changed, "utf-8")
    until(lambda: page.locator(".finding:has(.new)").filter(has_text="F3").count())
    sheets = page.locator("#tabs button").count()
    plan.write_text(changed + "nonsense: [\n", "utf-8")
    until(lambda: "cannot be read" in page.inner_text("#faults"))
    assert page.locator("#faults").bounding_box()["y"] < page.locator("main:visible").bounding_box()["y"]
    assert page.locator("#tabs button").count() == sheets
    assert page.locator("#sheet svg g.wire").count() > 3
    plan.write_text(whole, "utf-8")
    until(lambda: page.locator(".gone").filter(has_text="F3").count())
    assert page.inner_text("#faults") == ""


def test_start_run_stop_reset(page: Any) -> None:
    """The winder's stop relay is reset by S3, its contactors feed the drives; S1 is a latching stop."""
    assert works(page, "M1 not fed")()
    press(page, "S3")
    until(works(page, "M1 FED"))
    assert page.locator("#sheet g.wire[data-look=flow]").count()
    hand(page, "S1").click()
    until(works(page, "M1 not fed"))
    press(page, "S3")
    assert works(page, "M1 not fed")()
    hand(page, "S1").click()
    until(lambda: "released" in hand(page, "S1").inner_text())
    assert works(page, "M1 not fed")(), "the release alone must start nothing"
    press(page, "S3")
    until(works(page, "M1 FED"))
    page.click("#undo")  # the reset pressed, but not let go yet: a monitored one does not count so
    until(works(page, "M1 not fed"))


@pytest.mark.parametrize(("where", "before"), [("#operators button[data-part=S1]", "false"), ("#mains", "true")])
def test_a_second_click_takes_the_first_back_before_the_answer(page: Any, where: str, before: str) -> None:
    """The first act is held back until the second click is done: what stands then is as it was before both."""
    button, held, sent = page.locator(where), [], []
    until(lambda: button.get_attribute("aria-pressed") == before)

    def hold(route: Any) -> None:
        sent.append(route.request.post_data_json["on"])
        held.append(route) if len(sent) == 1 else route.continue_()

    page.route("**/act", hold)
    button.click()
    button.click()
    until(lambda: page.title() and held)
    held[0].continue_()
    until(lambda: page.title() and len(sent) == 2)
    assert sent == [before == "false", before == "true"]
    until(lambda: button.get_attribute("aria-pressed") == before)


def test_operators_are_worked_on_the_schematic_by_keyboard_too(page: Any) -> None:
    stop = page.locator("#sheet g.hand[data-part=S1]").first
    stop.focus()
    page.keyboard.press("Space")
    until(lambda: stop.get_attribute("aria-pressed") == "true")
    assert "pressed in" in stop.get_attribute("aria-label")
    reset = page.locator("#sheet g.hand[data-part=S3]").first
    reset.focus()
    page.keyboard.down("Space")
    until(lambda: reset.get_attribute("aria-pressed") == "true")
    page.keyboard.up("Space")
    until(lambda: reset.get_attribute("aria-pressed") == "false")


def test_the_keyboard_keeps_its_place_where_buttons_are_drawn_anew(page: Any) -> None:
    """A fault at a wire, its mend, the keys of the sheet at the cabinet: each press draws its box anew."""
    in_focus = "document.activeElement.textContent"
    page.fill("#find", "310")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate(in_focus) == "wire 310 breaks"
    page.keyboard.press("Enter")
    until(lambda: page.locator("#in button").count())
    assert page.evaluate("document.activeElement.closest('#chosen') !== null")
    page.locator("#in button").focus()
    page.keyboard.press("Enter")
    until(lambda: not page.locator("#in button").count())
    page.click("[data-view='power-up']")
    page.wait_for_selector("#pad button")
    page.locator("#pad button", has_text="Next").first.focus()
    line = page.inner_text("#card p >> nth=0")
    page.keyboard.press("Enter")
    until(lambda: page.locator("#card p").first.inner_text() not in (line, ""))
    assert page.evaluate(in_focus) == "Next"


def put_in(page: Any, name: str, words: str) -> None:
    count = page.locator("#in button").count()
    page.fill("#find", name)
    page.locator("#find").blur()
    page.locator("#chosen button", has_text=words).first.click()
    until(lambda: page.locator("#in button").count() == count + 1)


def mend(page: Any) -> None:
    page.locator("#in button").first.click()
    until(lambda: page.locator("#in button").count() == 0)


def test_three_faults(page: Any) -> None:
    """A broken wire of one stop channel stops the machine; a contactor that stays picked up keeps the reset from
    counting, for its mirror contact is in that loop; an open fuse takes the drive behind it away, and no other."""
    press(page, "S3")
    until(works(page, "M1 FED"))
    put_in(page, "310", "wire 310 breaks")
    until(works(page, "M1 not fed"))
    assert page.locator("#sheet g.wire[data-id='310'][data-look=cut]").count()
    mend(page)
    put_in(page, "K1", "K1 stays picked up")
    press(page, "S3")
    assert works(page, "M1 not fed")()
    mend(page)
    hand(page, "S1").click()
    hand(page, "S1").click()
    press(page, "S3")
    until(works(page, "M1 FED"))
    put_in(page, "F3", "F3:1-2 is open")
    until(works(page, "M1 not fed"))
    assert works(page, "M2 FED")()
    mend(page)
    until(works(page, "M1 FED"))


def test_a_story_is_played_to_its_end(page: Any) -> None:
    page.select_option("#stories", index=0)
    page.click("#play")
    until(lambda: page.locator("#step").is_enabled())
    for _ in range(20):
        if not page.locator("#step").is_enabled():
            break
        done = page.locator("#told li").count()
        page.click("#step")
        until(lambda done=done: page.locator("#told li").count() > done)
    assert page.locator("#told li").count() >= 5
    assert "The proof says" in page.inner_text("#ending")


def test_values_under_the_pointer(page: Any) -> None:
    page.locator("#sheet g.wire .hit").first.dispatch_event("pointermove")
    assert "to PE" in page.inner_text("#under") or "no potential" in page.inner_text("#under")


def test_a_slider_past_a_limit_and_a_trial_taken_over_and_undone(page: Any, plan: Path) -> None:
    """By hand: 3 N·m at 600 rpm are 188 W at the shaft, from 36 V more than 5.2 A, through the 5 A of F3."""
    whole = plan.read_text("utf-8")
    page.click("[data-view='what-if']")
    page.fill("#try-part", "M1")
    page.locator("#try-part").blur()
    field = page.locator("#fields label", has_text="M1.work.torque")
    until(field.count)
    slide = "(slider, value) => { slider.value = value; slider.dispatchEvent(new Event('input', {bubbles: true})); }"
    field.locator("input[type=range]").evaluate(slide, "3")
    until(lambda: page.locator("#trial .appears").filter(has_text="F3").count())
    assert page.locator("#trial td").filter(has_text="A").count(), "the headroom moves with it"
    assert plan.read_text("utf-8") == whole, "a trial changes nothing on disk"
    field.locator("input").first.fill("1.1 N·m")
    until(lambda: not page.locator("#trial .busy").count() and "M1.work.torque=1.1" in page.inner_text("#trial"))
    page.click("#take")
    until(lambda: plan.read_text("utf-8") != whole)
    pairs = zip(whole.split("\n"), plan.read_text("utf-8").split("\n"), strict=True)
    changed = [(old, new) for old, new in pairs if old != new]
    assert len(changed) == 1, "every other line stays as it is written"
    assert changed[0][1] == changed[0][0].replace("torque: 1.0 N·m", "torque: 1.1 N·m")
    until(lambda: page.locator("#take-back").is_enabled())
    page.click("#take-back")
    until(lambda: plan.read_text("utf-8") == whole)


def test_a_wrong_reading_tells_its_causes_and_is_on_the_disk(page: Any, plan: Path) -> None:
    """999 milliohm where a bonding conductor has some hundredths of that; sent again after the connection was away."""
    page.click("[data-view='power-up']")
    page.wait_for_selector("#pad button")
    for _ in range(60):
        if "milliohm" in page.inner_text("#card"):
            break
        page.locator("#pad button", has_text="Next").first.click()
    if page.locator(".band button").count():
        assert page.locator("#pad .keep").is_disabled(), "the position is confirmed before anything is typed"
        page.locator(".band button").click()
    line = page.inner_text("#card p >> nth=0").split(",")[0].removeprefix("Line ")
    page.context.set_offline(True)
    for key in "999":
        page.get_by_role("button", name=key, exact=True).click()
    page.locator("#pad .keep").click()
    until(lambda: "kept here" in page.inner_text("#pending"))
    page.context.set_offline(False)
    until(lambda: page.locator("#causes li").count())
    assert page.locator("#card .wrong").count()
    assert "Measure next" in page.inner_text("#causes")
    written = plan.with_name("winder-readings.csv").read_text("utf-8").splitlines()
    assert any(row.startswith(f"{line},") and row.endswith(",999") for row in written)


def test_a_part_is_shown_where_it_sits_in_the_cabinet(page: Any) -> None:
    page.locator("#tabs button", has_text="Cabinet: plate").click()
    place = page.locator("#sheet g.enclosure[data-id='K1']").first
    place.dispatch_event("click", {"bubbles": True})
    until(lambda: "lit" in place.get_attribute("class"))
    assert "K1" in page.inner_text("#chosen h3")
    page.locator("#tabs button", has_text="Stop and control").click()
    assert page.locator("#sheet g.symbol.lit[data-part='K1']").count(), "and on the circuit as well"


@pytest.mark.parametrize("width", [390, 960, 2560])
def test_axe_is_content_and_nothing_runs_out_of_the_window(browser: Any, server: Served, width: int) -> None:
    """On every view; what hangs on colours in the dark scheme too."""
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.goto(server.url)
    page.wait_for_selector("#sheet svg g.hand")
    assert page.is_visible("#calculation")
    page.evaluate(AXE.read_text("utf-8"))
    for view, shown in (("machine", "#sheet svg"), ("what-if", "#try-part"), ("power-up", "#pad button")):
        page.click(f"[data-view='{view}']")
        page.wait_for_selector(shown)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, view
        for scheme, asked in (("light", "{}"), ("dark", "{runOnly: ['cat.color']}")):
            page.emulate_media(color_scheme=scheme)
            found = page.evaluate(f"axe.run(document, {{resultTypes: ['violations'], ...{asked}}})")
            told = [(one["id"], [node["html"][:120] for node in one["nodes"]][:3]) for one in found["violations"]]
            assert told == [], (view, scheme)
    page.close()
