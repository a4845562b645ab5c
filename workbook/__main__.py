"""Run the ``pullwright`` command as ``python -m workbook``."""

import sys

from workbook.cli import main

if __name__ == "__main__":
    sys.exit(main())
