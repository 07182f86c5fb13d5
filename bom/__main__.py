"""`python -m bom`: the command, for where its script is not on the PATH."""

from bom.cli.main import run

run()
