"""`python -m stopwright` does what the command `stopwright` does."""

import sys

from stopwright.cli import main

sys.exit(main())
