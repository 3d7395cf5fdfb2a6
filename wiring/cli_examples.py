"""One example of every command, at the end of its help."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from typer.models import CommandInfo

#: By command, in the order of the work, as one would type it behind `wiring`.
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


def name_of(command: CommandInfo) -> str:
    """What a command is called on the command line."""
    return str(command.name or getattr(command.callback, "__name__", ""))


def add_examples(app: typer.Typer) -> None:
    """Puts the example of each command below its help, and the commands in the order of the work."""
    order = list(EXAMPLES)
    for command in app.registered_commands:
        if (name := name_of(command)) in EXAMPLES:
            command.epilog = f"Example: wiring {EXAMPLES[name]}"
    app.registered_commands.sort(key=lambda one: order.index(name_of(one)) if name_of(one) in order else len(order))
