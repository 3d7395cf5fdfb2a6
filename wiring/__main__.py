"""`python -m wiring` is the command `wiring`."""

from wiring.cli import main

main()
