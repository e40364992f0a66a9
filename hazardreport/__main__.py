"""Opens the window, or hands over to the command line."""

import sys


def main() -> int:
    """Exit code of the whole program."""
    from hazardreport.app.cli import run

    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    return run(sys.argv[1:], sys.stdout, sys.stderr)


if __name__ == "__main__":
    sys.exit(main())
