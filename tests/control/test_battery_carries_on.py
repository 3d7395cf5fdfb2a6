"""A battery carries on what was started while the mains are lost: that is no restart at their return.

By hand: S1 drops K1 and K2 in every case; S2 starts them again; with the mains lost the battery holds them. With the
charger's wire broken the same holds. A wire past both stop contacts is dangerous with and without mains.
"""

from __future__ import annotations

from pathlib import Path

from wiring.design.load import load, load_text

PLAN = Path(__file__).parents[2] / "specs" / "tray-mover.yaml"


def dangerous(text: str) -> set[str]:
    loaded = load_text(text, PLAN.name, PLAN.parent)
    assert loaded.design is not None
    return {one.fault.id for one in loaded.design.stop_proof.results["emergency"].dangerous}


def test_no_fault_of_the_charger_defeats_the_stop():
    design = load(PLAN).design
    assert design is not None
    found = {one.fault.id for one in design.stop_proof.results["emergency"].dangerous}
    assert not found & {"open:1", "open:10", "missing:G1", "blown:F6:1-2"}


def test_a_contactor_left_out_of_both_is_still_dangerous():
    """K2's pole bridged by a wire: K1 alone is left, and its weld is dangerous."""
    text = PLAN.read_text(encoding="utf-8").replace(
        "  # motion\n", "  # motion\n  - {wire: 999, from: K2:1, to: K2:2, type: motion}\n", 1
    )
    assert any(fault.startswith(("weld:K1:1-2", "held:K1")) for fault in dangerous(text))


def test_what_a_weak_battery_carries_on_is_no_start():
    """A coil that lets go or stays in with a weak battery: whatever of that, the mains take no part in it."""
    design = load(PLAN).design
    assert design is not None
    assert [sound.on_low for sound in design.stop_proof.results["emergency"].sound] == [()]
