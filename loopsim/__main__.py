"""``python -m loopsim``: the command line."""

import sys

from loopsim.cli import main

sys.exit(main())
