"""`python -m tracker` is `instep`."""

import sys

from tracker.cli import main

sys.exit(main())
