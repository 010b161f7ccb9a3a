"""`python -m stavewright` is `stavewright`."""

from stavewright.cli import main

main()
