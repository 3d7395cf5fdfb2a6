"""The command rehearse: the page that follows a plan, and on which its machine is worked."""

from __future__ import annotations

import gc
import sys
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import refuse, tell

if TYPE_CHECKING:
    import socket

    from wiring.rehearsal.guard import Keys

_HERE = "127.0.0.1"
_ON_NETWORK = (
    "Whoever is on that network can read what goes over it: it is plain HTTP. The key is good for one device; "
    "press Enter for another one. Other devices work the machine and fill in readings; only this computer changes the "
    "plan."
)


def _address(keys: Keys, host: str, port: int) -> str:
    return f"http://{host}:{port}/?key={keys.key}"


def _print_key(keys: Keys, host: str, port: int) -> None:
    """The address for one other device, as text and as a code to photograph."""
    import segno

    address = _address(keys, host, port)
    tell(f"For one phone or tablet on this network: {address}")
    if sys.stderr is not None and sys.stderr.isatty():
        segno.make(address, error="m").terminal(out=sys.stderr, compact=True)


def _keys_on_enter(keys: Keys, host: str, port: int) -> None:
    """Prints a new key whenever the person presses Enter."""
    for _ in sys.stdin:
        keys.renew()
        _print_key(keys, host, port)


def rehearse(
    plan: Annotated[Path, Argument(metavar="PLAN", help="the plan file of the machine")],
    port: Annotated[int, Option(min=1, max=65535, help="where the page is served on this computer")] = 8377,
    lan: Annotated[bool, Option("--lan", help="let one device with a key in over the network, too")] = False,
) -> None:
    """Serve a page on this computer that follows the plan while you edit it, and on which its machine can be worked.

    It is a calculation and not connected to the machine. Ctrl-C ends it.
    """
    from wiring.plan.syntax import STANDARD_INPUT_NAME

    if str(plan) in ("-", STANDARD_INPUT_NAME) or not plan.is_file():
        refuse(f"There is no file {plan}. The page follows a plan in a file that stays where it is.")
    try:
        from wiring.rehearsal.guard import Keys
        from wiring.rehearsal.server import lan_address, listening, serve
    except ModuleNotFoundError as missing:
        refuse(
            f"The page needs {missing.name}, which is not installed here. `pip install 'wiring[rehearse]'` brings it."
        )
    host = lan_address() if lan else None
    if lan and host is None:
        refuse("--lan: this computer is on no network. Without --lan the page is served on this computer.")
    keys = Keys()
    sockets: list[socket.socket] = []
    for place in filter(None, (_HERE, host)):
        try:
            sockets.append(listening(place, port))
        except OSError as problem:
            refuse(
                f"{place}:{port} cannot be used: {(problem.strerror or str(problem)).lower()}. Choose another --port."
            )
    tell(f"The page is at http://{_HERE}:{port}/ and follows {plan}. Ctrl-C ends it.")
    tell("A calculation, not connected to the machine: prove dead at the terminals.")
    if host is not None:
        tell(_ON_NETWORK)
        _print_key(keys, host, port)
        if sys.stdin is not None and sys.stdin.isatty():
            Thread(target=_keys_on_enter, args=(keys, host, port), daemon=True).start()
    gc.set_threshold(100_000, 50, 50)  # no short command: it runs for hours
    serve(plan, sockets, keys)
