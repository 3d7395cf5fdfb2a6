"""A plan saved again and again under one session: `python -m tests.rehearsal.saver PLAN SAVES`.

Prints the memory of the process after a tenth of the saves, 20 at the least, and after all of them [kB].
"""

from __future__ import annotations

import asyncio
import gc
import re
import sys
from pathlib import Path

from wiring.rehearsal.hub import Hub
from wiring.rehearsal.session import Session


def resident_kb() -> int:
    """Memory of this process that is resident [kB], as the kernel counts it."""
    found = re.search(r"VmRSS:\s+(\d+) kB", Path("/proc/self/status").read_text("ascii"))
    assert found is not None
    return int(found[1])


async def main(plan: Path, saves: int) -> None:
    """Save another size of one fuse each time, with a hand moved and a trial between."""
    gc.set_threshold(100_000, 50, 50)  # as the command line does
    text = plan.read_text("utf-8")
    session = Session(plan, Hub())
    for n in range(saves):
        changed = re.sub(r"rating: \d+ A", f"rating: {4 + n % 7} A", text, count=1)
        plan.write_text(changed if n % 5 else f"{changed}\nnonsense: [", "utf-8")
        await session.refresh()
        await session.act({"do": "mains", "on": bool(n % 2)}) if session.works else None
        if n + 1 in (max(saves // 10, 20), saves):
            gc.collect()
            print(resident_kb(), flush=True)


if __name__ == "__main__":
    asyncio.run(main(Path(sys.argv[1]), int(sys.argv[2])))
