"""`python -m assistant` is `cuewalk`."""

from assistant.commands import main

main()
