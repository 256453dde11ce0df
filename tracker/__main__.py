"""`python -m tracker` is `instep`."""

import sys

from tracker.quick_check import main

sys.exit(main())
