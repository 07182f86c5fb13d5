"""The command, as the script `bom` and as `python -m bom`: stopped by hand it says so from its first moment on."""

import sys


def main() -> None:
    """Load the command line and run it; whoever stops it while it still loads gets the one line that all get."""
    try:
        from bom.cli.main import run

        run()
    except KeyboardInterrupt:
        print("bom: stopped; nothing was changed", file=sys.stderr)
        raise SystemExit(2) from None


if __name__ == "__main__":
    main()
