"""`python -m toebox` does what `toebox` does."""

from toebox.cli import main

if __name__ == "__main__":
    main()
