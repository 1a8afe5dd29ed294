"""``python -m pneusim``."""

from pneusim.cli import main

main(prog_name="pneusim")
