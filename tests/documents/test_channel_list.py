"""The channels of a controller against what a plan says in its own comments and titles."""

from __future__ import annotations

from tests.drawing.drawn import spec_design
from wiring.documents.list_names import ListName
from wiring.documents.lists import file_table, list_table


def _by_channel(name: str) -> dict[str, tuple[object, ...]]:
    return {f"{row[0]}:{row[1]}": row[2:] for row in list_table(spec_design(name), ListName.CHANNELS).rows}


def test_inputs_of_the_gantry_lead_to_their_switches() -> None:
    """I1 reads the break contact of limit switch B1 over X4:9, I7 the key switch, I11 the stop relay's auxiliary."""
    rows = _by_channel("foam-gantry")
    assert rows["A1:I1"] == ("in", "sink", "over-travel", "B1:11-12", "gantry front", "1", "0", "403", "X4:9")
    assert rows["A1:I7"][3:7] == ("S4:13-14", "setting-up mode", "0", "1")
    assert rows["A1:I11"][3:7] == ("K0:41-42", "stop relay", "1", "0")
    assert rows["A1:I12"][2:7] == ("home", "B8:1-4", "gantry home", "0", "1")


def test_outputs_tell_their_device_and_the_state_without_a_program() -> None:
    rows = _by_channel("foam-gantry")
    assert rows["A1:P1"][0:2] == ("out", "push-pull 5 V")
    assert rows["A1:P1"][3] == "D1:STEP+"
    assert rows["A1:P1"][5:8] == ("0", "", "441")
    assert rows["A1:RC1-RO1"][3] == "K3:A1"


def test_every_channel_of_every_card_has_a_row() -> None:
    for name in ("coil-winder", "bench-press-feeder", "stone-engraver"):
        design = spec_design(name)
        wanted = [
            f"{part.name}:{channel}"
            for part in design.parts.values()
            if part.kind in ("io-card", "controller")
            for channel in (*part.data.inputs, *part.data.outputs)  # type: ignore[attr-defined]
        ]
        assert wanted
        assert sorted(_by_channel(name)) == sorted(wanted)
        assert len(file_table(design, ListName.CHANNELS).rows) == len(wanted)
