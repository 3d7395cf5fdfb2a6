"""Readings written by a process that is killed at random moments: `python -m tests.rehearsal.writer PLAN KILLS SEED`.

Prints the number of kills, of acknowledged entries, and of those that the file does not hold afterwards.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path
from random import Random

from wiring.design.load import load
from wiring.powerup.sheet import build
from wiring.rehearsal.entries import Entries


def _write(entries: Entries, names: list[str], first: int, pipe: int) -> None:
    n = first
    while True:
        name = names[n % len(names)]
        edition = entries.found[name].edition if name in entries.found else 0
        entries.keep(name, str(n), edition)
        os.write(pipe, f"{name} {n}\n".encode())
        n += 1


def main(plan: Path, kills: int, seed: int) -> None:
    """Fork, write, kill, read back; again and again on the same file."""
    design = load(plan).design
    assert design is not None
    to = build(design)
    names = [line.id for line in to.lines if not line.annex]
    random, known, lost, total, n = Random(seed), {}, 0, 0, 0
    for _ in range(kills):
        receive, send = os.pipe()
        child = os.fork()
        if not child:
            _write(Entries(plan, to, [plan]), names, n, send)
        os.close(send)
        time.sleep(random.uniform(0.02, 0.3))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        told = b""
        while piece := os.read(receive, 65536):
            told += piece
        os.close(receive)
        for line in told.decode().splitlines():
            name, text = line.split(" ")
            known[name], n = int(text), int(text) + 1
            total += 1
        held = Entries(plan, to, [plan]).found
        for name, text in known.items():
            here = int(held[name].text) if name in held else -1
            lost += here < text  # one that was written and not acknowledged any more may stand there: it is newer
    print(kills, total, lost)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
