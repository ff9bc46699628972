"""The network with the encoder as its package has it, from which ours was taught."""

from pathlib import Path

import numpy as np

from assistant.hearing.moonshine_net import Floats, MoonshineNet


class PackagedNet(MoonshineNet):
    """`folder` is that of the package."""

    def __init__(self, folder: Path) -> None:
        import onnxruntime

        super().__init__(folder)
        self._theirs = onnxruntime.InferenceSession(str(folder / "encoder_model.ort"))

    def encode(self, sound: Floats) -> Floats:
        given = {"input_values": sound[None], "attention_mask": np.ones((1, len(sound)), np.int64)}
        heard: Floats = self._theirs.run(None, given)[0]
        return heard
