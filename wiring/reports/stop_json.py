"""The stop proof for programs, as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable
from math import isfinite
from typing import Any

from wiring.control.script import StopUse
from wiring.control.sound import SoundStop
from wiring.control.verdicts import Verdict
from wiring.design.stop.account import Account, StopAccount, Told
from wiring.reports.stop_report import NOT_SIMULATED, STRUCTURE


def render_stop_json(account: Account, plan: str) -> str:
    """The proof as JSON: format 1, by stop; what another state shows beside that stands in its `while`, by state.

    `stops_by` of a device is `being worked`, or `being let go` of one that is held to run. `hidden`: the stop works and
    the machine runs on, and a next fault, named in `next`, is dangerous. `left_out`: dangerous, but the fault tables
    allow to leave it out under a condition that this circuit meets. `open_pairs`, by device and first fault: the second
    faults with which logic gives no verdict, too many for numbers; a fault stands for all that act alike.
    """
    document = {
        "format": 1,
        "plan": plan,
        "single_faults": len(account.proof.faults),
        "single_faults_left_out": len(account.proof.left_out),
        "stops": _stops(account.stops),
        "guards": _guards(account.guards),
        "lingering": {
            row.drive: {
                "bus_v": row.bus_v,
                "lockout_v": row.lockout_v,
                "lockout_s": row.lockout_s if isfinite(row.lockout_s) else None,
                "touch_s": row.touch_s if isfinite(row.touch_s) else None,
            }
            for row in account.lingering
        },
        "not_simulated": NOT_SIMULATED,
        "caution": STRUCTURE,
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _guards(guards: Iterable[tuple[StopUse, SoundStop]]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for use, sound in guards:
        if use.state:
            found[sound.device].setdefault("while", {})[use.state] = _sound_data(sound)
        else:
            found[sound.device] = _sound_data(sound)
    return found


def _stops(stops: Iterable[StopAccount]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for stop in stops:
        use = stop.result.use
        if use.state:
            found[use.name].setdefault("while", {})[use.state] = _stop_data(stop)
        else:
            found[use.name] = _stop_data(stop)
    return found


def _sound_data(sound: SoundStop) -> dict[str, Any]:
    return {
        "running": list(sound.running),
        "left": list(sound.left),
        "restarts_on_release": list(sound.on_release),
        "restarts_on_mains_return": list(sound.on_mains),
        "starts_if_held": list(sound.on_held),
        "left_by_second_stop": list(sound.on_demand),
        "not_ruled_out_with_low_supplies": list(sound.on_low),
        "starts_by_reset": list(sound.on_reset),
        "operators": {f"{target}, {moment.value}": list(names) for (moment, target), names in sound.worked.items()},
        "starts_again_after_reset": sound.again,
        "delayed": list(sound.late),
    }


def _stop_data(stop: StopAccount) -> dict[str, Any]:
    result = stop.result
    return {
        "category": result.use.category,
        "not_fed": list(result.unfed),
        "devices": {
            sound.device: {
                "stops_by": "being let go" if sound.device in result.use.let_go else "being worked",
                **_sound_data(sound),
            }
            for sound in result.sound
        },
        "dangerous": [one.fault.id for one in result.dangerous],
        "left_out": [one.fault.id for one in result.of(Verdict.DANGEROUS, excluded=True)],
        "hidden": [one.fault.id for one in result.hidden],
        "undecided": [one.fault.id for one in result.undecided],
        "open_pairs": _by_first(result.open_pairs),
        "faults": [_told_data(one) for one in stop.told],
        "cuts": {name: [list(layer) for layer in layers] for name, layers in stop.cuts.items()},
    }


def _by_first(pairs: Iterable[tuple[str, str, str]]) -> dict[str, dict[str, list[str]]]:
    found: dict[str, dict[str, list[str]]] = {}
    for device, first, second in pairs:
        found.setdefault(device, {}).setdefault(first, []).append(second)
    return found


def _told_data(told: Told) -> dict[str, Any]:
    one = told.verdict
    return {
        "fault": one.fault.id,
        "kind": one.fault.kind,
        "subjects": list(one.fault.subjects),
        "table": one.fault.table,
        "device": one.device,
        "operators": [part for part, _ in one.operators],
        "comes_while_stopped": one.while_stopped,
        "verdict": one.verdict.value,
        "moment": one.moment.value if one.moment else None,
        "alive": list(one.alive),
        "machine_runs": one.runs,
        "race": one.race,
        "reason": one.reason,
        "next": list(one.next),
        "left_out": one.fault.excluded,
        "story": list(told.steps),
    }
