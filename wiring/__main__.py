"""`python -m wiring` is the command `wiring`."""

from __future__ import annotations

import gc


def main() -> None:
    """The command, with seldom a search for cycles: it is short, and looking for them costs a tenth of `check`."""
    gc.set_threshold(500_000, 50, 50)
    from wiring.cli_start import main as command

    command()


if __name__ == "__main__":
    main()
