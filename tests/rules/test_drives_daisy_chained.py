"""Drives fed one from the other: told with the drop along the chain (drive makers' manuals, common practice)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, folded_under
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "drives-daisy-chained"


def drives(count: int) -> str:
    return "\n".join(
        f"D{n}: {{kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}}"
        for n in range(1, count + 1)
    )


def chain(count: int, size: str = "") -> str:
    plus = ", ".join(f"'D{n}:V+'" for n in range(1, count + 1))
    minus = "\n".join(f"- {{wire: 2{n}, from: X2:{n + 1}, to: 'D{n}:V-'}}" for n in range(1, count + 1))
    return plan(drives(count), f"- {{wire: 10, through: [X1:2, {plus}]{size}}}\n{minus}")


@pytest.mark.parametrize(("count", "fires"), [(1, False), (2, True), (4, True)])
def test_two_drives_make_a_chain(count: int, fires: bool) -> None:
    found = fired(SLUG, design(chain(count)))
    assert bool(found) is fires
    assert all(finding.signal is Signal.NOTICE for finding in found)
    assert all(len([s for s in finding.subjects if s.startswith("D")]) == count for finding in found)


def test_a_star_is_right() -> None:
    plus = "\n".join(f"- {{wire: 1{n}, from: X1:{n + 1}, to: 'D{n}:V+'}}" for n in (1, 2))
    minus = "\n".join(f"- {{wire: 2{n}, from: X2:{n + 1}, to: 'D{n}:V-'}}" for n in (1, 2))
    assert fired(SLUG, design(plan(drives(2), f"{plus}\n{minus}"))) == []


def test_the_drop_is_that_of_the_pieces_between_the_drives() -> None:
    """Drives at rest take 1.5 W, 62.5 mA at 24 V; 1 m of 1 mm2 has 19.5 mohm at 20 °C (IEC 60228)."""
    [finding] = fired(SLUG, design(chain(2, ", size: 1 mm2, length: 1 m")))
    assert finding.numbers[0].value == pytest.approx(0.0625 * 0.0195 * (1 + 0.00393 * 20), rel=0.03)


# Two drives of about 3.8 A at 24 V on 1 mm2, 21 mohm a metre at 40 °C (IEC 60228): to the last one the chain loses
# (7.6 + 3.8) A times 21 mohm, 0.24 V a metre; its own current alone would lose 0.16 V a metre. 5 % of 24 V are 1.2 V
# (IEC 60204-1, 12.5, from memory): passed by the chain from less than 5 m on, as the drives take more
# current at less voltage and the returns lose some, and by the drive alone from 7 m on.
@pytest.mark.parametrize(("metres", "signal"), [(1.0, Signal.NOTICE), (6.0, Signal.CAUTION)])
def test_a_chain_that_takes_the_last_drive_out_of_its_limit(metres: float, signal: Signal) -> None:
    body = working_chain(metres)
    assert [finding.signal for finding in fired(SLUG, design(body))] == [signal]
    assert folded_under("voltage-drop-too-high", design(body)) == ({SLUG} if signal is Signal.CAUTION else set())


def test_conductors_that_would_lose_too_much_for_one_drive_alone_are_no_fault_of_the_chain() -> None:
    body = working_chain(10.0)
    assert [finding.signal for finding in fired(SLUG, design(body))] == [Signal.NOTICE]
    assert fired("voltage-drop-too-high", design(body)) != []
    assert folded_under("voltage-drop-too-high", design(body)) == set()


def working_chain(metres: float) -> str:
    """Two axes at work, fed in a chain; both returns are thick, so that the chain alone counts."""
    drive = "{{kind: stepper-drive, supply: 18..48 V DC, phase_current: 4.2 A peak, signals: 5 V DC}}"
    motor = (
        "{{kind: stepper-motor, phase_current: 4.2 A peak, phase_resistance: 0.75 ohm, phase_inductance: 3 mH, "
        "holding_torque: 3 N·m, work: {{speed: 500 rpm, torque: 1.2 N·m}}}}"
    )
    parts = "\n".join(f"D{n}: {drive}\nM{n}: {motor}".replace("{{", "{").replace("}}", "}") for n in (1, 2))
    wires = f"- {{wire: 10, through: [X1:2, 'D1:V+', 'D2:V+'], size: 1 mm2, length: {metres} m}}\n"
    for n in (1, 2):
        wires += f"- {{wire: 2{n}, from: X2:{n + 1}, to: 'D{n}:V-', size: 16 mm2, length: 0.1 m}}\n"
        for phase in ("A+", "A-", "B+", "B-"):
            wires += f"- {{wire: {n}{phase}, from: 'D{n}:{phase}', to: 'M{n}:{phase}', size: 1.5 mm2, length: 1 m}}\n"
    trunk = "size: 16 mm2, length: 0.1 m}"
    return plan(parts, wires).replace("to: X1:1}", f"to: X1:1, {trunk}").replace("to: X2:1}", f"to: X2:1, {trunk}")


def test_what_it_says() -> None:
    """A second drive at rest takes 1.5 W at 24 V through one conductor of unknown size, 20 mohm."""
    [finding] = fired(SLUG, design(chain(2)))
    assert_says(
        finding,
        "NOTICE",
        number=("drop along the chain", 1.5 / 24 * 0.020, "V"),
        mend="conductor of its own to each drive",
    )


def test_what_it_says_of_a_chain_that_loses_too_much() -> None:
    """IEC 60204-1 12.5: 5 %. The drop is that of the last drive, as worked out above; at 6 % less voltage
    their constant power takes 6 % more current."""
    [finding] = fired(SLUG, design(working_chain(6.0)))
    drop_v = 3.8 * 0.021 * 6.0
    assert_says(
        finding,
        "CAUTION",
        limit=(5.0, "%", "IEC 60204-1 12.5"),
        number=("drop along the chain", drop_v, "V"),
        mend="conductor of its own",
        rel=0.1,
    )
