"""`python -m witnessmark` is the command `witnessmark`."""

import sys

from witnessmark.cli.main import main

sys.exit(main())
