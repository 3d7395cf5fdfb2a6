"""Socket outlets: 30 mA up to 32 A (IEC 60364-4-41, 411.3.3), class A of 4 to 6 mA (UL 943), a contact of the
protective conductor and a device of their own (IEC 60204-1, 15.1), no larger than the outlet (IEC 60364-5-51, 512.1.2;
15 A behind 20 A by NEC table 210.21(B)(3)). All from memory but the 30 mA, which a rule of accident insurers repeats.
"""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "outlet-protection-wrong"


def plan(
    residual: str = "30 mA",
    device: str = "16 A",
    outlet: str = "rated: 16 A",
    *,
    volts: str = "230 V",
    building: str = "none",
    more: str = "",
    rcd: bool = True,
) -> str:
    """An outlet behind a residual current device and a breaker; `more` are wires to what hangs there as well."""
    first = "F1:2" if rcd else "X0:L"
    neutral = "F1:4" if rcd else "X0:N"
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: {volts}, frequency: 50 Hz, rcd: {building}}}
parts:
  X0: {{kind: inlet, rated: 32 A}}
  F1: {{kind: rcd, rated: 40 A, residual: {residual}, type: A}}
  F2: {{kind: breaker, rating: {device}, curve: B}}
  J1: {{kind: socket-outlet, feeds: {volts} AC 2 A, {outlet}}}
  E1: {{kind: heater, rated: {volts} AC 200 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1}}
  - {{wire: 2, from: X0:N, to: F1:3}}
  - {{wire: 3, from: {first}, to: F2:1}}
  - {{wire: 4, from: F2:2, to: J1:L}}
  - {{wire: 5, from: {neutral}, to: J1:N}}
  - {{wire: PE1, from: X0:PE, to: J1:PE}}
{more}"""


@pytest.mark.parametrize(
    ("book", "residual", "keys", "says"),
    [
        ("iec", "30 mA", {}, ""),
        ("iec", "300 mA", {}, "300 mA"),
        ("iec", "300 mA", {"outlet": "rated: 63 A"}, ""),
        ("iec", "300 mA", {"building": "{residual: 30 mA, type: A}"}, ""),
        ("iec", "30 mA", {"rcd": False}, "no residual current device"),
        ("iec", "30 mA", {"device": "25 A"}, "25 A"),
        ("na", "5 mA", {"volts": "120 V", "device": "20 A", "outlet": "rated: 15 A"}, ""),
        ("na", "5 mA", {"volts": "120 V", "device": "25 A", "outlet": "rated: 15 A"}, "25 A"),
        ("na", "30 mA", {"volts": "120 V", "device": "15 A", "outlet": "rated: 15 A"}, "30 mA"),
        ("iec", "30 mA", {"outlet": "rated: 16 A, poles: [L, N]"}, "no contact of the protective conductor"),
        (
            "iec",
            "30 mA",
            {"more": "  - {wire: 6, from: F2:2, to: E1:1}\n  - {wire: 7, from: F1:4, to: E1:2}\n"},
            "takes them down",
        ),
        ("iec", "300 mA", {"volts": "48 V"}, ""),
    ],
)
def test_what_stands_ahead_of_an_outlet(book: str, residual: str, keys: dict[str, object], says: str) -> None:
    text = plan(residual, **keys)  # type: ignore[arg-type]
    if "poles" in text:
        text = text.replace("  - {wire: PE1, from: X0:PE, to: J1:PE}\n", "")
    found = fired(SLUG, design(text, book))
    assert [says in one.summary for one in found] == ([True] if says else [])


@pytest.mark.parametrize(("coil_at", "told"), [("F1:2", []), ("F2:2", [("J1", "F2", "K3")])])
def test_the_contactor_of_an_outlet_is_no_load_beside_it(coil_at: str, told: list[tuple[str, ...]]) -> None:
    """Its poles take nothing; a coil behind the device of the outlet goes out with what is plugged in."""
    text = plan(
        more=f"  - {{wire: 8, from: K3:2, to: J1:L}}\n  - {{wire: 9, from: '{coil_at}', to: K3:A1}}\n"
        "  - {wire: 10, from: F1:4, to: K3:A2}\n"
    ).replace("F2:2, to: J1:L", "F2:2, to: K3:1")
    text = text.replace("  E1: {", "  K3: {kind: contactor, coil: 230 V AC 8 VA}\n  E1: {")
    assert [one.subjects for one in fired(SLUG, design(text))] == told


def test_what_is_not_said_is_asked() -> None:
    """The building may have what is missing; an outlet without a rating is held against nothing."""
    text = plan(rcd=False).replace(", rcd: none", "").replace(", rated: 16 A}", "}")
    assert fired(SLUG, design(text)) == []
    missing = " ".join(one.missing for one in open_questions(SLUG, design(text)))
    assert "building" in missing
    assert "rated" in missing


def test_what_is_plugged_in_draws_current_and_heats_nothing_inside() -> None:
    """2 A at 230 V into a resistance: 460 W, all of it outside; none in a state in which nothing is plugged in."""
    both = design(plan() + "states:\n  used: {}\n  idle: {J1: 'off'}\n")
    amps = {state: both.operation.loaded[state].path_current("AC").get("4", 0.0) for state in ("used", "idle")}
    assert abs(amps["used"]) == pytest.approx(2.0, rel=0.02)
    assert abs(amps["idle"]) == pytest.approx(0.0, abs=1e-6)
    assert "J1" not in both.inside.parts_w


@pytest.mark.parametrize(("title", "asked"), [("outlet for a lamp", True), ("lamp", False)])
def test_a_load_that_is_called_an_outlet_is_asked_about(title: str, asked: bool) -> None:
    text = plan().replace("E1: {kind: heater", f"E1: {{kind: load, title: {title}")
    assert bool(open_questions(SLUG, design(text))) is asked


def test_what_it_says() -> None:
    """IEC 60364-4-41, 411.3.3 and 415.1: 30 mA, and 300 mA stand ahead."""
    [finding] = fired(SLUG, design(plan("300 mA")))
    assert_says(
        finding,
        "WARNING",
        limit=(30.0, "mA", "IEC 60364-4-41 411.3.3 and 415.1"),
        number=("residual", 300.0, "mA"),
        mend="30 mA",
    )
