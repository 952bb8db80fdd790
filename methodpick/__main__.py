"""Run methodpick as ``python -m methodpick``."""

from methodpick.cli.app import main

if __name__ == "__main__":
    main()
