"""Make the demonstration's recordings anew: `python -m assistant.demonstration.render`.

Needs the speech synthesiser flite, whose voices are free to use and to pass on. Run it after a
change of script.toml, in a checkout; the recordings are part of the package.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from assistant.demonstration.lines import file_name, script


def main() -> int:
    folder = Path(__file__).parent
    voice, lines = script()
    wanted = {file_name(line.text): line.text for line in lines}
    for old in folder.glob("*.wav"):
        if old.name not in wanted:
            old.unlink()
    for name, text in wanted.items():
        command = ["flite", "-voice", voice, "-t", text, "-o", str(folder / name)]
        try:
            subprocess.run(command, check=True)
        except (OSError, subprocess.CalledProcessError) as error:
            print(f"flite did not speak {text!r}: {error}; install flite", file=sys.stderr)
            return 2
    print(f"{len(wanted)} recordings in {folder}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
