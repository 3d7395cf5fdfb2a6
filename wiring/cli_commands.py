"""The commands: where each stands, and one example of it at the end of its help."""

from __future__ import annotations

from importlib import import_module
from types import FunctionType

#: Behind `cli_`, the module of every command, in the order of the work.
_MODULES = {
    "new": "new",
    "library": "library",
    "check": "check",
    "rule": "rules",
    "change": "changes",
    "suggest": "changes",
    "add-motor": "changes",
    "room": "changes",
    "budget": "check",
    "stop": "stop",
    "draw": "draw",
    "cabinet": "cabinet",
    "list": "documents",
    "pack": "documents",
    "power-up": "power_up",
    "readings": "power_up",
    "rehearse": "rehearse",
    "compare": "compare",
    "schema": "rules",
}
#: By command, as one would type it behind `wiring`.
EXAMPLES = {
    "new": "new machine.yaml --out plan.yaml",
    "library": "library stepper-drive",
    "check": "check plan.yaml",
    "rule": "rule earth-missing",
    "change": 'change plan.yaml "M1.work.torque=2.5 N·m" "F3.rating=6 A"',
    "suggest": "suggest plan.yaml G1 --headroom 20%",
    "add-motor": "add-motor plan.yaml --like M1 --count 2 --out more.yaml",
    "room": "room plan.yaml --plot room.svg",
    "budget": "budget plan.yaml --all",
    "stop": "stop plan.yaml --stop emergency",
    "draw": "draw plan.yaml --out sheets --format pdf",
    "cabinet": "cabinet plan.yaml",
    "list": "list wires plan.yaml --format xlsx --out wires.xlsx",
    "pack": "pack plan.yaml --out pack.pdf",
    "power-up": "power-up plan.yaml --format html --out power-up.html",
    "readings": "readings plan.yaml readings.csv",
    "rehearse": "rehearse plan.yaml",
    "compare": "compare HEAD~1 plan.yaml",
    "schema": "schema > plan.schema.json",
}


def command_of(name: str) -> FunctionType | None:
    """The function that a command calls, of the same name; None where there is no such command."""
    if name not in _MODULES:
        return None
    found: FunctionType = getattr(
        import_module(f"wiring.cli_{_MODULES[name]}"), _FUNCTIONS.get(name, name.replace("-", "_"))
    )
    return found


#: Where a function would have the name of what Python itself has.
_FUNCTIONS = {"list": "list_"}
