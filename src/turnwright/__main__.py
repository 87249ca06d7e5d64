"""`python -m turnwright`."""

import sys

from turnwright.cli.main import main

sys.exit(main())
