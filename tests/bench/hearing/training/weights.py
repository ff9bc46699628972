"""The weights in a file of onnxruntime, by the names of the layers that they belong to."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

KINDS = {1: np.float32, 2: np.uint8, 3: np.int8, 6: np.int32, 7: np.int64, 9: np.bool_}
"""Types of numbers by their number in ONNX (TensorProto.DataType)."""

Weights = dict[str, NDArray[Any]]


def packaged(path: Path) -> Weights:
    """Weights by name, those of 8 bits as floating point; of matrices each row makes one number."""
    from onnxruntime.tools.ort_format_model.ort_flatbuffers_py.fbs import InferenceSession

    session = InferenceSession.InferenceSession.GetRootAsInferenceSession(path.read_bytes(), 0)
    graph = session.Model().Graph()
    here = _kept(graph)
    found: Weights = {}
    for kept, node in _nodes(graph, here):
        inputs = [node.Inputs(at).decode() for at in range(node.InputsLength())]
        name = node.Name().decode()
        small = next((one for one in inputs if one in kept and one.endswith("_quantized")), None)
        if (layer := re.fullmatch(r"/(.*)/(MatMul_quant|Gather)", name)) and small:
            full = _as_floats(kept, small.removesuffix("_quantized"))
            turned = full if layer[2] == "Gather" else full.T
            found.setdefault(f"{layer[1].replace('/', '.')}.weight", turned)
        elif name in ("/groupnorm/Mul", "/groupnorm/Add"):
            kind = "weight" if name.endswith("Mul") else "bias"
            found[f"groupnorm.{kind}"] = kept[inputs[1]].ravel()
    for name, value in here.items():
        found.setdefault(re.sub(r"_merged_\d+$|_add_tensor$", "", name), value)
    return {name.removeprefix("model.decoder."): np.array(value) for name, value in found.items()}


def _as_floats(kept: Mapping[str, NDArray[Any]], name: str) -> NDArray[np.float32]:
    zero, scale = (kept[f"{name}_{kind}"].ravel()[0] for kind in ("zero_point", "scale"))
    out: NDArray[np.float32] = (kept[f"{name}_quantized"].astype(np.float32) - float(zero)) * scale
    return out


def _kept(graph: Any) -> Weights:
    out: Weights = {}
    for at in range(graph.InitializersLength()):
        tensor = graph.Initializers(at)
        if tensor.RawDataLength():
            shape = [tensor.Dims(axis) for axis in range(tensor.DimsLength())]
            values = np.frombuffer(tensor.RawDataAsNumpy().tobytes(), KINDS[tensor.DataType()])
            out[tensor.Name().decode()] = values.reshape(shape)
    return out


def _nodes(graph: Any, kept: Weights) -> Iterator[tuple[Weights, Any]]:
    """Nodes, those of graphs inside too, each with the weights that it may use."""
    for at in range(graph.NodesLength()):
        node = graph.Nodes(at)
        yield kept, node
        for number in range(node.AttributesLength()):
            inner = node.Attributes(number).G()
            if inner is not None:
                yield from _nodes(inner, {**kept, **_kept(inner)})
