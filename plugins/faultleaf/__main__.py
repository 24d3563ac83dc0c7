"""The command as `python -m faultleaf`."""

import sys

from faultleaf.cli import main

sys.exit(main())
