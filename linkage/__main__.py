"""Run the command line as ``python -m linkage``."""

from linkage.commands import main

main()
