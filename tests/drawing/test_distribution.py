"""Distribution sheets: potentials as lines with their names, devices hanging from them in the order of the plan."""

from __future__ import annotations

import pytest

from tests.drawing.drawn import SPECS, Drawn, drawn_spec
from wiring.parts.elements import Feed


def _pins(drawn: Drawn) -> dict[str, list[tuple[int, float, float]]]:
    found: dict[str, list[tuple[int, float, float]]] = {}
    for picture in drawn.pictures:
        for part in picture.of("symbol"):
            for pin in part.pins:
                found.setdefault(pin.node, []).append((picture.number, pin.x, pin.y))
    return found


def _mains_lines(drawn: Drawn) -> dict[str, list[tuple[float, float, float, float]]]:
    """The strokes of every conductor that carries a mains potential, drawn from end to end on one sheet."""
    found: dict[str, list[tuple[float, float, float, float]]] = {}
    for picture in drawn.pictures:
        for part in picture.of("wire"):
            found.setdefault(part.id, []).extend((s.x1, s.y1, s.x2, s.y2) for s in part.strokes)
    return found


@pytest.mark.parametrize(("name", "chains"), [
    ("foam-gantry", {"106": "F2 F3 F4", "107": "F2 F3 F4", "200": "F11 F12 F13 F14", "300": "F21 F22 F23 F24 F25"}),
    ("stone-engraver", {"110": "F1 F2", "111": "F1 F3", "112": "F1 F4 F5", "113": "F2 F3 F4 F5"}),
])  # fmt: skip
def test_devices_hang_from_their_line_in_the_order_of_the_plan(name: str, chains: dict[str, str]) -> None:
    """The order of the `through:` lists in the plans: each device is right of the one before or in a row below it."""
    drawn = drawn_spec(name)
    lines = _mains_lines(drawn)
    for chain, devices in chains.items():
        pieces = [c for c in drawn.design.circuit.conductors if c.id.startswith(f"{chain}.")]
        assert [p.b[0] for p in pieces][: len(devices.split())] == devices.split()
        drops = []
        for piece in pieces[: len(devices.split())]:
            arrives = [stroke for stroke in lines[piece.id] if stroke[1] == stroke[3]][-1]  # level: no hairpin
            drops.append((arrives[1], max(arrives[0], arrives[2])))
        assert drops == sorted(set(drops))


@pytest.mark.parametrize("name", SPECS)
def test_mains_lines_carry_their_names(name: str) -> None:
    """Every conductor of the supply that feeds two or more devices is a line with its name; the inlet comes first."""
    drawn = drawn_spec(name)
    names = {part.id for picture in drawn.pictures for part in picture.of("potential")}
    circuit = drawn.design.circuit
    poles = {feed.conductor for _, feed in circuit.elements(Feed) if feed.conductor != "PE"}
    sources = {n for n in names if n.startswith(("L", "N"))}
    assert sources <= poles
    assert all(n.startswith(("+", "0 V")) or n.endswith("AC") for n in names - sources)
    if name in ("foam-gantry", "stone-engraver", "bench-press-feeder", "coil-winder"):
        assert sources == poles


@pytest.mark.parametrize("name", ["foam-gantry", "stone-engraver"])
def test_devices_in_series_stand_below_each_other(name: str) -> None:
    """The poles of K1 and K2 are in series in both plans: the wire between them is one upright stroke."""
    pins = _pins(drawn_spec(name))
    for lower, upper in (("K1:2", "K2:1"), ("K1:4", "K2:3"), ("K1:6", "K2:5")):
        (sheet, x, y), (other, x2, y2) = pins[lower][0], pins[upper][0]
        assert (sheet, x) == (other, x2)
        assert y < y2


def test_a_control_supply_of_ac_is_not_called_dc() -> None:
    titles = [sheet.title for sheet in drawn_spec("parts-washer", "tabloid").sheets]
    assert any("Control supply" in title for title in titles)
    assert not any("DC" in title for title in titles)


def test_earth_of_a_motor_stands_by_its_phases() -> None:
    """A second protective pin of a drive, from which the core of the motor's cable leads on, is drawn as the phases."""
    pins = _pins(drawn_spec("glue-robot", "tabloid"))
    places = [place for name in ("U", "V", "W", "PE2") for place in pins[f"D1:{name}"]]
    assert len({(sheet, x) for sheet, x, _ in places}) == 1
    assert [y for _, _, y in places] == sorted({y for _, _, y in places})
