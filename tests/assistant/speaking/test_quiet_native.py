import subprocess
import sys

PROGRAM = """
import ctypes, os, sys
from assistant.speaking.quiet_native import native_messages_hidden
libc = ctypes.CDLL(None)
with native_messages_hidden():
    os.write(2, b"library inside\\n")
    print("python inside", file=sys.stderr)
os.write(2, b"library after\\n")
print("python after", file=sys.stderr)
"""


def test_libraries_are_hidden_and_python_is_not() -> None:
    ran = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr.splitlines() == ["python inside", "library after", "python after"]


def test_an_error_inside_is_seen() -> None:
    program = PROGRAM.replace('print("python inside", file=sys.stderr)', "1 / 0")
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert "ZeroDivisionError" in ran.stderr


def test_without_a_standard_error_nothing_happens() -> None:
    program = """
import os
from assistant.speaking.quiet_native import native_messages_hidden
os.close(2)
with native_messages_hidden():
    print("inside")
print("after")
"""
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert ran.stdout.split() == ["inside", "after"]
