"""`python -m reassembly` is the command `reassembly`."""

from reassembly.cli import main

main(prog_name="reassembly")
