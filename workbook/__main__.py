"""Run the ``pullwright`` command, also as ``python -m workbook``."""

import sys


def main() -> int:
    """Run one command; whoever stops it before all is loaded sees no traceback."""
    try:
        from workbook.cli import main as run

        return run()
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
