"""Run the command as `python -m lampwright`."""

import sys

from lampwright.cli import main

sys.exit(main())
