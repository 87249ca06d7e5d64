"""`python -m turnwright`."""

import sys

from turnwright.cli.main import main

if __name__ == "__main__":  # a worker process imports this file too
    sys.exit(main())
