"""What runs: a session, and the shell round it."""

import os

# onnxruntime runs the networks that hear and speak. From 1.29 on it tells its makers what it runs,
# unless this stands there before it is loaded. Nothing may leave this machine.
os.environ["ORT_DISABLE_TELEMETRY"] = "1"
