"""``python -m walkabout`` is the command ``walkabout``."""

from walkabout.cli import main

if __name__ == "__main__":
    main()
