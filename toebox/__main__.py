"""`python -m toebox` does what `toebox` does."""

from toebox.cli import main

main()
