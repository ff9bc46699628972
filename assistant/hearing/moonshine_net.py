"""The Moonshine network, English, 27 million weights: it writes down what it hears, piece by piece.

A sound is encoded once; then the decoder is asked, for any beginning of a text, how likely each
piece of text is to come next. Source: N. Jeffries and others, "Moonshine: speech recognition for
live transcription and voice commands", arXiv 2410.15608, 2024. The decoder comes in the wheel of
moonshine-voice (MIT licence), of which nothing else is used. The encoder is the one of that wheel,
taught to hear in noise and between walls (`tests/bench/hearing/training`), and lies here beside its
licence. Both run in onnxruntime.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.errors import HearingError

Floats = NDArray[np.float32]

ENCODER: Final = "encoder.onnx"
"""In this folder; the others are in that of the package."""

DECODER: Final = "decoder_model_merged.ort"
PIECES: Final = "tokenizer.bin"

HEADS: Final = (8, 36)
"""Attention heads of the decoder, and the numbers in each."""

SHORTEST: Final = 1600
"""Samples that the encoder needs at least to make one vector of them, with something to spare."""


def find_net() -> Path | None:
    """The folder of the network in an installed moonshine-voice, found without importing it."""
    found = importlib.util.find_spec("moonshine_voice")
    places = found.submodule_search_locations if found else None
    for place in places or ():
        folder = Path(place) / "assets" / "tiny-en"
        if all((folder / name).is_file() for name in (DECODER, PIECES)):
            return folder
    return None


@dataclass(frozen=True)
class Memory:
    """What the decoder keeps of its rows: one row for each beginning of a text and each sound."""

    heard: Floats
    kept: dict[str, Floats]

    def rows(self, wanted: Sequence[int]) -> Memory:
        """These rows, in this order; one may come several times."""
        if list(wanted) == list(range(len(self.heard))):
            return self
        return Memory(self.heard[wanted], {name: kept[wanted] for name, kept in self.kept.items()})


class MoonshineNet:
    """The network of a folder.

    Raises HearingError where it can not be loaded.
    """

    def __init__(self, folder: Path, threads: int = 1) -> None:
        try:
            import onnxruntime

            # Some builds of it report to their makers.
            onnxruntime.disable_telemetry_events()
            options = onnxruntime.SessionOptions()
            options.intra_op_num_threads = threads
            options.inter_op_num_threads = 1
            # Kept memory makes nothing faster here, and is a third of what all this takes.
            options.enable_cpu_mem_arena = False
            options.log_severity_level = 3
            ours = resources.files("assistant.hearing").joinpath(ENCODER).read_bytes()
            self._encoder = onnxruntime.InferenceSession(ours, options)
            self._decoder = onnxruntime.InferenceSession(str(folder / DECODER), options)
        except Exception as error:  # the library raises classes of its own, not exported
            raise HearingError(
                f"The speech model in {folder} can not be loaded; install moonshine-voice and "
                "onnxruntime again, or hear with --engine pocketsphinx."
            ) from error
        inputs = [one.name for one in self._decoder.get_inputs()]
        self._past = [name for name in inputs if name.startswith("past_key_values")]

    def encode(self, sound: Floats) -> Floats:
        """What the decoder hears of a sound (samples from -1 to 1 at 16,000 a second): an array of
        1 x vectors x 288, some 41 vectors a second."""
        if len(sound) < SHORTEST:
            sound = np.concatenate([sound, np.zeros(SHORTEST - len(sound), np.float32)])
        heard: Floats = self._encoder.run(None, {"sound": sound[None].astype(np.float32)})[0]
        return heard

    def begin(self, heard: Floats, piece: int) -> tuple[Floats, Memory]:
        """Likelihoods (logarithms, rows x pieces) of what comes behind a text's first piece, one
        row for each sound in `heard`."""
        nothing = np.zeros((len(heard), HEADS[0], 0, HEADS[1]), np.float32)
        empty = Memory(heard, dict.fromkeys(self._past, nothing))
        return self._run([piece] * len(heard), empty, first=True)

    def step(self, pieces: Sequence[int], memory: Memory) -> tuple[Floats, Memory]:
        """The same when each row of the memory has gone on by a piece."""
        return self._run(pieces, memory, first=False)

    def _run(self, pieces: Sequence[int], memory: Memory, first: bool) -> tuple[Floats, Memory]:
        out = self._decoder.run(
            None,
            {
                "input_ids": np.array(pieces, np.int64)[:, None],
                "encoder_hidden_states": memory.heard,
                # One for every 384 samples of the sound; a single one counts for all of it.
                "encoder_attention_mask": np.ones((len(memory.heard), 1), np.int64),
                "use_cache_branch": np.array([not first]),
                **memory.kept,
            },
        )
        kept = dict(zip(self._past, out[1:], strict=True))
        if not first:
            # What was made of the sound is given out the first time only.
            kept |= {name: memory.kept[name] for name in self._past if ".encoder." in name}
        return _log_likely(out[0][:, -1]), Memory(memory.heard, kept)


def _log_likely(scores: Floats) -> Floats:
    shifted = scores - scores.max(axis=1, keepdims=True)
    out: Floats = shifted - np.log(np.exp(shifted).sum(axis=1, keepdims=True))
    return out
