"""`python -m truebed` is `truebed`."""

from truebed.cli.main import main

main()
